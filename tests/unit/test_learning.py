"""The posterior of a shop's misfit and scatter, against closed forms and brute force."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from dryfit.tolerance.evidence import (
    PAIR,
    Comb,
    Prior,
    Trial,
    Widths,
    log_odds_of,
    weight_of,
)
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade, grade_odds
from dryfit.tolerance.learning import learn, posterior
from dryfit.tolerance.normal import log_chi_square
from tests.helpers.combs import GAPS, tried

WIDE = Prior(mean=0.01, sd=0.05, edge_sd=0.03, freedom=4.0)
OFFS = (0.031, 0.055, -0.012, 0.048, 0.020, 0.037)


def test_without_results_the_prior_comes_back() -> None:
    found = learn([], WIDE)
    assert found.misfit_mean == pytest.approx(WIDE.mean, abs=1e-9)
    assert found.misfit_sd == pytest.approx(WIDE.sd, rel=1e-4)
    assert found.edge_sd == pytest.approx(WIDE.edge_sd, rel=0.002)
    assert found.freedom == pytest.approx(WIDE.freedom, rel=0.005)
    assert (found.trials, found.widths, found.surprise.flagged) == (0, 0, False)


@pytest.mark.parametrize("resolution", [0.0, 0.05])
def test_widths_of_known_scatter_are_the_normal_conjugate(resolution: float) -> None:
    """Normal mean with known variance: precisions add (Gelman et al., Bayesian Data Analysis,
    section 2.5; from memory). A width has 2 σ², and res²/12 by an even rounding."""
    edge = 0.02
    prior = Prior(mean=0.01, sd=0.05, edge_sd=edge, freedom=1e6)
    found = learn([Widths("w", OFFS, resolution=resolution)], prior)
    variance = 2 * edge**2 + resolution**2 / 12
    precision = 1 / prior.sd**2 + len(OFFS) / variance
    mean = (prior.mean / prior.sd**2 + sum(OFFS) / variance) / precision
    expected = stats.norm(mean, precision**-0.5)
    assert found.misfit_mean == pytest.approx(expected.mean(), abs=1e-6)
    assert found.misfit_sd == pytest.approx(expected.std(), rel=1e-4)


def test_widths_of_known_misfit_are_the_inverse_chi_square_conjugate() -> None:
    """σ² given a known mean: ν = ν0 + n and ν s² = ν0 s0² + Σ (y - β)² (section 2.6; from memory).
    Twice σ² is a width's variance, so its squares count half."""
    prior = Prior(mean=0.02, sd=1e-6, edge_sd=0.03, freedom=4.0)
    found = posterior([Widths("w", OFFS)], prior)
    freedom = prior.freedom + len(OFFS)
    squares = sum((off - prior.mean) ** 2 for off in OFFS) / 2
    scale = math.sqrt((prior.freedom * prior.edge_sd**2 + squares) / freedom)
    exact = stats.invgamma(freedom / 2, scale=freedom * scale**2 / 2)  # of σ²
    shares = found.shares.sum(axis=0)
    mean_square = float(found.edge[0] ** 2 @ shares)
    assert mean_square == pytest.approx(exact.mean(), rel=1e-3)
    assert found.scatter[0] == pytest.approx(scale, rel=1e-3)
    assert found.scatter[1] == pytest.approx(freedom, rel=1e-3)


def test_both_unknown_are_a_students_t() -> None:
    """With a flat misfit its posterior is Student's t of n - 1 degrees about the mean, scale
    s / √n, where the prior of the variance is 1/σ² (section 3.2; from memory)."""
    prior = Prior(mean=0.0, sd=50.0, edge_sd=0.02, freedom=1e-6)
    found = posterior([Widths("w", OFFS)], prior)
    s = np.std(OFFS, ddof=1)
    exact = stats.t(len(OFFS) - 1, loc=np.mean(OFFS), scale=s / math.sqrt(len(OFFS)))
    mean, sd = found.misfit_moments
    assert mean == pytest.approx(exact.mean(), abs=2e-4)
    assert sd == pytest.approx(exact.std(), rel=0.02)


def test_sockets_tell_the_same_as_fingers_turned_round() -> None:
    fingers, sockets = Widths("w", OFFS), Widths("w", (), tuple(-off for off in OFFS))
    assert learn([fingers], WIDE) == learn([sockets], WIDE)
    assert learn([Widths("w", (0.08,) * 4)], WIDE).misfit_mean > WIDE.mean
    assert learn([Widths("w", (), (0.08,) * 4)], WIDE).misfit_mean < WIDE.mean


BRUTE = (
    ((-0.02, Grade.NO), (0.04, Grade.MALLET), (0.09, Grade.HAND), (0.15, Grade.LOOSE)),
    ((0.00, Grade.HAND), (0.05, Grade.LOOSE), (0.10, Grade.LOOSE)),
    ((0.10, Grade.MALLET), (0.05, Grade.HAND)),
)


@pytest.mark.parametrize("same", [True, False])
@pytest.mark.parametrize("results", BRUTE)
def test_combs_agree_with_rejection_sampling(
    results: tuple[tuple[float, Grade], ...], same: bool
) -> None:
    """Shops are drawn from the prior and cut the comb edge by edge; those stay that get the grades.

    Shares no code with what is tested: widths are subtracted and limits typed in.
    """
    rng = np.random.default_rng(8)
    kept_misfits, kept_edges = [], []
    for _ in range(8):
        count = 250_000
        misfit = rng.normal(WIDE.mean, WIDE.sd, count)
        edge = WIDE.edge_sd * np.sqrt(WIDE.freedom / rng.chisquare(WIDE.freedom, count))
        stays = np.ones(count, dtype=bool)
        shared = edge * (rng.normal(size=count) - rng.normal(size=count))
        for gap, grade in results:
            own = edge * (rng.normal(size=count) - rng.normal(size=count))
            finger = (8 - gap) + misfit + (shared if same else own)
            socket = (8 + gap) - misfit + edge * (rng.normal(size=count) - rng.normal(size=count))
            air = (socket - finger) / 2
            low, high = {
                "loose": (0.05, 9.0), "by hand": (0.0, 0.05), "mallet": (-0.03, 0.0),
                "no": (-9.0, -0.03),
            }[grade.value]  # fmt: skip
            stays &= (air >= low) & (air < high)
        kept_misfits.append(misfit[stays])
        kept_edges.append(np.log(edge[stays]))
    misfits, edges = np.concatenate(kept_misfits), np.concatenate(kept_edges)
    assert len(misfits) > 1000
    trials = tuple(Trial(gap, grade, pinch=0.03) for gap, grade in results)
    found = posterior([Comb("c", trials, same)], WIDE)
    mean, sd = found.misfit_moments
    log_mean = float(np.log(found.edge[0]) @ found.shares.sum(axis=0))
    root = math.sqrt(len(misfits))
    assert abs(mean - misfits.mean()) < 4.5 * misfits.std() / root
    assert sd == pytest.approx(misfits.std(), rel=4.5 / math.sqrt(2) / root * 1.5)
    assert abs(log_mean - edges.mean()) < 4.5 * edges.std() / root


def test_a_shared_tongue_makes_a_comb_say_less_of_the_misfit() -> None:
    prior = Prior(edge_sd=0.03, freedom=1e6, sd=0.1)
    trials = tuple(
        Trial(gap, grade, pinch=0.03)
        for gap, grade in ((0.0, Grade.NO), (0.03, Grade.MALLET), (0.06, Grade.HAND)) * 4
    )
    shared, own = (learn([Comb("c", trials, same)], prior) for same in (True, False))
    # However many sockets, the tongue's own σ/√2 stays.
    assert shared.misfit_sd > 0.03 / math.sqrt(2) > own.misfit_sd


def test_a_trial_is_one_finger_in_one_socket_by_the_closed_form() -> None:
    """Σ of four edges: the air is normal about gap - β with sd σ. Derived here."""
    odds = Comb("c", (Trial(0.05, Grade.NO, pinch=0.03),)).log_odds(
        np.array([[0.02]]), np.array([[0.025]])
    )
    assert math.exp(odds[0, 0]) == pytest.approx(
        stats.norm.cdf(-0.03 - 0.03, scale=0.025), rel=1e-5
    )


def test_more_fingers_at_once_ask_for_more_air() -> None:
    one, four = (
        learn([Comb("c", (Trial(0.05, Grade.HAND, Boundaries.of(k)),), same_tongue=False)], WIDE)
        for k in (2, 8)
    )
    assert four.misfit_mean < one.misfit_mean


def test_the_grid_holds_a_posterior_far_narrower_than_the_prior() -> None:
    rng = np.random.default_rng(4)
    combs = [tried(rng, 0.043, 0.004, [0.005 * k for k in range(-10, 40)]) for _ in range(20)]
    found = learn(combs, Prior(sd=0.3, edge_sd=0.008))
    assert abs(found.misfit_mean - 0.043) < 4 * found.misfit_sd
    assert found.misfit_sd < 0.002
    assert found.edge_sd == pytest.approx(0.004, rel=0.15)
    assert found.freedom > 30


def test_misfits_are_covered_as_often_as_they_should_be() -> None:
    """Shops drawn from the prior: (β - mean) / sd has mean 0 and sd 1 over many of them."""
    rng = np.random.default_rng(11)
    prior, z = Prior(), []
    for _ in range(250):
        misfit = rng.normal(prior.mean, prior.sd)
        edge = prior.edge_sd * math.sqrt(prior.freedom / rng.chisquare(prior.freedom))
        found = posterior([tried(rng, misfit, edge), tried(rng, misfit, edge)], prior)
        mean, sd = found.misfit_moments
        z.append((misfit - mean) / sd)
    assert abs(np.mean(z)) < 4.5 / math.sqrt(len(z))
    assert np.std(z) == pytest.approx(1.0, abs=4.5 / math.sqrt(2 * len(z)))


def test_an_old_result_counts_less_and_the_prior_does_not_age() -> None:
    assert (weight_of(0.0), weight_of(180.0), weight_of(360.0)) == (1.0, 0.5, 0.25)
    assert weight_of(1e6, math.inf) == 1.0
    new, old, ancient = (
        learn([Widths("w", (0.08,) * 6, age=age)], WIDE) for age in (0.0, 180.0, 1e5)
    )
    assert WIDE.mean < old.misfit_mean < new.misfit_mean
    assert new.misfit_sd < old.misfit_sd < WIDE.sd
    assert ancient.misfit_mean == pytest.approx(WIDE.mean, abs=1e-6)
    assert ancient.misfit_sd == pytest.approx(WIDE.sd, rel=1e-3)
    assert ancient.freedom == pytest.approx(WIDE.freedom, rel=0.005)


def test_half_weight_is_half_the_widths() -> None:
    """Three equal pairs at weight 1/2 weigh as one of each pair at 1."""
    values = (0.03, 0.05, 0.01)
    halved = posterior([Widths("w", values + values, age=180.0)], WIDE)
    once = posterior([Widths("w", values)], WIDE)
    assert halved.misfit_moments == pytest.approx(once.misfit_moments, abs=1e-9)
    assert halved.scatter == pytest.approx(once.scatter, rel=1e-6)


@pytest.mark.parametrize("freedom", [0.5, 3.0, 40.0])
def test_log_chi_square_moments(freedom: float) -> None:
    """Against the log-gamma distribution: ln(χ²/2) is the log of a gamma variable of shape ν/2."""
    mean, variance = log_chi_square(freedom)
    exact = stats.loggamma(freedom / 2)
    assert mean == pytest.approx(exact.mean() + math.log(2), rel=1e-9)
    assert variance == pytest.approx(exact.var(), rel=1e-9)


def test_combs_that_are_drawn_alike_are_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """So a shop that has tried forty combs waits hardly longer than one that has tried two."""
    asked = 0

    def counted(*arguments: object) -> object:
        nonlocal asked
        asked += 1
        return grade_odds(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr("dryfit.tolerance.evidence.grade_odds", counted)
    results = tuple(Trial(gap, Grade.HAND, pinch=0.03) for gap in GAPS)
    misfit, edge = np.linspace(-0.1, 0.1, 9)[:, None], np.array([[0.01, 0.03]])
    logs = list(log_odds_of([Comb("c", results)] * 40, misfit, edge))
    assert asked == len(GAPS)
    assert np.array_equal(logs[0], logs[39])
    assert np.array_equal(logs[0], Comb("c", results).log_odds(misfit, edge))
    many = tuple(Trial(0.001 * k, Grade.HAND) for k in range(250))
    whole, *parts = log_odds_of(
        [Comb("c", many, same_tongue=False)]
        + [Comb("c", (trial,), same_tongue=False) for trial in many],
        misfit,
        edge,
    )
    assert np.allclose(whole, sum(parts))  # more than are remembered at once


def test_what_cannot_be_learned_from_is_refused() -> None:
    with pytest.raises(ValueError, match="2 boundaries, not 4"):
        Comb("c", (Trial(0.05, Grade.HAND, Boundaries.of(4)),))
    with pytest.raises(ValueError, match="0 widths"):
        Widths("w")
    with pytest.raises(ValueError, match="at least 1 boundary of each sense"):
        Trial(0.05, Grade.HAND, Boundaries(2, 0))
    assert Trial(GAPS[0], Grade.NO).boundaries == PAIR
