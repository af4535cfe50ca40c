"""Why nothing comes apart: the meetings that lock some parts, and none that do not.

Vocabulary
----------
lock
    A set of parts that no way parts in two, while every smaller one in it comes apart.
bars
    Pairs of parts that together keep a lock shut. Take any one of them away, as if these two were
    not in each other's way, and with what is left of the bars the lock opens.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import comb
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.parting import locked_in
from dryfit.assembly.rings import is_ring

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.assembly.stand import Stand

IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]
Pair = tuple[int, int]

_MOST_TRIALS = 20_000
"""How many sets of bars are tried for the smallest. [-]"""


@dataclass(frozen=True, slots=True)
class Lock:
    """Parts that cannot be put together, and why.

    Parameters
    ----------
    parts : tuple of int
        They come together in no order; without any one of them, the others do.
    bars : tuple of pair of int
        The pairs that lock them; without any one of these the others do not.
    smallest : bool
        Whether it is proved that no fewer pairs lock them.
    """

    parts: tuple[int, ...]
    bars: tuple[Pair, ...]
    smallest: bool


def lock_of(stand: Stand) -> Lock | None:
    """A lock in a piece; None where everything comes together."""
    locked = locked_in(stand.blocking, np.ones(stand.count, dtype=bool))
    if locked is None:
        return None
    parts = np.flatnonzero(_fewest_parts(stand, locked))
    hits = stand.blocking.hits[: len(stand.blocking.ways) // 2][:, parts[:, None], parts]
    bars = _fewest_bars(hits, _pairs(hits, stand.meets[np.ix_(parts, parts)]))
    bars, smallest = _smallest(hits, bars)
    named = sorted((int(parts[a]), int(parts[b])) for a, b in bars)
    return Lock(tuple(parts.tolist()), tuple(named), smallest)


def _fewest_parts(stand: Stand, locked: BoolArray) -> BoolArray:
    """A locked set in a locked set of which no part can be left out."""
    for part in np.flatnonzero(locked).tolist():
        if not locked[part]:
            continue
        fewer = locked.copy()
        fewer[part] = False
        found = locked_in(stand.blocking, fewer)
        if found is not None:
            locked = found
    return locked


def _pairs(hits: BoolArray, meets: BoolArray) -> list[Pair]:
    """Pairs that are in each other's way, those that do not even meet first."""
    either = hits.any(axis=0)
    one, other = np.nonzero(np.triu(either | either.T, 1))
    pairs = list(zip(one.tolist(), other.tolist(), strict=True))
    return sorted(pairs, key=lambda pair: bool(meets[pair]))


def _is_locked(hits: BoolArray, bars: Sequence[Pair]) -> bool:
    """Whether some pairs alone keep all parts from parting along any way."""
    allowed = np.zeros(hits.shape[1:], dtype=bool)
    one, other = np.array(bars, dtype=np.intp).reshape(-1, 2).T
    allowed[one, other] = allowed[other, one] = True
    # Against a way the same hits run backwards, and what is one ring stays one.
    return all(is_ring(rows & allowed) for rows in hits)


def _fewest_bars(hits: BoolArray, bars: list[Pair]) -> list[Pair]:
    """Bars of which none can be left out, found by leaving out as many at once as can be."""
    size, place = max(len(bars) // 2, 1), 0
    while True:
        fewer = bars[:place] + bars[place + size :]
        if fewer and _is_locked(hits, fewer):
            bars = fewer
        else:
            place += size
        if place >= len(bars):
            if size == 1:
                return bars
            size, place = max(size // 2, 1), 0


def _smallest(hits: BoolArray, bars: list[Pair]) -> tuple[list[Pair], bool]:
    """The smallest set of bars, and whether it is proved to be one."""
    pairs = _pairs(hits, np.ones(hits.shape[1:], dtype=bool))
    trials = 0
    for size in range(hits.shape[1] - 1, len(bars)):
        trials += comb(len(pairs), size)
        if trials > _MOST_TRIALS:
            return bars, False
        for some in combinations(pairs, size):
            if _is_locked(hits, some):
                return list(some), True
    return bars, True
