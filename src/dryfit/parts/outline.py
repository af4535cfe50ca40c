"""The outline of a panel: its four sides as steps between finger tips and shoulders.

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

if TYPE_CHECKING:
    from dryfit.joints.joint import FingerPlan
    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]

SIDES = ("bottom", "right", "top", "left")
"""The sides in counter-clockwise order, from the one where v = 0."""


@dataclass(frozen=True, eq=False)
class Side:
    """One side of a panel.

    Parameters
    ----------
    steps : array, shape (k,)
        Where the level changes, along the walk, before gaps. [mm]
    first : bool
        Whether the walk begins on a finger.
    tip, shoulder : float
        Level of the finger tips and of the socket bottoms; equal on a plain side. [mm]
    recess : float
        How far each flank recedes from its step into its own finger. [mm]
    """

    steps: FloatArray
    first: bool
    tip: float
    shoulder: float
    recess: float

    @property
    def levels(self) -> FloatArray:
        """Level of each stretch, one more than there are steps. [mm]"""
        on_finger = (np.arange(len(self.steps) + 1) % 2 == 0) == self.first
        return np.where(on_finger, self.tip, self.shoulder)

    @property
    def cut_steps(self) -> FloatArray:
        """Where the flanks are cut: each recedes into its finger. [mm]"""
        leaves_finger = (np.arange(len(self.steps)) % 2 == 0) == self.first
        return self.steps + np.where(leaves_finger, -self.recess, self.recess)


PLAIN = Side(np.empty(0), first=False, tip=0.0, shoulder=0.0, recess=0.0)
"""A side without a joint."""


def finger_side(
    plan: FingerPlan,
    *,
    leads: bool,
    walk: tuple[float, float, bool],
    levels: tuple[float, float],
    flank_gap: float,
) -> Side:
    """A side that carries one panel's share of a finger plan.

    Parameters
    ----------
    plan : FingerPlan
        The corner's plan, from its low end.
    leads : bool
        Whether this panel owns the first division.
    walk : tuple of float, float and bool
        Where the corner's low end lies along the side [mm], the side's length [mm], and whether
        the walk along the side runs against the corner's axis.
    levels : pair of float
        Level of the finger tips and of the socket bottoms. [mm]
    flank_gap : float
        Air at one flank, of which each mate gives half. [mm]
    """
    offset, length, backward = walk
    inner = np.array(plan.boundaries[1:-1]) + offset
    first = leads
    if backward:
        inner = (length - inner)[::-1]
        first = leads == (plan.count % 2 == 1)
    return Side(inner, first, *levels, flank_gap / 2)


def outline(panel: Panel, sides: tuple[Side, Side, Side, Side]) -> tuple[Loop, FloatArray]:
    """The outline of a panel with square inside corners.

    Parameters
    ----------
    panel : Panel
        The panel; its reach is width by height. [mm]
    sides : four of Side
        In the order of `SIDES`.

    Returns
    -------
    Loop
        Counter-clockwise, straight edges only. [mm]
    array, shape (k,)
        For each vertex: +1 where a flank arrives at a shoulder, -1 where a shoulder arrives at a
        flank, 0 where the corner is not an inside one. [-]
    """
    points: list[FloatArray] = []
    inside: list[FloatArray] = []
    for number, side in enumerate(sides):
        before = sides[number - 1]
        along, level, mark = _walk(side, start=-float(before.levels[-1]))
        points.append(_place(number, along, level, panel))
        inside.append(mark)
    vertices = np.concatenate(points)
    bulges = np.zeros((len(vertices), 1))
    return Loop(np.hstack((vertices, bulges))), np.concatenate(inside)


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


def _place(number: int, along: FloatArray, level: FloatArray, panel: Panel) -> FloatArray:
    """Distance along a side and level, as (u, v). [mm]"""
    width, height = panel.width, panel.height
    if number == 0:
        return np.column_stack((along, -level))
    if number == 1:
        return np.column_stack((width + level, along))
    if number == 2:
        return np.column_stack((width - along, height + level))
    return np.column_stack((-level, height - along))
