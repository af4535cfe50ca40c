"""Where lines and arcs meet, exactly, many pairs at a time.

Edges are rows of x0, y0, x1, y1, bulge as in :mod:`dryfit.shapes.arc`. Curves nearer than
:data:`dryfit.shapes.tolerances.SAME` touch; nearly tangent ones touch once.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc
from dryfit.shapes.tolerances import PARALLEL, SAME

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]


def share(edges: FloatArray, points: FloatArray) -> FloatArray:
    """How far along its edge each point lies: 0 at the start, 1 at the end. [-]

    On an arc the angle counts, and a point just before the start has a small negative share.
    """
    along = edges[:, 2:4] - edges[:, :2]
    size = np.maximum(np.einsum("ij,ij->i", along, along), 1e-300)
    result = np.asarray(np.einsum("ij,ij->i", points - edges[:, :2], along) / size)
    bent = edges[:, 4] != 0
    if bent.any():
        result[bent] = _arc_share(edges[bent], points[bent])
    return result


def _arc_share(arcs: FloatArray, points: FloatArray) -> FloatArray:
    middle, sweep = arc.centre(arcs), arc.included_angle(arcs)
    x, y = (arcs[:, :2] - middle).T
    u, v = (points - middle).T
    turn = np.arctan2(x * v - y * u, x * u + y * v) * np.sign(sweep)
    size = np.abs(sweep)
    spare = np.minimum((2 * np.pi - size) / 2, 1e-3)
    turn = np.where(turn < -spare, turn + 2 * np.pi, turn)
    return np.asarray(turn / size)


def on_edge(edges: FloatArray, points: FloatArray, near: float = SAME) -> BoolArray:
    """Whether each point lies on its edge within `near` [mm]."""
    place = share(edges, points)
    spare = near / np.maximum(arc.length(edges), near)
    within = (place >= -spare) & (place <= 1 + spare)
    return np.asarray(within & (_off(edges, points) <= near))


def _off(edges: FloatArray, points: FloatArray) -> FloatArray:
    """Distance of each point from the whole line or circle of its edge. [mm]"""
    along = edges[:, 2:4] - edges[:, :2]
    x, y = (points - edges[:, :2]).T
    size = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    result = np.abs(along[:, 0] * y - along[:, 1] * x) / size
    bent = edges[:, 4] != 0
    if bent.any():
        away = points[bent] - arc.centre(edges[bent])
        result[bent] = np.abs(np.hypot(away[:, 0], away[:, 1]) - arc.radius(edges[bent]))
    return np.asarray(result)


def distance(edges: FloatArray, point: FloatArray) -> float:
    """Distance of a point from the nearest of the edges. [mm]"""
    points = np.broadcast_to(point, (len(edges), 2))
    place = share(edges, points)
    ends = np.minimum(np.hypot(*(edges[:, :2] - point).T), np.hypot(*(edges[:, 2:4] - point).T))
    return float(np.where((place >= 0) & (place <= 1), _off(edges, points), ends).min())


def meetings(edges: FloatArray, first: IntArray, second: IntArray) -> tuple[IntArray, FloatArray]:
    """Every point where two of the paired edges touch or cross.

    Returns
    -------
    which : array, shape (m,)
        The edge a point lies on; a crossing is listed once for either edge.
    points : array, shape (m, 2)
        The points. [mm]
    """
    ends = [_ends_on(edges, a, b, k) for a, b in ((first, second), (second, first)) for k in (0, 2)]
    crossings = [_crossings(edges, first, second)]
    found = ends + crossings
    return np.concatenate([w for w, _ in found]), np.concatenate([p for _, p in found])


def _ends_on(
    edges: FloatArray, carrier: IntArray, other: IntArray, column: int
) -> tuple[IntArray, FloatArray]:
    """Ends of `other` edges that lie on their `carrier`."""
    points = edges[other, column : column + 2]
    hit = on_edge(edges[carrier], points)
    return carrier[hit], points[hit]


def _crossings(edges: FloatArray, first: IntArray, second: IntArray) -> tuple[IntArray, FloatArray]:
    bent = edges[:, 4] != 0
    swap = bent[first] & ~bent[second]
    a, b = np.where(swap, second, first), np.where(swap, first, second)
    which: list[IntArray] = []
    points: list[FloatArray] = []
    for mask, solve in (
        (~bent[b], _line_line),
        (~bent[a] & bent[b], _line_arc),
        (bent[a], _arc_arc),
    ):
        i, j = a[mask], b[mask]
        for candidate in solve(edges[i], edges[j]):
            hit = np.isfinite(candidate[:, 0])
            found = candidate[hit]
            hit[hit] = on_edge(edges[i[hit]], found, 2 * SAME) & on_edge(
                edges[j[hit]], found, 2 * SAME
            )
            which += [i[hit], j[hit]]
            points += [candidate[hit], candidate[hit]]
    return np.concatenate(which), np.concatenate(points)


def _line_line(one: FloatArray, two: FloatArray) -> tuple[FloatArray, ...]:
    d, e = one[:, 2:4] - one[:, :2], two[:, 2:4] - two[:, :2]
    cross = d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]
    size = np.hypot(d[:, 0], d[:, 1]) * np.hypot(e[:, 0], e[:, 1])
    cross = np.where(np.abs(cross) > PARALLEL * size, cross, np.nan)
    gap = two[:, :2] - one[:, :2]
    t = (gap[:, 0] * e[:, 1] - gap[:, 1] * e[:, 0]) / cross
    return (one[:, :2] + t[:, None] * d,)


def _line_arc(lines: FloatArray, arcs: FloatArray) -> tuple[FloatArray, ...]:
    middle, r = arc.centre(arcs), arc.radius(arcs)
    d = lines[:, 2:4] - lines[:, :2]
    d = d / np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-300)[:, None]
    away = middle - lines[:, :2]
    foot = lines[:, :2] + np.einsum("ij,ij->i", away, d)[:, None] * d
    gap = np.abs(d[:, 0] * away[:, 1] - d[:, 1] * away[:, 0])
    half = _half_chord(r - gap, r + gap)
    return foot - half[:, None] * d, foot + half[:, None] * d


def _arc_arc(one: FloatArray, two: FloatArray) -> tuple[FloatArray, ...]:
    c, r, k, s = arc.centre(one), arc.radius(one), arc.centre(two), arc.radius(two)
    away = k - c
    apart = np.hypot(away[:, 0], away[:, 1])
    same = (apart < SAME) | ((apart < 10 * SAME) & (np.abs(r - s) < SAME))
    apart = np.where(same, np.nan, apart)
    away = away / apart[:, None]
    reach = ((r - s) * (r + s) / apart + apart) / 2
    bite = np.minimum(r + s - apart, apart - np.abs(r - s))
    inside = np.maximum((r - np.abs(reach)) * (r + np.abs(reach)), 0.0)
    half = np.where(np.abs(bite) < SAME, 0.0, np.sqrt(inside))
    half = np.where(bite < -SAME, np.nan, half)
    reach = np.where(half == 0, np.sign(reach) * r, reach)
    foot = c + reach[:, None] * away
    across = np.column_stack((-away[:, 1], away[:, 0])) * half[:, None]
    return foot - across, foot + across


def _half_chord(short: FloatArray, long: FloatArray) -> FloatArray:
    """Root of short times long; 0 where they barely touch, nan where they do not."""
    with np.errstate(invalid="ignore"):
        half = np.sqrt(short * long)
    half = np.where(np.abs(short) < SAME, 0.0, half)
    return np.asarray(np.where(short < -SAME, np.nan, half))
