"""Reads a traveller's PDF as its owner would: text by sheets, tables by their columns."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING, Any

import pdfplumber

if TYPE_CHECKING:
    from collections.abc import Sequence

_LINE = 2.0  # words whose feet are nearer than this are on one line [pt]
_GAP = 3.2  # between cells, wider than a space [pt]


@dataclass(frozen=True)
class Sheet:
    """One sheet: its kind, as its title block has it, and its lines as cells from the left."""

    lines: tuple[tuple[str, ...], ...]
    kind: str

    @property
    def text(self) -> str:
        return "\n".join(" ".join(line) for line in self.lines)

    def rows(self, *header: str) -> list[tuple[str, ...]]:
        """The rows under a header, up to the first line of another number of cells."""
        for number, line in enumerate(self.lines):
            if line == header:
                found = []
                for row in self.lines[number + 1 :]:
                    if len(row) != len(header):
                        break
                    found.append(row)
                return found
        return []


@dataclass(frozen=True)
class Read:
    """A whole traveller."""

    data: bytes

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        with pdfplumber.open(io.BytesIO(self.data)) as pdf:
            return tuple(_sheet(page) for page in pdf.pages)

    def of(self, kind: str) -> tuple[Sheet, ...]:
        return tuple(sheet for sheet in self.sheets if sheet.kind == kind)

    @property
    def text(self) -> str:
        return "\n".join(sheet.text for sheet in self.sheets)


def _sheet(page: Any) -> Sheet:
    words = page.extract_words(
        x_tolerance=_GAP, y_tolerance=1, keep_blank_chars=True, use_text_flow=False
    )
    level = [word for word in words if word["upright"]]
    level.sort(key=lambda word: (round(word["bottom"] / _LINE), word["x0"]))
    lines = tuple(
        tuple(" ".join(word["text"].split()) for word in row)
        for _, row in groupby(level, key=lambda word: round(word["bottom"] / _LINE))
    )
    foot = page.height - (10 + 11 + 11) / 25.4 * 72
    kinds = [
        word["text"].strip()
        for word in level
        if word["top"] > foot and 0.40 < (word["x0"] - 56) / 510 < 0.48
    ]
    return Sheet(lines, next((k for k in kinds if k != "kind of document"), ""))


def numbers(text: str) -> list[float]:
    """Every decimal number of a text."""
    return [float(found) for found in re.findall(r"-?\d+\.\d+", text)]


def joined(rows: Sequence[Sequence[str]], column: int) -> list[str]:
    """One column of rows."""
    return [row[column] for row in rows]
