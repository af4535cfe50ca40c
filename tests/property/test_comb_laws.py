"""Laws of the graded gaps of a comb, and a search and a count that know nothing of the choice."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.tolerance.comb import Outlook, choose, expected_rest
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade, grade_odds

outlooks = st.builds(
    Outlook,
    mean=st.floats(-0.1, 0.1),
    sd=st.floats(0.01, 0.12),
    edge=st.floats(0.01, 0.05),
    pinch=st.sampled_from([0.0, 0.02, 0.03]),
    own_tongues=st.booleans(),
)


@settings(max_examples=30, deadline=None)
@given(outlooks, st.integers(1, 8))
def test_a_comb_is_no_worse_than_none_and_a_socket_more_no_worse(
    outlook: Outlook, sockets: int
) -> None:
    fewer, more = choose(outlook, sockets), choose(outlook, sockets + 1)
    assert fewer.rest < outlook.sd
    assert more.rest <= fewer.rest * (1 + 1e-9)


@settings(max_examples=20, deadline=None)
@given(outlooks, st.integers(3, 7))
def test_more_doubt_never_makes_a_narrower_range(outlook: Outlook, sockets: int) -> None:
    """To one grading either side: gaps are whole hundredths."""
    doubtful = Outlook(
        outlook.mean, 1.5 * outlook.sd, outlook.edge, outlook.pinch, outlook.own_tongues
    )
    sure, wide = choose(outlook, sockets), choose(doubtful, sockets)
    assert wide.step >= sure.step - 0.011


@pytest.mark.parametrize("sockets", [3, 5, 7])
@pytest.mark.parametrize("own", [False, True])
def test_no_hundredths_do_better_and_no_finer_gaps_much(sockets: int, own: bool) -> None:
    outlook = Outlook(0.02, 0.05, 0.02, 0.03, own)
    chosen = choose(outlook, sockets)
    assert expected_rest(chosen.gaps, outlook) == pytest.approx(chosen.rest, rel=1e-6)
    graded, finer = (
        min(
            expected_rest(tuple(first + k * step for k in range(sockets)), outlook)
            for first in np.arange(-0.2, 0.2, grading)
            for step in np.arange(grading, 0.16, grading)
        )
        for grading in (0.01, 0.005)
    )
    assert chosen.rest <= 1.0001 * graded
    assert chosen.rest <= 1.02 * finer


def _counted(gaps: tuple[float, ...], outlook: Outlook) -> float:
    """The same from all outcomes, for a tongue of its own at each socket."""
    beta = np.linspace(outlook.mean - 5 * outlook.sd, outlook.mean + 5 * outlook.sd, 401)
    before = np.exp(-(((beta - outlook.mean) / outlook.sd) ** 2) / 2)
    before /= before.sum()
    sd = math.sqrt(2) * outlook.edge
    odds = [
        [grade_odds(g, gap - beta, sd, Boundaries(1, 1), outlook.pinch) for g in Grade]
        for gap in gaps
    ]
    rest = 0.0
    for outcome in product(range(4), repeat=len(gaps)):
        joint = before.copy()
        for socket, grade in enumerate(outcome):
            joint = joint * odds[socket][grade]
        chance = joint.sum()
        if chance > 1e-14:
            mean = joint @ beta / chance
            rest += float(joint @ (beta - mean) ** 2)
    return math.sqrt(rest)


def test_the_count_of_all_outcomes_finds_little_better() -> None:
    outlook = Outlook(0.0, 0.05, 0.02, 0.03, own_tongues=True)
    chosen = choose(outlook, 3)
    counted = _counted(chosen.gaps, outlook)
    best = min(
        _counted((first, first + step, first + 2 * step), outlook)
        for first in np.arange(-0.16, 0.101, 0.02)
        for step in np.arange(0.01, 0.09, 0.02)
    )
    assert counted <= 1.03 * best
    assert counted == pytest.approx(chosen.rest, rel=0.15)


@pytest.mark.parametrize(("sockets", "sd"), [(0, 0.05), (3, 0.0)])
def test_no_socket_and_no_doubt_are_refused(sockets: int, sd: float) -> None:
    with pytest.raises(ValueError, match="give more than 0"):
        choose(Outlook(0.0, sd, 0.02, 0.03), sockets)
