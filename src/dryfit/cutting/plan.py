"""From a bed of parts to the text of its programs, with what they leave on purpose."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.compare import Holds
from dryfit.cutting.dialect import Writer
from dryfit.cutting.operation import STEP_OVER, Operation, Stage, operations, roughed
from dryfit.cutting.order import Tour, tour
from dryfit.cutting.readback import Setting
from dryfit.cutting.tabs import tab_spans
from dryfit.model.machine import Zero

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.moves import FloatArray
    from dryfit.cutting.toolpath import Toolpath
    from dryfit.model.machine import Machine


@dataclass(frozen=True, eq=False)
class Plan:
    """The programs of one sheet.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    settings : tuple of Setting
        The programs in the order in which they run.
    holds : Holds
        What they leave on purpose.
    tours : tuple of Tour
        How far each travels, and how far it has to.
    """

    bed: Bed
    settings: tuple[Setting, ...]
    holds: Holds
    tours: tuple[Tour, ...]


@dataclass(frozen=True, slots=True)
class Speed:
    """How fast it cuts and turns: a feed [mm/min], a speed [1/min], and where they are from."""

    feed: float
    rpm: float
    source: str


def plan(bed: Bed, machine: Machine, diameter: float, speed: Speed, title: str) -> Plan:
    """The programs of a sheet for a router.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    machine : Machine
        What it understands and how it is driven.
    diameter : float
        Of the cutter. [mm]
    speed : Speed
        How fast.
    title : str
        The job's, for the comments.
    """
    settings, tours = [], []
    holds = Holds()
    for far in (True, False) if bed.two_sided else (False,):
        todo = operations(bed, machine, diameter, far=far)
        if far:
            todo = [*bores(bed, machine, diameter), *todo]
        if machine.allowance:
            todo = [_with_rough(each, bed, machine, diameter) for each in todo]
        found = tour(todo, machine, bed.thickness, diameter)
        settings.append(
            Setting(_written(found.paths, bed, machine, diameter, speed, title, far), far)
        )
        tours.append(found)
        if not far:
            holds = _holds(found.paths, machine, diameter)
    return Plan(bed, tuple(settings), holds, tuple(tours))


def _with_rough(each: Operation, bed: Bed, machine: Machine, diameter: float) -> Operation:
    if each.stage < Stage.SMALL:
        return each
    return roughed(each, bed.lying[each.part], machine.allowance, diameter / 2)


def bores(bed: Bed, machine: Machine, diameter: float) -> list[Operation]:
    """Registration holes at both ends of the sheet, which fall on one another when it is turned.

    Parameters
    ----------
    bed : Bed
        The sheet.
    machine : Machine
        With the diameter of its dowels.
    diameter : float
        Of the cutter. [mm]

    Raises
    ------
    SizeError
        If the cutter is as thick as the dowels.
    """
    from dryfit.cutting.path import joined, rings
    from dryfit.errors import SizeError
    from dryfit.shapes.profile import Loop

    radius = machine.dowel / 2
    if machine.dowel < diameter + 0.2:
        raise SizeError(
            f"a cutter of {diameter:g} mm bores no hole for a dowel of {machine.dowel:g} mm; "
            f"take dowels of {np.ceil(diameter) + 2:g} mm"
        )
    found = []
    at = radius + 2.0
    for x in (at, bed.length - at):
        y = bed.width / 2
        hole = Loop.of([(x - radius, y, -1.0), (x + radius, y, -1.0)])
        loop = joined(rings(hole, diameter / 2, STEP_OVER * diameter))
        found.append(
            Operation(
                -1, f"hole for a dowel of {machine.dowel:g} mm", Stage.BORE, loop, -machine.spoil
            )
        )
    return found


def _holds(paths: Sequence[Toolpath], machine: Machine, diameter: float) -> Holds:
    tabs = [path.tabs for path in paths]
    skins = {
        path.operation.part: path.operation.bottom
        for path in paths
        if path.operation.words.endswith("skin")
    }
    span, _ = tab_spans(machine, diameter)
    height = machine.tab_height if any(len(each) for each in tabs) else 0.0
    return Holds(np.concatenate([np.zeros((0, 4)), *tabs]), height, span, skins)


def _written(
    paths: Sequence[Toolpath],
    bed: Bed,
    machine: Machine,
    diameter: float,
    speed: Speed,
    title: str,
    far: bool,
) -> str:
    zero = bed.thickness if machine.zero is Zero.TOP else 0.0
    writer = Writer(machine, zero)
    where = "top of the sheet" if machine.zero is Zero.TOP else "bed under the sheet"
    side = "far side first, the sheet turned over about the middle of its length" if far else ""
    notes = [
        f"dryfit: {title}, sheet {bed.name}",
        *([side] if side else []),
        f"RS-274, sheet {bed.length:.1f} x {bed.width:.1f} x {bed.thickness:.2f} mm",
        "X0 Y0 at its lower left corner",
        f"Z0 at the {where}; spoil board cut {machine.spoil:g} mm deep",
        f"cutter {diameter:g} mm, {machine.flutes} flutes, {machine.form}",
        f"feed {speed.feed:.0f} mm/min at {speed.rpm:.0f} rpm: {speed.source}",
        "A starting point: the makers of machine and cutter come first",
        "Wear eye and ear protection, keep hands away from the cutter",
    ]
    writer.head(notes, speed.rpm, bed.thickness + machine.clearance, laser=False)
    for path in paths:
        operation = path.operation
        name = bed.lying[operation.part].name if operation.part >= 0 else "sheet"
        writer.say(f"{name}: {operation.words}")
        writer.travel(*path.entry)
        down = np.array([[*path.entry, bed.thickness + machine.clearance, *path.path[0, :3], 0.0]])
        _cut(writer, np.concatenate((down, path.path)), speed, bed.thickness + machine.clearance)
        writer.rise()
    writer.foot(laser=False)
    return writer.text()


def _cut(writer: Writer, path: FloatArray, speed: Speed, safe: float) -> None:
    """Moves that cut; those between two rounds go through the air as rapids."""
    aloft = np.flatnonzero((path[:, 2] >= safe - 1e-9) & (path[:, 5] >= safe - 1e-9))
    start = 0
    for k in aloft.tolist():
        writer.cut(path[start : k - 1], speed.feed)
        writer.rise()
        writer.travel(path[k, 3], path[k, 4])
        start = k + 1
    writer.cut(path[start:], speed.feed)
