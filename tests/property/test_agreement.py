"""Computed odds against a referee that cuts, puts together and counts.

The referee shares no code with the formulas. A million throws each of 200 joints and 50 pieces are
in ``make prove``; here are fewer, with the same allowance.
"""

from __future__ import annotations

import pytest

from tests.helpers.agreement import joint_apart, piece_apart
from tests.helpers.random_pieces import random_joint, random_piece

MOST, SELDOM = 4.5, 3.0


def test_random_joints_agree() -> None:
    apart = [joint_apart(random_joint(seed), 60_000, seed).errors for seed in range(40)]
    assert max(map(abs, apart)) < MOST
    assert sum(abs(each) > SELDOM for each in apart) <= 3


@pytest.mark.parametrize("first", range(0, 22, 11))
def test_random_pieces_of_every_form_agree(first: int) -> None:
    found = [piece_apart(random_piece(seed), 40_000, seed) for seed in range(first, first + 11)]
    assert max(abs(each.errors) for each in found) < MOST
    assert sum(abs(each.errors) > SELDOM for each in found) <= 1
    assert any(0.1 < each.computed < 0.99 for each in found)
