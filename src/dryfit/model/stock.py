"""Stock: the sheets and boards in the shop, as the caliper found them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import fsum
from statistics import stdev
from typing import TYPE_CHECKING

from dryfit.materials.movement import Sawn, strain

if TYPE_CHECKING:
    from dryfit.materials.moisture import Air
    from dryfit.materials.sheets import Material
    from dryfit.materials.thickness import Limits


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
    sawn : Sawn
        How a board was sawn.
    finish : str
        How a sheet comes from the mill, of `FINISHES`; empty for the usual.
    """

    name: str
    material: Material
    nominal: float
    readings: tuple[float, ...] = ()
    spread: float | None = None
    cup: float = 0.0
    wind: float = 0.0
    moisture: float | None = None
    sawn: Sawn = Sawn.FLAT
    finish: str = ""

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
        allowed = None if self.material.own else self.limits
        return allowed.within / 6 if allowed else self.material.within_sheet_sd

    @property
    def limits(self) -> Limits | None:
        """What its standard allows sheets sold as this thickness; None where there is none."""
        found = self.material.limits(self.nominal)
        return next((each for each in found if self.finish in ("", each.finish)), None)

    def strain(self, cut: Air, after: Air, *, across: bool) -> float:
        """How much longer it becomes since it was cut, as a share of its length. [-]

        Parameters
        ----------
        cut : Air
            The air it was cut in, where its moisture was not measured.
        after : Air
            The air it comes into.
        across : bool
            Whether across its grain; sheets move alike both ways.
        """
        before = cut if self.moisture is None else self.moisture
        return strain(self.material, before, after, sawn=self.sawn if across else None)
