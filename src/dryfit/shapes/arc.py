"""Arcs held as a chord and a bulge, many at a time.

Every function takes edges as rows of x0, y0, x1, y1, bulge [mm, mm, mm, mm, -]. A bulge is
tan(angle / 4) of the included angle, positive to the left (counter-clockwise).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Sequence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


def included_angle(edges: FloatArray) -> FloatArray:
    """Included angle of each edge, signed; 0 for straight ones. [rad]"""
    return np.asarray(4.0 * np.arctan(edges[:, 4]))


def radius(edges: FloatArray) -> FloatArray:
    """Radius of each arc; infinite for straight edges. [mm]

    Chord c and bulge b give r = c (1 + b²) / (4 |b|).
    """
    chord = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    bulge = np.abs(edges[:, 4])
    with np.errstate(divide="ignore"):
        return np.asarray(chord * (1 + bulge**2) / (4 * bulge))


def centre(edges: FloatArray) -> FloatArray:
    """Centre of each arc, shape (k, 2); edges must not be straight. [mm]

    It lies (1 - b²) / (4 b) chords to the left of the middle of the chord.
    """
    x0, y0, x1, y1, bulge = edges.T
    lean = (1 - bulge**2) / (4 * bulge)
    return np.column_stack(((x0 + x1) / 2 - lean * (y1 - y0), (y0 + y1) / 2 + lean * (x1 - x0)))


def length(edges: FloatArray) -> FloatArray:
    """Length along each edge. [mm]"""
    chord = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    half = np.abs(included_angle(edges)) / 2
    stretch = np.ones_like(half)
    bent = half > 0
    stretch[bent] = half[bent] / np.sin(half[bent])
    return np.asarray(chord * stretch)


def segment_area(edges: FloatArray) -> FloatArray:
    """Signed area between each arc and its chord, positive left of travel. [mm²]

    An arc that turns left bows to the right of its chord, so it adds to a loop that runs
    counter-clockwise: r² (angle - sin angle) / 2 with the sign of the bulge.
    """
    angle = included_angle(edges)
    bent = edges[:, 4] != 0
    area = np.zeros(len(edges))
    area[bent] = radius(edges[bent]) ** 2 * (angle[bent] - np.sin(angle[bent])) / 2
    return area


def extremes(edges: FloatArray) -> FloatArray:
    """xmin, ymin, xmax, ymax of each arc; shape (k, 4). [mm]"""
    middle, r, sweep = centre(edges), radius(edges), included_angle(edges)
    start = np.arctan2(edges[:, 1] - middle[:, 1], edges[:, 0] - middle[:, 0])
    low = np.where(sweep >= 0, start, start + sweep)
    reach = np.column_stack(
        (
            np.minimum(edges[:, 0], edges[:, 2]),
            np.minimum(edges[:, 1], edges[:, 3]),
            np.maximum(edges[:, 0], edges[:, 2]),
            np.maximum(edges[:, 1], edges[:, 3]),
        )
    )
    for quarter, column in ((0, 2), (1, 3), (2, 0), (3, 1)):
        passed = np.mod(quarter * math.pi / 2 - low, 2 * math.pi) <= np.abs(sweep)
        sign = 1.0 if column >= 2 else -1.0
        end = middle[:, column % 2] + sign * r
        reach[:, column] = np.where(passed, end, reach[:, column])
    return reach


def dense(edges: FloatArray, chord: float) -> FloatArray:
    """Points along consecutive edges, chords within `chord` [mm] of the arcs; shape (m, 2).

    Each edge gives its start point and, when bent, the points between; the last end is left out.
    """
    return dense_many([edges], chord)[0]


def dense_many(loops: Sequence[FloatArray], chord: float) -> tuple[FloatArray, IntArray]:
    """Dense points of many runs of edges at once, and where the points of each run start.

    `chord` is the largest distance of a chord from its arc [mm].
    """
    edges = np.concatenate(loops)
    count = np.ones(len(edges), dtype=np.intp)
    bent = edges[:, 4] != 0
    count[bent] = _chords(edges[bent], chord)
    first = np.cumsum(count) - count
    which = np.repeat(np.arange(len(edges)), count)
    step = np.arange(len(which)) - first[which]
    points = edges[which, :2].copy()
    between = np.nonzero(step)[0]
    points[between] = along(edges[which[between]], step[between] / count[which[between]])
    begin = np.cumsum([len(run) for run in loops]) - [len(run) for run in loops]
    return points, first[begin]


def _chords(arcs: FloatArray, chord: float) -> IntArray:
    """How many chords each arc takes to stay within `chord` [mm]; an even number.

    The middle of an arc is then one of its points. A diagonal relief passes through the corner
    there, and a chord across it would leave wood in its mate's way.
    """
    turn = 2 * np.arccos(np.maximum(1 - chord / radius(arcs), 0.0))
    pairs = np.ceil(np.abs(included_angle(arcs)) / turn / 2)
    return np.asarray(2 * np.maximum(1, pairs), dtype=np.intp)


def along(arcs: FloatArray, share: FloatArray) -> FloatArray:
    """The point at a share [0 to 1] of each arc; arcs must not be straight. Shape (k, 2). [mm]"""
    middle = centre(arcs)
    x, y = (arcs[:, :2] - middle).T
    turn = included_angle(arcs) * share
    cos, sin = np.cos(turn), np.sin(turn)
    return np.asarray(middle + np.column_stack((x * cos - y * sin, x * sin + y * cos)))
