"""The greedy engine: boxes one after the other into the best empty rectangle, many times over.

Each try lays the boxes in another order and by another rule for the place; the best is kept. It is
ours, needs nothing but NumPy, and gives a full layout at once for the better engine to improve on.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.layout.free import FreeSpace, Slices
from dryfit.layout.problem import Filled, Spot
from dryfit.layout.score import Score, score_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from dryfit.layout.free import IntArray
    from dryfit.layout.problem import Bin, Problem

_WORK = 8_000
"""Boxes that are tried in all, so that the effort does not grow with the job. [-]"""

_MOST_TRIES = 160
_SEED = 20_261
_BLUR = 0.25
"""How far the figures by which boxes are ordered are blurred in later tries. [-]"""

_NEVER = np.iinfo(np.int64).max


def greedy(problem: Problem, stop: Callable[[], bool] = lambda: False) -> tuple[Filled, ...]:
    """The best of many tries; the same for the same problem.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    stop : callable
        Asked between tries; once it says yes, the best so far is given.
    """
    best: tuple[Filled, ...] = ()
    score: Score | None = None
    for way in _ways(problem):
        found = _fill(problem, way)
        reached = score_of(problem, found)
        if score is None or reached < score:
            best, score = found, reached
        if stop():
            break
    return best


@dataclass(frozen=True, slots=True)
class _Way:
    """The order of the boxes, the rule for the place, and whether cuts run straight through."""

    order: tuple[int, ...]
    rule: int


_ORDERS: tuple[Callable[[IntArray], IntArray], ...] = (
    lambda s: s[:, 0] * s[:, 1],
    lambda s: s.max(axis=1),
    lambda s: s[:, 1],
    lambda s: s[:, 0],
    lambda s: s.min(axis=1),
    lambda s: s.sum(axis=1),
)
_RULES = 4


def _ways(problem: Problem) -> Iterator[_Way]:
    """Every order with every rule, then orders blurred at random by a fixed seed."""
    count = len(problem.sizes)
    if not count:
        return
    sizes = np.array(problem.sizes, dtype=np.int64)
    tries = min(_MOST_TRIES, max(len(_ORDERS), _WORK // count))
    rng = random.Random(_SEED)  # noqa: S311
    for number in range(tries):
        figures = _ORDERS[number % len(_ORDERS)](sizes).astype(np.float64)
        if number >= len(_ORDERS) * _RULES:
            figures *= np.array([1 + _BLUR * (rng.random() - 0.5) for _ in range(count)])
        order = np.argsort(-figures, kind="stable")
        yield _Way(tuple(order.tolist()), (number // len(_ORDERS)) % _RULES)


def _fill(problem: Problem, way: _Way) -> tuple[Filled, ...]:
    """Fill those in hand one after the other, then as many of the bought as are needed."""
    left = list(way.order)
    filled = []
    for single in problem.in_hand:
        spots, left = fill_one(problem, single, left, way.rule)
        if spots:
            filled.append(Filled(single, spots))
    kinds = problem.to_buy
    while left and kinds:
        offers = [(each, *fill_one(problem, each, left, way.rule)) for each in kinds]
        best = max(
            offers, key=lambda offer: (sum(map(problem.area, _boxes(offer[1]))), -_price(offer[0]))
        )
        if not best[1]:
            break
        filled.append(Filled(best[0], best[1]))
        left = best[2]
    return tuple(filled)


def _boxes(spots: Sequence[Spot]) -> list[int]:
    return [spot.box for spot in spots]


def _price(each: Bin) -> float:
    return each.sheet.price or 0.0


def fill_one(
    problem: Problem, where: Bin, boxes: Sequence[int], rule: int
) -> tuple[tuple[Spot, ...], list[int]]:
    """Lay boxes in order into one bin; what was laid, and what is left over."""
    cutter = Slices if problem.rules.guillotine else FreeSpace
    space = cutter(where.length, where.width, where.taken)
    spots, left = [], []
    smallest = min((min(problem.sizes[box]) for box in boxes), default=0)
    for box in boxes:
        spot = _best_spot(problem, space.free, box, rule) if len(space.free) else None
        if spot is None:
            left.append(box)
            continue
        width, height = problem.lying(box, turned=spot.turned)
        space.take((spot.x, spot.y, spot.x + width, spot.y + height))
        space.free = space.free[(space.free[:, 2:] - space.free[:, :2]).min(axis=1) >= smallest]
        spots.append(spot)
    return tuple(spots), left


def _best_spot(problem: Problem, free: IntArray, box: int, rule: int) -> Spot | None:
    """The place for a box in the empty rectangles by a rule, or None where none is large enough."""
    found: tuple[tuple[int, int], Spot] | None = None
    for turned in (False, True):
        if not problem.ways[box][turned]:
            continue
        width, height = problem.lying(box, turned=turned)
        spare_x, spare_y = free[:, 2] - free[:, 0] - width, free[:, 3] - free[:, 1] - height
        first, second = _figures(free, spare_x, spare_y, rule)
        first = np.where((spare_x >= 0) & (spare_y >= 0), first, _NEVER)
        least = int(first.min())
        if least == _NEVER:
            continue
        ties = np.flatnonzero(first == least)
        place = int(ties[second[ties].argmin()])
        rank = least, int(second[place])
        if found is None or rank < found[0]:
            found = rank, Spot(box, int(free[place, 0]), int(free[place, 1]), turned)
    return found[1] if found else None


def _figures(
    free: IntArray, spare_x: IntArray, spare_y: IntArray, rule: int
) -> tuple[IntArray, IntArray]:
    """What a rule looks at first and second; the least is the best place."""
    short, long = np.minimum(spare_x, spare_y), np.maximum(spare_x, spare_y)
    if rule == 0:  # the rectangle that it fills best along one side
        return short, long
    if rule == 1:  # furthest to the left, then lowest: keeps a strip beside all
        return free[:, 0], free[:, 1]
    if rule == 2:  # lowest, then furthest to the left: keeps a strip above all
        return free[:, 1], free[:, 0]
    return (free[:, 2] - free[:, 0]) * (free[:, 3] - free[:, 1]), short
