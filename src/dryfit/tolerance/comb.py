"""Graded gaps of a fit comb: which ones tell most about the misfit.

Vocabulary
----------
comb
    Sockets of graded flank gaps, each tried on a tongue cut by the same cutter.
design
    The first gap and the equal step to the next.
rest
    The standard deviation of the misfit that is to be expected once the comb has been graded.

Derived in ``docs/theory/comb.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade, grade_odds
from dryfit.tolerance.normal import FloatArray, density

GRADING = 0.01
"""Gaps and steps are multiples of this. [mm]"""

_ONE_FINGER = Boundaries(1, 1)
_REACH, _PLACES = 4.0, 81
_LEAST_EDGE = 0.002  # a comb without scatter has no slope to go by [mm]
_NUDGE = 1e-4  # of the air, for a slope; results are the same at half of it [mm]
_LEAST_ODDS = 1e-12
_STEPS = 15


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is thought before the comb is cut.

    Parameters
    ----------
    mean, sd : float
        Of the misfit. [mm]
    edge : float
        Standard deviation of the place of one cut edge. [mm]
    pinch : float
        Crush the material takes at one flank. [mm]
    own_tongues : bool
        Whether each socket has a tongue of its own.
    """

    mean: float
    sd: float
    edge: float
    pinch: float
    own_tongues: bool = False

    @property
    def boundary_sd(self) -> float:
        """Standard deviation of a boundary: of both parts, or of the socket alone. [mm]"""
        edge = max(self.edge, _LEAST_EDGE)
        return math.sqrt(2) * edge if self.own_tongues else edge

    @property
    def tongue_sd(self) -> float:
        """What a shared tongue adds to the misfit at every socket alike. [mm]"""
        return 0.0 if self.own_tongues else max(self.edge, _LEAST_EDGE) / math.sqrt(2)


@dataclass(frozen=True, slots=True)
class Design:
    """Graded gaps.

    Parameters
    ----------
    first, step : float
        The first flank gap, and what each next one has more. [mm]
    sockets : int
        How many. [-]
    rest : float
        Standard deviation of the misfit to be expected once it has been graded. [mm]
    """

    first: float
    step: float
    sockets: int
    rest: float

    @property
    def gaps(self) -> tuple[float, ...]:
        """Flank gap of every socket, the tightest first. [mm]"""
        return tuple(round(self.first + k * self.step, 2) for k in range(self.sockets))


@lru_cache(maxsize=64)
def choose(outlook: Outlook, sockets: int) -> Design:
    """The gaps that leave the least to be doubted about the misfit.

    Parameters
    ----------
    outlook : Outlook
        What is thought beforehand.
    sockets : int
        How many sockets, 1 or more. [-]

    Raises
    ------
    ValueError
        If there is no socket, or the misfit has no spread.
    """
    if sockets < 1 or outlook.sd <= 0:
        raise ValueError(f"{sockets} sockets and a spread of {outlook.sd} mm; give more than 0")
    spread = math.hypot(outlook.sd, outlook.tongue_sd)
    centre = round(outlook.mean / GRADING)
    # Grades change over no more than the play and the pinch beside the misfit itself.
    wide = math.ceil((3 * spread + 0.1 + outlook.pinch) / GRADING)
    steps = range(1, max(_STEPS, math.ceil(2 * spread / GRADING)) + 1)
    rows = centre - wide + np.arange(2 * wide + 1 + (sockets - 1) * steps[-1])
    misfits, weights = _misfits(outlook)
    told = _information(rows[:, None] * GRADING - misfits, outlook)
    best = (math.inf, 0, 1)
    for step in steps:
        total = sum(told[k * step : k * step + 2 * wide + 1] for k in range(sockets))
        rests = _rest_given(np.asarray(total), outlook) @ weights
        # The last row that is as good as the best: the looser comb spares the mallet.
        index = int(np.flatnonzero(rests <= rests.min() * (1 + 1e-9))[-1])
        best = min(best, (float(rests[index]), int(rows[index]), step))
    rest, first, step = best
    return Design(round(first * GRADING, 2), round(step * GRADING, 2), sockets, math.sqrt(rest))


def expected_rest(gaps: tuple[float, ...], outlook: Outlook) -> float:
    """Standard deviation of the misfit to be expected once sockets of these gaps are graded. [mm]

    Parameters
    ----------
    gaps : tuple of float
        Flank gap of every socket. [mm]
    outlook : Outlook
        What is thought beforehand.
    """
    misfits, weights = _misfits(outlook)
    total = _information(np.array(gaps)[:, None] - misfits, outlook).sum(axis=0)
    return math.sqrt(float(_rest_given(total, outlook) @ weights))


def _misfits(outlook: Outlook) -> tuple[FloatArray, FloatArray]:
    """Places of the misfit, a shared tongue's part in it, and their shares."""
    spread = math.hypot(outlook.sd, outlook.tongue_sd)
    u = np.linspace(-_REACH, _REACH, _PLACES)
    weights = density(u)
    return outlook.mean + spread * u, weights / weights.sum()


def _information(air: FloatArray, outlook: Outlook) -> FloatArray:
    """Fisher information of one grade about the air: Σ p′² / p over the grades. [1/mm²]"""
    total = np.zeros_like(air)
    for grade in Grade:
        low, odds, high = (
            grade_odds(grade, air + nudge, outlook.boundary_sd, _ONE_FINGER, outlook.pinch)
            for nudge in (-_NUDGE, 0.0, _NUDGE)
        )
        total += ((high - low) / (2 * _NUDGE)) ** 2 / np.maximum(odds, _LEAST_ODDS)
    return total


def _rest_given(information: FloatArray, outlook: Outlook) -> FloatArray:
    """Variance that is left of the misfit, where sockets tell this much. [mm²]"""
    own, shared = outlook.sd**2, outlook.tongue_sd**2
    share = own / (own + shared)
    return np.asarray(share * shared + share**2 / (1 / (own + shared) + information))
