"""The search in a process of its own: a problem comes in as one line, better layouts go out.

Run as ``python -m dryfit.layout.worker``. It first packs everything at once, then improves the
layout by *large neighbourhoods*: it takes a few bins apart, the emptiest among them, packs their
boxes anew and keeps what is no worse. Sheets in hand come first, each filled as full as it goes.
"""

from __future__ import annotations

import json
import random
import sys
import time
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, TextIO

from dryfit.layout.engine import Aim, Effort, pack, pack_both, pack_outlines
from dryfit.layout.problem import Filled
from dryfit.layout.score import score_of
from dryfit.layout.wire import filled_line, read_task

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.layout.engine import Found
    from dryfit.layout.problem import Bin, Problem
    from dryfit.layout.score import Score
    from dryfit.layout.wire import Task

_WHOLE = 90
"""The most boxes that are packed all at once. [-]"""

_FEW = 30
"""The most boxes that a neighbourhood packs anew. [-]"""

_LONG, _SHORT = 60.0, 10.0
"""Limits of one call that ends by itself, whole and neighbourhood. [s]"""


@dataclass
class _Search:
    """The best so far, and where it is told."""

    task: Task
    out: TextIO
    filled: tuple[Filled, ...] = ()
    score: Score | None = None

    @property
    def problem(self) -> Problem:
        """What is laid."""
        return self.task.problem

    def __post_init__(self) -> None:
        self.begun = time.monotonic()

    @property
    def left(self) -> float:
        """Time left, of a search that repeats always enough. [s]"""
        if self.task.rounds:
            return _LONG
        return self.task.seconds - (time.monotonic() - self.begun)

    def effort(self, seconds: float) -> Effort:
        """Effort of one call of at most some seconds."""
        return Effort(min(seconds, max(self.left, 0.05)), bool(self.task.rounds))

    def offer(self, filled: Sequence[Filled]) -> bool:
        """Keep a layout that is no worse, and tell it where it is better."""
        score = score_of(self.problem, filled)
        if self.score is not None and score > self.score:
            return False
        better = self.score is None or score < self.score
        self.filled, self.score = tuple(filled), score
        if better:
            self.out.write(filled_line(self.problem, self.filled) + "\n")
            self.out.flush()
        return better


def run(source: TextIO, out: TextIO) -> None:
    """Read a task, search, and write each better layout as a line; then one that says so."""
    search = _Search(read_task(source.readline()), out)
    if search.task.start:
        search.offer(search.task.start)
    _begin(search)
    _improve(search)
    out.write(json.dumps({"done": True}) + "\n")
    out.flush()


def _begin(search: _Search) -> None:
    """Pack everything at once, where it is not too much: sheets in hand, then those to buy."""
    problem = search.problem
    boxes = list(range(len(problem.items)))
    if any(item.outline for item in problem.items) and not problem.rules.guillotine:
        found = pack_outlines(problem, boxes, _copies(problem), search.effort(_LONG))
        bins = [each for each, _ in _copies(problem)]
        search.offer([Filled(bins[number], spots) for number, spots in found])
        return
    if len(boxes) > _WHOLE and len(search.filled) != 1:
        return
    filled, left = _in_hand(search, boxes)
    for offer in _to_buy(search, left):
        search.offer([*filled, *offer])


def _share(search: _Search) -> float:
    """Share of the time for packing everything at once; one bin has no neighbourhoods. [-]"""
    return 0.95 if len(search.filled) == 1 else 0.4


def _copies(problem: Problem) -> list[tuple[Bin, int]]:
    """Every bin, with as many of those to buy as could be needed."""
    return [(each, 1 if each.number else len(problem.items)) for each in problem.bins]


def _in_hand(search: _Search, boxes: list[int]) -> tuple[list[Filled], list[int]]:
    """Sheets in hand, each filled as full as it goes; and what is left over."""
    filled = []
    for single in search.problem.in_hand:
        found = pack(search.problem, boxes, [(single, 1)], Aim.FULLEST, search.effort(_SHORT / 2))
        for _, spots in found:
            filled.append(Filled(single, spots))
            taken = {spot.box for spot in spots}
            boxes = [box for box in boxes if box not in taken]
    return filled, boxes


def _to_buy(search: _Search, boxes: Sequence[int]) -> Iterator[list[Filled]]:
    """Bought sheets for what is left over: as few as can be, then as cheap."""
    kinds = search.problem.to_buy
    if not boxes or not kinds:
        yield []
        return
    bins = [(each, len(boxes)) for each in kinds]
    seconds = _LONG if search.task.rounds else max(search.left * _share(search), 0.1)
    effort = search.effort(seconds)
    ways: tuple[Found, ...]
    if len(kinds) > 1:
        ways = (pack(search.problem, boxes, bins, Aim.COST, effort),)
    elif effort.repeats:
        ways = pack_both(search.problem, boxes, bins, effort)
    else:  # by the clock, the library uses both cores itself
        ways = (pack(search.problem, boxes, bins, Aim.STRIP, effort),)
    for found in ways:
        yield [Filled(kinds[number], spots) for number, spots in found]


def _improve(search: _Search) -> None:
    """Take neighbourhoods apart until the rounds or the time are used up."""
    if any(spot.turn is not None for each in search.filled for spot in each.spots):
        return
    rng = random.Random(search.task.seed)  # noqa: S311
    rounds = search.task.rounds or sys.maxsize
    tried: set[tuple[frozenset[int], ...]] = set()
    for _ in range(rounds):
        if search.left <= 0.1:
            return
        group = _neighbourhood(search, rng, tried)
        if group is None:
            return
        _again(search, group)


def _fill_of(search: _Search, place: int) -> float:
    """How full a bin is. [-]"""
    each = search.filled[place]
    taken = sum(search.problem.area(spot.box) for spot in each.spots)
    return taken / (each.bin.length * each.bin.width)


def _neighbourhood(
    search: _Search, rng: random.Random, tried: set[tuple[frozenset[int], ...]]
) -> tuple[int, ...] | None:
    """Bins to pack anew: the emptiest with one or more others, of few boxes, not tried before."""
    count = len(search.filled)
    if count < 2:
        return None
    emptiest = min(range(count), key=lambda place: _fill_of(search, place))
    others = [place for place in range(count) if place != emptiest]
    groups = (
        [
            (*some, emptiest)
            for size in (1, 2, 3)
            if size + 1 < count or count == 2
            for some in combinations(others, size)
        ]
        if count <= 12
        else [(*rng.sample(others, 3), emptiest) for _ in range(40)]
    )
    rng.shuffle(groups)
    for group in groups:
        sets = [frozenset(s.box for s in search.filled[place].spots) for place in group]
        if sum(map(len, sets)) > _FEW and len(group) > 2:
            continue
        key = tuple(sorted(sets, key=min))
        if key not in tried:
            tried.add(key)
            return group
    return None


def _again(search: _Search, group: Sequence[int]) -> None:
    """Pack the boxes of some bins anew, the emptiest last, and offer what comes of it."""
    problem = search.problem
    chosen = [search.filled[place] for place in group]
    kept = [each for place, each in enumerate(search.filled) if place not in group]
    boxes = [spot.box for each in chosen for spot in each.spots]
    if len({(each.bin.length, each.bin.width, each.bin.taken) for each in chosen}) == 1:
        bins = [(chosen[0].bin, len(chosen))]
        own = [each.bin for each in chosen]
        for found in pack_both(problem, boxes, bins, Effort(min(_SHORT, search.left), light=True)):
            new = [Filled(own[k], spots) for k, (_, spots) in enumerate(found)]
            search.offer([*kept, *new])
    else:
        new = []
        for each in chosen:
            found = pack(problem, boxes, [(each.bin, 1)], Aim.FULLEST, search.effort(_SHORT / 2))
            new += [Filled(each.bin, spots) for _, spots in found]
            taken = {spot.box for spot in new[-1].spots} if new else set()
            boxes = [box for box in boxes if box not in taken]
        search.offer([*kept, *new])


if __name__ == "__main__":
    run(sys.stdin, sys.stdout)
