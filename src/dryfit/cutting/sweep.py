"""What a round cutter has passed over, level by level.

A cutter is a cylinder: at a height above its tip it takes a disc, below its tip nothing. So what it
takes at one height is known from the moves, and the parts of sloping moves, that go below it.
Distances from their middle lines are exact; nothing is rebuilt from dots.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.moves import FLAT
from dryfit.shapes import arc

if TYPE_CHECKING:
    from dryfit.cutting.moves import Moves

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

FINE = 4e-4
"""Sagitta of the chords that stand for arcs. [mm]"""

_LEVEL = 1e-6
"""Heights that differ by less are one. [mm]"""


@dataclass(frozen=True, eq=False)
class Cover:
    """Middle lines of the cutter at one height.

    Parameters
    ----------
    chords : array, shape (k, 4)
        Straight lines x0, y0, x1, y1. [mm]
    row : array, shape (k,)
        A move that each belongs to: the first that runs there.
    key : bytes
        Equal for equal covers.
    """

    chords: FloatArray
    row: IntArray
    key: bytes


class Sweep:
    """The moves of one program that may cut, each place once however often it is run.

    Parameters
    ----------
    moves : Moves
        Heights above the bed.
    top : float
        Height of the sheet; what is above it cuts nothing. [mm]
    turned_over : float, optional
        Length of the sheet where it lies turned over [mm]: x runs back and heights count down.
    """

    def __init__(self, moves: Moves, top: float, turned_over: float | None = None) -> None:
        self.rows = np.flatnonzero(moves.low < top - _LEVEL)
        path = moves.path[self.rows]
        self.begin, self.end = path[:, 2], path[:, 5]
        flat = path[:, FLAT]
        if turned_over is not None:
            flat = flat * [-1, 1, -1, 1, -1] + [turned_over, 0, turned_over, 0, 0]
        self.top, self.turned_over = top, turned_over is not None
        self.flat = flat
        keyed = np.round(flat, 7) + 0.0
        self.edges, first, self.which = np.unique(
            keyed, axis=0, return_index=True, return_inverse=True
        )
        self.which = self.which.ravel()
        self.edges = flat[first]
        self._chords, self._of = chords(self.edges)

    def heights(self) -> FloatArray:
        """Heights above the bed at which a move runs level, or turns up again. [mm]"""
        level = np.abs(self.begin - self.end) < _LEVEL
        after = np.concatenate((self.end[1:], [np.inf]))
        turns = (self.end < self.begin) & (after >= self.end - _LEVEL)
        found = np.unique(np.round(np.concatenate((self.end[level], self.end[turns])), 6))
        return self.top - found if self.turned_over else found

    def at(self, height: float) -> Cover:
        """What runs below a `height` above the bed [mm]."""
        tip = self.top - height if self.turned_over else height
        low, high = np.minimum(self.begin, self.end), np.maximum(self.begin, self.end)
        whole = high < tip
        used = np.zeros(len(self.edges), dtype=np.bool_)
        used[self.which[whole]] = True
        first = np.full(len(self.edges), len(self.rows), dtype=np.intp)
        np.minimum.at(first, self.which[whole], np.flatnonzero(whole))
        sloping = np.flatnonzero((low < tip) & (high >= tip))
        sloping = sloping[~used[self.which[sloping]]]
        pieces = self._below(sloping, tip)
        parts, of = chords(pieces)
        kept = used[self._of]
        row = np.concatenate((first[self._of[kept]], sloping[of]))
        return Cover(
            np.concatenate((self._chords[kept], parts)),
            self.rows[np.minimum(row, len(self.rows) - 1)] if len(row) else row,
            np.packbits(used).tobytes() + pieces.tobytes(),
        )

    def _below(self, which: IntArray, tip: float) -> FloatArray:
        """The lower part of sloping moves, as flat edges."""
        edges, begin, end = self.flat[which], self.begin[which], self.end[which]
        share = (tip - begin) / np.where(begin == end, 1.0, end - begin)
        down = end < begin
        low, high = np.where(down, share, 0.0), np.where(down, 1.0, share)
        upright = np.abs(edges[:, :2] - edges[:, 2:4]).max(axis=1, initial=0.0) < 1e-9
        low, high = np.where(upright, 0.0, low), np.where(upright, 1.0, high)
        return part_of(edges, low, high)


def part_of(edges: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """The part of each edge between two shares of it."""
    turn = arc.included_angle(edges) * (high - low)
    return np.column_stack((_point(edges, low), _point(edges, high), np.tan(turn / 4)))


def _point(edges: FloatArray, share: FloatArray) -> FloatArray:
    points = edges[:, :2] + share[:, None] * (edges[:, 2:4] - edges[:, :2])
    bent = edges[:, 4] != 0
    if bent.any():
        points[bent] = arc.along(edges[bent], share[bent])
    return points


def chords(edges: FloatArray, sagitta: float = FINE) -> tuple[FloatArray, IntArray]:
    """Straight lines x0, y0, x1, y1 for edges, and the edge of each.

    Parameters
    ----------
    edges : array, shape (k, 5)
        Lines and arcs. [mm]
    sagitta : float
        How far a chord may stray from its arc. [mm]
    """
    count = np.ones(len(edges), dtype=np.intp)
    bent = edges[:, 4] != 0
    if bent.any():
        radius = arc.radius(edges[bent])
        turn = 2 * np.arccos(np.maximum(1 - sagitta / radius, 0.0))
        count[bent] = np.maximum(np.ceil(np.abs(arc.included_angle(edges[bent])) / turn), 1)
    which = np.repeat(np.arange(len(edges)), count)
    step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    own = edges[which]
    first, last = step / count[which], (step + 1) / count[which]
    return np.hstack((_point(own, first), _point(own, last))), which
