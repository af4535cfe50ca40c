"""What stock is made of: the register of woods and sheets, by every name they go by.

Pinch is the crush a joint may take going together, per flank. The within-sheet spread is one
sixth of the thickness variation a standard allows inside one sheet: the allowance is read as a
range of plus and minus three standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.materials.data import names, rows
from dryfit.materials.movement import ALONG, Follows, Motion
from dryfit.materials.species import SAME, SPECIES, STANDS_FOR, Species
from dryfit.materials.thickness import limits

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from dryfit.materials.data import Row
    from dryfit.materials.thickness import Limits


@dataclass(frozen=True, slots=True)
class Material:
    """One material.

    Parameters
    ----------
    name : str
        As the trade, or its maker, calls it.
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
    motion : Motion
        How it moves with moisture.
    entry : str
        The species or sheet under which the tables list it: a key of `SPECIES` or of `SHEETS`.
    kin : bool
        Whether the values are those of a near relation, for want of its own.
    own : bool
        Whether the maker has described it.
    """

    name: str
    solid: bool
    brittle: bool
    pinch: float
    within_sheet: float
    source: str
    motion: Motion
    entry: str
    kin: bool = False
    own: bool = False

    @property
    def within_sheet_sd(self) -> float:
        """Standard deviation that fills the within-sheet allowance at three sigma. [mm]"""
        return self.within_sheet / 6

    @property
    def family(self) -> str:
        """Kind of sheet whose standards hold for it; empty for wood."""
        return "" if self.solid else _FAMILIES[self.entry]

    def limits(self, nominal: float) -> tuple[Limits, ...]:
        """What the standards allow sheets of one `nominal` thickness [mm], the usual first."""
        return limits(self.family, nominal)


_FAMILIES: Mapping[str, str] = MappingProxyType(
    {row["name"]: row["thickness"] for row in rows("sheets")}
)
_WITHIN: Mapping[str, tuple[float, str]] = MappingProxyType(
    {
        "plywood": (0.6, "EN 315, within-panel variation 0.6 mm (from memory)"),
        "MDF": (
            0.4,
            "EN 622-1, the plus-minus 0.2 mm limits taken as the range in one sheet (from memory)",
        ),
        "particleboard": (
            0.6,
            "EN 312, the plus-minus 0.3 mm limits taken as the range in one sheet (from memory)",
        ),
        "hardboard": (
            0.4,
            "EN 622-1, the plus-minus 0.2 mm limits taken as the range in one sheet (from memory)",
        ),
        "acrylic": (
            0.3,
            "ISO 7823-1 gives limits between sheets only; 0.3 mm is common practice, no source",
        ),
    }
)
_PLANED = "planed in one shop pass; 0.2 mm is common practice, no source"
_TABLE_13_5 = "Wood Handbook, FPL-GTR-190, Table 13-5"


def _sheet(row: Row) -> Material:
    within, source = _WITHIN[row["thickness"]]
    moves = float(row["moves"])
    return Material(
        name=row["name"], solid=False, brittle=row["brittle"] == "yes", pinch=float(row["pinch"]),
        within_sheet=within, source=source, entry=row["name"],
        motion=Motion(
            Follows(row["reckoned"]), moves, moves, moves, float(row["most"]),
            row["moves_status"], row["moves_source"],
        ),
    )  # fmt: skip


def _wood(name: str, species: Species, *, kin: bool) -> Material:
    source = _TABLE_13_5 if species.status != "shrinkage" else "Wood Handbook, Table 4-3 or 4-4"
    return Material(
        name=name, solid=True, brittle=False, pinch=0.03, within_sheet=0.2, source=_PLANED,
        entry=species.name, kin=kin,
        motion=Motion(
            Follows.WOOD, species.tangential, species.radial, ALONG, species.tangential,
            species.status, source,
        ),
    )  # fmt: skip


SHEETS: Mapping[str, Material] = MappingProxyType(
    {row["name"]: _sheet(row) for row in rows("sheets")}
)
"""Every kind of sheet by its name."""

WOODS: Mapping[str, Material] = MappingProxyType(
    {word: _wood(word, SPECIES[name], kin=word not in SAME) for word, name in STANDS_FOR.items()}
    | {name: _wood(name, species, kin=False) for name, species in SPECIES.items()}
)
"""Every wood: the words that stand for a group first, then the species."""

MATERIALS: dict[str, Material] = {**SHEETS, **WOODS}
"""Every material known by name."""


def _others() -> Iterator[tuple[str, Material]]:
    for row in rows("sheets"):
        for name in names(row["also"]):
            yield name, SHEETS[row["name"]]
    for species in SPECIES.values():
        for name in species.also:
            yield name, WOODS[species.name]


ALSO: Mapping[str, Material] = MappingProxyType(dict(_others()))
"""Materials by the other names that they go by."""

KNOWN: tuple[str, ...] = (*MATERIALS, *ALSO)
"""Every word that `find_material` takes."""

_BY_WORD = {word.casefold(): material for word, material in (*ALSO.items(), *MATERIALS.items())}


def find_material(name: str) -> Material | None:
    """The material of that name, whatever its capitals and spaces; None where none has it."""
    return _BY_WORD.get(" ".join(name.split()).casefold())
