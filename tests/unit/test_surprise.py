"""Results that contradict each other are told, and results that agree are left alone."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import stats

from dryfit.tolerance.evidence import Comb, Prior, Trial, Widths
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade
from dryfit.tolerance.learning import learn
from dryfit.tolerance.surprise import CLASH, Kind
from tests.helpers.combs import calipered, tried

if TYPE_CHECKING:
    from dryfit.tolerance.evidence import Source
    from dryfit.tolerance.surprise import Clash, Surprise

PRIOR = Prior()
SURE = Prior(sd=0.5, edge_sd=0.03, freedom=1e6)
"""A scatter that is known."""


def surprise(*sources: Source, prior: Prior = PRIOR) -> Surprise:
    return learn(sources, prior).surprise


def clash(*sources: Source, prior: Prior = PRIOR) -> Clash:
    found = surprise(*sources, prior=prior).clash
    assert found is not None
    return found


def test_nothing_and_one_result_contradict_nobody() -> None:
    assert surprise().clash is None
    alone = surprise(Comb("c", (Trial(0.05, Grade.HAND),)))
    assert (alone.clash, alone.p, alone.flagged) == (None, 1.0, False)


@pytest.mark.parametrize("same", [True, False])
def test_two_sockets_the_wrong_way_round_by_the_closed_form(same: bool) -> None:
    """The tighter drawn is loose, the wider drawn does not go. The difference of their airs is
    normal, the misfit drops out, and so does the tongue where it is shared. Derived here.
    """
    trials = (Trial(0.02, Grade.LOOSE, pinch=0.03), Trial(0.09, Grade.NO, pinch=0.03))
    found = clash(Comb("c", trials, same), prior=SURE)
    # Air from 0.05 up at 0.02, from -0.03 down at 0.09: 0.15 apart the wrong way.
    sd = 0.03 * (1.0 if same else math.sqrt(2))
    assert found.kind is Kind.TRIALS
    assert (found.tighter.trial, found.looser.trial) == (1, 0)
    # The prior of the scatter is all but a point; its width of 0.1 % shows far out in the tail.
    assert found.p == pytest.approx(2 * stats.norm.cdf(-0.15, scale=sd), rel=0.15)


def test_more_boundaries_ask_for_more_air() -> None:
    """With eight boundaries a trial asks for more air, against one of two by as much as sampling
    says: the mean of (max + max) / 2 over four normals each, 1.029 sd (order statistics)."""
    from dryfit.tolerance.surprise import _asked

    mean, sd = _asked(Boundaries.of(8))
    assert mean == pytest.approx(1.0294, abs=2e-4)
    assert sd == pytest.approx(0.7012 / math.sqrt(2), abs=2e-3)


def test_the_two_that_were_swapped_are_named() -> None:
    rng = np.random.default_rng(3)
    good = [tried(rng, 0.02, 0.012, name=f"comb {k}") for k in range(3)]
    swapped = [*good[1].trials]
    swapped[0], swapped[5] = (
        replace(swapped[0], grade=Grade.LOOSE),
        replace(swapped[5], grade=Grade.NO),
    )
    found = surprise(good[0], Comb("odd", tuple(swapped)), good[2])
    assert found.flagged
    assert found.clash is not None
    assert (found.clash.tighter.name, found.clash.tighter.trial) == ("odd", 5)
    assert (found.clash.looser.name, found.clash.looser.trial) == ("odd", 0)
    assert found.p < CLASH
    assert not surprise(*good).flagged


def test_a_cutter_that_wore_is_noticed() -> None:
    rng = np.random.default_rng(5)
    old = [tried(rng, 0.0, 0.015, age=400.0 - k, name=f"old {k}") for k in range(3)]
    new = [tried(rng, 0.10, 0.015, age=10.0 - k, name=f"new {k}") for k in range(3)]
    found = surprise(*old, *new)
    assert found.flagged
    assert found.clash is not None
    assert found.clash.kind is Kind.AGE
    assert found.clash.tighter.name.startswith("new")
    assert found.clash.looser.name.startswith("old")


def test_widths_that_do_not_agree_with_the_combs_are_noticed() -> None:
    rng = np.random.default_rng(6)
    combs = [tried(rng, 0.0, 0.015, name=f"comb {k}") for k in range(3)]
    off = calipered(rng, 0.12, 0.015, 5)
    found = surprise(*combs, off)
    assert found.flagged
    assert found.clash is not None
    assert found.clash.tighter.name == "widths"
    assert not surprise(*combs, calipered(rng, 0.0, 0.015, 5)).flagged


def test_a_comb_far_from_what_is_thought_possible_is_not_predicted() -> None:
    sure = Prior(mean=0.0, sd=0.005, edge_sd=0.01, freedom=1e5)
    trials = tuple(Trial(gap, Grade.NO) for gap in (0.05, 0.08, 0.12))
    found = surprise(Comb("c", trials, same_tongue=False), prior=sure)
    assert found.overall < 0.01
    assert found.predictive[0] < 0.01
    assert found.flagged
    alike = surprise(Widths("w", (0.01, -0.01, 0.0)), prior=sure)
    assert alike.overall > 0.2


def test_shops_without_fault_are_seldom_accused() -> None:
    """Of 200 shops drawn from the prior with one to four combs and some widths: at most 1 in 20."""
    rng = np.random.default_rng(12)
    accused = 0
    for _ in range(200):
        misfit = rng.normal(PRIOR.mean, PRIOR.sd)
        edge = PRIOR.edge_sd * math.sqrt(PRIOR.freedom / rng.chisquare(PRIOR.freedom))
        sources: list[Source] = [
            tried(rng, misfit, edge, age=float(k)) for k in range(int(rng.integers(1, 5)))
        ]
        if rng.random() < 0.5:
            sources.append(calipered(rng, misfit, edge, 3))
        accused += surprise(*sources).flagged
    assert accused <= 10


def test_the_same_results_are_judged_alike() -> None:
    rng = np.random.default_rng(9)
    combs = [tried(rng, 0.03, 0.02) for _ in range(2)]
    assert learn(combs, PRIOR) == learn(combs, PRIOR)
