"""Whether bodies can be placed so that every link holds, and how far all must open until they can.

A link asks low <= x_b - x_a <= high. Both are edges of a graph: one from a to b that weighs high,
one from b to a that weighs -low. Places exist iff no loop of edges weighs less than nothing. An
opening t adds c t to an edge, so each sample has a least opening at which its bodies can be placed:
the root of the loop that closes last. It is found by Newton's way: take any loop that still weighs
less than nothing, open to its root, look again. No loop comes twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.tolerance.normal import FloatArray

IndexArray = npt.NDArray[np.intp]

_SLIGHT = 1e-12
_FEW = 12


@dataclass(frozen=True)
class Graph:
    """Edges between bodies, sorted by where they end; none but those on loops.

    Parameters
    ----------
    count : int
        Number of bodies. [-]
    source, target : array, shape (e,)
        The bodies each edge leads from and to. [-]
    rise : array, shape (e,)
        What an opening of 1 adds to it. [-]
    """

    count: int
    source: IndexArray
    target: IndexArray
    rise: FloatArray

    @classmethod
    def of(cls, edges: Sequence[tuple[int, int, float]]) -> tuple[Graph, list[int]]:
        """The graph of edges (from, to, rise), and which of them it has kept."""
        kept = _on_loops(edges)
        bodies = sorted({body for place in kept for body in edges[place][:2]})
        number = {body: place for place, body in enumerate(bodies)}
        kept.sort(key=lambda place: number[edges[place][1]])
        graph = cls(
            len(bodies),
            np.array([number[edges[place][0]] for place in kept], dtype=np.intp),
            np.array([number[edges[place][1]] for place in kept], dtype=np.intp),
            np.array([edges[place][2] for place in kept]),
        )
        return graph, kept

    def least_opening(self, weight: FloatArray, start: FloatArray) -> FloatArray:
        """The least opening, `start` or more, at which the bodies can be placed, shape (s,). [mm]

        Parameters
        ----------
        weight : array, shape (e, s)
            What each edge weighs with no opening, in every sample. [mm]
        start : array, shape (s,)
            Where to begin. [mm]

        Returns
        -------
        array
            Infinite where no opening helps a loop that is short.
        """
        opening = start.copy()
        left = np.flatnonzero(np.isfinite(opening)) if self.count else np.empty(0, np.intp)
        while left.size:
            opened = weight[:, left] + self.rise[:, None] * opening[left]
            # Most samples come to rest at once; only where one does not is a loop looked for.
            restless = self._restless(opened)
            left = left[restless]
            total, rise = self._short_loops(opened[:, restless])
            short = total < -_SLIGHT
            left, total, rise = left[short], total[short], rise[short]
            helps = rise > 0
            opening[left[~helps]] = np.inf
            left, total, rise = left[helps], total[helps], rise[helps]
            opening[left] -= total / rise
        return opening

    def _restless(self, weight: FloatArray) -> IndexArray:
        """The samples whose bodies do not come to rest within a few moves of all."""
        place = np.zeros((self.count, weight.shape[1]))
        left = np.arange(weight.shape[1])
        for _ in range(min(self.count + 1, _FEW)):
            before = place.copy()
            for body, (begin, end) in enumerate(self._spans):
                reached = (place[self.source[begin:end]] + weight[begin:end]).min(axis=0)
                np.minimum(place[body], reached, out=place[body])
            moved = (place < before - _SLIGHT).any(axis=0)
            if not moved.any():
                return left[:0]
            if not moved.all():
                left, weight, place = left[moved], weight[:, moved], place[:, moved]
        return left

    def _short_loops(self, weight: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Weight and rise of a loop that weighs less than nothing; 0 where there is none."""
        samples = weight.shape[1]
        found = np.zeros(samples), np.zeros(samples)
        left = np.arange(samples)
        place = np.zeros((self.count, samples))
        came = np.full((self.count, samples), -1, dtype=np.intp)
        look = 2
        for turn in range(1, self.count + 2):
            last = self._relax(weight, place, came)
            moved = last >= 0
            if turn >= min(look, self.count):
                look *= 2
                loops = self._loops(last, weight, came)
                caught = loops[0] < -_SLIGHT
                for total, own in zip(found, loops, strict=True):
                    total[left[caught]] = own[caught]
                moved &= ~caught
            if not moved.any():
                break
            if not moved.all():
                left, weight = left[moved], weight[:, moved]
                place, came = place[:, moved], came[:, moved]
        return found

    def _relax(self, weight: FloatArray, place: FloatArray, came: IndexArray) -> IndexArray:
        """Move every body once to where its edges let it lie; the last that moved, or -1."""
        last = np.full(place.shape[1], -1, dtype=np.intp)
        for body, (begin, end) in enumerate(self._spans):
            reached = place[self.source[begin:end]] + weight[begin:end]
            best = reached.argmin(axis=0)
            nearest = np.take_along_axis(reached, best[None], axis=0)[0]
            nearer = nearest < place[body] - _SLIGHT
            place[body] = np.where(nearer, nearest, place[body])
            came[body] = np.where(nearer, begin + best, came[body])
            last[nearer] = body
        return last

    @cached_property
    def _spans(self) -> list[tuple[int, int]]:
        """Where the edges that end at each body lie."""
        cuts = np.searchsorted(self.target, np.arange(self.count + 1)).tolist()
        return list(pairwise(cuts))

    def _loops(
        self, last: IndexArray, weight: FloatArray, came: IndexArray
    ) -> tuple[FloatArray, FloatArray]:
        """Weight and rise of the loop behind the last body that moved, 0 where there is none."""
        samples = np.arange(came.shape[1])
        # As many steps back as there are bodies lead into the loop, if there is one.
        at = last
        for _ in range(self.count):
            at = self._back(at, came, samples)
        start, walking = at, at >= 0
        total, rise = np.zeros(len(samples)), np.zeros(len(samples))
        for _ in range(self.count):
            if not walking.any():
                break
            edge = np.where(walking, came[at, samples], 0)
            total += np.where(walking, weight[edge, samples], 0.0)
            rise += np.where(walking, self.rise[edge], 0.0)
            at = np.where(walking, self.source[edge], at)
            walking = walking & (at != start)
        return total, rise

    def _back(self, at: IndexArray, came: IndexArray, samples: IndexArray) -> IndexArray:
        """One step back from each body; -1 where it never moved."""
        edge = np.where(at >= 0, came[at, samples], -1)
        return np.where(edge >= 0, self.source[edge], -1)


def _on_loops(edges: Sequence[tuple[int, int, float]]) -> list[int]:
    """Edges left when bodies that hang on one other body only are taken off, again and again."""
    beside: dict[int, set[int]] = {}
    for one, other, _ in edges:
        beside.setdefault(one, set()).add(other)
        beside.setdefault(other, set()).add(one)
    loose = [body for body, near in beside.items() if len(near) == 1]
    while loose:
        body = loose.pop()
        for near in beside.pop(body, ()):
            if near in beside:
                beside[near].discard(body)
                if len(beside[near]) == 1:
                    loose.append(near)
    return [n for n, edge in enumerate(edges) if edge[0] in beside and edge[1] in beside]
