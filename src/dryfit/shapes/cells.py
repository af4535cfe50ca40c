"""Upright boxes, many at a time: which of them share space, and what they share.

Boxes are held as two arrays of shape (k, 3), the low and the high corners [mm]. Comparisons are
strict, so boxes that only touch share nothing.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from dryfit.shapes.tolerances import SAME

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.intp]


def overlapping_pairs(low: FloatArray, high: FloatArray, slack: float = SAME) -> IndexArray:
    """Pairs of boxes that share space, by a sweep along the axis that separates them best.

    Parameters
    ----------
    low, high : array, shape (k, 3)
        Corners of the boxes. [mm]
    slack : float
        Boxes that share less than this along an axis do not count; negative to find boxes that
        come within a distance of each other. [mm]

    Returns
    -------
    array, shape (m, 2)
        Indices i < j, in lexicographic order.

    Examples
    --------
    >>> low = np.array([[0.0, 0, 0], [1, 1, 1], [2, 0, 0]])
    >>> overlapping_pairs(low, low + 2.0).tolist()
    [[0, 1], [1, 2]]
    """
    if len(low) < 2:
        return np.empty((0, 2), dtype=np.intp)
    # Pairs are counted along every axis and written out along one: the others may have far more.
    axis = min(range(3), key=lambda axis: _sweep(low[:, axis], high[:, axis], slack)[1].sum())
    first, second = _swept(*_sweep(low[:, axis], high[:, axis], slack))
    for axis in range(3):
        width = np.minimum(high[first, axis], high[second, axis]) - np.maximum(
            low[first, axis], low[second, axis]
        )
        keep = width > slack
        first, second = first[keep], second[keep]
    pairs = np.sort(np.column_stack((first, second)), axis=1)
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def _sweep(low: FloatArray, high: FloatArray, slack: float) -> tuple[IndexArray, IndexArray]:
    """Order in which intervals begin, and how many of the next begin before each one ends."""
    order = np.argsort(low, kind="stable")
    last = np.searchsorted(low[order], high[order] - slack, side="left")
    return order, np.maximum(last - np.arange(len(order)) - 1, 0)


def _swept(order: IndexArray, count: IndexArray) -> tuple[IndexArray, IndexArray]:
    """The pairs of a sweep."""
    first = np.repeat(np.arange(len(order)), count)
    offset = np.arange(len(first)) - np.repeat(np.cumsum(count) - count, count)
    return order[first], order[first + offset + 1]


def shared(
    low: FloatArray, high: FloatArray, members: IndexArray
) -> tuple[FloatArray, FloatArray, npt.NDArray[np.bool_]]:
    """The box that each group of boxes shares, and whether it has any volume.

    Parameters
    ----------
    low, high : array, shape (k, 3)
        Corners of the boxes. [mm]
    members : array, shape (m, g)
        Indices of the g boxes of each group.
    """
    lows = low[members].max(axis=1)
    highs = high[members].min(axis=1)
    return lows, highs, (highs - lows > SAME).all(axis=1)
