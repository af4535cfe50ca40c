"""Write the tables of the page on materials from the tables of the program."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.materials.data import rows
from dryfit.materials.sheets import SHEETS
from dryfit.materials.species import SAME, SPECIES, STANDS_FOR

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dryfit.materials.data import Row

MATERIALS = Path(__file__).parents[1] / "docs" / "materials.md"


def materials_page(text: str) -> str:
    """The page with every table renewed; the words between them stay."""
    tables = {"Species": _species(), "Words": _words(), "Sheets": _sheets(), "Thickness": _limits()}
    sections = text.split("\n## ")
    for number, section in enumerate(sections):
        heading = section.partition("\n")[0]
        if heading in tables:
            head, _, rest = section.partition("\n| ")
            after = rest.partition("\n\n")[2]
            table = f"{head}\n{tables[heading]}\n"
            sections[number] = f"{table}\n{after}" if after else table
    return "\n## ".join(sections)


def _table(heads: Iterable[str], lines: Iterable[Iterable[str]]) -> str:
    names = list(heads)
    rule = "|---" * len(names) + "|"
    return "\n".join(
        [f"| {' | '.join(names)} |", rule, *(f"| {' | '.join(cells)} |" for cells in lines)]
    )


def _species() -> str:
    heads = (
        "name", "also", "tangential [1/%]", "radial [1/%]", "status", "shrinks, tangential [%]",
        "radial [%]", "status of that",
    )  # fmt: skip
    lines = []
    for each in SPECIES.values():
        shrinks = each.shrinkage
        sizes = (f"{shrinks.tangential:.1f}", f"{shrinks.radial:.1f}", shrinks.status) if (
            shrinks
        ) else ("", "", "")  # fmt: skip
        lines.append(
            (each.name, ", ".join(each.also), f"{each.tangential:.5f}", f"{each.radial:.5f}",
             each.status, *sizes)
        )  # fmt: skip
    return _table(heads, lines)


def _words() -> str:
    return _table(
        ("word", "reckoned as", "the same wood"),
        ((word, name, "yes" if word in SAME else "kin") for word, name in STANDS_FOR.items()),
    )


def _sheets() -> str:
    heads = ("name", "moves, in its plane", "at most", "for each", "status", "source")
    lines = []
    for each in SHEETS.values():
        motion = each.motion
        of = "% of humidity" if motion.follows == "humidity" else "% of moisture"
        lines.append(
            (each.name, f"{motion.across:g}", f"{motion.most:g}", of, motion.status, motion.source)
        )
    return _table(heads, lines)


def _limits() -> str:
    heads = ("sheet", "finish", "standard", "nominal [mm]", "limits [mm]", "in one sheet [mm]",
             "status")  # fmt: skip
    return _table(
        heads,
        (
            (
                row["material"], row["finish"], row["standard"],
                f"over {row['over']} to {row['to']}",
                _band(row),
                row["within"], row["status"],
            )
            for row in rows("thickness")
        ),
    )  # fmt: skip


def _band(row: Row) -> str:
    """The limits of one rule, in terms of the nominal thickness t."""

    def side(fixed: str, share: str) -> str:
        parts = [fixed] * (fixed != "0") + [f"{share} t"] * (share != "0")
        return f"({' + '.join(parts)})" if len(parts) > 1 else parts[0]

    return f"-{side(row['minus'], row['minus_share'])}, +{side(row['plus'], row['plus_share'])}"
