"""Odds of simultaneous fits against published values and closed forms.

NIST/SEMATECH e-Handbook of Statistical Methods, section 6.1.6 (capability; from memory).
F. Scholz, Tolerance Stack Analysis Methods, Boeing, 1995 (root sum of squares and its inflation).
Orthant probabilities of equicorrelated normals: 1/(N+1) at ρ = 1/2, 1/4 + asin(ρ)/2π for two,
1/8 + 3 asin(ρ)/4π for three (classical closed forms).
Values marked "derived" are integrals worked out apart from this program and checked by sampling.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryfit.tolerance import fits, walk
from dryfit.tolerance.fits import (
    Boundaries,
    closing_sum,
    equicorrelated,
    fixed,
    floating,
    gap_for,
    sampled,
)
from dryfit.tolerance.normal import quantile
from dryfit.tolerance.stack import UNIFORM, Process, root_sum_square, worst_case

# K, gap / sd, fixed, floating: derived.
JOINTS = [
    (4, 1, 0.50107, 0.77492), (4, 2, 0.91206, 0.99134), (8, 2, 0.83185, 0.96983),
    (14, 2, 0.72457, 0.92287), (14, 2.5, 0.91649, 0.99153), (20, 2, 0.63112, 0.86596),
    (20, 2.5, 0.88287, 0.98385), (30, 3, 0.96029, 0.99780),
]  # fmt: skip
# K, odds, gap / sd fixed and floating: derived.
WANTED = [
    (4, 0.95, 2.234, 1.540), (8, 0.95, 2.490, 1.871), (14, 0.95, 2.682, 2.111),
    (20, 0.95, 2.799, 2.254), (30, 0.95, 2.928, 2.408), (4, 0.99, 2.806, 1.966),
    (8, 0.99, 3.022, 2.254), (14, 0.99, 3.188, 2.467), (20, 0.99, 3.289, 2.595),
    (30, 0.99, 3.402, 2.735),
]  # fmt: skip
# K, bound in steps, one side exact, Brownian, corrected; both sides likewise: derived.
WALKS = [
    (10, 5, 0.91864, 0.88615, 0.92250, 0.83728, 0.77231, 0.84500),
    (20, 5, 0.78520, 0.73645, 0.78808, 0.57080, 0.47449, 0.57652),
    (20, 8, 0.94346, 0.92636, 0.94503, 0.88692, 0.85272, 0.89006),
    (40, 8, 0.82387, 0.79410, 0.82523, 0.64783, 0.58849, 0.65055),
]  # fmt: skip


@pytest.mark.parametrize(("count", "gap", "stopped", "free"), JOINTS)
def test_joints_fixed_and_floating(count: int, gap: float, stopped: float, free: float) -> None:
    assert fixed(gap, 1.0, Boundaries.of(count)) == pytest.approx(stopped, abs=6e-6)
    assert floating(gap, 1.0, Boundaries.of(count)) == pytest.approx(free, abs=6e-6)


@pytest.mark.parametrize(("count", "odds", "stopped", "free"), WANTED)
def test_the_gap_that_reaches_the_odds(
    count: int, odds: float, stopped: float, free: float
) -> None:
    own = Boundaries.of(count)
    assert gap_for(odds, lambda gap: fixed(gap, 1.0, own), 9.0) == pytest.approx(stopped, abs=6e-4)
    assert gap_for(odds, lambda gap: floating(gap, 1.0, own), 9.0) == pytest.approx(free, abs=6e-4)


def test_a_gap_that_is_never_enough_is_none() -> None:
    own = Boundaries.of(20)
    assert gap_for(0.99, lambda gap: fixed(gap, 1.0, own, common=5.0), 3.0) is None
    assert gap_for(0.5, lambda gap: floating(gap, 0.0, own), 3.0) == 0.0


def test_two_boundaries_have_a_closed_form() -> None:
    """One of each sense: their errors add up to 2 gap at most, Φ(w / √2) with w = 2 gap / sd."""
    for w in (0.5, 1.0, 3.0):
        expected = 0.5 * (1 + math.erf(w / 2))
        assert floating(w / 2, 1.0, Boundaries(1, 1)) == pytest.approx(expected, abs=1e-12)
        summed = closing_sum(np.array([w / 2]), Boundaries(1, 1))
        assert summed == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("common", "stopped", "free"), [(0.0, 0.83104, 0.96824), (0.03, 0.71584, 0.84108)]
)
def test_a_common_error_is_absorbed_by_no_shift(common: float, stopped: float, free: float) -> None:
    """K = 20, 0.03 mm at each board's edge, 0.10 mm of gap: derived."""
    own, sd = Boundaries.of(20), 0.03 * math.sqrt(2)
    assert fixed(0.1, sd, own, common) == pytest.approx(stopped, abs=1.5e-5)
    assert floating(0.1, sd, own, common) == pytest.approx(free, abs=1.5e-5)


@pytest.mark.parametrize(
    ("count", "z95", "z99"),
    [
        (1, 1.6449, 2.3263), (5, 2.3187, 2.8769), (9, 2.5312, 3.0575), (15, 2.7051, 3.2074),
        (21, 2.8149, 3.3029), (31, 2.9377, 3.4106), (61, 3.1415, 3.5909),
    ],
)  # fmt: skip
def test_the_margin_that_many_fits_need(count: int, z95: float, z99: float) -> None:
    assert quantile(0.95 ** (1 / count)) == pytest.approx(z95, abs=6e-5)
    assert quantile(0.99 ** (1 / count)) == pytest.approx(z99, abs=6e-5)


@pytest.mark.parametrize("rho", [0.0, 0.2, 0.5, 0.8])
def test_equal_correlation_against_closed_forms(rho: float) -> None:
    two = 0.25 + math.asin(rho) / (2 * math.pi)
    three = 0.125 + 3 * math.asin(rho) / (4 * math.pi)
    assert equicorrelated(0.0, 2, rho) == pytest.approx(two, abs=1e-9)
    assert equicorrelated(0.0, 3, rho) == pytest.approx(three, abs=1e-9)


@pytest.mark.parametrize("count", [1, 4, 15])
def test_half_correlated_normals_share_evenly(count: int) -> None:
    assert equicorrelated(0.0, count, 0.5) == pytest.approx(1 / (count + 1), abs=1e-9)


@pytest.mark.parametrize(
    ("count", "values"),
    [
        (9, (0.945481, 0.948935, 0.959268, 0.975124, 0.986202)),
        (15, (0.910797, 0.919735, 0.941359, 0.968196, 0.984190)),
        (21, (0.877385, 0.893428, 0.926757, 0.963088, 0.982826)),
    ],
)
def test_equal_correlation_at_two_and_a_half(count: int, values: tuple[float, ...]) -> None:
    for rho, value in zip((0.0, 0.2, 0.5, 0.8, 0.95), values, strict=True):
        assert equicorrelated(2.5, count, rho) == pytest.approx(value, abs=6e-7)


@pytest.mark.parametrize("case", WALKS)
def test_walks(case: tuple[float, ...]) -> None:
    count, bound, one, brownian, near, both, brownian_both, near_both = case
    steps = int(count)
    assert walk.stays_below(bound, 1.0, steps, corrected=False) == pytest.approx(brownian, abs=6e-6)
    assert walk.stays_below(bound, 1.0, steps) == pytest.approx(near, abs=6e-6)
    loose = walk.stays_within(bound, 1.0, steps, corrected=False)
    assert loose == pytest.approx(brownian_both, abs=6e-6)
    assert walk.stays_within(bound, 1.0, steps) == pytest.approx(near_both, abs=6e-6)
    covariance = walk.walk_covariance(steps, 1.0)
    upper = sampled(bound, covariance, -np.ones(steps), shifts=False)
    assert upper == pytest.approx(one, abs=2e-3)
    assert both < upper


def test_a_stepping_jig_spends_the_gap_that_an_absolute_one_keeps() -> None:
    """K = 20, gap 0.10 mm, 0.03 mm a step on each board: derived, by sampling."""
    senses = np.where(np.arange(1, 21) % 2, -1.0, 1.0)
    stepped = 2 * walk.walk_covariance(20, 0.03)
    assert sampled(0.1, stepped, senses, shifts=True) == pytest.approx(0.451, abs=4e-3)
    assert sampled(0.1, stepped, senses, shifts=False) == pytest.approx(0.112, abs=4e-3)
    fine = 2 * walk.walk_covariance(20, 0.01)
    assert sampled(0.1, fine, senses, shifts=True) == pytest.approx(0.999, abs=1e-3)
    assert sampled(0.1, fine, senses, shifts=False) == pytest.approx(0.845, abs=4e-3)


@pytest.mark.parametrize(("count", "gap"), [(4, 1.0), (8, 2.0), (20, 2.0)])
def test_sampling_and_quadrature_check_each_other(count: int, gap: float) -> None:
    senses = np.where(np.arange(count) % 2, -1.0, 1.0)
    for shifts, exact in ((True, floating), (False, fixed)):
        found = sampled(gap, np.eye(count), senses, shifts=shifts)
        assert found == pytest.approx(exact(gap, 1.0, Boundaries.of(count)), abs=2e-3)


def test_a_ramp_from_a_scale_error() -> None:
    """300 mm in 21 divisions, K = 20, 0.05 % between the boards: twice the gap is 0.1357 mm."""
    step = 300 * 0.0005 / 21
    assert 2 * fits.ramp_gap(step, 20) == pytest.approx(0.1357, abs=5e-5)
    assert 2 * fits.ramp_gap(-step, 20) == pytest.approx(17 * step)
    assert 2 * fits.ramp_gap(step, 21) == pytest.approx(19 * step)


def test_capability_of_the_handbooks_process() -> None:
    process = Process(16.0, 2.0, 8.0, 20.0)
    assert (process.cp, process.cpk) == pytest.approx((1.0, 2 / 3))
    assert process.outside == pytest.approx(0.022782, abs=5e-7)
    other = Process(130.0, 8.0, 100.0, 150.0)
    assert (round(other.cp, 4), round(other.cpk, 4)) == (1.0417, 0.8333)
    assert other.outside == pytest.approx(0.0062981, abs=5e-8)


@pytest.mark.parametrize(
    ("cp", "ppm"),
    [(0.5, 133_614), (0.75, 24_449), (1, 2_699.8), (1.2, 318.2), (4 / 3, 63.3), (1.5, 6.80)],
)
def test_parts_in_a_million_outside_of_a_centred_process(cp: float, ppm: float) -> None:
    assert 1e6 * Process(0.0, 1.0, -3 * cp, 3 * cp).outside == pytest.approx(ppm, rel=2e-3)


def test_ten_parts_in_a_row() -> None:
    ten = [0.1] * 10
    assert worst_case(ten) == pytest.approx(1.0)
    assert root_sum_square(ten) == pytest.approx(0.3162, abs=5e-5)
    assert root_sum_square(ten, UNIFORM) == pytest.approx(0.5477, abs=5e-5)
    assert root_sum_square([1, 1, 1.5]) == pytest.approx(2.0616, abs=5e-5)
