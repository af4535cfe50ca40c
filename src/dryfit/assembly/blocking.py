"""Who stands in whose way: for every direction, which parts a part would run into.

Vocabulary
----------
way
    A direction in which parts are moved, straight and all the way out. Ways come in pairs, one
    against the other.
hit
    A part that moves along a way, to whatever distance, needs space that another one fills.
closed
    Of parts: none of them hits one that stays. A set of parts can leave along a way if and only if
    it is closed there.

A part hits another along a way if and only if the other hits it against the way, so one half of
the ways is enough. Parts hit when they would share more than a slack in every direction: the air
of a fit and the crush of a corner are less.

After the directional blocking graphs of Wilson and Latombe, Artificial Intelligence 71 (1994).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.cells import overlapping_pairs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.assembly.bodies import Bodies

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

SLACK = 0.1
"""What two parts must share in every direction to be in each other's way. [mm]"""

_LOT = 2_000_000
"""Pairs of boxes that are looked at together. [-]"""


@dataclass(frozen=True, eq=False)
class Blocking:
    """Who hits whom along every way.

    Parameters
    ----------
    ways : array, shape (2 m, 3)
        Unit vectors in the piece; way m + k runs against way k. [-]
    hits : array of bool, shape (2 m, n, n)
        Whether part i, moving along the way, hits part j.
    """

    ways: FloatArray
    hits: BoolArray

    @classmethod
    def of(cls, ways: FloatArray, ahead: BoolArray) -> Blocking:
        """From one half of the ways, (m, 3), and who hits whom along them, (m, n, n)."""
        return cls(
            np.concatenate((ways, -ways)) + 0.0,
            np.concatenate((ahead, ahead.transpose(0, 2, 1))),
        )

    @property
    def count(self) -> int:
        """How many parts there are. [-]"""
        return int(self.hits.shape[1])

    def among(self, parts: IntArray) -> Blocking:
        """The same for some of the parts, by their indices."""
        return Blocking(self.ways, self.hits[:, parts[:, None], parts])

    def free(self, members: BoolArray) -> BoolArray:
        """Which of the `members` [bool (n,)] leave by themselves; shape (2 m, n)."""
        hit = self.hits[:, :, members].any(axis=2)
        return np.asarray(members & ~hit)

    def without(self, pairs: BoolArray) -> Blocking:
        """The same where the `pairs`, bool (n, n) and symmetric, are no longer in their way."""
        return Blocking(self.ways, self.hits & ~pairs)


def blocking_of(bodies: Bodies, slack: float = SLACK) -> Blocking:
    """Who hits whom along the axes of boxes.

    Parameters
    ----------
    bodies : Bodies
        Parts as boxes.
    slack : float
        What two parts must share in every direction to be in each other's way. [mm]
    """
    count = bodies.count
    ahead = np.zeros((3, count, count), dtype=bool)
    for axis in range(3):
        for i, j in covering_parts(bodies, axis, slack):
            _fill(ahead[axis], bodies, (i, j), axis, slack)
    return Blocking.of(bodies.turn, ahead)


def share_space(bodies: Bodies, slack: float) -> bool:
    """Whether boxes of two parts share more than a `slack` [mm] in every direction."""
    low, high = bodies.bounds
    i, j = overlapping_pairs(low, high, slack).T
    return any(
        bool((np.minimum(bodies.high[p, 0], bodies.high[q, 0])
              - np.maximum(bodies.low[p, 0], bodies.low[q, 0]) > slack).any())
        for p, q in covering_boxes(bodies, i, j, 0, slack)
    )  # fmt: skip


def _beside(axis: int) -> list[int]:
    """The other two axes."""
    return [other for other in range(3) if other != axis]


def covering_parts(bodies: Bodies, axis: int, slack: float) -> Iterator[tuple[IntArray, IntArray]]:
    """Parts i < j whose bounds cover each other when looked at along an axis, in lots; [mm]."""
    low, high = bodies.bounds
    lot = max(1, _LOT // max(bodies.count, 1))
    for begin in range(0, bodies.count, lot):
        rows = slice(begin, begin + lot)
        covers = np.ones((len(low[rows]), bodies.count), dtype=bool)
        for other in _beside(axis):
            shared = np.minimum(high[rows, None, other], high[None, :, other])
            shared -= np.maximum(low[rows, None, other], low[None, :, other])
            covers &= shared > slack
        i, j = np.nonzero(covers)
        i += begin
        yield i[i < j], j[i < j]


def _fill(
    ahead: BoolArray, bodies: Bodies, pairs: tuple[IntArray, IntArray], axis: int, slack: float
) -> None:
    """Set who hits whom among pairs of parts that cover each other.

    Most pairs are told by their largest boxes alone; the others are looked at box by box.
    """
    low, high = bodies.bounds
    core = bodies.core
    i, j = pairs
    can = low[i, axis] < high[j, axis] - slack, low[j, axis] < high[i, axis] - slack
    faces = _cover(bodies, core[i], core[j], axis, slack)
    does = [
        faces & (bodies.low[core[a], axis] < bodies.high[core[b], axis] - slack)
        for a, b in ((i, j), (j, i))
    ]
    ahead[i[does[0]], j[does[0]]] = True
    ahead[j[does[1]], i[does[1]]] = True
    open_ = (can[0] & ~does[0]) | (can[1] & ~does[1])
    for p, q in covering_boxes(bodies, i[open_], j[open_], axis, slack):
        one, other = bodies.owner[p], bodies.owner[q]
        forth = bodies.low[p, axis] < bodies.high[q, axis] - slack
        back = bodies.low[q, axis] < bodies.high[p, axis] - slack
        ahead[one[forth], other[forth]] = True
        ahead[other[back], one[back]] = True


def _cover(bodies: Bodies, p: IntArray, q: IntArray, axis: int, slack: float) -> BoolArray:
    """Whether boxes p and q cover each other when looked at along an axis."""
    found = np.ones(len(p), dtype=bool)
    for other in _beside(axis):
        shared = np.minimum(bodies.high[p, other], bodies.high[q, other])
        found &= shared - np.maximum(bodies.low[p, other], bodies.low[q, other]) > slack
    return found


def covering_boxes(
    bodies: Bodies, i: IntArray, j: IntArray, axis: int, slack: float
) -> Iterator[tuple[IntArray, IntArray]]:
    """Boxes of parts i and j that the other's bounds cover and that cover each other, in lots.

    Looked at along an `axis`; less than `slack` [mm] is no cover.
    """
    per_part = np.diff(bodies.first)
    lots = np.cumsum(per_part[i] * per_part[j]) // _LOT
    for lot in np.unique(lots).tolist():
        own = lots == lot
        one = _near(bodies, i[own], j[own], axis, slack)
        other = _near(bodies, j[own], i[own], axis, slack)
        p, q = _joined(one, other, int(own.sum()))
        meet = _cover(bodies, p, q, axis, slack)
        yield p[meet], q[meet]


def _near(
    bodies: Bodies, i: IntArray, j: IntArray, axis: int, slack: float
) -> tuple[IntArray, IntArray]:
    """The number of the pair and the box, for boxes of parts i that the bounds of j cover."""
    low, high = bodies.bounds
    count = np.diff(bodies.first)[i]
    pair = np.repeat(np.arange(len(i)), count)
    box = np.arange(len(pair)) - np.repeat(np.cumsum(count) - count - bodies.first[i], count)
    keep = np.ones(len(pair), dtype=bool)
    mate = j[pair]
    for other in _beside(axis):
        shared = np.minimum(bodies.high[box, other], high[mate, other])
        keep &= shared - np.maximum(bodies.low[box, other], low[mate, other]) > slack
    return pair[keep], box[keep]


def _joined(
    one: tuple[IntArray, IntArray], other: tuple[IntArray, IntArray], pairs: int
) -> tuple[IntArray, IntArray]:
    """Every box of one side with every box of the other that belongs to the same pair."""
    counts = np.bincount(other[0], minlength=pairs)
    begins = np.cumsum(counts) - counts
    each = counts[one[0]]
    p = np.repeat(one[1], each)
    place = np.arange(len(p)) - np.repeat(np.cumsum(each) - each - begins[one[0]], each)
    return p, other[1][place]
