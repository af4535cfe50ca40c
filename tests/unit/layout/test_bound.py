from __future__ import annotations

import numpy as np
import pytest

from dryfit.layout.bound import Family, bound_of
from dryfit.layout.greedy import greedy
from dryfit.layout.score import score_of
from dryfit.model.sheets import Sheet
from tests.helpers.packing import WORKSHOP, boxes, panels


@pytest.mark.parametrize("side", [17, 24, 60])
def test_every_function_is_dual_feasible(side: int) -> None:
    """Superadditive, monotone and from 0 to 1, for every pair of whole lengths."""
    family = Family(side, list(range(1, side // 2 + 1)), list(range(1, 9)))
    values = family(np.arange(side + 1))
    assert values.min() >= 0
    assert np.allclose(values[:, side], 1)
    assert (np.diff(values, axis=1) >= -1e-12).all()
    for x in range(side + 1):
        for y in range(side + 1 - x):
            assert (values[:, x] + values[:, y] <= values[:, x + y] + 1e-12).all()


@pytest.mark.parametrize("seed", range(6))
def test_no_layout_beats_the_bound(seed: int) -> None:
    problem = boxes(panels(seed, 30))
    bound, score = bound_of(problem), score_of(problem, greedy(problem))
    used = score[1] + score[5] / (problem.bins[0].length * problem.bins[0].width)
    assert bound.area <= bound.used <= used + 1e-9
    assert bound.bought <= score[1]


def test_boxes_over_half_a_sheet_each_need_their_own() -> None:
    """Their area is a third of a sheet each, so that area alone says two."""
    problem = boxes([(620.0, 310.0)] * 5)
    bound = bound_of(problem)
    assert bound.area < 2
    assert bound.bought == 5
    assert bound_of(boxes([(620.0, 310.0)] * 5, turns=(0, 1))).bought == 5


def test_what_is_in_hand_counts_against_what_is_bought() -> None:
    own = Sheet("old", "ply", 1220.0, 610.0, count=2)
    assert bound_of(boxes([(620.0, 310.0)] * 5, (own, WORKSHOP))).bought == 3
    short = bound_of(boxes([(620.0, 310.0)] * 3, (own,)))
    assert short.short
    assert not bound_of(boxes([(620.0, 310.0)] * 2, (own,))).short


def test_a_zero_waste_sheet_is_bounded_by_itself() -> None:
    """Four quarters of a sheet, spacing and margins taken off, fill it exactly."""
    quarter = ((1220.0 - 12 - 6) / 2, (610.0 - 12 - 6) / 2)
    bound = bound_of(boxes([quarter] * 8))
    assert bound.bought == 2
    assert bound.area == pytest.approx(2.0)
    assert bound.used == pytest.approx(2.0, abs=0.01)
