"""Species of wood: how each shrinks, and under which names the tables list it.

*Status* says how well a value is known: S, the page was seen; S2, seen in a transcription; MV,
from memory with a second support; MM, two remembered values that agree; M, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.materials.data import names, number, rows

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.materials.data import Row

MIDDLE = 10.0
"""The moisture content to which the coefficients of Table 13-5 refer. [%]"""


FIBRE_BASE = 30.0
"""The moisture content at which most woods begin to shrink. [%]"""


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """Shrinkage from green to ovendry, Wood Handbook Table 4-3 or 4-4.

    Parameters
    ----------
    radial, tangential : float
        Of the green size. [%]
    base : float
        The moisture content at which shrinking begins: 30, in a few softwoods 22. [%]
    status : str
        How well the figures are known.
    """

    radial: float
    tangential: float
    base: float
    status: str

    def at(self, moisture: float) -> tuple[float, float]:
        """Radial and tangential shrinkage from green to a moisture content. [%]

        Wood Handbook FPL-GTR-282, Eq. 4-9: S₀ (1 - M / base).

        Parameters
        ----------
        moisture : float
            Moisture content, 0 to the base. [%]
        """
        left = 1 - min(moisture, self.base) / self.base
        return self.radial * left, self.tangential * left

    @property
    def coefficients(self) -> tuple[float, float]:
        """Radial and tangential change for each percent of moisture, of the size at 10 %. [1/%]

        (S / base) / (100 - S (base - 10) / base), which reproduces both printed coefficients of
        70 of the 74 species of Table 13-5 whose shrinkage is known.
        """
        return self._coefficient(self.radial), self._coefficient(self.tangential)

    def _coefficient(self, shrinkage: float) -> float:
        return shrinkage / self.base / (100 - shrinkage * (self.base - MIDDLE) / self.base)


@dataclass(frozen=True, slots=True)
class Species:
    """One species, or a group that the tables keep together.

    Parameters
    ----------
    name : str
        As the trade calls it.
    also : tuple of str
        Other names of the same wood.
    radial, tangential : float
        Change in size for each percent of moisture content. [1/%]
    status : str
        How well that is known; ``shrinkage`` where it is worked out from shrinkage.
    shrinkage : Shrinkage, optional
        Where it is published.
    handbook : str
        Its row in the Wood Handbook's tables of shrinkage and movement.
    strength : str
        Its row in the Wood Handbook's tables of strength; empty where it has none.
    """

    name: str
    also: tuple[str, ...]
    radial: float
    tangential: float
    status: str
    shrinkage: Shrinkage | None
    handbook: str
    strength: str


def _shrinkage(row: Row) -> Shrinkage | None:
    radial, tangential = number(row["shrink_radial"]), number(row["shrink_tangential"])
    if radial is None or tangential is None:
        return None
    return Shrinkage(radial, tangential, float(row["base"]), row["shrinks"])


def _species(row: Row) -> Species:
    shrinkage = _shrinkage(row)
    radial, tangential, status = number(row["radial"]), number(row["tangential"]), row["moves"]
    if radial is None or tangential is None:
        assert shrinkage is not None, f"{row['name']} has neither coefficients nor shrinkage"
        radial, tangential = shrinkage.coefficients
        status = "shrinkage"
    return Species(
        row["name"], names(row["also"]), radial, tangential, status, shrinkage,
        row["handbook"], row["strength"],
    )  # fmt: skip


SPECIES: Mapping[str, Species] = MappingProxyType(
    {row["name"]: _species(row) for row in rows("species")}
)
"""Every species by its name."""

STANDS_FOR: Mapping[str, str] = MappingProxyType(
    {row["word"]: row["species"] for row in rows("woods")}
)
"""Words of the trade that name a group of species, and the species whose values they take."""

SAME: frozenset[str] = frozenset(row["word"] for row in rows("woods") if row["same"] == "yes")
"""Those of the words that mean the very same species."""
