"""Laws of learning from results."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.tolerance.evidence import Comb, Prior, Source, Trial, Widths
from dryfit.tolerance.grades import Grade
from dryfit.tolerance.learning import learn, posterior

GAPS = st.floats(-0.1, 0.3)
GRADES = st.sampled_from(list(Grade))
TRIALS = st.builds(Trial, GAPS, GRADES, pinch=st.sampled_from([0.0, 0.03]))
AGES = st.floats(0.0, 1000.0)
COMBS = st.builds(
    Comb, st.just("c"), st.lists(TRIALS, min_size=1, max_size=5).map(tuple), st.booleans(), AGES
)
OFFS = st.lists(st.floats(-0.2, 0.2), min_size=1, max_size=5).map(tuple)
WIDTHS = st.builds(Widths, st.just("w"), OFFS, OFFS, st.sampled_from([0.0, 0.02]), AGES)
SOURCES = st.lists(COMBS | WIDTHS, min_size=1, max_size=4)
PRIOR = Prior(mean=0.0, sd=0.06, edge_sd=0.025, freedom=4.0)
SURE = Prior(mean=0.0, sd=0.06, edge_sd=0.025, freedom=1e6)
"""With a scatter that is known, the law of grades holds without exception."""


def mean_of(sources: list[Source], prior: Prior = PRIOR) -> float:
    return posterior(sources, prior).misfit_moments[0]


@settings(max_examples=40)
@given(COMBS, st.integers(0, 4))
def test_a_looser_grade_never_raises_the_misfit(comb: Comb, place: int) -> None:
    place %= len(comb.trials)
    means = []
    for grade in Grade:  # the loosest first
        trials = [*comb.trials]
        trials[place] = replace(trials[place], grade=grade)
        means.append(mean_of([replace(comb, trials=tuple(trials))], SURE))
    assert all(tighter >= looser - 1e-5 for looser, tighter in pairwise(means))


@settings(max_examples=40)
@given(SOURCES, st.randoms(use_true_random=False))
def test_the_order_of_results_does_not_matter(sources: list[Source], random: object) -> None:
    mixed = [*sources]
    random.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = posterior(sources, PRIOR), posterior(mixed, PRIOR)
    assert one.misfit_moments == pytest.approx(other.misfit_moments, abs=1e-9)
    assert one.scatter == pytest.approx(other.scatter, rel=1e-6)


@settings(max_examples=25)
@given(SOURCES)
def test_without_ageing_every_result_counts_as_new(sources: list[Source]) -> None:
    new = [replace(source, age=0.0) for source in sources]
    unaged = posterior(sources, PRIOR, math.inf)
    assert unaged.misfit_moments == posterior(new, PRIOR).misfit_moments


@settings(max_examples=40)
@given(OFFS, st.floats(0.01, 0.1))
def test_wider_fingers_raise_the_misfit(offs: tuple[float, ...], more: float) -> None:
    wider = tuple(off + more for off in offs)
    assert mean_of([Widths("w", wider)], SURE) > mean_of([Widths("w", offs)], SURE)


@settings(max_examples=25)
@given(COMBS, st.floats(-0.05, 0.05))
def test_a_shift_of_all_gaps_shifts_the_misfit(comb: Comb, shift: float) -> None:
    """Drawn with more air throughout and thought of as tighter by as much, it fits the same."""
    moved = replace(
        comb, trials=tuple(replace(trial, gap=trial.gap + shift) for trial in comb.trials)
    )
    here, there = posterior([comb], PRIOR), posterior([moved], replace(PRIOR, mean=shift))
    assert there.misfit_moments[0] == pytest.approx(here.misfit_moments[0] + shift, abs=2e-4)
    assert there.misfit_moments[1] == pytest.approx(here.misfit_moments[1], rel=0.01)


@settings(max_examples=25)
@given(SOURCES)
def test_what_is_learned_is_finite_and_its_p_is_a_chance(sources: list[Source]) -> None:
    found = learn(sources, PRIOR)
    assert all(map(math.isfinite, (found.misfit_mean, found.misfit_sd, found.edge_sd)))
    assert found.edge_sd > 0
    assert found.freedom > 0
    assert 0 <= found.surprise.p <= 1
    assert all(0 <= p <= 1 for p in (*found.surprise.predictive, found.surprise.overall))
    assert len(found.surprise.predictive) == len(sources)
