"""Overlapping boxes against all pairs, one by one."""

from __future__ import annotations

import time
from itertools import combinations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shapes.cells import overlapping_pairs, shared
from dryfit.shapes.tolerances import SAME


def brute(low: np.ndarray, high: np.ndarray, slack: float) -> list[tuple[int, int]]:
    return [
        (i, j)
        for i, j in combinations(range(len(low)), 2)
        if all(min(high[i][k], high[j][k]) - max(low[i][k], low[j][k]) > slack for k in range(3))
    ]


@settings(max_examples=80)
@given(
    st.lists(
        st.tuples(*[st.tuples(st.integers(-6, 6), st.integers(0, 5))] * 3), min_size=0, max_size=14
    ),
    st.sampled_from([SAME, 0.0, 0.5, -0.5, -1.5]),
)
def test_the_sweep_finds_what_all_pairs_find(
    boxes: list[tuple[tuple[int, int], ...]], slack: float
) -> None:
    """Whole coordinates, so that many boxes only touch; some are flat."""
    table = np.array(boxes, dtype=float).reshape(-1, 3, 2)
    low, high = table[:, :, 0], table[:, :, 0] + table[:, :, 1]
    found = [tuple(pair) for pair in overlapping_pairs(low, high, slack).tolist()]
    assert found == brute(low, high, slack)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_random_boxes(seed: int) -> None:
    rng = np.random.default_rng(seed)
    low = rng.uniform(0, 10, (40, 3))
    high = low + rng.uniform(0, 4, (40, 3))
    pairs = overlapping_pairs(low, high)
    assert [tuple(pair) for pair in pairs.tolist()] == brute(low, high, SAME)
    lows, highs, real = shared(low, high, pairs)
    assert real.all()
    for (i, j), a, b in zip(pairs, lows, highs, strict=True):
        assert (a == np.maximum(low[i], low[j])).all()
        assert (b == np.minimum(high[i], high[j])).all()


def test_a_long_row_is_swept_and_not_compared_pair_by_pair() -> None:
    """Twenty thousand boxes: all pairs would be two hundred million."""
    x = np.arange(20_000, dtype=float)
    low = np.column_stack((x, np.zeros_like(x), np.zeros_like(x)))
    begin = time.perf_counter()
    pairs = overlapping_pairs(low, low + [1.5, 1.0, 1.0])
    assert time.perf_counter() - begin < 2.0
    assert (pairs == np.column_stack((np.arange(19_999), np.arange(1, 20_000)))).all()


def test_three_boxes_share_what_all_three_hold() -> None:
    low = np.array([[0.0, 0, 0], [1, 0, 0], [0, 2, 0]])
    high = np.array([[3.0, 3, 3], [4, 3, 3], [3, 5, 1]])
    lows, highs, real = shared(low, high, np.array([[0, 1, 2]]))
    assert (lows[0].tolist(), highs[0].tolist(), real.tolist()) == ([1, 2, 0], [3, 3, 1], [True])
    _, _, none = shared(low, high + [[-2, 0, 0], [0, 0, 0], [0, 0, 0]], np.array([[0, 1, 2]]))
    assert none.tolist() == [False]
