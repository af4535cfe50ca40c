"""Offsets of profiles with true arcs, and what a round cutter leaves.

An offset adds or takes away, along every edge, the band of that width beside it, and at every
corner that the bands leave open the sector between them. Bands and sectors are profiles of
lines and arcs themselves, so the boolean operations do the rest.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes import arc, geos, meet
from dryfit.shapes.boolean import difference, union, union_and_seams
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.tolerances import CHORD, SAME
from dryfit.shapes.trace import middles

if TYPE_CHECKING:
    from collections.abc import Sequence

FloatArray = npt.NDArray[np.float64]


def offset(profile: Profile, distance: float) -> list[Profile]:
    """Everything within a distance of the profile, or everything deeper than it.

    Parameters
    ----------
    profile : Profile
        The profile.
    distance : float
        Outward when positive, with round joins; inward when negative. [mm]

    Raises
    ------
    ShapeError
        If the distance is not finite, or the result does not pass its checks.
    """
    if not math.isfinite(distance):
        raise ShapeError(f"An offset of {distance} mm is not a length: give a finite number")
    if abs(distance) <= SAME:
        return [profile]
    width = abs(distance)
    beside = _beside(profile, width, outward=distance > 0)
    return union([profile, *beside]) if distance > 0 else difference([profile], beside)


def closed_by_disc(profile: Profile, radius: float) -> list[Profile]:
    """What stands after an ideal round cutter took all the waste it can reach.

    The waste, outside and in the holes, is opened by a disc; the profile is closed by it: the
    inside corners keep fillets, and slots narrower than the cutter stay full.

    Parameters
    ----------
    profile : Profile
        The wanted shape.
    radius : float
        Radius of the cutter. [mm]

    Raises
    ------
    ShapeError
        If the radius is not positive or a result does not pass its checks.

    Notes
    -----
    Offset out by the radius, then in again. A slot or a round hole exactly as wide as the cutter
    is cut too: the offset closes it, and the centres that remain are taken from the seam.
    """
    if not (math.isfinite(radius) and radius > SAME):
        raise ShapeError(f"A cutter radius of {radius} mm cuts nothing: give more than 0 mm")
    grown, seams = union_and_seams([profile, *_beside(profile, radius, outward=True)])
    shrunk = [deep for part in grown for deep in offset(part, -radius)]
    snug = _snug(profile, radius, seams)
    made = difference(shrunk, snug) if snug else shrunk
    if sum(part.area for part in made) < profile.area - SAME * (1 + profile.length):
        raise ShapeError(
            f"A cutter of radius {radius:.6f} mm is too near the width of a slot to say whether "
            f"it enters: make the slot {2.002 * radius:.4f} mm wide"
        )
    return made


def _snug(profile: Profile, radius: float, seams: FloatArray) -> list[Profile]:
    """What a cutter sweeps that touches the profile on both sides, or all round."""
    dense = geos.regions([[loop.dense(CHORD) for loop in profile.loops]])
    clear = geos.distances(dense, middles(seams)) > radius - 2 * CHORD
    paths = [
        path
        for path in seams[clear]
        if meet.distance(profile.edges, middles(path[None])[0]) > radius - 2 * SAME
    ]
    swept = [_disc(end, radius) for path in paths for end in (path[:2], path[2:4])]
    for path in paths:
        swept += _bands(path[None], radius, outward=True)
        swept += _bands(path[None], radius, outward=False)
    return swept + [_disc(centre, radius) for centre in _seats(profile, radius)]


def _seats(profile: Profile, radius: float) -> list[FloatArray]:
    """Centres of the hollow arcs that a cutter fills exactly."""
    hollow = profile.edges[profile.edges[:, 4] < 0]
    fitting = hollow[np.abs(arc.radius(hollow) - radius) <= SAME]
    if not len(fitting):
        return []
    centres = arc.centre(fitting)
    return [
        centre for centre in centres if meet.distance(profile.edges, centre) > radius - 2 * SAME
    ]


def _beside(profile: Profile, width: float, *, outward: bool) -> list[Profile]:
    """Bands and sectors beside all loops of a profile."""
    return [part for loop in profile.loops for part in _around(loop.edges, width, outward=outward)]


def _around(edges: FloatArray, width: float, *, outward: bool) -> list[Profile]:
    """Bands along the edges of a loop and sectors at its corners, right of it if outward."""
    edges = edges[np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1]) > SAME]
    return _bands(edges, width, outward=outward) + _sectors(edges, width, outward=outward)


def _bands(edges: FloatArray, width: float, *, outward: bool) -> list[Profile]:
    step = -width if outward else width
    start, end = _normals(edges)
    return [
        _band(edge, width, step * n0, step * n1, outward=outward)
        for edge, n0, n1 in zip(edges, start, end, strict=True)
    ]


def _normals(edges: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Unit normals left of travel at the start and at the end of each edge."""
    chord = edges[:, 2:4] - edges[:, :2]
    chord = chord / np.hypot(chord[:, 0], chord[:, 1])[:, None]
    half = arc.included_angle(edges) / 2
    left = np.column_stack((-chord[:, 1], chord[:, 0]))
    return _turned(left, -half), _turned(left, half)


def _turned(vectors: FloatArray, angle: FloatArray) -> FloatArray:
    cos, sin = np.cos(angle), np.sin(angle)
    x, y = vectors.T
    return np.column_stack((x * cos - y * sin, x * sin + y * cos))


def _band(
    edge: FloatArray, width: float, step0: FloatArray, step1: FloatArray, *, outward: bool
) -> Profile:
    """The band beside one edge: a rectangle, a ring sector, or a sector up to the centre."""
    p0, p1, bulge = edge[:2], edge[2:4], float(edge[4])
    inner = outward == (bulge < 0)
    if bulge and inner and float(arc.radius(edge[None])[0]) <= width + SAME:
        middle = arc.centre(edge[None])[0]
        return _walked([(*p0, bulge), (*p1, 0.0), (*middle, 0.0)], backwards=outward)
    rows = [(*p0, bulge), (*p1, 0.0), (*(p1 + step1), -bulge), (*(p0 + step0), 0.0)]
    return _walked(rows, backwards=outward)


def _walked(rows: Sequence[tuple[float, ...]], *, backwards: bool) -> Profile:
    loop = Loop.of(rows)
    return Profile(loop.reversed() if backwards else loop)


def _sectors(edges: FloatArray, width: float, *, outward: bool) -> list[Profile]:
    """Sectors at the corners where the bands part; whole discs where the path turns back."""
    sign = -1.0 if outward else 1.0
    start, end = _normals(edges)
    onward = np.roll(start, -1, axis=0)
    cross = end[:, 0] * onward[:, 1] - end[:, 1] * onward[:, 0]
    turn = np.arctan2(cross, np.einsum("ij,ij->i", end, onward))
    made = []
    for k in np.nonzero((-sign * turn * width > SAME) | (np.abs(turn) > math.pi - SAME))[0]:
        corner, bulge = edges[k, 2:4], float(np.tan(turn[k] / 4))
        if abs(turn[k]) > math.pi - SAME:
            made.append(_disc(corner, width))
            continue
        rows = [
            (*corner, 0.0),
            (*(corner + sign * width * end[k]), bulge),
            (*(corner + sign * width * onward[k]), 0.0),
        ]
        made.append(_walked(rows, backwards=bool(turn[k] < 0)))
    return made


def _disc(centre: FloatArray, radius: float) -> Profile:
    x, y = centre
    return Profile(Loop.of([(x - radius, y, 1.0), (x + radius, y, 1.0)]))
