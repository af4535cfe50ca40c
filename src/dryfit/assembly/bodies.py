"""Parts as boxes in one frame: what stands in whose way is asked of boxes.

A part square to its lattice is a stack of layers, each of them rectangles once the rounds of its
corners are left out. A relief is a bite that no mate fills, and the fillet where a relief is
missing is the dry fit's to find: the order is that of parts whose corners are square.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.parts.layers import standing
from dryfit.shapes.squares import rectangles
from dryfit.shapes.tolerances import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.parts.part import Part

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Bodies:
    """Parts as boxes that touch and never overlap.

    Parameters
    ----------
    turn : array, shape (3, 3)
        Rows are the axes of the boxes in the piece. [-]
    owner : array, shape (k,)
        The part of each box, rising. [-]
    low, high : array, shape (k, 3)
        Its corners. [mm]
    count : int
        How many parts there are. [-]
    """

    turn: FloatArray
    owner: IntArray
    low: FloatArray
    high: FloatArray
    count: int

    @cached_property
    def first(self) -> IntArray:
        """Where the boxes of each part begin, and where the last ones end; shape (n + 1,)."""
        return np.searchsorted(self.owner, np.arange(self.count + 1))

    @cached_property
    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """The box round each part: low and high corners, shape (n, 3). [mm]"""
        begin = self.first[:-1]
        return (
            np.minimum.reduceat(self.low, begin, axis=0),
            np.maximum.reduceat(self.high, begin, axis=0),
        )

    @cached_property
    def core(self) -> IntArray:
        """The largest box of each part; shape (n,). [-]"""
        volume = np.prod(self.high - self.low, axis=1)
        ordered = np.lexsort((-volume, self.owner))
        return np.asarray(ordered[self.first[:-1]])


def bodies_of(parts: Sequence[Part], turn: FloatArray) -> Bodies:
    """Parts as boxes.

    Parameters
    ----------
    parts : sequence of Part
        Parts square to one another.
    turn : array, shape (3, 3)
        Rows are the axes along which all of them lie. [-]
    """
    rows = [_boxes(part, turn) for part in parts]
    corners = np.round(np.concatenate(rows), DECIMALS)
    owner = np.repeat(np.arange(len(parts)), [len(row) for row in rows])
    return Bodies(turn, owner, corners.min(axis=1), corners.max(axis=1), len(parts))


def _boxes(part: Part, turn: FloatArray) -> FloatArray:
    """Two opposite corners of every box of a part, in the axes; shape (k, 2, 3). [mm]"""
    frame = part.panel.frame
    axes = np.rint(np.array((frame.u, frame.v, frame.n)) @ turn.T)
    origin = np.array(frame.origin) @ turn.T
    flat = [
        (rectangle, layer.low, layer.high)
        for layer in part.layers
        for rectangle in rectangles(standing(part.as_cut, layer.trenches)).tolist()
    ]
    spots = [((x0, y0, low), (x1, y1, high)) for (x0, y0, x1, y1), low, high in flat]
    return np.asarray(origin + np.array(spots) @ axes)
