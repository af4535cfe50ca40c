"""What no layout can beat: how many sheets must be bought, and how much of them must be used.

A *dual feasible function* f takes shares of a length to shares of a length so that pieces that fit
side by side still do when each is replaced by f of it: f is monotone and f(x) + f(y) <= f(x + y).
With one such function along and one across, boxes that fit in a sheet still fit when both sides are
replaced [1]_; so the areas that they then take may not exceed the sheet's. The area itself is the
case of two identities. Every pair of functions from three families is tried.

References
----------
.. [1] S. P. Fekete, J. Schepers, A general framework for bounds for higher-dimensional orthogonal
   packing problems, Mathematical Methods of Operations Research 60 (2004) 311-329 (from memory).
.. [2] F. Clautiaux, C. Alves, J. Valério de Carvalho, A survey of dual-feasible and superadditive
   functions, Annals of Operations Research 179 (2010) 317-342 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.problem import Bin, Problem

FloatArray: TypeAlias = npt.NDArray[np.float64]
Steps: TypeAlias = npt.NDArray[np.int64]

_NEAR = 1e-9
"""What sums of binary numbers may be off. [-]"""

_MOST_CUTS = 60
"""The most thresholds of one family along one side. [-]"""

_GRID = 240
"""Cells along a side of the grid on which the largest rectangle left over is sought. [-]"""


@dataclass(frozen=True, slots=True)
class Bound:
    """What no layout of one stock can beat.

    Parameters
    ----------
    bought : int
        The fewest sheets to be bought; 0 where what is in hand may do.
    used : float
        The least that full sheets and the used share of the last can be together, where nothing is
        in hand and one kind can be bought; else 0. [-]
    area : float
        The area of the boxes in sheets; the bound without any function. [-]
    short : bool
        Whether what is in hand cannot do and nothing can be bought.
    """

    bought: int
    used: float
    area: float
    short: bool = False


def bound_of(problem: Problem) -> Bound:
    """The best bound that pairs of functions give."""
    bins = problem.to_buy or problem.in_hand
    if not problem.items or not bins:
        return Bound(0, 0.0, 0.0, short=bool(problem.items))
    length, width = max(b.length for b in bins), max(b.width for b in bins)
    if length <= 0 or width <= 0:
        return Bound(0, 0.0, 0.0, short=True)
    sizes = np.array(problem.sizes, dtype=np.int64)
    along = _family(np.concatenate((sizes[:, 0], sizes[:, 1])), length)
    across = _family(np.concatenate((sizes[:, 0], sizes[:, 1])), width)
    need = _needs(problem, sizes, along, across)
    own = sum((_holds(each, along, across) for each in problem.in_hand), np.zeros_like(need))
    most = np.max([_holds(each, along, across) for each in problem.to_buy] or [own * 0], axis=0)
    area = float(need[0, 0])
    lacking = need - own
    if not problem.to_buy:
        return Bound(0, 0.0, area, short=bool((lacking > _NEAR).any()))
    with np.errstate(divide="ignore", invalid="ignore"):
        sheets = np.where(lacking > _NEAR, lacking / most, 0.0)
    bought = max(ceil(float(sheets.max()) - _NEAR), 0) + _already(problem)
    alone = not problem.in_hand and len(problem.to_buy) == 1 and not problem.to_buy[0].taken
    used = _used(need, bought, along, across, (length, width)) if alone else 0.0
    return Bound(bought, max(used, area) if alone else 0.0, area)


def _already(problem: Problem) -> int:
    """Sheets that have to be bought because parts are locked on them."""
    return sum(1 for each in problem.in_hand if each.sheet.to_buy and each.locked)


class Family:
    """Functions of lengths of a side, `side` steps long; each row of values is one function."""

    def __init__(self, side: int, cuts: Sequence[int], folds: Sequence[int]) -> None:
        self.side = side
        self._cuts = np.array(cuts, dtype=np.int64).reshape(-1, 1)
        self._folds = np.array(folds, dtype=np.int64).reshape(-1, 1)

    def __call__(self, lengths: Steps) -> FloatArray:
        """Values of every function, shape (functions, lengths), as shares of the side."""
        x, side = lengths[None, :].astype(np.int64), self.side
        rows = [x / side]
        if len(self._cuts):
            cut = self._cuts
            rows += [np.where(x > side - cut, 1.0, np.where(x < cut, 0.0, x / side))]
            # Rounded to whole multiples of the cut: f₂ of the survey.
            whole = side // cut
            low = 2 * (x // cut)
            high = 2 * (whole - (side - x) // cut)
            doubled = np.where(2 * x > side, high, np.where(2 * x == side, whole, low))
            rows += [doubled / (2 * whole)]
        if len(self._folds):
            # u of k: a length of which k + 1 times is whole keeps its share.
            times = (self._folds + 1) * x
            whole_share = times % side == 0
            rows += [np.where(whole_share, x / side, (times // side) / self._folds)]
        return np.concatenate(rows)


def _family(lengths: Steps, side: int) -> Family:
    """The functions that may tell something of some lengths."""
    found = np.unique(np.concatenate((lengths, side - lengths)))
    cuts = found[(found > 0) & (2 * found <= side)]
    if len(cuts) > _MOST_CUTS:
        cuts = cuts[np.linspace(0, len(cuts) - 1, _MOST_CUTS).astype(np.int64)]
    return Family(side, cuts.tolist(), list(range(1, 8)))


def _needs(problem: Problem, sizes: Steps, along: Family, across: Family) -> FloatArray:
    """What all boxes take together, for each pair of functions; each lies as takes least."""
    ways = np.array(problem.ways)
    same, counts = np.unique(np.column_stack((sizes, ways)), axis=0, return_counts=True)
    widths, heights = same[:, 0].astype(np.int64), same[:, 1].astype(np.int64)
    plain = along(widths), across(heights)
    if not same[:, 3].any():
        return np.asarray((plain[0] * counts) @ plain[1].T)
    turned = along(heights), across(widths)
    need = np.zeros((len(plain[0]), len(plain[1])))
    for box, count in enumerate(counts.tolist()):
        values = [np.outer(way[0][:, box], way[1][:, box]) for way in (plain, turned)]
        least = [value for value, may in zip(values, same[box, 2:], strict=True) if may]
        need += count * np.min(least, axis=0)
    return need


def _holds(each: Bin, along: Family, across: Family) -> FloatArray:
    """What a bin holds at most, for each pair of functions."""
    length = along(np.array([min(each.length, along.side)]))
    width = across(np.array([min(each.width, across.side)]))
    return np.outer(length[:, 0], width[:, 0])


def _used(
    need: FloatArray, sheets: int, along: Family, across: Family, size: tuple[int, int]
) -> float:
    """The least that full sheets and the used share of the last can be together.

    The rectangle left over is one box more: what it takes under every pair is at most what the
    others leave. A cell of the grid is ruled out by its lower corner and counted by its upper.
    """
    spare = sheets - need + _NEAR
    edges = [np.linspace(0, side, _GRID + 1).astype(np.int64) for side in size]
    f, g = along(edges[0][:-1]), across(edges[1][:-1])
    possible = np.ones((_GRID, _GRID), dtype=np.bool_)
    for row, values in enumerate(f):
        for start in range(0, len(g), 32):
            over = values[:, None, None] * g.T[None, :, start : start + 32]
            possible &= (over <= spare[row, start : start + 32]).all(axis=2)
    share = np.outer(edges[0][1:] / size[0], edges[1][1:] / size[1])
    return sheets - float(np.max(np.where(possible, share, 0.0)))
