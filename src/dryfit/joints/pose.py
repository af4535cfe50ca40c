"""The canonical pose of a group of panels: where it stands when nobody has turned it.

A box turned, mirrored, renamed or listed in another order must get the same parts. So nothing is
ever decided where the maker put it: the group is turned into each of the 48 ways that keep its
axes, each way is written down as a table, and the first table in dictionary order is its
canonical pose. Two congruent groups have the same canonical pose, and what is decided there is
decided for both.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations, product
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.tolerances import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Iterable

FloatArray = npt.NDArray[np.float64]

_WAYS = tuple(
    (axes, np.array(signs))
    for axes in permutations((0, 1, 2))
    for signs in product((1.0, -1.0), repeat=3)
)


@dataclass(frozen=True, eq=False)
class Pose:
    """A turn of the axes, and the panels' order in it.

    Parameters
    ----------
    axes : tuple of int
        Which lattice axis each canonical axis is. [-]
    signs : array, shape (3,)
        Whether it runs with (+1) or against (-1) it. [-]
    order : array, shape (k,)
        The panels, in canonical order. [-]
    low, high : array, shape (k, 3)
        The boxes in canonical order and axes, from the group's own corner. [mm]
    """

    axes: tuple[int, int, int]
    signs: FloatArray
    order: npt.NDArray[np.intp]
    low: FloatArray
    high: FloatArray

    def axis_of(self, lattice_axis: int) -> int:
        """The canonical axis that a lattice axis becomes. [-]"""
        return self.axes.index(lattice_axis)

    def reverses(self, lattice_axis: int) -> bool:
        """Whether that axis runs the other way in the canonical pose."""
        return bool(self.signs[self.axis_of(lattice_axis)] < 0)


def canonical_pose(
    low: FloatArray, high: FloatArray, traits: FloatArray, wishes: FloatArray
) -> Pose:
    """The canonical pose of a group of boxes.

    Parameters
    ----------
    low, high : array, shape (k, 3)
        The boxes. [mm]
    traits : array, shape (k, m)
        What tells panels apart beside their boxes, in numbers that turning does not change. [-]
    wishes : array, shape (w, 2 + q)
        What is asked of pairs: two panels, +1 or -1 when the first or the second is to lead, and
        numbers that turning does not change. [-]
    """
    tables = (np.asarray(each, dtype=np.float64) for each in (low, high, traits, wishes))
    return remembered_pose(*((each.shape, each.tobytes()) for each in tables))


@lru_cache(maxsize=256)
def remembered_pose(*tables: tuple[tuple[int, ...], bytes]) -> Pose:
    """The canonical pose by the content of its tables; turned 48 ways only once."""
    low, high, traits, wishes = (
        np.frombuffer(content, dtype=np.float64).reshape(shape) for shape, content in tables
    )
    best: tuple[FloatArray, Pose] | None = None
    for axes, signs in _WAYS:
        one, other = low[:, axes] * signs, high[:, axes] * signs
        lows, highs = np.minimum(one, other), np.maximum(one, other)
        corner = lows.min(axis=0)
        lows, highs = np.round(lows - corner, DECIMALS - 2), np.round(highs - corner, DECIMALS - 2)
        table = np.column_stack((lows, highs, traits)) + 0.0
        order = np.lexsort(table.T[::-1])
        table = np.concatenate((table[order].ravel(), _placed(wishes, order).ravel()))
        if best is None or _comes_before(table, best[0]):
            best = table, Pose((axes[0], axes[1], axes[2]), signs, order, lows[order], highs[order])
    assert best is not None
    return best[1]


def _comes_before(table: FloatArray, other: FloatArray) -> bool:
    """Whether a table comes strictly before another of its size, read number by number."""
    differs = np.flatnonzero(table != other)
    return bool(len(differs)) and bool(table[differs[0]] < other[differs[0]])


def _placed(wishes: FloatArray, order: npt.NDArray[np.intp]) -> FloatArray:
    """Wishes with their panels by canonical number, in dictionary order."""
    place = np.argsort(order)
    pairs = place[wishes[:, :2].astype(np.intp)]
    # Which of the two is asked to lead is named by its place in the pair.
    turned = pairs[:, 0] > pairs[:, 1]
    rest = wishes[:, 2:].copy()
    rest[turned, 0] = -rest[turned, 0]
    table: FloatArray = np.column_stack((np.sort(pairs, axis=1).astype(np.float64), rest))
    return table[np.lexsort(table.T[::-1])]


def mirrors(pose: Pose, traits: FloatArray) -> list[npt.NDArray[np.intp]]:
    """For each axis across which the group is its own mirror image, where each panel goes.

    Parameters
    ----------
    pose : Pose
        The group's canonical pose.
    traits : array, shape (k, m)
        The traits, in canonical order. [-]

    Returns
    -------
    list of array, shape (k,)
        Image of each panel, by canonical number; mirrors under which any panel has no image are
        left out.
    """
    extent = pose.high.max(axis=0)
    found = []
    for axis in range(3):
        low, high = pose.low.copy(), pose.high.copy()
        low[:, axis] = np.round(extent[axis] - pose.high[:, axis], DECIMALS - 2)
        high[:, axis] = np.round(extent[axis] - pose.low[:, axis], DECIMALS - 2)
        home = _rows(np.column_stack((pose.low, pose.high, traits)))
        places = {row: number for number, row in enumerate(home)}
        image = [places.get(row, -1) for row in _rows(np.column_stack((low, high, traits)))]
        if min(image) >= 0:
            found.append(np.array(image, dtype=np.intp))
    return found


def _rows(table: FloatArray) -> Iterable[bytes]:
    return [row.tobytes() for row in table + 0.0]
