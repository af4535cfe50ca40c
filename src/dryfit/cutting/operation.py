"""What has to be cut on a bed, as closed paths of the cutter's middle with a depth each.

Trenches and holes come before outlines, small outlines before large ones; within a part nothing is
cut once it may be loose.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.path import beside, joined, nested, rings
from dryfit.cutting.tabs import NOBODY, place_tabs
from dryfit.errors import SizeError
from dryfit.model.machine import Hold
from dryfit.shapes.profile import Loop, Profile

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.cutting.bed import Bed, Lying, Trenched
    from dryfit.cutting.moves import FloatArray
    from dryfit.model.machine import Machine

STEP_OVER = 0.45
"""From one path to the next where an area is cleared, in diameters (common practice). [-]"""

OVERRUN = 0.25
"""How far a trench is run past the edge it runs out at. [mm]"""

SMALL = 10_000.0
"""A part of less area moves easily, and is held whatever the maker says (common practice). [mm²]"""

CLEARED = 60.0
"""A hole narrower than this is cleared wholly; a wider one leaves waste on tabs. [mm]"""


class Stage(IntEnum):
    """In which order kinds of cuts are made on one sheet."""

    BORE = 0
    INSIDE = 1
    SMALL = 2
    LARGE = 3


@dataclass(frozen=True, eq=False)
class Operation:
    """One closed path, run as deep as it has to be.

    Parameters
    ----------
    part : int
        Which of the parts on the bed; -1 for what belongs to the sheet.
    words : str
        What is cut, for the comment.
    stage : Stage
        When.
    loop : Loop
        The path of the cutter's middle. [mm]
    bottom : float
        Height of the tip at last. [mm]
    tabs : tuple of pair of float
        Begin and end of each tab along the path; the cutter's middle stays up there. [mm]
    rough : tuple of Loop
        Paths of the passes before the last ones, where an allowance is left. [mm]
    """

    part: int
    words: str
    stage: Stage
    loop: Loop
    bottom: float
    tabs: tuple[tuple[float, float], ...] = ()
    rough: tuple[Loop, ...] = field(default=())

    def started(self, at: float) -> Operation:
        """The same begun at a length [mm] along its path."""
        from dryfit.cutting.along import Along

        if at <= 0.0:
            return self
        whole = self.loop.length
        tabs = tuple(
            ((begin - at) % whole, (begin - at) % whole + end - begin) for begin, end in self.tabs
        )
        return replace(self, loop=Along(self.loop).begun(at), tabs=tabs)


def operations(bed: Bed, machine: Machine, diameter: float, *, far: bool) -> list[Operation]:
    """Everything to be cut from one side, in the order of the parts.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    machine : Machine
        How it holds and how deep it bites.
    diameter : float
        Of the cutter. [mm]
    far : bool
        Whether the far side is meant: only trenches, on the sheet turned over.
    """
    found: list[Operation] = []
    for index, lying in enumerate(bed.lying):
        found += [
            _trench(index, lying, each, diameter) for each in lying.trenches if each.far == far
        ]
        if not far:
            found += _holes(index, lying, machine, diameter)
    if not far:
        found += [outline(bed, index, machine, diameter) for index in range(len(bed.lying))]
    return [mirrored(each, bed.length) for each in found] if far else found


def _trench(index: int, lying: Lying, trench: Trenched, diameter: float) -> Operation:
    radius = diameter / 2
    box = list(trench.profile.bounds)
    west, east, south, north = trench.open
    for side, runs_out in ((0, west), (1, south), (2, east), (3, north)):
        inward = 1.0 if side < 2 else -1.0
        box[side] += inward * (-OVERRUN if runs_out else radius)
    x0, y0, x1, y1 = box
    # A rebate may be narrower than the cutter, which then hangs over the edge.
    x0, x1 = (min(x0, x1) if west else x0), (max(x0, x1) if east else x1)
    y0, y1 = (min(y0, y1) if south else y0), (max(y0, y1) if north else y1)
    if x1 < x0 - 1e-6 or y1 < y0 - 1e-6:
        raise SizeError(
            f"a trench of {lying.name} is narrower than the cutter of {diameter:g} mm; "
            "take a thinner one"
        )
    loop = nested((x0, y0, max(x0, x1), max(y0, y1)), STEP_OVER * diameter)
    bottom = lying.part.thickness - trench.high if trench.far else trench.low
    return Operation(index, "trench", Stage.INSIDE, loop, bottom)


def _holes(index: int, lying: Lying, machine: Machine, diameter: float) -> Iterator[Operation]:
    for hole in lying.outline.holes:
        x0, y0, x1, y1 = hole.bounds
        if min(x1 - x0, y1 - y0) < CLEARED:
            paths = rings(hole, diameter / 2, STEP_OVER * diameter)
            loop = joined([_run(path, machine) for path in paths])
            yield Operation(index, "hole", Stage.INSIDE, loop, -machine.spoil)
        else:
            yield _held(index, lying, machine, diameter, beside(hole, diameter / 2), Stage.INSIDE)


def outline(bed: Bed, index: int, machine: Machine, diameter: float) -> Operation:
    """The outline of a part, held as the machine or the part's size asks.

    Parameters
    ----------
    bed : Bed
        The part among the others.
    index : int
        Which of the parts on the bed.
    machine : Machine
        How it holds.
    diameter : float
        Of the cutter. [mm]
    """
    lying = bed.lying[index]
    stage = Stage.SMALL if lying.part.area < SMALL else Stage.LARGE
    path = beside(lying.outline.outer, diameter / 2)
    return _held(index, lying, machine, diameter, path, stage, _near(bed, index, 3 * diameter))


def _near(bed: Bed, index: int, reach: float) -> FloatArray:
    """Edges of the other parts whose boxes come within a reach of a part's. [mm]"""
    x0, y0, x1, y1 = bed.lying[index].outline.bounds
    found = [NOBODY]
    for k, other in enumerate(bed.lying):
        low_x, low_y, high_x, high_y = other.outline.bounds
        gap = max(low_x - x1, x0 - high_x, low_y - y1, y0 - high_y)
        if k != index and gap < reach:
            found.append(other.outline.outer.edges[:, :4])
    return np.concatenate(found)


def _held(
    index: int,
    lying: Lying,
    machine: Machine,
    diameter: float,
    loop: Loop,
    stage: Stage,
    others: FloatArray = NOBODY,
) -> Operation:
    """A path that would cut something loose, with its tabs or its skin."""
    loop = _run(loop, machine)
    words = "opening" if stage is Stage.INSIDE else "outline"
    small = lying.part.area < SMALL or stage is Stage.INSIDE
    hold = Hold.TABS if machine.hold is Hold.BED and small else machine.hold
    if hold is Hold.BED:
        return Operation(index, words, stage, loop, -machine.spoil)
    if hold is Hold.TABS:
        tabs = place_tabs(loop, lying.zones, machine, diameter, others)
        if tabs:
            return Operation(index, words, stage, loop, -machine.spoil, tabs)
    return Operation(index, f"{words} to a skin", stage, loop, machine.skin)


def _run(loop: Loop, machine: Machine) -> Loop:
    """A path the way it is run: a climbing cutter has the wood on its right.

    Common practice: seen from above the spindle turns clockwise, M3.
    """
    return loop.reversed() if machine.climb else loop


def roughed(operation: Operation, lying: Lying, allowance: float, radius: float) -> Operation:
    """The operation with paths before it that leave an `allowance` [mm] beyond a `radius` [mm]."""
    from dryfit.shapes.offset import offset

    wide = offset(Profile(lying.outline.outer), radius + allowance)
    rough = tuple(each.outer for each in wide)
    return replace(operation, rough=rough)


def mirrored(operation: Operation, length: float) -> Operation:
    """The operation on the sheet turned over about the middle of its `length` [mm]."""
    flip = np.array([[-1.0, 0.0], [0.0, 1.0]])
    loop = operation.loop.transformed(flip, (length, 0.0))
    return Operation(operation.part, operation.words, operation.stage, loop, operation.bottom)
