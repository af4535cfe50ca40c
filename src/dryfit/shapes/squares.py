"""A flat shape of square corners as rectangles, rounds left out.

Vocabulary
----------
squared
    A loop whose small rounds are gone: where an arc joins two lines, the corner in which these
    would meet stands in its place. The bite of a relief and the fillet that a cutter leaves both
    vanish in it.
grid
    The plane cut at every coordinate at which an edge begins or ends. Each of its cells lies
    inside or outside as a whole; a slanted or a curved edge is taken in steps.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.tolerances import PARALLEL

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

_ONE = 1e-6
"""Edges nearer than this are on one line of the grid. [mm]"""

_NEAR = 3.0
"""How many chords away the corner may lie that an arc is taken for. [-]"""

_STEPS = 6
"""Steps in which a slanted or a curved edge is taken. [-]"""


@lru_cache(maxsize=4096)
def rectangles(loops: tuple[Loop, ...]) -> FloatArray:
    """Upright rectangles that cover a shape and nothing else; the first is the largest.

    Parameters
    ----------
    loops : tuple of Loop
        Counter-clockwise round what there is, clockwise round what there is not. [mm]

    Returns
    -------
    array, shape (k, 4)
        x0, y0, x1, y1 of each; none overlap. [mm]
    """
    edges = np.concatenate([_edges(squared(loop)) for loop in loops])
    x, y = (_lines(edges[:, [axis, axis + 2]].ravel()) for axis in (0, 1))
    inside = _inside(edges, x, y)
    if not inside.any():
        return np.empty((0, 4))
    left, right, low, high = largest(inside, x, y)
    inside[low:high, left:right] = False
    found = [(left, low, right, high), *_runs(inside)]
    i, j, k, m = np.array(found).T
    return np.column_stack((x[i], y[j], x[k], y[m]))


@lru_cache(maxsize=4096)
def squared(loop: Loop) -> FloatArray:
    """The corners of a loop without its rounds; shape (k, 2). [mm]"""
    edges = loop.edges.tolist()
    if not loop.vertices[:, 2].any():
        return np.asarray(loop.vertices[:, :2])
    count = len(edges)
    points: list[tuple[float, float]] = []
    for k, (x0, y0, x1, y1, bulge) in enumerate(edges):
        before, after = edges[k - 1], edges[(k + 1) % count]
        if not bulge:
            points += [(x0, y0)]
            continue
        corner = None if before[4] or after[4] else _corner(before, after)
        near = _NEAR * (abs(x1 - x0) + abs(y1 - y0))
        if corner is not None and abs(corner[0] - x0) + abs(corner[1] - y0) <= near:
            points += [corner]
        else:
            points += _chords(x0, y0, x1, y1, bulge)
    return simple(np.array(points))


def simple(points: FloatArray) -> FloatArray:
    """Corners of a polygon once each, without those on the line between their neighbours. [mm]"""
    points = points[np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > _ONE]
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    one, other = points - before, after - points
    bent = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]) > _ONE
    return np.asarray(points[bent]) if bent.sum() > 2 else points


def _corner(one: list[float], other: list[float]) -> tuple[float, float] | None:
    """Where the lines of two edges meet; None where they run alike. [mm]"""
    ax, ay, bx, by = one[0], one[1], one[2] - one[0], one[3] - one[1]
    cx, cy, dx, dy = other[0], other[1], other[2] - other[0], other[3] - other[1]
    cross = bx * dy - by * dx
    if abs(cross) <= PARALLEL:
        return None
    share = ((cx - ax) * dy - (cy - ay) * dx) / cross
    return ax + share * bx, ay + share * by


def _chords(x0: float, y0: float, x1: float, y1: float, bulge: float) -> list[tuple[float, float]]:
    """The start of an arc and points on it, up to its end. [mm]"""
    middle_x, middle_y, half_x, half_y = (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2
    lean = (1 / bulge - bulge) / 2
    centre_x, centre_y = middle_x - half_y * lean, middle_y + half_x * lean
    sweep = 4 * np.arctan(bulge)
    angles = np.arange(_STEPS) / _STEPS * sweep
    from_x, from_y = x0 - centre_x, y0 - centre_y
    cosine, sine = np.cos(angles), np.sin(angles)
    return list(
        zip(
            (centre_x + from_x * cosine - from_y * sine).tolist(),
            (centre_y + from_x * sine + from_y * cosine).tolist(),
            strict=True,
        )
    )


def _edges(points: FloatArray) -> FloatArray:
    """Edges x0, y0, x1, y1 round points, slanted ones in steps; shape (m, 4). [mm]"""
    after = np.roll(points, -1, axis=0)
    slanted = (np.abs(after - points) > _ONE).all(axis=1)
    if not slanted.any():
        return np.hstack((points, after))
    share = np.arange(_STEPS)[:, None, None] / _STEPS
    way = (after - points)[slanted]
    steps = (
        np.concatenate(points[slanted] + share * way),
        np.concatenate(points[slanted] + (share + 1 / _STEPS) * way),
    )
    whole = np.hstack((points[~slanted], after[~slanted]))
    return np.concatenate((whole, np.hstack(steps)))


def _lines(values: FloatArray) -> FloatArray:
    """Coordinates in order, each once. [mm]"""
    ordered = np.sort(values)
    return np.asarray(ordered[np.concatenate(([True], np.diff(ordered) > _ONE))])


def _inside(edges: FloatArray, x: FloatArray, y: FloatArray) -> BoolArray:
    """Which cells of the grid lie inside, by the edges to their left; shape (rows, columns)."""
    middle_x, middle_y = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
    low, high = np.minimum(edges[:, 1], edges[:, 3]), np.maximum(edges[:, 1], edges[:, 3])
    first, last = np.searchsorted(middle_y, low), np.searchsorted(middle_y, high)
    count = last - first
    edge = np.repeat(np.arange(len(edges)), count)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count - first, count)
    x0, y0, x1, y1 = edges[edge].T
    crossing = x0 + (middle_y[row] - y0) * (x1 - x0) / (y1 - y0)
    turns = np.zeros((len(middle_y), len(middle_x) + 1), dtype=np.intp)
    np.add.at(turns, (row, np.searchsorted(middle_x, crossing)), np.where(y1 < y0, 1, -1))
    return np.asarray(turns.cumsum(axis=1)[:, :-1] > 0)


def largest(inside: BoolArray, x: FloatArray, y: FloatArray) -> tuple[int, int, int, int]:
    """The largest rectangle of cells that all lie inside.

    Parameters
    ----------
    inside : array of bool, shape (m, k)
        Cells, row by row.
    x, y : array, shape (k + 1,) and (m + 1,)
        Where the cells begin and end. [mm]

    Returns
    -------
    tuple of int
        Its first column and the one after its last, its first row and the one after its last.
    """
    best, found = 0.0, (0, 0, 0, 0)
    begins = np.zeros(inside.shape[1], dtype=np.intp)
    along = x.tolist()
    for row in range(inside.shape[0]):
        begins[~inside[row]] = row + 1
        top = float(y[row + 1])
        # Columns whose run of filled cells began ever later; shorter ones wait on longer ones.
        waiting: list[tuple[int, int]] = []
        for column, begin in enumerate([*begins.tolist(), row + 1]):
            first = column
            while waiting and waiting[-1][1] < begin:
                first, since = waiting.pop()
                area = (along[column] - along[first]) * (top - float(y[since]))
                if area > best:
                    best, found = area, (first, column, since, row + 1)
            if not waiting or waiting[-1][1] > begin:
                waiting.append((first, begin))
    return found


def _runs(inside: BoolArray) -> Iterator[tuple[int, int, int, int]]:
    """Runs of cells in a row, those that are alike in rows that follow one another as one."""
    padded = np.pad(inside, ((0, 1), (1, 1)))
    ends = np.diff(padded.astype(np.int8), axis=1)
    open_: dict[tuple[int, int], int] = {}
    for row, line in enumerate(ends):
        runs = set(
            zip(np.flatnonzero(line > 0).tolist(), np.flatnonzero(line < 0).tolist(), strict=True)
        )
        for run in [run for run in open_ if run not in runs]:
            yield run[0], open_.pop(run), run[1], row
        for run in sorted(runs):
            open_.setdefault(run, row)
