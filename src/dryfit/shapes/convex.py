"""Convex pieces of flat shapes, upright prisms on them, and what a moving one runs into.

A convex body that moves along d hits another one if and only if the ray from the origin along d
enters the difference of the two. It does not if some plane keeps them apart: one whose normal does
not lean towards d. The planes to try are those of the faces of both, those through an edge of
either, and those along d and an edge; no others are needed (Minkowski sums of convex polyhedra).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.solid import triangles_of
from dryfit.shapes.squares import simple, squared
from dryfit.shapes.tolerances import PARALLEL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

_STRAIGHT = 1e-7
"""A corner that turns back by less than this is none. [mm²]"""

_ALIKE = 1e-7
"""Unit vectors that differ by less are one. [-]"""

_LOT = 20_000
"""Pairs of prisms that are looked at together. [-]"""


@lru_cache(maxsize=4096)
def convex_pieces(loops: tuple[Loop, ...]) -> tuple[FloatArray, ...]:
    """Convex polygons that cover a shape, small rounds left out; the largest comes first.

    Parameters
    ----------
    loops : tuple of Loop
        Counter-clockwise round what there is, clockwise round what there is not. [mm]

    Returns
    -------
    tuple of array
        Corners (k, 2) of each, counter-clockwise. [mm]
    """
    rings = [squared(loop) for loop in loops]
    points = np.concatenate(rings)
    triangles = triangles_of(rings)
    # A hole that touches the outline leaves triangles of no area there.
    wide = [_area(points[corners]) > _STRAIGHT for corners in triangles]
    faces = [tuple(corners) for corners in triangles[wide].tolist()]
    merged = _merged(points, faces)
    return tuple(sorted((simple(points[list(face)]) for face in merged), key=lambda p: -_area(p)))


def _area(points: FloatArray) -> float:
    x, y = points.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def _merged(points: FloatArray, faces: Sequence[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Polygons joined over a common edge wherever the two together stay convex."""
    polygons = dict(enumerate(faces))
    beside = {edge: number for number, face in polygons.items() for edge in _around(face)}
    for a, b in list(beside):
        one, other = beside.get((a, b)), beside.get((b, a))
        if one is None or other is None or one == other:
            continue
        joined = _joined(polygons[one], polygons[other], a, b)
        if not _is_convex(points, joined):
            continue
        polygons[one] = joined
        del polygons[other], beside[a, b], beside[b, a]
        for edge in _around(joined):
            beside[edge] = one
    return list(polygons.values())


def _around(face: tuple[int, ...]) -> list[tuple[int, int]]:
    return list(zip(face, (*face[1:], face[0]), strict=True))


def _joined(one: tuple[int, ...], other: tuple[int, ...], a: int, b: int) -> tuple[int, ...]:
    """Two polygons as one; the edge runs from a to b in the first."""
    k, m = one.index(b), other.index(a)
    return (*one[k:], *one[:k], *(other[m + 1 :] + other[:m])[:-1])


def _is_convex(points: FloatArray, face: tuple[int, ...]) -> bool:
    corners = points[list(face)]
    ahead = np.roll(corners, -1, axis=0) - corners
    behind = np.roll(ahead, 1, axis=0)
    turns = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    onward = (behind * ahead).sum(axis=1) > 0
    return bool(((turns > _STRAIGHT) | (turns > -_STRAIGHT) & onward).all())


@dataclass(frozen=True, eq=False)
class Prisms:
    """Convex prisms in space, filled up to a common number of corners by repeating some.

    Parameters
    ----------
    owner : array, shape (k,)
        Whom each belongs to. [-]
    corners : array, shape (k, v, 3)
        Its corners. [mm]
    normals : array, shape (k, f, 3)
        Unit vectors square to its faces, one of each pair. [-]
    edges : array, shape (k, e, 3)
        Unit vectors along its edges, one of each pair. [-]
    """

    owner: IntArray
    corners: FloatArray
    normals: FloatArray
    edges: FloatArray

    def rows(self, keep: IntArray) -> Prisms:
        """Some of them."""
        return Prisms(self.owner[keep], self.corners[keep], self.normals[keep], self.edges[keep])


def prisms_of(
    owners: Sequence[int],
    polygons: Sequence[FloatArray],
    heights: Sequence[tuple[float, float]],
    frames: Sequence[tuple[FloatArray, FloatArray]],
) -> Prisms:
    """Prisms on polygons.

    Parameters
    ----------
    owners : sequence of int
        Whom each belongs to.
    polygons : sequence of array
        Corners (k, 2) of its floor in (u, v). [mm]
    heights : sequence of pair of float
        Where it begins and ends along n. [mm]
    frames : sequence of pair of array
        Its origin [mm] and the unit vectors u, v and n as rows.
    """
    corners, across, along = [], [], []
    for polygon, (low, high), (origin, axes) in zip(polygons, heights, frames, strict=True):
        floor, roof = (np.column_stack((polygon, np.full(len(polygon), h))) for h in (low, high))
        corners.append(origin + np.concatenate((floor, roof)) @ axes)
        sides = _directions(polygon)
        along.append(np.concatenate((axes[2:], sides @ axes[:2])))
        across.append(np.concatenate((axes[2:], sides[:, ::-1] * (1, -1) @ axes[:2])))
    return Prisms(np.array(owners), *(_filled(rows) for rows in (corners, across, along)))


def _directions(polygon: FloatArray) -> FloatArray:
    """Unit vectors along the sides of a polygon, each direction once; shape (k, 2)."""
    sides = np.roll(polygon, -1, axis=0) - polygon
    sides = sides / np.linalg.norm(sides, axis=1)[:, None]
    back = np.where(np.abs(sides[:, 0]) > _ALIKE, sides[:, 0], sides[:, 1]) < 0
    sides[back] *= -1
    _, first = np.unique(np.round(sides / _ALIKE), axis=0, return_index=True)
    return np.asarray(sides[np.sort(first)])


def _filled(rows: Sequence[FloatArray]) -> FloatArray:
    """Rows of points or vectors of different lengths, filled up with copies of their last."""
    most = max(len(row) for row in rows)
    return np.array(
        [np.concatenate((row, np.repeat(row[-1:], most - len(row), axis=0))) for row in rows]
    )


def runs_into(one: Prisms, other: Prisms, way: FloatArray, slack: float) -> BoolArray:
    """Which moving prisms hit which, row by row.

    Parameters
    ----------
    one, other : Prisms
        Those that move, and those that stay; k of each.
    way : array, shape (3,)
        Unit vector along which the one moves. [-]
    slack : float
        What they must share along every direction to be in each other's way. [mm]

    Returns
    -------
    array of bool, shape (k,)
        Whether it hits the other at any distance, none included.
    """
    lots = [np.arange(k, min(k + _LOT, len(one.owner))) for k in range(0, len(one.owner), _LOT)]
    found = [_hit(one.rows(lot), other.rows(lot), way, slack) for lot in lots]
    return np.concatenate(found) if found else np.zeros(0, dtype=bool)


def clear_after(one: Prisms, other: Prisms, way: FloatArray) -> FloatArray:
    """How far each of some prisms moves along a way until it shares nothing with another.

    Parameters
    ----------
    one, other : Prisms
        Those that move, and those that stay; k of each.
    way : array, shape (3,)
        Unit vector along which the one moves. [-]

    Returns
    -------
    array, shape (k,)
        Endless where they never part. [mm]
    """
    planes = _planes(one, other, way)
    ahead, behind = _gaps(one, other, planes)
    leans = np.nan_to_num(planes @ way)
    # Along the normal of a plane the one lies behind the other once it has moved by so much.
    with np.errstate(divide="ignore", invalid="ignore"):
        far = np.where(leans > PARALLEL, -behind / leans, np.inf)
        far = np.where(leans < -PARALLEL, ahead / leans, far)
    far = np.where(np.isnan(planes).any(axis=2), np.inf, far)
    return np.asarray(far.min(axis=1))


def _planes(one: Prisms, other: Prisms, way: FloatArray) -> FloatArray:
    """Normals of the planes that may keep prisms apart while the one moves; (k, p, 3)."""
    crossed = np.cross(one.edges[:, :, None], other.edges[:, None]).reshape(len(one.owner), -1, 3)
    beside = np.cross(way, np.concatenate((one.edges, other.edges), axis=1))
    return np.concatenate((one.normals, other.normals, _unit(crossed), _unit(beside)), axis=1)


def _hit(one: Prisms, other: Prisms, way: FloatArray, slack: float) -> BoolArray:
    """The same for one lot: those that no plane keeps apart."""
    planes = _planes(one, other, way)
    ahead, behind = _gaps(one, other, planes)
    leans = np.nan_to_num(planes @ way)
    apart = (ahead > -slack) & (leans <= PARALLEL)
    apart |= (behind > -slack) & (leans >= -PARALLEL)
    return np.asarray(~apart.any(axis=1))


def _unit(vectors: FloatArray) -> FloatArray:
    """Vectors of length 1; those of none become nothing that could keep bodies apart."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.where(length > PARALLEL, vectors / np.maximum(length, PARALLEL), np.nan)


def _gaps(one: Prisms, other: Prisms, planes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How far the other lies ahead of the one along each plane's normal, and behind it; [mm].

    Less than nothing where they overlap, endlessly less where the plane is none.
    """
    mine, theirs = (np.einsum("kvi,kpi->kpv", p.corners, planes) for p in (one, other))
    ahead = theirs.min(axis=2) - mine.max(axis=2)
    behind = mine.min(axis=2) - theirs.max(axis=2)
    return np.nan_to_num(ahead, nan=-np.inf), np.nan_to_num(behind, nan=-np.inf)
