"""Laws of the odds of a joint."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.tolerance.fits import Boundaries, fixed, floating

GAPS, SPREADS = st.floats(0.0, 0.4), st.floats(0.005, 0.2)
COUNTS, COMMON = st.integers(2, 40), st.floats(0.0, 0.1)
SLIGHT = 1e-9


@settings(max_examples=60)
@given(GAPS, st.floats(0.001, 0.2), SPREADS, COUNTS, COMMON)
def test_odds_rise_with_the_gap(gap: float, more: float, sd: float, k: int, common: float) -> None:
    own = Boundaries.of(k)
    for odds in (fixed, floating):
        assert odds(gap + more, sd, own, common) >= odds(gap, sd, own, common) - SLIGHT


@settings(max_examples=60)
@given(GAPS, SPREADS, st.floats(1.01, 3.0), COUNTS)
def test_odds_fall_with_the_scatter(gap: float, sd: float, wider: float, k: int) -> None:
    own = Boundaries.of(k)
    for odds in (fixed, floating):
        assert odds(gap, wider * sd, own) <= odds(gap, sd, own) + SLIGHT


@settings(max_examples=60)
@given(GAPS, SPREADS, COUNTS, st.integers(1, 20), COMMON)
def test_odds_fall_with_the_count(gap: float, sd: float, k: int, more: int, common: float) -> None:
    few, many = Boundaries.of(k), Boundaries.of(k + more)
    for odds in (fixed, floating):
        assert odds(gap, sd, many, common) <= odds(gap, sd, few, common) + SLIGHT


@settings(max_examples=60)
@given(GAPS, SPREADS, COUNTS, COMMON)
def test_a_joint_that_may_shift_does_at_least_as_well(
    gap: float, sd: float, k: int, common: float
) -> None:
    own = Boundaries.of(k)
    assert floating(gap, sd, own, common) >= fixed(gap, sd, own, common) - SLIGHT
    assert 0 <= fixed(gap, sd, own, common) <= 1 + SLIGHT
    assert 0 <= floating(gap, sd, own, common) <= 1 + SLIGHT


@settings(max_examples=60)
@given(GAPS, SPREADS, st.integers(1, 20), st.integers(1, 20))
def test_which_sense_comes_first_does_not_matter(gap: float, sd: float, m: int, n: int) -> None:
    one, other = floating(gap, sd, Boundaries(m, n)), floating(gap, sd, Boundaries(n, m))
    assert abs(one - other) < 1e-8
