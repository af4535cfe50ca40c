"""Which parts of a job a program cuts, and where: for programs that somebody else wrote.

What would fall out of the sheet is held against every part that is left, in four turns; the one
that differs least in area is taken. Then the exact comparison begins.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.bed import Bed, Lying, lie
from dryfit.cutting.compare import Comparison, Holds
from dryfit.cutting.readback import Work, cutting_moves, lifted, pieces_of
from dryfit.cutting.sweep import Sweep
from dryfit.parts.part import Part, Purpose
from dryfit.shapes import geos
from dryfit.shapes.tolerances import TOUCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.cutting.moves import FloatArray, Program
    from dryfit.cutting.sweep import Cover
    from dryfit.model.machine import Machine

_NEAR = 0.5
"""How far the sizes of a part may differ from what fell out. [mm]"""

_LOWEST = 3e-3
"""Height at which tabs and the ways down behind them are widest. [mm]"""

_MOSTLY = 0.6
"""Share of an outline under which a skin stands for certain. [-]"""

_ALIKE = 0.05
"""Share of its area by which a part may differ from what fell out. [-]"""


@dataclass(frozen=True, eq=False)
class Matched:
    """What was recognised: the work to compare with, and what no part could be found for.

    `missing` names parts of the job that did not come out, `strange` counts pieces that are none.
    """

    work: Work
    missing: tuple[str, ...]
    strange: int


def matched(
    program: Program,
    parts: Sequence[Part],
    machine: Machine,
    diameter: float,
    thickness: float,
    *,
    flat: bool = False,
) -> Matched:
    """The parts that a program cuts, in their places.

    Parameters
    ----------
    program : Program
        As understood, heights as they stand.
    parts : sequence of Part
        The parts that may be meant, each as often as it is needed.
    machine : Machine
        Where Z is zero, what holds parts.
    diameter : float
        Of the cutter. [mm]
    thickness : float
        Of the sheet. [mm]
    flat : bool
        Whether it is a laser's.
    """
    size = _size(program, diameter)
    work = Work(Bed("sheet", *size, thickness, ()), machine, diameter, Holds(), flat)
    sweep = Sweep(cutting_moves(lifted(program, work), work), thickness)
    height = max(machine.tab_height, machine.skin) + 0.05 * thickness
    pieces = pieces_of([sweep], work, height)
    left, lying, strange = list(parts), [], 0
    for rings in pieces:
        place = _place(rings, left)
        if place is None:
            strange += 1
        else:
            left.remove(place.part)
            lying.append(replace(place, part=_near_side(place)))
    bed = replace(work.bed, lying=tuple(lying))
    if not lying:
        return Matched(work, tuple(part.name for part in left), strange)
    work = replace(work, bed=bed)
    holds = _held(Comparison(bed, [sweep], diameter / 2, Holds(), thickness), sweep, machine, work)
    return Matched(replace(work, holds=holds), tuple(part.name for part in left), strange)


def _size(program: Program, diameter: float) -> tuple[float, float]:
    """A sheet that everything fits on. [mm]"""
    path = program.moves.path
    if not len(path):
        return 1.0, 1.0
    high = np.maximum(path[:, :2], path[:, 3:5]).max(axis=0) + 10 * diameter
    return float(high[0]), float(high[1])


def _place(rings: Sequence[FloatArray], parts: Sequence[Part]) -> Lying | None:
    """The part that a piece is, where it lies."""
    low, high = rings[0].min(axis=0), rings[0].max(axis=0)
    piece = geos.regions([list(rings)])
    best, found = _ALIKE, None
    seen: set[tuple[str, bytes]] = set()
    for part in parts:
        key = part.name, part.as_cut.outer.key
        if key in seen:
            continue
        seen.add(key)
        for turned in range(4):
            tried = lie(part, float(low[0]), float(low[1]), turned)
            box = tried.outline.bounds
            if abs(box[2] - high[0]) > _NEAR or abs(box[3] - high[1]) > _NEAR:
                continue
            own = geos.regions([[loop.dense(0.01) for loop in tried.outline.loops]])
            area = tried.outline.area
            off = 1 - geos.overlay_area("intersection", piece, own) / area
            off += max(0.0, float(geos.areas(piece)[0]) / area - 1)
            # Of turns that look the same, the first: rounding is no reason for another.
            if off < best - 1e-6:
                best, found = off, tried
    return found


def _near_side(place: Lying) -> Part:
    """The part without what is cut from its far side, which another program does."""
    part = place.part
    cuts = tuple(
        cut for cut in part.cuts if cut.purpose is not Purpose.TRENCH or cut.face is place.up
    )
    return Part(part.panel, cuts, part.as_cut, part.label, part.zones)


def _held(comparison: Comparison, sweep: Sweep, machine: Machine, work: Work) -> Holds:
    """Tabs and skins that were left: places that are cut above and not below."""
    if not work.bed.lying or work.flat:
        return Holds()
    height = machine.tab_height + 0.05 * work.top
    standing = comparison.standing(height)
    spots, outer = standing.spots, ~standing.inner
    levels = height, machine.skin + TOUCH, _LOWEST
    above, over_skin, below = (_bare(spots, sweep.at(each), work) for each in levels)
    skins, refused = {}, []
    for index in range(len(work.bed.lying)):
        own = outer & (standing.holder == index)
        # A skin is under all of a part, and ends where the machine's own does.
        if own.any() and (over_skin & ~below)[own].mean() > _MOSTLY:
            skins[index] = machine.skin + 1e-3
        # Wood all along an edge is no tab, whatever it was meant to be.
        elif own.any() and (above & ~below)[own].mean() > 1 - _MOSTLY:
            refused.append(index)
    left = spots[above & ~below & ~np.isin(standing.holder, [*skins, *refused])]
    free = left[[not _in_a_joint(spot, work.bed.lying) for spot in left]]
    lines = np.hstack((free, free + 1e-6))
    return Holds(lines, height if len(lines) else 0.0, 0.0, skins)


def _bare(spots: FloatArray, cover: Cover, work: Work) -> npt.NDArray[np.bool_]:
    """Which places of the edge are free of wood."""
    found = np.zeros(len(spots), dtype=np.bool_)
    reach = work.diameter / 2 + TOUCH
    spot, _ = geos.within(geos.spots(spots), geos.lines(cover.chords), reach)
    found[spot] = True
    return found


def _in_a_joint(spot: FloatArray, lying: Sequence[Lying]) -> bool:
    x, y = spot
    return any(
        x0 - _NEAR < x < x1 + _NEAR and y0 - _NEAR < y < y1 + _NEAR
        for each in lying
        for x0, y0, x1, y1 in each.zones
    )
