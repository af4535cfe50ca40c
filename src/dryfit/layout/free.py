"""Free space on a sheet: the greatest empty rectangles, as boxes are taken from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Iterable

IntArray = npt.NDArray[np.int64]
Box = tuple[int, int, int, int]
"""Low x, low y, high x, high y, in the steps that layouts are reckoned in."""


class FreeSpace:
    """The greatest empty rectangles of a sheet, none inside another.

    Parameters
    ----------
    length, width : int
        Size of the sheet, in steps. [-]
    taken : iterable of Box
        What is taken already.
    """

    def __init__(self, length: int, width: int, taken: Iterable[Box] = ()) -> None:
        self.free: IntArray = np.array([(0, 0, length, width)], dtype=np.int64)
        for box in taken:
            self.take(box)

    def take(self, box: Box) -> None:
        """Take a box away: what it cuts through is split into what is left on its four sides."""
        low_x, low_y, high_x, high_y = box
        free = self.free
        hit = (
            (free[:, 0] < high_x)
            & (free[:, 2] > low_x)
            & (free[:, 1] < high_y)
            & (free[:, 3] > low_y)
        )
        if not hit.any():
            return
        cut, kept = free[hit], free[~hit]
        parts = []
        for column, bound, is_high in (
            (2, low_x, 1),
            (0, high_x, 0),
            (3, low_y, 1),
            (1, high_y, 0),
        ):
            side = cut[cut[:, column - 2] < bound] if is_high else cut[cut[:, column + 2] > bound]
            side = side.copy()
            side[:, column] = bound
            parts.append(side)
        new = np.concatenate(parts)
        self.free = np.concatenate((kept, new[_maximal(new, kept)]))

    @property
    def largest(self) -> Box:
        """The empty rectangle of the largest area; all zeros where the sheet is full."""
        if not len(self.free):
            return (0, 0, 0, 0)
        area = (self.free[:, 2] - self.free[:, 0]) * (self.free[:, 3] - self.free[:, 1])
        x0, y0, x1, y1 = self.free[int(area.argmax())].tolist()
        return x0, y0, x1, y1


def _maximal(new: IntArray, kept: IntArray) -> npt.NDArray[np.bool_]:
    """Which new rectangles lie inside no other, of equals the first."""
    everything = np.concatenate((new, kept))
    inside = (
        (new[:, None, 0] >= everything[None, :, 0])
        & (new[:, None, 1] >= everything[None, :, 1])
        & (new[:, None, 2] <= everything[None, :, 2])
        & (new[:, None, 3] <= everything[None, :, 3])
    )
    own = np.arange(len(new))
    same = (new[:, None, :] == new[None, :, :]).all(axis=2)
    inside[:, : len(new)] &= ~(same & (own[:, None] <= own[None, :]))
    return ~inside.any(axis=1)


def area_of(box: Box) -> int:
    """Area of a box, in steps squared."""
    return (box[2] - box[0]) * (box[3] - box[1])


class Slices(FreeSpace):
    """Free space where every cut runs straight through: rectangles that do not overlap.

    A box leaves a piece beside it and a piece above it; the first cut is the one that leaves the
    larger piece whole.
    """

    def take(self, box: Box) -> None:
        """Take a box away by straight cuts through each piece that it lies in."""
        pieces: list[Box] = []
        for x0, y0, x1, y1 in self.free.tolist():
            piece = (x0, y0, x1, y1)
            low = max(box[0], x0), max(box[1], y0)
            high = min(box[2], x1), min(box[3], y1)
            if low[0] >= high[0] or low[1] >= high[1]:
                pieces.append(piece)
            else:
                pieces += _sliced(piece, (*low, *high))
        self.free = np.array(pieces, dtype=np.int64).reshape(-1, 4)


def _sliced(piece: Box, box: Box) -> list[Box]:
    """What is left of a piece, cut upright first or level first, whichever leaves the larger."""
    x0, y0, x1, y1 = piece
    left, low, right, high = box
    upright = [
        (x0, y0, left, y1),
        (right, y0, x1, y1),
        (left, y0, right, low),
        (left, high, right, y1),
    ]
    level = [(x0, y0, x1, low), (x0, high, x1, y1), (x0, low, left, high), (right, low, x1, high)]
    best = max((upright, level), key=lambda way: max(map(area_of, way)))
    return [each for each in best if each[0] < each[2] and each[1] < each[3]]
