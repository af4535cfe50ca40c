"""A square code that a camera reads, as fills: a part's number after ISO/IEC 18004."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from dryfit.pages.hand import INK
from dryfit.pages.page import Fill, Path, Role

if TYPE_CHECKING:
    from collections.abc import Iterator

QUIET = 4
"""Bare squares round a code. [-]"""


def code_fill(content: str, x: float, y: float, size: float) -> Fill:
    """A code with its bare edge.

    Parameters
    ----------
    content : str
        What it holds.
    x, y : float
        Its lower left corner. [mm]
    size : float
        How wide it is. [mm]
    """
    import segno

    rows = [bytes(row) for row in segno.make(content, error="m", micro=False).matrix]
    step = size / (len(rows) + 2 * QUIET)
    return Fill(Role.FACE, tuple(_runs(rows, x, y + size, step)), INK)


def _runs(rows: list[bytes], x: float, top: float, step: float) -> Iterator[Path]:
    """Dark squares side by side as one rectangle each."""
    for number, row in enumerate(rows):
        y1 = top - (QUIET + number) * step
        column = QUIET
        for dark, run in groupby(row):
            count = len(list(run))
            if dark:
                x0, x1 = x + column * step, x + (column + count) * step
                yield Path.polygon((x0, y1 - step), (x1, y1 - step), (x1, y1), (x0, y1))
            column += count
