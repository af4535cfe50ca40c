"""Which gaps a fit comb should have, so that it tells most of the misfit.

Each socket is a trial with a grade. How much its grade tells of the misfit β at an air of g - β is
its Fisher information, I = Σ p'² / p over the grades; what sockets tell adds up. With a prior of
variance s² the posterior variance is about 1 / (1 / s² + Σ I(g_i - β)), and the comb whose mean of
that over the prior is smallest tells most. Derived in ``docs/theory/comb.md``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade, grade_odds
from dryfit.tolerance.normal import nodes

if TYPE_CHECKING:
    from dryfit.tolerance.normal import FloatArray

FINEST = 0.01
"""Gaps and their step are multiples of this. [mm]"""

_STEPS = 12
_PLACES = 61
_TABLE = 1201
_LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class Steps:
    """The gaps of a comb.

    Parameters
    ----------
    gaps : tuple of float
        From the tightest. [mm]
    before, after : float
        How well the misfit is known without the comb, and about how well with it: standard
        deviations. [mm]
    """

    gaps: tuple[float, ...]
    before: float
    after: float


def choose_steps(
    sockets: int, *, mean: float, sd: float, edge_sd: float, pinch: float = 0.0
) -> Steps:
    """The first gap and the step that tell most of the misfit.

    Parameters
    ----------
    sockets : int
        How many. [-]
    mean, sd : float
        What is known of the misfit. [mm]
    edge_sd : float
        Standard deviation of the place of one cut edge. [mm]
    pinch : float
        Crush the material takes at one flank. [mm]
    """
    best: FloatArray = np.zeros(sockets)
    least = np.inf
    centre = round(mean / FINEST)
    for step in range(1, _STEPS + 1):
        span = step * (sockets - 1)
        for first in range(centre - span - 6, centre + 13):
            gaps = np.asarray(FINEST * (first + step * np.arange(sockets)), dtype=np.float64)
            left = expected_variance(gaps, mean=mean, sd=sd, edge_sd=edge_sd, pinch=pinch)
            if left < least - 1e-15:
                best, least = gaps, left
    return Steps(tuple(round(gap, 6) + 0.0 for gap in best.tolist()), sd, float(np.sqrt(least)))


def expected_variance(
    gaps: FloatArray, *, mean: float, sd: float, edge_sd: float, pinch: float = 0.0
) -> float:
    """About what variance of the misfit is left after a comb. [mm²]

    Parameters
    ----------
    gaps : array, shape (s,)
        Of its sockets. [mm]
    mean, sd : float
        What is known of the misfit. [mm]
    edge_sd : float
        Standard deviation of the place of one cut edge. [mm]
    pinch : float
        Crush the material takes at one flank. [mm]
    """
    places, weight = nodes(_PLACES)
    air = gaps[:, None] - (mean + sd * places)
    told = np.interp(air, *_information(edge_sd, pinch), left=0.0, right=0.0).sum(axis=0)
    return float((1 / (1 / sd**2 + told)) @ weight)


def _information(edge_sd: float, pinch: float) -> tuple[FloatArray, FloatArray]:
    """What one grade tells, against the air. [mm, 1/mm²]"""
    spread = max(np.sqrt(2) * edge_sd, 1e-4)
    air = np.linspace(-0.2 - 8 * spread, 0.2 + 8 * spread, _TABLE)
    told = np.zeros(_TABLE)
    for grade in Grade:
        odds = np.clip(grade_odds(grade, air, spread, Boundaries.of(2), pinch), 0.0, 1.0)
        slope = np.gradient(odds, air)
        told += np.where(odds > _LEAST, slope**2 / np.maximum(odds, _LEAST), 0.0)
    return air, told
