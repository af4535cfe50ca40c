"""A neutral table: a title, a header and rows of cells, in no format at all."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under a header; every row has as many cells as the header."""

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
