"""Sheets of parts with their programs, and a referee that knows no levels and no kernel.

The referee looks at single places just inside and just outside of every part: how deep has any move
gone that passes within the cutter's radius? It shares nothing with the sweep but the moves.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.plan import Plan, Speed, plan
from dryfit.cutting.readback import Reading, Setting, Work, read_back
from dryfit.model.cutter import Route
from dryfit.model.machine import Machine
from dryfit.shapes import arc
from dryfit.workflow import Rehearsal, read, read_text
from dryfit.workflow.cutting import beds

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator, Sequence

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.moves import FloatArray, Program

EXAMPLES = Path(__file__).parents[2] / "examples"
SPEED = Speed(2000.0, 18000.0, "a test")
SHEET = "1220x2440mm"

SMALL_JOB = """
format = 1
title = "Pen tray"
[piece]
form = "{form}"
outside = [{sizes}]
[stock.walls]
material = "birch plywood"
nominal = 6
readings = [5.82, 5.86, 5.80, 5.85, 5.84]
[cutter]
kind = "router"
diameter = {diameter}
relief = "{relief}"
[fingers]
width = {width}
"""


def small(
    form: str = "tray",
    sizes: str = "90, 70, 36",
    diameter: float = 3.175,
    relief: str = "flank",
    width: float = 9,
    more: str = "",
) -> Rehearsal:
    """A job of a few small parts, quick to read back. Lengths in [mm]."""
    text = SMALL_JOB.format(form=form, sizes=sizes, diameter=diameter, relief=relief, width=width)
    return read_text(text + more)


ROUTED = tuple(
    path.stem
    for path in sorted(EXAMPLES.glob("*.toml"))
    if 'kind = "router"' in path.read_text(encoding="utf-8")
)
"""The examples that are cut on the router."""


@dataclass(frozen=True, eq=False)
class Made:
    """A sheet with its programs and what they are held against."""

    bed: Bed
    plan: Plan
    work: Work

    def read(self, *texts: str) -> Reading:
        """What comes of other texts in place of the programs'."""
        settings = self.plan.settings
        given = texts or [each.text for each in settings]
        return read_back(
            [Setting(t, s.far) for t, s in zip(given, settings, strict=True)], self.work
        )

    @property
    def text(self) -> str:
        """The program that cuts the outlines."""
        return self.plan.settings[-1].text


def sheets(
    rehearsal: Rehearsal, machine: Machine | None = None, sheet: str = SHEET
) -> Iterator[Made]:
    """Every sheet of a job, planned."""
    own = machine or Machine()
    size = rehearsal.job.cutter.size
    assert rehearsal.job.cutter.route is Route.ROUTER
    for bed in beds(rehearsal, sheet, own):
        made = plan(bed, own, size, SPEED, rehearsal.job.title)
        yield Made(bed, made, Work(bed, own, size, made.holds))


def example(name: str, machine: Machine | None = None) -> list[Made]:
    """The sheets of an example."""
    return list(sheets(read(EXAMPLES / f"{name}.toml"), machine))


def mutated(text: str, rng: random.Random) -> tuple[str, str]:
    """The text with one digit of one line changed, and that line."""
    lines = text.splitlines()
    where = [k for k, line in enumerate(lines) if not line.startswith("(")]
    k = rng.choice(where)
    digits = [m.start() for m in re.finditer(r"\d", lines[k])]
    at = rng.choice(digits)
    new = rng.choice([d for d in "0123456789" if d != lines[k][at]])
    lines[k] = lines[k][:at] + new + lines[k][at + 1 :]
    return "\n".join([*lines, ""]), f"{k + 1}: {text.splitlines()[k]} -> {lines[k]}"


def lowest(moves: FloatArray, spots: FloatArray, radius: float) -> FloatArray:
    """The lowest tip that passes over each spot; infinite where none does. [mm]

    Parameters
    ----------
    moves : array, shape (k, 7)
        Moves with heights above the bed. [mm]
    spots : array, shape (n, 2)
        Places. [mm]
    radius : float
        Of the cutter. [mm]
    """
    found = np.full(len(spots), np.inf)
    for row in moves:
        edge = row[[0, 1, 3, 4, 6]][None]
        share = np.linspace(0, 1, 2 if edge[0, 4] == 0 else 65)
        points = (
            np.vstack([edge[0, :2] + s * (edge[0, 2:4] - edge[0, :2]) for s in share])
            if edge[0, 4] == 0
            else np.vstack([edge[:, :2], arc.along(edge.repeat(63, 0), share[1:-1]), edge[:, 2:4]])
        )
        near = np.flatnonzero(
            (np.abs(spots - points.mean(axis=0)) < radius + np.ptp(points, axis=0) + 1).all(axis=1)
        )
        for k in range(len(points) - 1):
            step = points[k + 1] - points[k]
            size = float(step @ step)
            along = (
                np.clip((spots[near] - points[k]) @ step / size, 0, 1)
                if size
                else np.zeros(len(near))
            )
            off = np.hypot(*(spots[near] - points[k] - along[:, None] * step).T)
            low = share[k] + along * (share[k + 1] - share[k])
            height = row[2] + low * (row[5] - row[2])
            hit = off < radius
            found[near[hit]] = np.minimum(found[near[hit]], height[hit])
    return found


def edge_spots(bed: Bed, away: float, step: float = 1.0) -> FloatArray:
    """Places so far from the edges of all parts, outside where positive. [mm]

    Parameters
    ----------
    bed : Bed
        The parts.
    away, step : float
        From the edge, and from one place to the next. [mm]
    """
    found = []
    for lying in bed.lying:
        for loop in lying.outline.loops:
            for edge in loop.edges:
                length = float(arc.length(edge[None])[0])
                count = max(1, int(length / step))
                share = (np.arange(count) + 0.5) / count
                rows = edge[None].repeat(count, 0)
                turn = arc.included_angle(rows) * (share - 0.5)
                chord = edge[2:4] - edge[:2]
                heading = np.arctan2(chord[1], chord[0]) + turn
                points = arc.along(rows, share) if edge[4] else edge[:2] + share[:, None] * chord
                out = np.column_stack((np.sin(heading), -np.cos(heading)))
                found.append(points + away * out)
    return np.concatenate(found)


def spoilt(made: Made, before: Program, after: Program, away: float = 0.012) -> bool:
    """Whether places at the parts' edges tell two programs apart, by more than 0.01 mm."""
    radius, top = made.work.diameter / 2, made.work.top
    cut = [
        p.moves.path[np.minimum(p.moves.path[:, 2], p.moves.path[:, 5]) < top]
        for p in (before, after)
    ]
    own = [{tuple(np.round(row, 6)) for row in rows} for rows in cut]
    changed = np.array([list(row) for row in own[0] ^ own[1]]).reshape(-1, 7)
    if not len(changed):
        return False
    low = np.minimum(changed[:, :2], changed[:, 3:5]).min(axis=0) - 3 * radius
    high = np.maximum(changed[:, :2], changed[:, 3:5]).max(axis=0) + 3 * radius
    cut = [_near(rows, low - radius, high + radius) for rows in cut]
    for sign in (1, -1):
        spots = edge_spots(made.bed, sign * away)
        spots = spots[((spots > low) & (spots < high)).all(axis=1)]
        heights = [np.minimum(lowest(rows, spots, radius), top) for rows in cut]
        # What goes into the spoil board is all one.
        heights = [np.maximum(each, 0.0) for each in heights]
        worse = heights[1] - heights[0] if sign > 0 else heights[0] - heights[1]
        if (worse > 0.012).any():
            return True
    return False


def _near(rows: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """The moves that may touch a box, arcs by the largest circle they can be on."""
    chord = np.hypot(rows[:, 3] - rows[:, 0], rows[:, 4] - rows[:, 1])[:, None]
    least = np.minimum(rows[:, :2], rows[:, 3:5]) - chord
    most = np.maximum(rows[:, :2], rows[:, 3:5]) + chord
    return rows[((most > low) & (least < high)).all(axis=1)]


def parts_of(made: Sequence[Made]) -> int:
    """How many parts lie on sheets."""
    return sum(len(each.bed.lying) for each in made)
