"""Programs for a laser: along the kerf's middle, inside first, the heat spread over the sheet.

The beam begins off the part, in the waste. What is cut next lies away from what was cut last, as
far as the stages allow, for a sheet that is warm on one spot scorches and bows (common practice).
Power and speed stand in a program only where the maker states them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.compare import Holds
from dryfit.cutting.dialect import Writer
from dryfit.cutting.operation import Operation, Stage
from dryfit.cutting.path import beside
from dryfit.cutting.plan import Plan, Speed
from dryfit.cutting.readback import Setting
from dryfit.cutting.toolpath import traced
from dryfit.errors import SizeError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.cutting.bed import Bed
    from dryfit.model.machine import Machine

LEAD = 2.0
"""How far off the part the beam begins. [mm]"""

COOL = 60.0
"""How far what is cut next should lie from what was cut last. [mm]"""


def plan_laser(bed: Bed, machine: Machine, kerf: float, speed: Speed, title: str) -> Plan:
    """The program of a sheet for a laser.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    machine : Machine
        Its words.
    kerf : float
        Width of the kerf. [mm]
    speed : Speed
        How fast.
    title : str
        The job's, for the comments.

    Raises
    ------
    SizeError
        If a part has a trench, which a laser does not cut.
    """
    paths = _spread(list(_operations(bed, kerf)))
    writer = Writer(machine, 0.0)
    notes = [
        f"dryfit: {title}, sheet {bed.name}",
        f"RS-274, sheet {bed.length:.1f} x {bed.width:.1f} x {bed.thickness:.2f} mm",
        "X0 Y0 at its lower left corner, the face that looks up is drawn",
        f"path in the middle of a kerf of {kerf:g} mm",
        f"feed {speed.feed:.0f} mm/min: {speed.source}",
        "Never leave a cutting laser alone; never cut PVC or other chlorinated sheet",
    ]
    writer.head(notes, 0.0, 0.0, laser=True)
    for each in paths:
        writer.say(f"{bed.lying[each.part].name}: {each.words}")
        path = traced(each.loop, min(LEAD, _room(each)))
        writer.travel(*path[0, :2].tolist())
        writer.word(machine.on)
        writer.cut(path, speed.feed, flat=True)
        writer.word(machine.off)
    writer.foot(laser=True)
    return Plan(bed, (Setting(writer.text()),), Holds(), ())


def _operations(bed: Bed, kerf: float) -> Iterator[Operation]:
    for index, lying in enumerate(bed.lying):
        if lying.trenches:
            raise SizeError(
                f"{lying.name} has {len(lying.trenches)} trenches, and a laser cuts none; "
                "let the edges pass through"
            )
        for hole in lying.outline.holes:
            yield Operation(index, "opening", Stage.INSIDE, beside(hole, kerf / 2), 0.0)
        path = beside(lying.outline.outer, kerf / 2)
        yield Operation(index, "outline", Stage.LARGE, path, 0.0)


def _room(each: Operation) -> float:
    """How far off the beam may begin without touching the other side of a hole. [mm]"""
    if each.stage is not Stage.INSIDE:
        return LEAD
    x0, y0, x1, y1 = each.loop.bounds
    return max(min(x1 - x0, y1 - y0) / 3, 0.0)


def _spread(todo: Sequence[Operation]) -> list[Operation]:
    """Inside first; then what lies nearest beyond the heat of the last cut."""
    found: list[Operation] = []
    for stage in Stage:
        left = [each for each in todo if each.stage is stage]
        while left:
            at = _middle(found[-1]) if found else (0.0, 0.0)
            far = np.array([math.dist(at, _middle(each)) for each in left])
            cool = far >= COOL if found else far >= 0
            choice = np.where(cool, far, np.inf) if cool.any() else -far
            found.append(left.pop(int(np.argmin(choice))))
    return found


def _middle(each: Operation) -> tuple[float, float]:
    x0, y0, x1, y1 = each.loop.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2
