"""Measure dryfit against named references in one run, and how its times grow with size.

Prints tables in Markdown; ratios and growth are what counts, absolute times are this
machine's. ``--assert`` fails when a ratio or a growth exponent misses its mark, ``--quick`` leaves
out the largest size, ``--write`` keeps the tables in docs/benchmarks.md.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from dataclasses import replace
from functools import partial
from itertools import pairwise
from pathlib import Path
from statistics import mean, median, stdev
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import manifold3d
import numpy as np

from dryfit import workflow
from dryfit.assembly.blocking import SLACK
from dryfit.assembly.steps import assemble
from dryfit.joints.odds import Odds
from dryfit.joints.planning import plan_joints
from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.forms import FORMS, Request
from dryfit.model.meeting import find_meetings
from dryfit.model.piece import Piece, Wish
from dryfit.model.scatter import USUAL, WANTED, Scatter
from dryfit.model.stock import Stock
from dryfit.parts.making import make_parts
from dryfit.parts.touch import dry_fit
from dryfit.tolerance.closing import Effort
from tests.helpers.story import describe
from tests.helpers.trial import simulate
from tools.furniture import CABINET_PANELS, EDITS, HOLES, cabinet, pigeon_holes

if TYPE_CHECKING:
    from collections.abc import Callable

    from dryfit.parts.part import Part
    from dryfit.parts.touch import Touch

PAGE = Path(__file__).parents[1] / "docs" / "benchmarks.md"
FINGERS = 21
CHORD = 0.01
FINE = 0.0001
LEAST_RATIO = 20.0
MOST_GROWTH = 1.2
MOST_EDIT = 0.25
MOST_REREAD = 0.36
LEAST_QUICKER = 20.0
ROUTER = Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL)
UNRELIEVED = Cutter(Route.ROUTER, 3.175, Relief.NONE)
HAND = Cutter(Route.HAND, 0.0)


_HEAD = """# How fast it is

Written by `make bench`. Ratios within one run and growth with size are what counts; absolute times
belong to the machine. Before each run everything is forgotten that earlier ones have worked out.

## Growth

Meetings, owners, plans, parts and dry fit, with a 3.175 mm cutter and diagonal relief. The pieces
are closed cases in a row, six panels each, 21 fingers an edge; cases alike share their shapes.
"""
_WALL = f"""## A wall of pigeon-holes

From the text of the job to the report. Cases of {HOLES} panels stand side by side, four high, no
two of one size: five panels round each, six shelves and four uprights halved across each other, a
back in a rebate. A case has 62 joints, so here joints grow with the panels. In one single lattice
of n shelves and n uprights they grow with the square of the panels; then the time for a joint is
what should stay the same.
"""
_ORDER = """## The order of assembly

The same walls, from parts to steps; a published system for assemblies of any shape takes "several
minutes" for 80 parts (Tian and others, ACM Transactions on Graphics 41(6), 2022).
"""
_EDIT = f"""## Editing one panel

A cabinet of {CABINET_PANELS} panels: carcase and uprights of 18 mm, shelves of 12 mm housed in
them, backs of 6 mm in grooves. One panel is changed in the job at hand and the dry fit made anew;
shapes, poses and touches that the change leaves alone are remembered, by value. A full run reads
the text and remembers nothing; of an edited text the tables that stand as before are remembered.
The odds are not in it: they take longer than all of this, and come after.
"""
CHEST_OF_12 = """
format = 1
title = "Chest"
[piece]
form = "case"
outside = [330, 220, 90]
[stock.ply]
material = "birch plywood"
nominal = 9
readings = [8.76, 8.81, 8.74, 8.80, 8.79]
[cutter]
kind = "router"
diameter = 3.175
relief = "flank"
[fingers]
width = 14
flank_gap = 0.07
"""
_ODDS = """## The odds against throws

A closed chest of six panels and 12 joints; the referee of the tests draws every error of every
flank, NumPy over all throws at once, until its standard error is ours: the spread of 20 seeds.
The well-spread points of a seed are remembered, as they are after the first odds of a run.
"""
_BETWEEN = f"""## The dry fit against a boolean solid kernel

The kernel is manifold3d: it builds the same as-cut parts as solids, arcs as chords within
{CHORD} mm, and intersects the pairs that meet. For the volumes the chords are {FINE} mm fine.
"""


def row_of_cases(cases: int) -> Piece:
    """Closed cases in a row, six panels each, not touching one another."""
    stock = Stock("ply", MATERIALS["birch plywood"], 9.0, (8.76, 8.81, 8.74, 8.80, 8.79))
    form = FORMS["case"]
    one = form.build(Request(dict.fromkeys(form.panels, stock), outside=(330.0, 220.0, 170.0)))
    panels = []
    for number in range(cases):
        for panel in one:
            x, y, z = panel.frame.origin
            frame = replace(panel.frame, origin=(x + 400.0 * number, y, z))
            panels.append(replace(panel, name=f"{panel.name} {number}", frame=frame))
    return Piece(tuple(panels), Wish(count=FINGERS, flank_gap=0.05), MappingProxyType({}))


def job_to_touch(piece: Piece, cutter: Cutter) -> tuple[Touch, ...]:
    """The whole road in one call."""
    meetings = find_meetings(piece.panels)
    plans = plan_joints(piece, meetings, cutter)
    return dry_fit(make_parts(piece, plans, cutter), meetings.lattices)


def solid(part: Part, chord: float) -> manifold3d.Manifold:
    """A part as a mesh in its place, from its triangulated profile; arcs as chords. [mm]"""
    flat = part.as_cut.outer.dense(chord)
    faces = manifold3d.triangulate([flat])
    count = len(flat)
    frame = part.panel.frame
    u, v, n = (np.array(axis) for axis in (frame.u, frame.v, frame.n))
    low = np.array(frame.origin) + flat[:, :1] * u + flat[:, 1:] * v
    here = np.arange(count)
    after = (here + 1) % count
    walls = np.concatenate(
        (
            np.column_stack((here, after, after + count)),
            np.column_stack((here, after + count, here + count)),
        )
    )
    triangles = np.concatenate((faces[:, ::-1], faces + count, walls)).astype(np.uint64)
    points = np.concatenate((low, low + n * part.thickness))
    return manifold3d.Manifold(manifold3d.Mesh64(points, triangles))


def by_kernel(
    parts: tuple[Part, ...], pairs: list[tuple[int, int]], chord: float = CHORD
) -> list[float]:
    """Overlap of every pair by the boolean solid kernel. [mm³]"""
    solids = [solid(part, chord) for part in parts]
    return [float((solids[i] ^ solids[j]).volume()) for i, j in pairs]


def seconds(work: Callable[[], object], runs: int) -> float:
    """Median time of several runs, nothing remembered from the last one. [s]"""
    times = []
    for _ in range(runs):
        workflow.forget()
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return median(times)


def growth_table(sizes: list[int]) -> tuple[list[str], float]:
    """Job to touch at several sizes, and the exponent over the whole range."""
    lines = ["| panels | job to parts to touch, ms | growth exponent |", "|---|---|---|"]
    took = []
    for cases in sizes:
        piece = row_of_cases(cases)
        took.append(seconds(partial(job_to_touch, piece, ROUTER), 9 if cases < 100 else 3))
        step = "" if len(took) < 2 else f"{math.log10(took[-1] / took[-2]):.2f}"
        lines.append(f"| {6 * cases} | {1000 * took[-1]:.1f} | {step} |")
    whole = math.log(took[-1] / took[0]) / math.log(sizes[-1] / sizes[0])
    lines.append(f"| {6 * sizes[0]} to {6 * sizes[-1]} | | {whole:.2f} |")
    return lines, whole


def kernel_table(cases: int, fine: float = CHORD) -> tuple[list[str], float]:
    """The dry fit against the solid kernel on one piece, and the smallest ratio."""
    lines = [
        f"| {6 * cases} panels | dry fit, ms | kernel, ms | ratio | overlap, mm³ | kernel's, mm³ |",
        "|---|---|---|---|---|---|",
    ]
    least = math.inf
    piece = row_of_cases(cases)
    for name, cutter in (("square", HAND), ("relieved", ROUTER), ("unrelieved", UNRELIEVED)):
        meetings = find_meetings(piece.panels)
        parts = make_parts(piece, plan_joints(piece, meetings, cutter), cutter)
        pairs = [(meeting.a, meeting.b) for meeting in meetings.meetings]
        ours = seconds(partial(dry_fit, parts, meetings.lattices), 9)
        theirs = seconds(partial(by_kernel, parts, pairs), 3)
        overlap = sum(touch.overlap for touch in dry_fit(parts, meetings.lattices))
        kernel = sum(by_kernel(parts, pairs, fine))
        least = min(least, theirs / ours)
        lines.append(
            f"| {name} | {1000 * ours:.1f} | {1000 * theirs:.0f} | {theirs / ours:.0f} "
            f"| {overlap:.3f} | {kernel:.3f} |"
        )
    return lines, least


STAGES = ("reading", "joints", "parts", "touch", "odds", "order", "checks")
"""Of these the first four are what has to follow every edit; the odds come after."""

LIVE = 4


def staged(text: str) -> list[float]:
    """Time of each stage of a rehearsal from its text, nothing remembered. [s]"""
    workflow.forget()
    marks = [time.perf_counter()]
    rehearsal = workflow.read_text(text)
    for stage in ("", "plans", "parts", "touches", "odds", "assembly", "report"):
        if stage:
            found = getattr(rehearsal, stage)
            if stage == "odds":
                _ = found.whole
        marks.append(time.perf_counter())
    return [end - begin for begin, end in pairwise(marks)]


def wall_table(sizes: list[int]) -> tuple[list[str], float]:
    """Walls of pigeon-holes from text to report, and the exponent over the whole range."""
    lines = [
        f"| panels | joints | {', '.join(STAGES)}, ms | all, ms | a panel, ms | a joint, ms |",
        "|---|---|---|---|---|---|",
    ]
    staged(cabinet())  # loads the libraries
    took = []
    for cases in sizes:
        text = pigeon_holes(cases)
        joints = len(workflow.read_text(text).joints)
        times = min((staged(text) for _ in range(5 if cases < 20 else 2)), key=sum)
        took.append(sum(times))
        each = ", ".join(f"{1000 * part:.0f}" for part in times)
        lines.append(
            f"| {HOLES * cases} | {joints} | {each} | {1000 * took[-1]:.0f} "
            f"| {1000 * took[-1] / (HOLES * cases):.2f} | {1000 * took[-1] / joints:.2f} |"
        )
    whole = math.log(took[-1] / took[0]) / math.log(sizes[-1] / sizes[0])
    lines.append(f"| growth exponent | | | {whole:.2f} | | |")
    return lines, whole


def order_table(sizes: list[int]) -> tuple[list[str], float]:
    """The order of assembly of walls of pigeon-holes, and the exponent over the whole range."""
    lines = ["| panels | order of assembly, ms | growth exponent |", "|---|---|---|"]
    took: list[float] = []
    for cases in sizes:
        rehearsal = workflow.read_text(pigeon_holes(cases))
        parts, plans = rehearsal.parts, rehearsal.plans
        took.append(seconds(partial(assemble, parts, plans, SLACK), 5 if cases < 20 else 2))
        step = "" if len(took) < 2 else f"{_exponent(took[-2:], sizes[len(took) - 2 :]):.2f}"
        lines.append(f"| {HOLES * cases} | {1000 * took[-1]:.0f} | {step} |")
    whole = _exponent(took, sizes)
    lines.append(f"| {HOLES * sizes[0]} to {HOLES * sizes[-1]} | | {whole:.2f} |")
    return lines, whole


def _exponent(took: list[float], sizes: list[int]) -> float:
    return math.log(took[-1] / took[0]) / math.log(sizes[len(took) - 1] / sizes[0])


def edit_table(runs: int = 9) -> tuple[list[str], float, float]:
    """One edited panel of the cabinet against a full run from its text.

    The largest share of an edit in the job at hand, and the share of one in the text.
    """
    text = cabinet()
    full = min(sum(staged(text)[:LIVE]) for _ in range(runs))
    lines = [
        f"| {CABINET_PANELS} panels | ms | edit one panel / full run |",
        "|---|---|---|",
        f"| full run from text to dry fit | {1000 * full:.1f} | |",
    ]
    job = workflow.read_text(text).job
    worst = 0.0
    for name, edit in EDITS.items():
        took = []
        for step in range(1, runs + 1):
            rehearsal = workflow.Rehearsal(edit(job, step))
            start = time.perf_counter()
            _ = rehearsal.touches
            took.append(time.perf_counter() - start)
        share = min(took) / full
        worst = max(worst, share)
        lines.append(f"| {name} | {1000 * min(took):.1f} | {share:.2f} |")
    read = min(_read_anew(f"{text}\nreadings = [{11.7 + k / 1000}]") for k in range(runs))
    lines.append(f"| another reading, in the text | {1000 * read:.1f} | {read / full:.2f} |")
    return lines, worst, read / full


def _read_anew(text: str) -> float:
    """Time of an edited text to its dry fit, what is remembered kept. [s]"""
    start = time.perf_counter()
    _ = workflow.read_text(text).touches
    return time.perf_counter() - start


def odds_table(runs: int = 5) -> tuple[list[str], float]:
    """The odds of a 12-joint piece against throws of equal accuracy, and what ``auto`` takes.

    The referee throws until its standard error is what ours is; the ratio.
    """
    rehearsal = workflow.read_text(CHEST_OF_12)
    scatter, joints = Scatter(0.02, 0.03, 0.0, 0.02), len(rehearsal.joints)
    args = rehearsal.piece, rehearsal.plans, scatter, Route.ROUTER, WANTED
    found = [Odds(*args, effort=Effort(seed=seed)).whole for seed in range(20)]
    error, chance = stdev(found), mean(found)
    throws = round(chance * (1 - chance) / error**2)
    ours = min(_seconds(lambda: Odds(*args).whole) for _ in range(runs))
    story = describe(rehearsal, scatter, WANTED.flush)
    theirs = min(_seconds(lambda: simulate(story, throws, seed=1, sanding=None)) for _ in range(2))
    lines = [
        f"| {joints} joints | standard error | ms | ratio |",
        "|---|---|---|---|",
        f"| odds of the piece, {chance:.3f} | {error:.1e} | {1000 * ours:.1f} | |",
        f"| {throws} throws | {error:.1e} | {1000 * theirs:.0f} | {theirs / ours:.0f} |",
    ]
    for name, text in (("chest", CHEST_OF_12), (f"{CABINET_PANELS}-panel cabinet", cabinet())):
        own = workflow.read_text(text)
        args = own.piece, own.plans, USUAL[own.job.cutter.route], own.job.cutter.route, WANTED
        took = min(_seconds(partial(_found_gap, *args)) for _ in range(2))
        lines.append(f"| flank gap of the {name} found from the odds | | {1000 * took:.0f} | |")
    return lines, theirs / ours


def _found_gap(*args: Any) -> float | None:
    return Odds(*args).least_gap(WANTED.odds)


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> int:
    """Print the tables; return 1 when asked to assert and a mark is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--assert", action="store_true", dest="strict")
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    growth_lines, exponent = growth_table([1, 10] if options.quick else [1, 10, 100])
    wall_lines, wall = wall_table([4, 12] if options.quick else [4, 12, 40])
    order_lines, order = order_table([4, 12] if options.quick else [4, 12, 40])
    edit_lines, edit, reread = edit_table()
    kernel_lines, ratio = kernel_table(10, FINE)
    odds_lines, quicker = odds_table()
    sections = (
        (_HEAD, growth_lines), (_WALL, wall_lines), (_ORDER, order_lines), (_EDIT, edit_lines),
        (_BETWEEN, kernel_lines), (_ODDS, odds_lines),
    )  # fmt: skip
    page = "\n".join("\n".join((head, *lines, "")) for head, lines in sections)
    print(page)
    if options.write:
        PAGE.write_text(page, encoding="utf-8", newline="\n")
    missed = max(exponent, wall, order) > MOST_GROWTH or ratio < LEAST_RATIO or edit > MOST_EDIT
    missed |= quicker < LEAST_QUICKER or reread > MOST_REREAD
    if options.strict and missed:
        print(
            f"missed: growth {exponent:.2f}, {wall:.2f} and {order:.2f} (at most {MOST_GROWTH}), "
            f"ratio {ratio:.0f} (at least {LEAST_RATIO:.0f}), edit {edit:.2f} (at most {MOST_EDIT})"
            f", in the text {reread:.2f} (at most {MOST_REREAD})"
            f", odds {quicker:.0f} (at least {LEAST_QUICKER:.0f})"
        )
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
