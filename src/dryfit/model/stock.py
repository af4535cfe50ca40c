"""Stock: the sheets and boards in the shop, as the caliper found them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import fsum
from statistics import stdev
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.materials.sheets import Material


@lru_cache(maxsize=1024)
def _deviation(readings: tuple[float, ...]) -> float:
    return stdev(readings)


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of sheet or board.

    Parameters
    ----------
    name : str
        The maker's own name for it.
    material : Material
        What it is made of.
    nominal : float
        The thickness it is sold as. [mm]
    readings : tuple of float
        Caliper readings, taken where the joints fall and 50 mm in from the edges. [mm]
    spread : float, optional
        Standard deviation of the thickness, where the maker states it. [mm]
    cup, wind : float
        Departure from flat across and along, where measured. [mm]
    moisture : float, optional
        Moisture content when it is cut, where measured. [%]
    """

    name: str
    material: Material
    nominal: float
    readings: tuple[float, ...] = ()
    spread: float | None = None
    cup: float = 0.0
    wind: float = 0.0
    moisture: float | None = None

    @property
    def thickness(self) -> float:
        """Mean of the readings, or the nominal thickness where nothing was measured. [mm]"""
        return fsum(self.readings) / len(self.readings) if self.readings else self.nominal

    @property
    def scatter(self) -> float:
        """Standard deviation of the thickness. [mm]

        Stated by the maker, else from two or more readings, else from the standard's allowance
        within one sheet (never the band between sheets, which would swamp everything).
        """
        if self.spread is not None:
            return self.spread
        if len(self.readings) > 1:
            return _deviation(self.readings)
        return self.material.within_sheet_sd
