"""The grades of a trial fit."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from dryfit.tolerance.fits import Boundaries, floating
from dryfit.tolerance.grades import LEAST_PINCH, PLAY, Grade, grade_odds

AIR = np.linspace(-0.3, 0.3, 61)
TRIAL = Boundaries.of(2)


@pytest.mark.parametrize("pinch", [0.0, 0.03])
def test_a_trial_gets_exactly_one_grade(pinch: float) -> None:
    chances = [grade_odds(grade, AIR, 0.03, TRIAL, pinch) for grade in Grade]
    assert np.allclose(sum(chances), 1.0, atol=1e-12)
    assert min(each.min() for each in chances) >= -1e-12


def test_more_air_is_never_a_tighter_grade() -> None:
    at_least_hand = sum(grade_odds(g, AIR, 0.03, TRIAL, 0.03) for g in (Grade.LOOSE, Grade.HAND))
    assert (np.diff(np.asarray(at_least_hand)) >= -1e-12).all()
    assert (np.diff(grade_odds(Grade.NO, AIR, 0.03, TRIAL, 0.03)) <= 1e-12).all()


def test_grades_are_bounded_by_play_and_pinch() -> None:
    no, loose = (
        grade_odds(g, np.array([0.02]), 0.03, TRIAL, 0.0)[0] for g in (Grade.NO, Grade.LOOSE)
    )
    assert loose == pytest.approx(floating(0.02 - PLAY / 2, 0.03, TRIAL), abs=1e-12)
    assert no == pytest.approx(1 - floating(0.02 + LEAST_PINCH, 0.03, TRIAL), abs=1e-12)


@pytest.mark.parametrize("air", [-0.6, -0.2, 0.02, 0.2, 0.6])
def test_an_unlikely_grade_keeps_its_digits(air: float) -> None:
    """One finger in one socket: the air is normal with sd / √2, here 0.02; limits typed in."""
    low, high = (air - 0.05) / 0.02, air / 0.02
    tail = stats.norm.cdf if low < 0 else stats.norm.sf
    exact = abs(tail(high) - tail(low))
    ours = grade_odds(Grade.HAND, np.array([air]), 0.02 * np.sqrt(2), TRIAL, 0.03)[0]
    assert ours == pytest.approx(exact, rel=1e-9)
    assert ours > 0


def test_two_boundaries_are_graded_as_more_are() -> None:
    """The same by differences of the odds of closing, as it is done with more boundaries."""
    for grade, least, most in (
        (Grade.HAND, 0.0, PLAY / 2), (Grade.MALLET, -0.03, 0.0)
    ):  # fmt: skip
        by_difference = [
            floating(a - least, 0.03, TRIAL) - floating(a - most, 0.03, TRIAL) for a in AIR
        ]
        ours = grade_odds(grade, AIR, 0.03, TRIAL, 0.03)
        assert np.allclose(ours, by_difference, atol=1e-12)
