"""In which order operations are run, and how far from the least the travel between them is.

Stages follow one another: holes for dowels, trenches and holes, small outlines, large outlines.
Within them the order is free, and so is where a closed path begins. What cannot be shorter is told
beside the result: for every stage a one-tree with multipliers, as in [1]_, for these beginnings.

References
----------
.. [1] M. Held, R. M. Karp, The traveling-salesman problem and minimum spanning trees,
   Operations Research 18 (1970) 1138-1162 (from memory).
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.along import Along
from dryfit.cutting.onetree import WHOLLY, path_bound, shortest_ends
from dryfit.cutting.operation import Stage
from dryfit.cutting.toolpath import Toolpath, toolpath

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.cutting.operation import Operation
    from dryfit.model.machine import Machine

FloatArray = npt.NDArray[np.float64]

_CANDIDATES = 16
"""How many beginnings of one path are tried. [-]"""

_ROUNDS = 3
_EFFORT = 60_000
"""Kicks times operations squared, so that large sheets take no longer than they must. [-]"""


@dataclass(frozen=True, eq=False)
class Tour:
    """Operations in the order in which they are run.

    Parameters
    ----------
    paths : tuple of Toolpath
        In order.
    travel : float
        Rapid travel in plan, from the sheet's corner to the last beginning. [mm]
    bound : float
        What no order of these stages can beat. [mm]
    listed : float
        Travel in the order of the parts in the job. [mm]
    """

    paths: tuple[Toolpath, ...]
    travel: float
    bound: float
    listed: float


def tour(
    operations: Sequence[Operation], machine: Machine, thickness: float, diameter: float
) -> Tour:
    """The operations in a short order, each begun where it is handy.

    Parameters
    ----------
    operations : sequence of Operation
        As listed.
    machine : Machine
        How steep its ways down are.
    thickness : float
        Of the sheet. [mm]
    diameter : float
        Of the cutter. [mm]
    """
    listed = [toolpath(each, machine, thickness, diameter) for each in operations]
    if not listed:
        return Tour((), 0.0, 0.0, 0.0)
    as_listed = sorted(range(len(listed)), key=lambda k: (listed[k].operation.part, k))
    before = travel_of([listed[k] for k in as_listed])
    paths = listed
    order = sorted(range(len(paths)), key=lambda k: paths[k].operation.stage)
    for _ in range(_ROUNDS):
        order = _ordered(paths, order)
        paths = [paths[k] for k in order]
        order = list(range(len(paths)))
        paths = _begun(paths, machine, thickness, diameter)
    order = _ordered(paths, order)
    done = [paths[k] for k in order]
    return Tour(tuple(done), travel_of(done), _bound(done), before)


def travel_of(paths: Sequence[Toolpath]) -> float:
    """Rapid travel in plan from the sheet's corner through all paths. [mm]"""
    at, total = (0.0, 0.0), 0.0
    for path in paths:
        total += math.dist(at, path.entry)
        at = path.exit
    return total


def _costs(paths: Sequence[Toolpath]) -> FloatArray:
    """Travel from each exit to each entry; row 0 is the sheet's corner. [mm]"""
    exits = np.array([(0.0, 0.0), *(path.exit for path in paths)])
    entries = np.array([path.entry for path in paths])
    return np.asarray(np.hypot(*(exits[:, None] - entries[None]).transpose(2, 0, 1)))


def _ordered(paths: Sequence[Toolpath], order: list[int]) -> list[int]:
    """A short order that keeps the stages."""
    costs = _costs(paths)
    blocks, begin = [], 0
    for _, group in groupby(order, key=lambda k: paths[k].operation.stage):
        size = len(list(group))
        blocks.append((begin, begin + size))
        begin += size
    found: list[int] = []
    for low, high in blocks:
        left, here = set(order[low:high]), (found[-1] + 1 if found else 0)
        while left:
            after = min(left, key=lambda k: (costs[here, k], k))
            left.remove(after)
            found.append(after)
            here = after + 1
    search = _Search(costs.tolist(), blocks)
    best = search.improved(found)
    rng = random.Random(1)  # noqa: S311 - a fixed seed: the same job, the same bytes
    for _ in range(min(40, _EFFORT // max(len(found) ** 2, 1))):
        tried = search.improved(_kicked(best, blocks, rng))
        if search.length(tried) < search.length(best) - 1e-6:
            best = tried
    return best


def _kicked(order: list[int], blocks: list[tuple[int, int]], rng: random.Random) -> list[int]:
    """Two stretches of one stage changed over."""
    low, high = rng.choice(blocks)
    if high - low < 4:
        return list(order)
    a, b, c = sorted(rng.sample(range(low, high + 1), 3))
    return [*order[:a], *order[b:c], *order[a:b], *order[c:]]


class _Search:
    """Moves and turns stretches of an order as long as it becomes shorter."""

    def __init__(self, costs: list[list[float]], blocks: list[tuple[int, int]]) -> None:
        self.costs, self.blocks = costs, blocks

    def length(self, order: Sequence[int]) -> float:
        """Travel of an order. [mm]"""
        here, total = 0, 0.0
        for k in order:
            total += self.costs[here][k]
            here = k + 1
        return total

    def improved(self, order: list[int]) -> list[int]:
        """No single stretch moved or turned makes it shorter any more."""
        order = list(order)
        changed = True
        while changed:
            changed = False
            for low, high in self.blocks:
                while self._moved(order, low, high) or self._turned(order, low, high):
                    changed = True
        return order

    def _link(self, order: list[int], before: int, after: int) -> float:
        """Travel between two places in the order; nothing beyond its end. [mm]"""
        if after >= len(order):
            return 0.0
        return self.costs[order[before] + 1 if before >= 0 else 0][order[after]]

    def _moved(self, order: list[int], low: int, high: int) -> bool:
        costs = self.costs
        for size in (1, 2, 3):
            for a in range(low, high - size + 1):
                b = a + size
                first, last = order[a], order[b - 1] + 1
                gain = self._link(order, a - 1, a) + self._link(order, b - 1, b)
                before = order[a - 1] + 1 if a else 0
                gain -= costs[before][order[b]] if b < len(order) else 0.0
                if gain < 1e-9:
                    continue
                for c in (*range(low, a), *range(b + 1, high + 1)):
                    left = order[c - 1] + 1 if c else 0
                    lost = costs[left][first] - self._link(order, c - 1, c)
                    lost += costs[last][order[c]] if c < len(order) else 0.0
                    if lost < gain - 1e-9:
                        piece = order[a:b]
                        del order[a:b]
                        at = c if c < a else c - size
                        order[at:at] = piece
                        return True
        return False

    def _turned(self, order: list[int], low: int, high: int) -> bool:
        costs = self.costs
        for a in range(low, high - 1):
            left = order[a - 1] + 1 if a else 0
            ahead = back = 0.0
            for b in range(a + 1, high):
                ahead += costs[order[b - 1] + 1][order[b]]
                back += costs[order[b] + 1][order[b - 1]]
                was = costs[left][order[a]] + ahead + self._link(order, b, b + 1)
                now = costs[left][order[b]] + back
                now += costs[order[a] + 1][order[b + 1]] if b + 1 < len(order) else 0.0
                if now < was - 1e-9:
                    order[a : b + 1] = order[a : b + 1][::-1]
                    return True
        return False


def _begun(
    paths: Sequence[Toolpath], machine: Machine, thickness: float, diameter: float
) -> list[Toolpath]:
    """Each outline begun where it is nearest to what comes before and after."""
    made = list(paths)
    for k, path in enumerate(made):
        if path.operation.stage < Stage.SMALL:
            continue
        along = Along(path.operation.loop)
        straight = np.flatnonzero((along.edges[:, 4] == 0) & (along.lengths > diameter))
        step = max(1, len(straight) // _CANDIDATES)
        middles = (along.begins + along.lengths / 2)[straight[::step]]
        places = np.concatenate(([0.0], middles))
        places = places[[not _on_tab(path.operation, place, along.whole) for place in places]]
        if not len(places):
            continue
        ramps = (thickness - path.operation.bottom) / math.tan(math.radians(machine.ramp))
        before = np.array(made[k - 1].exit if k else (0.0, 0.0))
        far = np.hypot(*(along.at(places) - before).T)
        if k + 1 < len(made):
            far += np.hypot(*(along.at(places + ramps) - np.array(made[k + 1].entry)).T)
        began = path.operation.started(float(places[int(np.argmin(far))]))
        made[k] = toolpath(began, machine, thickness, diameter)
    return made


def _on_tab(operation: Operation, place: float, whole: float) -> bool:
    return any((place - begin) % whole < 2 * (end - begin) for begin, end in operation.tabs)


def _bound(paths: Sequence[Toolpath]) -> float:
    """What the travel cannot fall below, stage by stage. [mm]

    `least` is the least travel up to each end of the stage before; few places are tried wholly.
    """
    costs = _costs(paths)
    before, least = [0], np.zeros(1)
    for _, group in groupby(range(len(paths)), key=lambda k: paths[k].operation.stage):
        own = list(group)
        start = (least[:, None] + costs[np.ix_(before, own)]).min(axis=0)
        between = costs[np.ix_([k + 1 for k in own], own)]
        if len(own) <= WHOLLY:
            least = shortest_ends(start, between)
        else:
            floor = float(start.min())
            least = np.full(len(own), floor + path_bound(start - floor, between))
        before = [k + 1 for k in own]
    return float(least.min())
