"""What stock is made of, as far as cutting and closing need it.

Pinch is the crush a joint may take going together, per flank. The within-sheet spread is one
sixth of the thickness variation a standard allows inside one sheet: the allowance is read as a
range of plus and minus three standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Material:
    """One material.

    Parameters
    ----------
    name : str
        As the trade calls it.
    solid : bool
        Solid wood: it has a grain along which fingers must run.
    brittle : bool
        It chips or cracks instead of crushing.
    pinch : float
        Crush allowed at one flank. [mm]
    within_sheet : float
        Thickness variation allowed inside one sheet. [mm]
    source : str
        Where `within_sheet` comes from.
    """

    name: str
    solid: bool
    brittle: bool
    pinch: float
    within_sheet: float
    source: str

    @property
    def within_sheet_sd(self) -> float:
        """Standard deviation that fills the within-sheet allowance at three sigma. [mm]"""
        return self.within_sheet / 6


_EN315 = "EN 315, within-panel variation 0.6 mm (from memory)"
_EN622 = "EN 622-1, the plus-minus 0.2 mm limits taken as the range in one sheet (from memory)"
_EN312 = "EN 312, the plus-minus 0.3 mm limits taken as the range in one sheet (from memory)"
_ISO7823 = "ISO 7823-1 gives limits between sheets only; 0.3 mm is common practice, no source"
_PLANED = "planed in one shop pass; 0.2 mm is common practice, no source"

_SHEETS = (
    Material("plywood", solid=False, brittle=False, pinch=0.03, within_sheet=0.6, source=_EN315),
    Material(
        "birch plywood", solid=False, brittle=False, pinch=0.03, within_sheet=0.6, source=_EN315
    ),
    Material("MDF", solid=False, brittle=False, pinch=0.03, within_sheet=0.4, source=_EN622),
    Material(
        "particleboard", solid=False, brittle=True, pinch=0.0, within_sheet=0.6, source=_EN312
    ),
    Material("hardboard", solid=False, brittle=False, pinch=0.02, within_sheet=0.4, source=_EN622),
    Material("acrylic", solid=False, brittle=True, pinch=0.0, within_sheet=0.3, source=_ISO7823),
)

_SPECIES = (
    "alder", "ash", "basswood", "beech", "birch", "cherry", "chestnut", "Douglas-fir", "elm",
    "fir", "hemlock", "hickory", "larch", "lime", "mahogany", "maple", "oak", "pine", "poplar",
    "redwood", "red oak", "spruce", "sycamore", "teak", "walnut", "western redcedar",
    "white oak", "yellow birch", "yellow-poplar",
)  # fmt: skip

_SOLIDS = tuple(
    Material(name, solid=True, brittle=False, pinch=0.03, within_sheet=0.2, source=_PLANED)
    for name in _SPECIES
)

MATERIALS: dict[str, Material] = {material.name: material for material in _SHEETS + _SOLIDS}
"""Every material known by name."""

_BY_WORD = {name.casefold(): material for name, material in MATERIALS.items()}


def find_material(name: str) -> Material | None:
    """The material of that name, whatever its capitals and spaces; None where none has it."""
    return _BY_WORD.get(" ".join(name.split()).casefold())
