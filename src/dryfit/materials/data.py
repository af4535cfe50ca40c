"""The tables of the handbook: CSV files beside this module, read once.

What each column holds, and what the codes of status mean: ``docs/materials.md``.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path

Row = dict[str, str]
"""One row, cell by cell under the names of its columns."""

_FOLDER = Path(__file__).parent


@lru_cache(maxsize=16)
def rows(name: str) -> tuple[Row, ...]:
    """Every row of one table, in the order of the file.

    Parameters
    ----------
    name : str
        Name of the table, without its ending.
    """
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def number(cell: str) -> float | None:
    """The number in a cell; None where the cell is empty."""
    return float(cell) if cell else None


def names(cell: str) -> tuple[str, ...]:
    """The names in a cell, which a semicolon parts."""
    return tuple(name.strip() for name in cell.split(";") if name.strip())
