"""Rings of hits: sets of parts of which each hits every other, directly or through others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Iterator

BoolArray = npt.NDArray[np.bool_]


def rings(hits: BoolArray) -> Iterator[BoolArray]:
    """The rings in a graph of hits (n, n), each as its members; every part is in one of them."""
    left = np.ones(len(hits), dtype=bool)
    while left.any():
        start = int(left.argmax())
        ring = reached(hits, start, left) & reached(hits.T, start, left)
        yield ring
        left &= ~ring


def is_ring(hits: BoolArray) -> bool:
    """Whether all parts of a graph of hits (n, n) are one ring."""
    everything = np.ones(len(hits), dtype=bool)
    return bool(reached(hits, 0, everything).all() and reached(hits.T, 0, everything).all())


def reached(hits: BoolArray, start: int, among: BoolArray) -> BoolArray:
    """What one part hits, what that hits, and so on, among some parts [bool (n,)]."""
    found = np.zeros(len(hits), dtype=bool)
    found[start] = True
    front = found
    while front.any():
        front = hits[front].any(axis=0) & among & ~found
        found = found | front
    return found
