"""Where a line of text finds room inside an area."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from dryfit.shapes.profile import FloatArray

_STEPS = range(5, 42)
"""Points of the grid along each axis, fewest and most."""

_WORK = 2_000_000
"""Pairs of a point and an edge that are looked at; long outlines get a coarser grid."""


class Spot(NamedTuple):
    """A point x, y [mm] and its room [mm]: how far the nearest edge is from it."""

    x: float
    y: float
    room: float


def roomiest(rings: Sequence[FloatArray], stretch: float = 1.0) -> Spot:
    """The point of a grid that lies deepest inside closed polygons.

    Parameters
    ----------
    rings : sequence of array, shape (k, 2)
        Outlines and holes; a point is inside when an odd number of rings surround it. [mm]
    stretch : float
        How many times as far an edge must be along x as along y, for text is wider than high. [-]

    Returns
    -------
    Spot
        The point [mm] and its distance to the nearest edge, x counted down by `stretch` [mm];
        the distance is negative when the whole grid misses the area. Near the greatest distance
        the point nearest to the middle wins, so that text stands where the eye expects it.
    """
    squeeze = np.array([1 / stretch, 1.0])
    starts = np.concatenate([ring * squeeze for ring in rings])
    ends = np.concatenate([np.roll(ring, -1, axis=0) * squeeze for ring in rings])
    low, high = starts.min(axis=0), starts.max(axis=0)
    steps = min(max(math.isqrt(_WORK // len(starts)), _STEPS[0]), _STEPS[-1])
    grid = _grid(low, high, steps)
    depth = np.where(_inside(grid, starts, ends), 1, -1) * _distance(grid, starts, ends)
    middle = np.hypot(*(grid - (low + high) / 2).T)
    good = depth >= depth.max() - 0.02 * abs(depth.max())
    best = int(np.argmin(np.where(good, middle, np.inf)))
    return Spot(float(grid[best, 0] * stretch), float(grid[best, 1]), float(depth[best]))


def _grid(low: FloatArray, high: FloatArray, steps: int) -> FloatArray:
    """Points spread over a rectangle, its edges left out; shape (n, 2)."""
    shares = np.arange(1, steps + 1) / (steps + 1)
    x, y = (low[axis] + (high[axis] - low[axis]) * shares for axis in (0, 1))
    return np.column_stack((np.repeat(x, steps), np.tile(y, steps)))


def _inside(points: FloatArray, starts: FloatArray, ends: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether an odd number of edges crosses the ray to the right of each point."""
    px, py = points[:, :1], points[:, 1:]
    straddles = (starts[:, 1] > py) != (ends[:, 1] > py)
    rise = np.where(ends[:, 1] == starts[:, 1], 1.0, ends[:, 1] - starts[:, 1])
    crossing = starts[:, 0] + (py - starts[:, 1]) * (ends[:, 0] - starts[:, 0]) / rise
    return np.asarray((straddles & (px < crossing)).sum(axis=1) % 2 == 1)


def _distance(points: FloatArray, starts: FloatArray, ends: FloatArray) -> FloatArray:
    """Distance of each point to the nearest edge. [mm]"""
    span = ends - starts
    square = np.maximum((span**2).sum(axis=1), 1e-30)
    away = points[:, None, :] - starts
    along = np.clip((away * span).sum(axis=2) / square, 0.0, 1.0)
    gap = away - along[..., None] * span
    return np.asarray(np.sqrt((gap**2).sum(axis=2).min(axis=1)))
