"""An order in which the parts go together.

It is found by taking the piece apart, and read backwards. Whether there is one does not depend on
what is taken first (see :mod:`dryfit.assembly.parting`); which one is a matter of what is easy:

1. nothing that stands is in pieces that have to be held in their places until a later part joins
   them;
2. few changes of hold: parts that come the same way follow one another; none comes from below
   where it can come from the side or from above, none slides far where a short push does;
3. what is high up and light comes last, so that it begins with what is low and heavy.

A piece of a few parts is searched through; in a larger one the best next part is taken each time.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from itertools import count as counted
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.parting import core_of, partings

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.assembly.parting import Parting
    from dryfit.assembly.stand import Stand

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]
Removal = tuple[int, int]
"""A part, and the way it leaves along."""

EXACT = 8
"""Up to how many parts every order is weighed. [-]"""

CHANGE, RISE, SIDE, SLIDE = 10, 40, 1, 20
"""What a change of hold weighs, and beside it one to a way from below, or from the side, and a part
that slides far in its joints. [-]"""

FAR = 60.0
"""A part that moves further than this in its joints slides. [mm]"""

_NO_WAY = -1
_START = (0, _NO_WAY, 0)


@dataclass(frozen=True, slots=True)
class Move:
    """One step of an order: some parts are brought to those that stand.

    Parameters
    ----------
    moving : tuple of int
        The parts that are moved.
    standing : tuple of int
        Those that they are brought to; none where something is begun.
    way : int
        The way they move along; -1 where something is begun.
    travel : float
        How far they move, from clear of all that they will meet. [mm]
    """

    moving: tuple[int, ...]
    standing: tuple[int, ...] = ()
    way: int = _NO_WAY
    travel: float = 0.0


def moves_of(stand: Stand) -> tuple[Move, ...] | None:
    """All parts brought together, step by step; None where something is locked."""
    moves: list[Move] = []
    if _put_together(stand, np.ones(stand.count, dtype=bool), moves):
        return tuple(moves)
    return None


def _put_together(stand: Stand, members: BoolArray, moves: list[Move]) -> bool:
    """Append the moves that bring some parts together; whether they can be."""
    core = core_of(stand.blocking, members)
    if core.sum() > 1:
        parting = _handiest(stand, core)
        if parting is None:
            return False
        for half in (parting.stay, parting.leave):
            if not _put_together(stand, half, moves):
                return False
        moves.append(_move(stand, parting.leave, parting.stay, parting.way))
    removals = _removals(stand, members, core)
    standing = members.copy()
    for part, _ in removals:
        standing[part] = False
    if core.sum() == 1:
        moves.append(Move(_indices(standing)))
    for part, way in reversed(removals):
        moving = np.zeros_like(members)
        moving[part] = True
        moves.append(_move(stand, moving, standing, way))
        standing[part] = True
    return True


def _move(stand: Stand, leave: BoolArray, stay: BoolArray, way: int) -> Move:
    """The removal along a way as the move that undoes it."""
    half = len(stand.blocking.ways) // 2
    back = way - half if way >= half else way + half
    return Move(_indices(leave), _indices(stay), back, stand.travel(way, leave, stay))


def _indices(members: BoolArray) -> tuple[int, ...]:
    return tuple(np.flatnonzero(members).tolist())


def _handiest(stand: Stand, core: BoolArray) -> Parting | None:
    """Two halves, each in as few pieces as can be, the lighter one moved, not from below."""

    def unhandy(parting: Parting) -> tuple[int, int, float, int]:
        loose = sum(_pieces(stand, half) for half in (parting.leave, parting.stay))
        return (
            loose,
            int(stand.rises(parting.way) < 0),
            float(stand.volume[parting.leave].sum()),
            parting.way,
        )

    return min(partings(stand.blocking, core), key=unhandy, default=None)


def _pieces(stand: Stand, members: BoolArray) -> int:
    """In how many pieces that do not touch some parts stand. [-]"""
    return _Bits(stand, members, members).pieces(_Bits.all_of(members))


def _removals(stand: Stand, members: BoolArray, core: BoolArray) -> list[Removal]:
    """What leaves by itself, in turn, until the core is left, or one part of any."""
    fixed = core if core.sum() > 1 else np.zeros_like(core)
    if (members & ~fixed).sum() <= EXACT:
        return _weighed(stand, members, fixed)
    return _taken(stand, members, fixed)


class _Bits:
    """The parts of a small set as bits: who hits and who touches whom."""

    def __init__(self, stand: Stand, members: BoolArray, loose: BoolArray) -> None:
        own = np.flatnonzero(members)
        among = np.ix_(own, own)
        self.parts = own.tolist()
        self.loose = np.flatnonzero(loose[own]).tolist()
        # Python's whole numbers, which have a bit for every part there may be.
        self.meets = [_as_bits(row) for row in stand.meets[among]]
        self.hits = [[_as_bits(row) for row in rows[among]] for rows in stand.blocking.hits]
        self.far = [[_as_bits(row) for row in rows[among]] for rows in stand.clear > FAR]
        self.known: dict[int, int] = {}

    @staticmethod
    def all_of(members: BoolArray) -> int:
        """The bits of as many parts as there are members."""
        return (1 << int(members.sum())) - 1

    def removals(self, left: int) -> Iterator[tuple[int, int, int]]:
        """The parts that leave by themselves, the ways that they leave along, and what is left."""
        for part in self.loose:
            rest = left & ~(1 << part)
            if rest == left or not rest:
                continue
            for way, rows in enumerate(self.hits):
                if not rows[part] & rest:
                    yield part, way, rest

    def slide(self, part: int, way: int, rest: int) -> int:
        """What it weighs that a part slides far along a way."""
        return SLIDE if self.far[way][part] & rest else 0

    def pieces(self, left: int) -> int:
        """In how many pieces the parts that are left stand."""
        if left not in self.known:
            waiting, found = left, 0
            while waiting:
                front = waiting & -waiting
                found += 1
                while front:
                    waiting &= ~front
                    part = front.bit_length() - 1
                    front = (front & ~(1 << part)) | (self.meets[part] & waiting)
            self.known[left] = found
        return self.known[left]


def _as_bits(row: BoolArray) -> int:
    return sum(1 << place for place in np.flatnonzero(row).tolist())


def _weighed(stand: Stand, members: BoolArray, fixed: BoolArray) -> list[Removal]:
    """The best order of all, by the costs of all sets that may be left (Dijkstra)."""
    bits = _Bits(stand, members, members & ~fixed)
    rank = _ranks(stand, bits.parts)
    whole = bits.all_of(members)
    usual = bits.pieces(whole)
    goal = _as_bits(fixed[bits.parts])
    number = counted()
    queue = [((0, 0, 0), next(number), whole, _NO_WAY, _START)]
    before: dict[tuple[int, int], tuple[int, int, int]] = {}
    while queue:
        (held, effort, late), _, left, way, come = heapq.heappop(queue)
        if (left, way) in before:
            continue
        before[left, way] = come
        if left == goal or (not goal and left & (left - 1) == 0):
            return _walked(before, left, way, bits.parts)
        for part, along, rest in bits.removals(left):
            if (rest, along) in before:
                continue
            cost = (
                held + max(bits.pieces(rest) - usual, 0),
                effort + _effort(stand, way, along) + bits.slide(part, along, rest),
                late + rank[part] * rest.bit_count(),
            )
            heapq.heappush(queue, (cost, next(number), rest, along, (left, way, part)))
    return []


def _walked(
    before: dict[tuple[int, int], tuple[int, int, int]],
    left: int,
    way: int,
    parts: Sequence[int],
) -> list[Removal]:
    """The removals that lead to a set, first one first."""
    found = []
    while (come := before[left, way]) != _START:
        found.append((parts[come[2]], way))
        left, way = come[0], come[1]
    return found[::-1]


def _effort(stand: Stand, before: int, way: int) -> int:
    """What it weighs to remove along a way after another; what goes down was brought up."""
    if before == way:
        return 0
    rises = stand.rises(way)
    return CHANGE * (before != _NO_WAY) + (RISE if rises < 0 else SIDE if rises == 0 else 0)


def _ranks(stand: Stand, parts: Sequence[int]) -> list[int]:
    """How low and heavy each part is among the others: 0 for what is best removed first."""
    ordered = sorted(
        range(len(parts)),
        key=lambda k: (-round(stand.height[parts[k]], 3), round(stand.volume[parts[k]]), k),
    )
    return np.argsort(ordered).tolist()  # type: ignore[no-any-return]


def _taken(stand: Stand, members: BoolArray, fixed: BoolArray) -> list[Removal]:
    """One removal after the other, the handiest first.

    Where any part may be the one that the others are brought to, it is also tried with the lowest.
    """
    if fixed.any():
        return _Taking(stand, members, fixed).removals()
    lowest = np.zeros_like(members)
    own = np.flatnonzero(members)
    lowest[own[int(np.argmax(_ranks(stand, own.tolist())))]] = True
    tries = [_Taking(stand, members, lowest), _Taking(stand, members, fixed)]
    found = [(taking.removals(), taking.cost) for taking in tries]
    return min((each for each in found if each[0]), key=lambda each: each[1])[0]


class _Taking:
    """A larger piece taken apart, part by part."""

    def __init__(self, stand: Stand, members: BoolArray, fixed: BoolArray) -> None:
        self.stand = stand
        self.left = members.copy()
        self.loose = members & ~fixed
        self.least = max(int(fixed.sum()), 1)
        own = np.flatnonzero(members)
        self.rank = np.zeros(stand.count)
        self.rank[own] = _ranks(stand, own.tolist())
        self.hit = stand.blocking.hits[:, :, members].sum(axis=2)
        self.beside = [set(np.flatnonzero(row).tolist()) for row in stand.meets & members]
        self.far = stand.clear[:, :, members].max(axis=2) > FAR
        self.cost = (0, 0)

    def removals(self) -> list[Removal]:
        """What is taken, in turn; nothing where what is to stay is in the way of the rest."""
        found: list[Removal] = []
        way = _NO_WAY
        while self.left.sum() > self.least:
            choice = self._next(way)
            if choice is None:
                return []
            part, along = choice
            found.append(choice)
            held, effort = self.cost
            effort += _effort(self.stand, way, along) + SLIDE * int(self.far[along, part])
            self.cost = held + _splits(self.beside, part), effort
            self._take(part)
            way = along
        return found

    def _next(self, before: int) -> Removal | None:
        """The removal that leaves the rest in one piece, with the least effort, of the highest."""
        free = (self.hit == 0) & self.left & self.loose
        ways, parts = np.nonzero(free)
        effort = np.array([_effort(self.stand, before, way) for way in range(len(free))])
        total = effort[ways] + SLIDE * self.far[ways, parts]
        ordered = np.lexsort((self.rank[parts], -free.sum(axis=1)[ways], total)).tolist()
        choices = [(int(parts[k]), int(ways[k])) for k in ordered]
        whole = (choice for choice in choices if not _splits(self.beside, choice[0]))
        return next(whole, choices[0] if choices else None)

    def _take(self, part: int) -> None:
        self.left[part] = False
        self.hit -= self.stand.blocking.hits[:, :, part]
        for mate in self.beside[part]:
            self.beside[mate].discard(part)
            near = list(self.beside[mate])
            self.far[:, mate] = (self.stand.clear[:, mate, near] > FAR).any(axis=1)


def _splits(beside: list[set[int]], part: int) -> bool:
    """Whether what touches a part would be in pieces without it."""
    missing = set(beside[part])
    if len(missing) < 2:
        return False
    front = [missing.pop()]
    seen = {part, *front}
    while front and missing:
        new = beside[front.pop()] - seen
        seen |= new
        missing -= new
        front += new
    return bool(missing)
