"""The outline of a panel: its sides as steps between finger tips and shoulders.

Vocabulary
----------
side
    One straight edge of the panel's reach, walked counter-clockwise with face b towards you.
level
    How far a stretch of a side lies from the panel's reach, outward positive: the tip of a finger
    stands proud of it, the shoulder of a socket lies as deep as the mate is thick.
step
    A place where the level changes: a flank.

Where two sides meet, the outline turns at the crossing of their end levels, whoever owns the
corner block: that one rule serves solid corners, corners given to either mate, and plain ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.profile import Loop
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]

SIDES = ("bottom", "right", "top", "left")
"""The sides of a rectangle in counter-clockwise order, from the one where v = 0."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of a side at a level of its own.

    Parameters
    ----------
    low, high : float
        Where it lies along the panel's own axis; infinite where it runs out at a corner. [mm]
    level : float
        Its level. [mm]
    recess : pair of float
        How far the flanks at its low and at its high end recede into whichever stretch stands out
        farther. [mm]
    cuts : bool
        Whether it only cuts: where what it lies over is deeper, that stays.
    """

    low: float
    high: float
    level: float
    recess: tuple[float, float]
    cuts: bool = False


@dataclass(frozen=True, eq=False)
class Side:
    """One side of a panel.

    Parameters
    ----------
    steps : array, shape (k,)
        Where the level changes, along the walk, before gaps. [mm]
    levels : array, shape (k + 1,)
        Level of each stretch. [mm]
    recess : array, shape (k,)
        How far the flank at each step recedes into the stretch that stands out farther. [mm]
    """

    steps: FloatArray
    levels: FloatArray
    recess: FloatArray

    def between(self, low: float, high: float) -> Side:
        """The side without the steps that lie before `low` or beyond `high`. [mm]"""
        kept = (self.steps > low - SAME) & (self.steps < high + SAME)
        if kept.all():
            return self
        first = int((self.steps <= low - SAME).sum())
        last = first + int(kept.sum())
        return Side(self.steps[first:last], self.levels[first : last + 1], self.recess[first:last])

    @property
    def cut_steps(self) -> FloatArray:
        """Where the flanks are cut."""
        return self.steps + np.sign(np.diff(self.levels)) * self.recess


PLAIN = Side(np.empty(0), np.zeros(1), np.empty(0))
"""A side without a joint."""


def laid_out(stretches: Sequence[Stretch], length: float, *, backward: bool) -> Side:
    """A side made of stretches laid over the panel's reach.

    Parameters
    ----------
    stretches : sequence of Stretch
        Later ones lie over earlier ones.
    length : float
        Length of the side. [mm]
    backward : bool
        Whether the walk runs against the panel's own axis.
    """
    ends = np.array([(each.low, each.high) for each in stretches]).reshape(-1, 2)
    stops = np.unique(ends[np.isfinite(ends)])
    # Two more than there are stops: the recess of an infinite end falls on one of these.
    levels, recess = np.zeros(len(stops) + 1), np.zeros(len(stops) + 2)
    first = np.where(np.isfinite(ends[:, 0]), np.searchsorted(stops, ends[:, 0]) + 1, 0)
    last = np.where(np.isfinite(ends[:, 1]), np.searchsorted(stops, ends[:, 1]), len(stops))
    for begin, end, each in zip(first.tolist(), last.tolist(), stretches, strict=True):
        over = levels[begin : end + 1]
        levels[begin : end + 1] = np.minimum(over, each.level) if each.cuts else each.level
        recess[begin], recess[end + 1] = each.recess
    recess = recess[1:-1]
    changes = np.diff(levels) != 0
    steps, recess = stops[changes], recess[changes]
    levels = np.concatenate((levels[:1], levels[1:][changes]))
    if backward:
        return Side((length - steps)[::-1], levels[::-1], recess[::-1])
    return Side(steps, levels, recess)


def outline(panel: Panel, sides: Sequence[Side]) -> tuple[Loop, FloatArray]:
    """The outline of a panel with square inside corners.

    Parameters
    ----------
    panel : Panel
        The panel; a rectangle of width by height, or its outline. [mm]
    sides : sequence of Side
        One for each of the panel's sides, counter-clockwise; of a rectangle in the order of
        `SIDES`.

    Returns
    -------
    Loop
        Counter-clockwise, straight edges only. [mm]
    array, shape (k,)
        For each vertex: +1 where a flank arrives at a shoulder, -1 where a shoulder arrives at a
        flank, 0 where the corner is not an inside one. [-]
    """
    if not panel.outline:
        sides = _trimmed(sides, (panel.width, panel.height) * 2)
    corners = np.array(panel.corners)
    onward = np.roll(corners, -1, axis=0) - corners
    along = onward / np.hypot(*onward.T)[:, None]
    out = np.column_stack((along[:, 1], -along[:, 0]))
    points: list[FloatArray] = []
    inside: list[FloatArray] = []
    for number, side in enumerate(sides):
        # The end levels of two sides are lines; where they cross, the outline turns.
        cosine = float(out[number] @ out[number - 1])
        slope = float(along[number] @ out[number - 1])
        last = float(sides[number - 1].levels[-1])
        start = (last - float(side.levels[0]) * cosine) / slope
        place, level, mark = _walk(side, start)
        points.append(
            corners[number] + place[:, None] * along[number] + level[:, None] * out[number]
        )
        inside.append(mark)
    vertices, marks = _tidy(np.concatenate(points), np.concatenate(inside))
    return Loop(np.column_stack((vertices, np.zeros(len(vertices))))), marks


def _trimmed(sides: Sequence[Side], lengths: Sequence[float]) -> list[Side]:
    """The sides of a rectangle without steps that the neighbouring side has taken away.

    Where a side ends deep, as at a mate that passes, its neighbour begins as far in: steps before
    that place lie where nothing is left.
    """
    made = list(sides)
    for number in range(len(made)):
        before, length = made[number - 1], lengths[number - 1]
        # Each end's level says where the other side is met there, which may be another level.
        for _ in range(3):
            last, first = float(before.levels[-1]), float(made[number].levels[0])
            after = made[number].between(-last, np.inf)
            before = before.between(-np.inf, length + first)
            made[number] = after
        made[number - 1] = before
    return made


def _tidy(points: FloatArray, marks: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Vertices without doubles and without those that do not turn.

    Where a step falls on the corner of the panel, stretches of no length arise: their ends are one
    vertex, an inside corner only if the outline turns right there.
    """
    apart = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > SAME
    if apart.all():
        return points, marks
    group = np.cumsum(apart) - 1
    group[group < 0] = group[-1]
    found = np.zeros(int(group.max()) + 1)
    np.maximum.at(found, group, np.abs(marks))
    kept = points[apart]
    back, onward = kept - np.roll(kept, 1, axis=0), np.roll(kept, -1, axis=0) - kept
    turn = back[:, 0] * onward[:, 1] - back[:, 1] * onward[:, 0]
    single = np.bincount(group) == 1
    sign = np.where(single, marks[apart], found)
    turning = np.abs(turn) > SAME
    return kept[turning], np.where(turn < 0, sign, 0.0)[turning]


def _walk(side: Side, start: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Vertices of one side as distance along it and level, beginning where it leaves the last."""
    steps, levels = side.cut_steps, side.levels
    along = np.concatenate(([start], np.repeat(steps, 2)))
    level = np.concatenate((levels[:1], np.column_stack((levels[:-1], levels[1:])).ravel()))
    # A drop arrives at the shoulder with its second vertex, a rise leaves it with its first.
    mark = np.zeros(len(along))
    drops = levels[1:] < levels[:-1]
    mark[2::2] = np.where(drops, 1.0, 0.0)
    mark[1::2] = np.where(drops, 0.0, -1.0)
    return along, level, mark
