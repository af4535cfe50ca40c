"""Write what the docs say of strength, stiffness, creep and loads, from the tables themselves."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.materials.data import number, rows
from dryfit.materials.layup import birch
from dryfit.materials.loads import USES
from dryfit.materials.strength import PSI

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

STRENGTH = Path(__file__).parents[1] / "docs" / "strength.md"

_HEAD = """# Strength

The values behind *Does it hold?*, written from the program's own tables. What the statuses mean:
[materials](materials.md). What is made of them: [what holds](theory/hold.md).
"""
_WOODS = """Averages of small clear specimens at 12 % moisture, and no design values: Wood Handbook,
FPL-GTR-282, Tables 5-3b and 5-5b, converted from pounds and inches. The modulus holds some shear;
with a term for shear 1.1 of it is taken. Density is 1120 times the specific gravity, which for
imported woods is that of green volume. A wood without a row takes the weakest of its kin.
"""
_BOARDS = "The least that the standard or table allows. Birch plywood goes by its plies.\n"
_PLIES = """Plies of 1.4 mm with sanded faces of 1.1 mm; 17 500 N/mm² along a ply, nothing across.
"""
_CREEP = "The sag after years over the first one, under a load that stays.\n"
_LOADS = "What `use` brings, and how far a panel may sag at first.\n"


def _table(heads: Sequence[str], lines: Iterable[Sequence[str]]) -> Iterator[str]:
    yield f"| {' | '.join(heads)} |"
    yield "|" + "---|" * len(heads)
    for line in lines:
        yield f"| {' | '.join(line)} |"
    yield ""


def strength_page() -> str:
    """The page as Markdown."""
    return "\n".join(
        [
            _HEAD,
            f"## Loads\n\n{_LOADS}",
            *_table(("use", "load", "at most", "may sag", "status", "source"), _loads()),
            f"## Boards\n\n{_BOARDS}",
            *_table(
                ("board", "over [mm]", "to [mm]", "modulus [N/mm²]", "bending [N/mm²]",
                 "bond [N/mm²]", "density [kg/m³]", "status", "source"),
                (list(row.values())[:7] + [row["status"], row["source"]] for row in rows("boards")),
            ),
            f"## Plywood of birch\n\n{_PLIES}",
            *_table(
                ("plies", "thickness [mm]", "modulus along [N/mm²]", "across [N/mm²]", "status"),
                _plies(),
            ),
            f"## Creep\n\n{_CREEP}",
            *_table(
                ("material", "at least", "at most", "status", "source"),
                (
                    (row["material"], row["least"], row["most"], row["status"], row["source"])
                    for row in rows("creep")
                ),
            ),
            f"## Woods\n\n{_WOODS}",
            *_table(
                ("wood", "specific gravity", "modulus [N/mm²]", "bending [N/mm²]",
                 "shear along [N/mm²]", "table", "status"),
                _woods(),
            ),
        ]
    ).rstrip("\n") + "\n"  # fmt: skip


def _loads() -> Iterator[tuple[str, ...]]:
    for use in USES.values():
        load = f"{use.space:g} kg/m³" if use.space else f"{use.area:g} kg/m²"
        most = f"{use.most:g} kg" if use.most else ""
        sag = f"1/{1 / use.share:.0f}" + (f", {use.sag_most:g} mm" if use.sag_most else "")
        yield f"`{use.name}`", load, most, f"{sag}: {use.judge}", use.status, use.source


def _plies() -> Iterator[tuple[str, ...]]:
    for count in range(3, 23, 2):
        made = birch(count)
        yield str(count), f"{made.thickness:.1f}", f"{made.along:.0f}", f"{made.across:.0f}", "MV"


def _woods() -> Iterator[tuple[str, ...]]:
    for row in rows("strength"):
        sheared = number(row["shear_psi"])
        yield (
            row["species"],
            row["gravity"],
            f"{float(row['modulus_mpsi']) * 1e6 * PSI:.0f}",
            f"{float(row['rupture_psi']) * PSI:.1f}",
            "" if sheared is None else f"{sheared * PSI:.2f}",
            row["table"],
            row["status"],
        )
