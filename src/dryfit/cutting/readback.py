"""A program read back: what the machine would do, and what would come of it.

Nothing is handed over that was not read back from its own text and compared. What deviates by more
than `TOUCH`, what the machine forbids, and what would come loose, is told.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.compare import Comparison, Holds, Miss
from dryfit.cutting.interpret import interpret
from dryfit.cutting.moves import Moves, Trouble
from dryfit.cutting.rules import broken
from dryfit.cutting.sweep import Sweep
from dryfit.model.machine import Zero
from dryfit.shapes import geos
from dryfit.shapes.tolerances import TOUCH

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.moves import Program
    from dryfit.model.machine import Machine

FloatArray = npt.NDArray[np.float64]

_DUST = 1.0
"""Waste of less area, or thinner than a fifth of a mm, is dust. [mm²]"""


@dataclass(frozen=True, slots=True)
class Setting:
    """A program and whether the sheet lies turned over while it runs."""

    text: str
    far: bool = False


@dataclass(frozen=True, eq=False)
class Reading:
    """What came of reading back.

    Parameters
    ----------
    programs : tuple of Program
        As understood, heights above the bed.
    inside, left : float
        The deepest cut inside a part, and the most wood left on one, over all parts. [mm]
    misses : tuple of Miss
        The worst of each part each way.
    troubles : tuple of Trouble
        What forbids running the programs.
    pieces : tuple
        Rings of everything that would fall out, parts and waste, for drawing. [mm]
    """

    programs: tuple[Program, ...]
    inside: float
    left: float
    misses: tuple[Miss, ...]
    troubles: tuple[Trouble, ...]
    pieces: tuple[tuple[FloatArray, ...], ...] = ()

    @property
    def deviation(self) -> float:
        """The largest deviation either way. [mm]"""
        return max(self.inside, self.left)


@dataclass(frozen=True, slots=True)
class Work:
    """What a program is held against.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    machine : Machine
        Its limits.
    diameter : float
        Of the cutter. [mm]
    holds : Holds
        What is left on purpose.
    flat : bool
        Whether it is a laser.
    thickness : float, optional
        What the sheet really measures, where it is not what was typed. [mm]
    shift : pair of float
        How far the sheet lies off after it was turned over. [mm]
    """

    bed: Bed
    machine: Machine
    diameter: float
    holds: Holds
    flat: bool = False
    thickness: float | None = None
    shift: tuple[float, float] = (0.0, 0.0)

    @property
    def top(self) -> float:
        """Height of the sheet as it is. [mm]"""
        return self.bed.thickness if self.thickness is None else self.thickness


def read_back(settings: Sequence[Setting], work: Work) -> Reading:
    """Read programs back and hold what they leave against the parts.

    Parameters
    ----------
    settings : sequence of Setting
        The programs of one sheet, in the order in which they run.
    work : Work
        Sheet, parts, machine and cutter.

    Raises
    ------
    ProgramError
        If a program cannot be read.
    """
    beam = (work.machine.on, work.machine.off) if work.flat else None
    programs = [lifted(interpret(each.text, beam), work) for each in settings]
    radius = work.diameter / 2
    troubles = [
        trouble
        for program in programs
        for trouble in broken(program, work.machine, work.top, radius, flat=work.flat)
    ]
    sweeps = [
        Sweep(_shifted(program, each, work), work.top, work.bed.length if each.far else None)
        for program, each in zip(programs, settings, strict=True)
    ]
    compared = Comparison(work.bed, sweeps, radius, work.holds, work.top)
    misses = compared.misses()
    troubles += [_deviates(miss, work, programs) for miss in misses if miss.depth > TOUCH]
    troubles += _tabs_cut(sweeps, work)
    pieces, loose = _fallen(sweeps, work)
    troubles += loose
    if not work.flat:
        troubles += _again(sweeps, compared, programs, work)
    return Reading(
        tuple(programs),
        max((miss.depth for miss in misses if miss.inside), default=0.0),
        max((miss.depth for miss in misses if not miss.inside), default=0.0),
        tuple(misses),
        tuple(troubles),
        pieces,
    )


def lifted(program: Program, work: Work) -> Program:
    """The program with heights above the bed."""
    zero = work.top if work.machine.zero is Zero.TOP and not work.flat else 0.0
    return replace(program, moves=program.moves.lifted(zero))


def cutting_moves(program: Program, work: Work) -> Moves:
    """The moves that may cut: of a laser, those with the beam on."""
    moves = program.moves
    if not work.flat:
        return moves
    on = ~moves.rapid
    return Moves(moves.path[on], moves.rapid[on], moves.feed[on], moves.line[on])


def _shifted(program: Program, setting: Setting, work: Work) -> Moves:
    """The moves that may cut, off by what the sheet lies off."""
    moves = cutting_moves(program, work)
    if not setting.far:
        return moves
    x, y = work.shift
    path = moves.path + np.array([x, y, 0.0, x, y, 0.0, 0.0])
    return Moves(path, moves.rapid, moves.feed, moves.line)


def _deviates(miss: Miss, work: Work, programs: Sequence[Program]) -> Trouble:
    """A miss as a trouble, with the line to blame."""
    name = work.bed.lying[miss.part].name
    kind = "cut-inside" if miss.inside else "wood-left"
    what = "cut into the part" if miss.inside else "wood left on the part"
    lines = programs[-1].moves.line
    line = int(lines[miss.row]) if 0 <= miss.row < len(lines) else 0
    words = (
        f"{name}: {what} by {miss.depth:.3f} mm at X{miss.x:.2f} Y{miss.y:.2f}, "
        f"{miss.height:.2f} mm above the bed"
    )
    numbers = {"deviation_mm": miss.depth, "x_mm": miss.x, "y_mm": miss.y}
    return Trouble(kind, line, words, numbers, name)


def _tabs_cut(sweeps: Sequence[Sweep], work: Work) -> Iterator[Trouble]:
    """Tabs of which less than half stands."""
    holds = work.holds
    if not len(holds.tabs):
        return
    heading = holds.tabs[:, 2:] - holds.tabs[:, :2]
    heading = heading / np.maximum(np.hypot(*heading.T), 1e-9)[:, None]
    middles = holds.tabs[:, :2] + heading * holds.span / 2
    chords = np.concatenate([sweep.at(0.75 * holds.tab_height).chords for sweep in sweeps])
    _, far = geos.nearest(geos.spots(middles), geos.lines(chords))
    least = (work.diameter + holds.span) / 4
    for k in np.flatnonzero(far < least).tolist():
        x, y = middles[k].tolist()
        words = f"a tab at X{x:.1f} Y{y:.1f} is cut through"
        yield Trouble("tab-cut", 0, words, {"x_mm": x, "y_mm": y, "stands_mm": float(far[k])})
        return


def pieces_of(sweeps: Sequence[Sweep], work: Work, height: float) -> list[list[FloatArray]]:
    """Rings of everything that is free of the sheet's edge at a height.

    Parameters
    ----------
    sweeps : sequence of Sweep
        What was cut.
    work : Work
        The sheet and the cutter.
    height : float
        Above the bed. [mm]
    """
    return [rings for piece in _free(sweeps, work, height) for rings in geos.rings_of(piece)[:1]]


def _free(sweeps: Sequence[Sweep], work: Work, height: float) -> geos.Regions:
    runs = _runs(np.concatenate([sweep.at(height).chords for sweep in sweeps]))
    size = work.bed.length, work.bed.width
    if not runs:
        return geos.regions([])
    pieces = geos.left_of(size, geos.swept(runs, work.diameter / 2))
    return pieces[geos.clear_of_edge(pieces, size)] if len(pieces) else pieces


def _fallen(
    sweeps: Sequence[Sweep], work: Work
) -> tuple[tuple[tuple[FloatArray, ...], ...], list[Trouble]]:
    """What would fall out, and waste that would come loose.

    Seen just above tabs and skins: what is free there hangs on nothing else.
    """
    holds = work.holds
    height = max(holds.tab_height, *holds.skins.values(), 0.0) + 0.05 * work.top
    free = _free(sweeps, work, height)
    rings = tuple(tuple(found) for piece in free for found in geos.rings_of(piece)[:1])
    # What a laser cuts out may drop: nothing turns that could throw it.
    if not len(free) or holds.skins or work.flat:
        return rings, []
    inside = [_inner_point(each.outline.outer.dense(0.05)) for each in work.bed.lying]
    which, _ = geos.inside_pairs(free, np.array(inside).reshape(-1, 2))
    waste = np.setdiff1d(np.arange(len(free)), which)
    area, width = geos.areas(free), geos.widths(free)
    waste = waste[(area[waste] > max(_DUST, work.machine.slug)) & (width[waste] > 0.2)]
    if len(waste) and len(holds.tabs):
        held, _ = geos.within(free[waste], geos.lines(holds.tabs), work.diameter + 0.1)
        waste = np.delete(waste, np.unique(held))
    if not len(waste):
        return rings, []
    worst = waste[np.argmax(area[waste])]
    x, y = geos.corners(free[worst : worst + 1])[0].mean(axis=0).tolist()
    words = f"waste of {area[worst]:.0f} mm² comes loose near X{x:.0f} Y{y:.0f}"
    numbers = {"area_mm2": float(area[worst]), "most_mm2": work.machine.slug, "pieces": len(waste)}
    return rings, [Trouble("slug-loose", 0, words, numbers)]


def _runs(chords: FloatArray) -> list[FloatArray]:
    """Chords that follow one another, as runs of points."""
    if not len(chords):
        return []
    breaks = np.flatnonzero(np.abs(chords[1:, :2] - chords[:-1, 2:]).max(axis=1) > 1e-6) + 1
    return [np.vstack((run[:, :2], run[-1:, 2:])) for run in np.split(chords, breaks)]


def _inner_point(ring: FloatArray) -> FloatArray:
    """A point inside a ring, near its longest edge."""
    edges = np.roll(ring, -1, axis=0) - ring
    length = np.hypot(*edges.T)
    k = int(np.argmax(length))
    left = np.array([-edges[k, 1], edges[k, 0]]) / length[k]
    return np.asarray(ring[k] + edges[k] / 2 + 0.05 * left)


def _again(
    sweeps: Sequence[Sweep], compared: Comparison, programs: Sequence[Program], work: Work
) -> Iterator[Trouble]:
    """Parts that nothing holds, and the cutter comes back to after they were cut loose."""
    sweep, moves = sweeps[-1], programs[-1].moves
    height = 1e-3
    standing = compared.standing(height)
    reach = work.diameter / 2 + 1e-3
    cover = sweep.at(height)
    spots, holder = standing.spots[~standing.inner], standing.holder[~standing.inner]
    spot, chord = geos.within(geos.spots(spots), geos.lines(cover.chords), reach)
    first = np.full(len(spots), len(moves), dtype=np.intp)
    np.minimum.at(first, spot, cover.row[chord])
    upper = sweep.at(work.top * 0.999)
    strokes = np.cumsum(moves.rapid)
    last_stroke = np.zeros(len(work.bed.lying), dtype=np.intp)
    for index in range(len(work.bed.lying)):
        own = first[holder == index]
        loose = len(own) and own.max() < len(moves)
        last_stroke[index] = strokes[own.max()] if loose else len(moves)
    chord, near, _ = geos.closest(geos.lines(upper.chords), geos.lines(standing.edges), reach)
    part = standing.owner[near]
    late = _latest(sweep, upper.row)[chord]
    for k in np.flatnonzero(strokes[late] > last_stroke[part])[:1].tolist():
        name, line = work.bed.lying[int(part[k])].name, int(moves.line[late[k]])
        words = f"{name} is loose already when the cutter comes back to it"
        yield Trouble("cut-loose", line, words, {"line": float(line)}, name)


def _latest(sweep: Sweep, rows: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """The last move that runs where each of some moves does."""
    last = np.zeros(len(sweep.edges), dtype=np.intp)
    np.maximum.at(last, sweep.which, sweep.rows)
    where = np.searchsorted(sweep.rows, rows)
    return np.asarray(last[sweep.which[where]])
