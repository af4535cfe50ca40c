"""Measure dryfit against named references in one run, and how its times grow with size.

Prints two tables in Markdown; ratios and growth are what counts, absolute times are this
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
from pathlib import Path
from statistics import median
from types import MappingProxyType
from typing import TYPE_CHECKING

import manifold3d
import numpy as np

from dryfit.joints.planning import plan_joints
from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.forms import FORMS, Request
from dryfit.model.meeting import find_meetings
from dryfit.model.piece import Piece, Wish
from dryfit.model.stock import Stock
from dryfit.parts.making import make_parts
from dryfit.parts.touch import dry_fit

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
ROUTER = Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL)
UNRELIEVED = Cutter(Route.ROUTER, 3.175, Relief.NONE)
HAND = Cutter(Route.HAND, 0.0)


_HEAD = """# How fast it is

Written by `make bench`. Ratios within one run and growth with size are what counts; absolute times
belong to the machine. The pieces are closed cases in a row, six panels each, 21 fingers an edge.

## Growth

Meetings, owners, plans, parts and dry fit, with a 3.175 mm cutter and diagonal relief.
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
    """Median time of several runs. [s]"""
    times = []
    for _ in range(runs):
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


def main() -> int:
    """Print the tables; return 1 when asked to assert and a mark is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--assert", action="store_true", dest="strict")
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    growth_lines, exponent = growth_table([1, 10] if options.quick else [1, 10, 100])
    kernel_lines, ratio = kernel_table(10, FINE)
    page = "\n".join((_HEAD, *growth_lines, "", _BETWEEN, *kernel_lines, ""))
    print(page)
    if options.write:
        PAGE.write_text(page, encoding="utf-8", newline="\n")
    missed = exponent > MOST_GROWTH or ratio < LEAST_RATIO
    if options.strict and missed:
        print(f"missed: growth {exponent:.2f} (at most {MOST_GROWTH}), ratio {ratio:.0f}")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
