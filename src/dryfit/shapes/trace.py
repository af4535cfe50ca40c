"""Loops traced from loose pieces, and profiles made of loops."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes import arc
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.tolerances import COINCIDENT, SAME, SLIVER

if TYPE_CHECKING:
    from collections.abc import Sequence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


def loops(edges: FloatArray, ends: IntArray, carrier: FloatArray) -> list[Loop]:
    """Simple loops along directed pieces that keep the region to their left.

    Parameters
    ----------
    edges : array, shape (k, 5)
        Pieces as x0, y0, x1, y1, bulge. [mm]
    ends : array, shape (k, 2)
        Node at the start and at the end of each piece.
    carrier : array, shape (k, 3)
        Circle of each piece, nan for lines. [mm]

    Raises
    ------
    ShapeError
        If the pieces do not close.
    """
    following = _following(edges, ends)
    traced: list[Loop] = []
    unused = np.ones(len(edges), dtype=bool)
    for seed in range(len(edges)):
        if unused[seed]:
            walk = _walk(seed, following, unused)
            for simple in _split(walk, ends):
                loop = _smooth(edges[simple], carrier[simple])
                if loop is not None:
                    traced.append(loop)
    return traced


def _following(edges: FloatArray, ends: IntArray) -> list[int]:
    """The piece that goes on after each piece, turning round the region kept to the left."""
    leaving: dict[int, list[int]] = {}
    arriving: dict[int, list[int]] = {}
    for k, (a, b) in enumerate(ends.tolist()):
        leaving.setdefault(a, []).append(k)
        arriving.setdefault(b, []).append(k)
    following = [-1] * len(edges)
    for node, come in arriving.items():
        go = leaving.get(node, [])
        if len(go) != len(come):
            x, y = edges[come[0], 2:4]
            raise ShapeError(f"An outline does not close at ({x:.4f}, {y:.4f}) mm")
        for k, onward in _sorted_out(edges, come, go):
            following[k] = onward
    if len(leaving) != len(arriving):
        raise ShapeError("An outline has a loose end")
    return following


def _sorted_out(edges: FloatArray, come: list[int], go: list[int]) -> list[tuple[int, int]]:
    """Pair pieces that come to a node with those that go, by angle round the node."""
    if len(go) == 1:
        return [(come[0], go[0])]
    near = edges[come + go]
    reach = 0.5 * float(np.hypot(near[:, 2] - near[:, 0], near[:, 3] - near[:, 1]).min())
    back = edges[come][:, [2, 3, 0, 1, 4]] * np.array([1, 1, 1, 1, -1.0])
    seen, ahead = _bearings(back, reach), _bearings(edges[go], reach)
    paired = []
    for k, angle in zip(come, seen, strict=True):
        turns = np.mod(angle - ahead, 2 * math.pi)
        turns[turns < 1e-12] = 2 * math.pi
        paired.append((k, go[int(np.argmin(turns))]))
    if len({onward for _, onward in paired}) < len(go):
        x, y = edges[go[0], :2]
        raise ShapeError(f"Outlines cross at ({x:.4f}, {y:.4f}) mm and cannot be told apart")
    return paired


def _bearings(edges: FloatArray, reach: float) -> FloatArray:
    """Direction from the start of each edge to its point at distance `reach`. [rad]"""
    chord = edges[:, 2:4] - edges[:, :2]
    bearing = np.arctan2(chord[:, 1], chord[:, 0])
    bent = edges[:, 4] != 0
    arcs = edges[bent]
    lean = np.sign(arcs[:, 4]) * np.arcsin(np.minimum(reach / (2 * arc.radius(arcs)), 1.0))
    bearing[bent] += lean - arc.included_angle(arcs) / 2
    return np.asarray(bearing)


def _walk(seed: int, following: Sequence[int], unused: npt.NDArray[np.bool_]) -> list[int]:
    walk, k = [], seed
    while unused[k]:
        unused[k] = False
        walk.append(k)
        k = following[k]
    return walk


def _split(walk: Sequence[int], ends: IntArray) -> list[list[int]]:
    """Parts of a walk that pass no node twice."""
    parts: list[list[int]] = []
    path: list[int] = []
    place: dict[int, int] = {}
    for k in walk:
        start, end = int(ends[k, 0]), int(ends[k, 1])
        place[start] = len(path)
        path.append(k)
        if end in place:
            part = path[place[end] :]
            del path[place[end] :]
            for member in part:
                place.pop(int(ends[member, 0]), None)
            parts.append(part)
    return parts


def _smooth(edges: FloatArray, carrier: FloatArray) -> Loop | None:
    """A loop with neighbours on one line or circle joined; None for a sliver."""
    joins = _joins(edges, carrier)
    if joins.all():
        return _full_circle(edges, carrier)
    first = int(np.argmin(joins))
    edges, joins = np.roll(edges, -first, axis=0), np.roll(joins, -first)
    starts = np.nonzero(~joins)[0]
    turn = np.add.reduceat(arc.included_angle(edges), starts)
    rows = np.column_stack((edges[starts, :2], np.tan(turn / 4)))
    if len(rows) < 2:
        return None
    lowest = int(np.lexsort((rows[:, 1], rows[:, 0]))[0])
    loop = Loop(np.roll(rows, -lowest, axis=0))
    return loop if 2 * abs(loop.area) > SLIVER * loop.length else None


def _joins(edges: FloatArray, carrier: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether each edge goes on along the line or circle of the one before it."""
    before, circle = np.roll(edges, 1, axis=0), np.roll(carrier, 1, axis=0)
    bend, bend_before = np.sign(edges[:, 4]), np.sign(before[:, 4])
    round_ = (np.abs(carrier - circle) < COINCIDENT).all(axis=1) & (bend == bend_before)
    d, e = before[:, 2:4] - before[:, :2], edges[:, 2:4] - edges[:, :2]
    whole = np.hypot(*(d + e).T)
    cross = np.abs(d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0])
    ahead = d[:, 0] * e[:, 0] + d[:, 1] * e[:, 1] > 0
    line = (bend == 0) & (bend_before == 0) & ahead & (cross <= SAME * whole)
    return np.asarray(line | round_)


def _full_circle(edges: FloatArray, carrier: FloatArray) -> Loop | None:
    x, y, r = carrier[0]
    if not np.isfinite(r) or r < SLIVER:
        return None
    turn = 1.0 if edges[0, 4] > 0 else -1.0
    return Loop.of([(x - r, y, turn), (x + r, y, turn)])


def profiles(found: Sequence[Loop]) -> list[Profile]:
    """Profiles from loops: outer loops run counter-clockwise, each hole in the nearest outer."""
    outers = sorted((loop for loop in found if loop.area > 0), key=lambda loop: loop.area)
    holes: list[list[Loop]] = [[] for _ in outers]
    for loop in found:
        if loop.area < 0:
            holes[_home(loop, outers)].append(loop)
    made = [
        Profile(outer, tuple(sorted(held, key=_corner)))
        for outer, held in zip(outers, holes, strict=True)
    ]
    return sorted(made, key=lambda profile: _corner(profile.outer))


def _corner(loop: Loop) -> tuple[float, ...]:
    return tuple(loop.vertices[0])


def _home(hole: Loop, outers: Sequence[Loop]) -> int:
    if len(outers) == 1:
        return 0
    point = middles(hole.edges[:1])
    for k, outer in enumerate(outers):
        if outer.area > -hole.area and inside(outer.edges, point)[0]:
            return k
    x, y = point[0]
    raise ShapeError(f"The hole at ({x:.4f}, {y:.4f}) mm lies in no outline")


def middles(edges: FloatArray) -> FloatArray:
    """The middle of each edge, along its arc; shape (k, 2). [mm]"""
    x0, y0, x1, y1, bulge = edges.T
    half = bulge / 2
    return np.column_stack(((x0 + x1) / 2 + half * (y1 - y0), (y0 + y1) / 2 - half * (x1 - x0)))


def inside(edges: FloatArray, points: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether each point is inside the loops of the edges; arcs exact.

    Crossings of a ray with the chords, and once more for every circular segment the point is
    in. A point on a chord is taken to lie a hair above it, and a hair to the left of an upright
    one, whichever way the chord runs: so two arcs over one chord agree.
    """
    x0, y0, x1, y1, bulge = (column[None, :] for column in edges.T)
    x, y = points[:, :1], points[:, 1:]
    cross = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
    above = (x1 > x0) | ((x1 == x0) & (y1 > y0))
    left = (cross > 0) | ((cross == 0) & above)
    upward = (y0 <= y) & (y1 > y)
    downward = (y1 <= y) & (y0 > y)
    odd = np.logical_xor.reduce((upward & left) | (downward & ~left), axis=1)
    bent = edges[:, 4] != 0
    if bent.any():
        middle, r = arc.centre(edges[bent]), arc.radius(edges[bent])
        within = np.hypot(x - middle[:, 0], y - middle[:, 1]) < r
        bowed = np.where(bulge[:, bent] > 0, ~left[:, bent], left[:, bent])
        odd ^= np.logical_xor.reduce(within & bowed, axis=1)
    return np.asarray(odd)
