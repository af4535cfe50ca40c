"""A shop that learns calls its odds honestly, and the book notices what breaks its model.

500 shops, and each broken world, are in ``make prove``; docs/validation.md has the tables.
"""

from __future__ import annotations

import numpy as np

from tests.helpers.shops import WANTED, World, outcomes


def _true(world: World, shops: int) -> tuple[float, float]:
    """Mean of the true chances, and how often the book flagged the shop. [-]"""
    found = [outcomes(world, seed)[0] for seed in range(shops)]
    assert all(each.called >= WANTED for each in found)
    return float(np.mean([each.true for each in found])), float(
        np.mean([each.flagged for each in found])
    )


def test_pieces_called_95_in_100_close_about_as_often() -> None:
    true, flagged = _true(World.PLAIN, 120)
    assert 0.93 <= true <= 0.97
    assert flagged <= 0.1


def test_a_day_that_went_wrong_is_noticed() -> None:
    _, flagged = _true(World.OUTLIER, 30)
    assert flagged >= 0.6


def test_a_world_that_breaks_the_model_closes_less_often() -> None:
    true, _ = _true(World.TAPER, 30)
    assert true < 0.9
