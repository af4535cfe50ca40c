"""A part as the flat faces of a solid in its place in the piece.

A part without trenches is a prism: two faces and a wall round them. Trenches make it a solid of
steps, whose faces are worked out in :mod:`dryfit.shapes.stepped`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.parts.part import Purpose
from dryfit.shapes import arc
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.stepped import Trench, stepped
from dryfit.shapes.tolerances import PICTURE_CHORD
from dryfit.shapes.visible import Face

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from dryfit.model.panel import Frame
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import FloatArray

_SMOOTH = 0.02
"""Walls that meet at a smaller angle run on into each other without an edge. [rad]"""


@dataclass(frozen=True, eq=False)
class Side:
    """One face of a part in the piece.

    Parameters
    ----------
    face : Face
        Its loops in the piece. [mm]
    normal : array, shape (3,)
        Unit vector out of the wood. [-]
    along : array, shape (2,), optional
        For a wall, its normal in the panel's (u, v); None for faces and floors of trenches. [-]
    """

    face: Face
    normal: FloatArray
    along: FloatArray | None = None


def sides(part: Part, tag: int, chord: float = PICTURE_CHORD) -> Iterator[Side]:
    """Every face of the as-cut part, trenches and all, each face with the `tag`.

    Arcs become chords that stray from them by `chord` [mm] at most.
    """
    if part.cuts_for(Purpose.TRENCH):
        yield from _stepped(part, tag, chord)
        return
    frame, t = part.panel.frame, part.thickness
    rings = [_ring(loop, chord) for loop in part.as_cut.loops]
    n = np.array(frame.n)
    top = tuple(_place(frame, points, t) for points, _ in rings)
    bottom = tuple(_place(frame, points[::-1], 0.0) for points, _ in rings)
    yield Side(Face(top, tag), n)
    yield Side(Face(bottom, tag), -n)
    for points, sharp in rings:
        yield from _walls(frame, t, points, sharp, tag)


def _stepped(part: Part, tag: int, chord: float) -> Iterator[Side]:
    """Levels and walls of a part with trenches."""
    frame = part.panel.frame
    n, plane = np.array(frame.n), np.array((frame.u, frame.v))
    levels, walls = stepped(*_steps(part, chord))
    for level in levels:
        loops = [loop.vertices[:, :2] for loop in level.profile.loops]
        turned = [points if level.up else points[::-1] for points in loops]
        placed = tuple(_place(frame, points, level.height) for points in turned)
        yield Side(Face(placed, tag), n if level.up else -n)
    for wall in walls:
        along = np.array((wall.way[1], -wall.way[0]))
        start, axes = _place(frame, wall.start, 0.0), np.array((wall.way @ plane, n))
        placed = tuple(start + loop.vertices[:, :2] @ axes for loop in wall.profile.loops)
        yield Side(Face(placed, tag, wall.inked), along @ plane, along)


def _steps(part: Part, chord: float) -> tuple[Profile, FloatArray, list[Trench], FloatArray]:
    """The plate with chords for arcs, its layers, its trenches and its seams."""
    rings = [_ring(loop, chord) for loop in part.as_cut.loops]
    seams = np.concatenate([points[~sharp] for points, sharp in rings])
    outer, *holes = (_straight(points) for points, _ in rings)
    layers = part.layers
    crossing: dict[Loop, npt.NDArray[np.bool_]] = {}
    for k, layer in enumerate(layers):
        for loop in layer.trenches:
            crossing.setdefault(loop, np.zeros(len(layers), dtype=bool))[k] = True
    trenches = [
        Trench(Profile(_straight(loop.dense(chord))), where) for loop, where in crossing.items()
    ]
    heights = np.array([layers[0].low, *(layer.high for layer in layers)])
    return Profile(outer, tuple(holes)), heights, trenches, seams


def _straight(points: FloatArray) -> Loop:
    """A loop of straight edges through points. [mm]"""
    return Loop(np.column_stack((points, np.zeros(len(points)))))


def _place(frame: Frame, points: FloatArray, height: float) -> FloatArray:
    """Points (m, 2) of the panel at a height along n, in the piece; shape (m, 3). [mm]"""
    plane = np.array((frame.u, frame.v))
    return np.asarray(frame.origin + points @ plane + height * np.array(frame.n))


def _walls(
    frame: Frame, t: float, points: FloatArray, sharp: npt.NDArray[np.bool_], tag: int
) -> Iterator[Side]:
    """One upright face a chord; the material lies to the left of the ring."""
    low, high = _place(frame, points, 0.0), _place(frame, points, t)
    plane = np.array((frame.u, frame.v))
    for k, point in enumerate(points):
        after = (k + 1) % len(points)
        loop = np.array((low[k], low[after], high[after], high[k]))
        inked = np.array((True, sharp[after], True, sharp[k]))
        dx, dy = points[after] - point
        along = np.array((dy, -dx)) / math.hypot(dx, dy)
        yield Side(Face((loop,), tag, (inked,)), along @ plane, along)


def _ring(loop: Loop, chord: float) -> tuple[FloatArray, npt.NDArray[np.bool_]]:
    """Points of a loop, arcs as chords, and whether the wall has an edge at each."""
    edges = loop.edges
    pieces = [arc.dense(edges[k : k + 1], chord) for k in range(len(edges))]
    corner = _corners(edges)
    sharp = [np.array([corner[k]] + [False] * (len(piece) - 1)) for k, piece in enumerate(pieces)]
    return np.concatenate(pieces), np.concatenate(sharp)


def _corners(edges: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether the loop turns at the start of each edge."""
    chord = np.arctan2(edges[:, 3] - edges[:, 1], edges[:, 2] - edges[:, 0])
    half = arc.included_angle(edges) / 2
    turn = (chord - half) - np.roll(chord + half, 1)
    return np.asarray(np.abs(np.sin(turn / 2)) > math.sin(_SMOOTH / 2))
