"""The grades of a trial fit."""

from __future__ import annotations

import numpy as np
import pytest

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
