"""How a set of parts comes apart: what leaves by itself, what leaves together, what is locked.

Vocabulary
----------
core
    What is left of a set when every part that leaves by itself has left, in whatever order. It is
    the same whatever the order: a part that can leave now can leave later, with fewer in its way.
locked
    A set that no way parts in two. A set with a locked one in it can never be taken apart, and one
    without can: what parts a set parts every smaller set in it, or leaves that on one side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.rings import is_ring, rings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.assembly.blocking import Blocking

IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Parting:
    """A set in two: those that leave [bool (n,)] along a way, and those that stay."""

    way: int
    leave: BoolArray
    stay: BoolArray


def core_of(blocking: Blocking, members: BoolArray) -> BoolArray:
    """What is left when everything that leaves by itself has left; one part where all do."""
    left = members.copy()
    hit = blocking.hits[:, :, left].sum(axis=2)
    while left.sum() > 1:
        free = left & (hit == 0).any(axis=0)
        if not free.any():
            break
        free[np.flatnonzero(left)[0]] &= not free[left].all()
        left &= ~free
        hit -= blocking.hits[:, :, free].sum(axis=2)
    return left


def partings(blocking: Blocking, members: BoolArray) -> Iterator[Parting]:
    """Ways to part a set in two, the smallest sets that can leave along every way.

    Nothing is yielded if and only if the set is locked, or is a single part.
    """
    inside = np.flatnonzero(members)
    for way in range(len(blocking.ways)):
        hits = blocking.hits[way][np.ix_(inside, inside)]
        for own in _closed(hits):
            leave = np.zeros_like(members)
            leave[inside[own]] = True
            yield Parting(way, leave, members & ~leave)


def _closed(hits: BoolArray) -> Iterator[BoolArray]:
    """The sets that can leave and have no smaller one in them: rings of hits that hit no other."""
    if is_ring(hits):
        return
    for ring in rings(hits):
        if not hits[ring][:, ~ring].any():
            yield ring


def locked_in(blocking: Blocking, members: BoolArray) -> BoolArray | None:
    """A locked set among the members; None where they all come apart."""
    waiting = [members]
    while waiting:
        core = core_of(blocking, waiting.pop())
        if core.sum() < 2:
            continue
        parting = next(partings(blocking, core), None)
        if parting is None:
            return core
        waiting += [parting.leave, parting.stay]
    return None


def orders(blocking: Blocking) -> int:
    """In how many orders all parts go in one by one. [-]

    The first part may be any that the others can be brought to.

    Notes
    -----
    Every set of parts is looked at, 2^n of them.
    """
    count = blocking.count
    # For each way and part, the others that it hits, as bits.
    bits = (blocking.hits * (1 << np.arange(count, dtype=np.int64))).sum(axis=2).tolist()
    known = [0] * (1 << count)
    for part in range(count):
        known[1 << part] = 1
    for left in range(1, 1 << count):
        if known[left]:
            continue
        for part in range(count):
            rest = left & ~(1 << part)
            if rest != left and any(not row[part] & rest for row in bits):
                known[left] += known[rest]
    return known[-1]


def two_handed(blocking: Blocking) -> int:
    """In how many ways all parts come apart in two, whichever way they move. [-]

    Notes
    -----
    Every set of parts is looked at, 2^n of them.
    """
    count = blocking.count
    whole = (1 << count) - 1
    bits = (blocking.hits * (1 << np.arange(count, dtype=np.int64))).sum(axis=2).tolist()
    found = set()
    for row in bits:
        for leave in range(1, whole):
            own = [part for part in range(count) if leave >> part & 1]
            if not any(row[part] & ~leave for part in own):
                found.add(min(leave, whole & ~leave))
    return len(found)
