"""The path of a round cutter's middle round a shape that it can leave.

A shape as cut is touched from outside by the cutter at every point of its edge. Therefore the path
of the middle is the edge moved out by the radius, and nothing of it has to be trimmed: an arc of
the cutter's own radius becomes a point, a point of the wood an arc, and a socket just as wide as
the cutter a line that is run both ways.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryfit.errors import ShapeError
from dryfit.shapes import arc
from dryfit.shapes.offset import offset
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    import numpy.typing as npt

    FloatArray = npt.NDArray[np.float64]

_SMOOTH = 1e-7
"""Edges whose directions differ by less run on. [rad]"""

_SHUT = 1e-6
"""An arc this much tighter than the cutter is one by rounding alone. [mm]"""


def beside(loop: Loop, radius: float) -> Loop:
    """The path of a cutter's middle that leaves a loop, the wood on the loop's left.

    Parameters
    ----------
    loop : Loop
        Edge of the wood as cut: outer loops counter-clockwise, holes clockwise. [mm]
    radius : float
        Radius of the cutter. [mm]

    Raises
    ------
    ShapeError
        If an inside corner is sharper than the cutter.
    """
    if radius <= SAME:
        return loop
    edges = loop.edges
    edges = edges[np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1]) > SAME]
    begin, end = directions(edges)
    turn = _turns(end, np.roll(begin, -1, axis=0))
    if (turn < -1e-4).any():
        raise ShapeError(
            f"{int((turn < -1e-4).sum())} inside corners are sharper than a cutter of radius "
            f"{radius:g} mm; give them a relief"
        )
    out0 = edges[:, :2] + radius * _right(begin)
    out1 = edges[:, 2:4] + radius * _right(end)
    bulge = edges[:, 4].copy()
    hollow = bulge < 0
    if hollow.any():
        inner = arc.radius(edges[hollow]) - radius
        if (inner < -_SHUT).any():
            raise ShapeError(
                f"an arc of radius {float(inner.min()) + radius:.4f} mm is tighter than a cutter "
                f"of radius {radius:g} mm; give it more"
            )
        points = np.flatnonzero(hollow)[inner < _SHUT]
        out0[points] = out1[points] = arc.centre(edges[points])
        bulge[points] = 0.0
    round_them = np.tan(np.maximum(turn, 0.0) / 4)
    rows = np.empty((2 * len(edges), 3))
    rows[0::2] = np.column_stack((out0, bulge))
    rows[1::2] = np.column_stack((out1, np.where(turn > _SMOOTH, round_them, 0.0)))
    return tidy(rows)


def tidy(rows: FloatArray) -> Loop:
    """A loop of vertices without those that the next one repeats. [mm]"""
    step = np.roll(rows[:, :2], -1, axis=0) - rows[:, :2]
    kept = rows[np.abs(step).max(axis=1) > 10 * SAME]
    return Loop(kept if len(kept) > 1 else rows[:2])


def rings(hole: Loop, radius: float, step: float) -> list[Loop]:
    """Paths that clear a hole wholly, the innermost first, the wood on their left.

    Parameters
    ----------
    hole : Loop
        Edge of the hole, clockwise. [mm]
    radius : float
        Radius of the cutter. [mm]
    step : float
        From one path to the next. [mm]
    """
    found = [beside(hole, radius)]
    waste = Profile(hole.reversed())
    inside = radius + step
    while True:
        inner = offset(waste, -inside)
        if not inner:
            return found[::-1]
        found += [each.outer.reversed() for each in inner]
        inside += step


def nested(box: tuple[float, float, float, float], step: float) -> Loop:
    """One closed path that runs round a box again and again, from its middle line outwards.

    Parameters
    ----------
    box : tuple of float
        Low x, low y, high x, high y of the outermost round. [mm]
    step : float
        From one round to the next. [mm]
    """
    x0, y0, x1, y1 = box
    slack = min(x1 - x0, y1 - y0) / 2
    count = max(0, math.ceil(slack / step - 1e-9))
    boxes = []
    for k in range(count, -1, -1):
        inset = slack * k / count if count else 0.0
        boxes.append(_round((x0 + inset, y0 + inset, x1 - inset, y1 - inset)))
    if slack < 10 * SAME:
        boxes = [_line(box)]
    return joined([Loop.of(each) for each in boxes])


def joined(loops: list[Loop]) -> Loop:
    """Closed paths run one after the other, and back to where the first began."""
    rows: list[list[float]] = []
    for loop in loops:
        vertices = loop.vertices.tolist()
        rows += [*vertices, [*vertices[0][:2], 0.0]] if len(loops) > 1 else vertices
    return tidy(np.array(rows)) if len(rows) > 2 else Loop(np.array(rows))


def _round(box: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    x0, y0, x1, y1 = box
    corners = [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]
    apart = [
        here
        for here, after in zip(corners, corners[1:] + corners[:1], strict=True)
        if max(abs(here[0] - after[0]), abs(here[1] - after[1])) > 10 * SAME
    ]
    return apart if len(apart) > 1 else corners[::2]


def _line(box: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    x0, y0, x1, y1 = box
    if x1 - x0 > y1 - y0:
        return [(x0, (y0 + y1) / 2), (x1, (y0 + y1) / 2)]
    return [((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1)]


def directions(edges: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Unit directions at the begin and at the end of each edge, shape (k, 2)."""
    chord = edges[:, 2:4] - edges[:, :2]
    chord = chord / np.hypot(chord[:, 0], chord[:, 1])[:, None]
    half = arc.included_angle(edges) / 2
    return _turned(chord, -half), _turned(chord, half)


def _turned(vectors: FloatArray, angle: FloatArray) -> FloatArray:
    cos, sin = np.cos(angle), np.sin(angle)
    x, y = vectors.T
    return np.column_stack((x * cos - y * sin, x * sin + y * cos))


def _turns(end: FloatArray, onward: FloatArray) -> FloatArray:
    """How far the path turns left from one direction to the next. [rad]"""
    cross = end[:, 0] * onward[:, 1] - end[:, 1] * onward[:, 0]
    return np.asarray(np.arctan2(cross, np.einsum("ij,ij->i", end, onward)))


def _right(directions: FloatArray) -> FloatArray:
    return np.column_stack((directions[:, 1], -directions[:, 0]))
