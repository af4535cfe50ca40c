"""Odds that every flank of a joint fits at once.

Vocabulary
----------
boundary
    A place where a finger of one part meets a finger of the other: two flanks, K in all. Every
    other one is closed by moving the part one way, the rest by moving it the other way.
gap
    Nominal air at a boundary. [mm]
sd
    Standard deviation of the difference of the two parts' position errors at a boundary. [mm]
fixed, floating
    A part that is stopped at both ends, and one that may shift sideways until it fits.
common
    An error that all boundaries share, as when a cutter is wider than its name. No shift absorbs
    it.

With position differences η_k and a shift δ the air at boundary k is gap + s_k (η_k + δ), s_k = ±1.
Fixed, all must be positive: Φ(gap/sd)^K for independent normal errors. Floating, some δ must make
all of them positive, which is so iff the largest of -η over one sense and the largest of η over
the other add up to 2 gap at most. Derived in ``docs/theory/odds.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.normal import below, nodes, spread_normals

if TYPE_CHECKING:
    from collections.abc import Callable

    from dryfit.tolerance.normal import FloatArray, Numbers

NODES = 160
"""Places of the quadrature; 320 change no result by 1e-10. [-]"""


@dataclass(frozen=True, slots=True)
class Boundaries:
    """How many boundaries of a joint are closed one way, and how many the other. [-]"""

    plus: int
    minus: int

    @classmethod
    def of(cls, count: int) -> Boundaries:
        """Boundaries that alternate: K = `count`. [-]"""
        return cls(count // 2, count - count // 2)

    @property
    def count(self) -> int:
        """K. [-]"""
        return self.plus + self.minus


def fixed(gap: float, sd: float, boundaries: Boundaries, common: float = 0.0) -> float:
    """Odds that a joint goes together whose parts cannot shift. [-]

    Parameters
    ----------
    gap : float
        Nominal air at a boundary. [mm]
    sd : float
        Standard deviation of a boundary. [mm]
    boundaries : Boundaries
        How many. [-]
    common : float
        Standard deviation of the error that all of them share. [mm]
    """

    def given(air: FloatArray) -> FloatArray:
        return np.asarray(_below(air, sd) ** boundaries.count)

    return _over_common(given, gap, common)


def floating(gap: float, sd: float, boundaries: Boundaries, common: float = 0.0) -> float:
    """Odds that a joint goes together whose parts may shift sideways. [-]

    P = ∫ n φ(t) Φ(t)^(n-1) Φ(w - t)^m dt with w = 2 gap / sd, m boundaries closed one way and n the
    other.

    Parameters
    ----------
    gap : float
        Nominal air at a boundary. [mm]
    sd : float
        Standard deviation of a boundary. [mm]
    boundaries : Boundaries
        How many of each sense. [-]
    common : float
        Standard deviation of the error that all of them share. [mm]
    """
    return _over_common(lambda air: closes(air, sd, boundaries), gap, common)


def closes(gaps: FloatArray, sd: Numbers, boundaries: Boundaries) -> FloatArray:
    """The odds of :func:`floating` at many gaps at once, with nothing shared. [-]

    Parameters
    ----------
    gaps : array
        Air at a boundary, in any shape. [mm]
    sd : float or array
        Standard deviation of a boundary: 0 for all, or more than 0 in a shape that goes with that
        of the gaps. [mm]
    boundaries : Boundaries
        How many of each sense. [-]
    """
    if min(boundaries.plus, boundaries.minus) == 0:
        return np.ones_like(gaps)
    if np.max(sd) <= 0:
        return np.asarray((gaps >= 0).astype(np.float64))
    if boundaries.count == 2:
        return below(math.sqrt(2) * gaps / sd)
    return closing_sum(gaps / sd, boundaries)


def closing_sum(gaps: FloatArray, boundaries: Boundaries) -> FloatArray:
    """The integral of :func:`floating` as a sum over nodes, for boundaries of both senses. [-]

    Parameters
    ----------
    gaps : array
        Air at a boundary, in standard deviations. [-]
    boundaries : Boundaries
        How many of each sense. [-]
    """
    t, weight = nodes(NODES)
    first = boundaries.minus * below(t) ** (boundaries.minus - 1) * weight
    return np.asarray(below(2 * gaps[..., None] - t) ** boundaries.plus @ first)


def sampled(
    gap: float, covariance: FloatArray, senses: FloatArray, *, shifts: bool, power: int = 15,
    seed: int = 20,
) -> float:  # fmt: skip
    """Odds of a joint whose errors are correlated, by quasi-Monte-Carlo. [-]

    Parameters
    ----------
    gap : float
        Nominal air at a boundary. [mm]
    covariance : array, shape (k, k)
        Of the position differences. [mm²]
    senses : array, shape (k,)
        +1 or -1 for each boundary. [-]
    shifts : bool
        Whether the parts may shift sideways.
    power : int
        Binary logarithm of the number of samples. [-]
    seed : int
        The same seed gives the same odds. [-]
    """
    values, vectors = np.linalg.eigh(covariance)
    root = vectors * np.sqrt(np.clip(values, 0.0, None))
    errors = spread_normals(len(senses), power, seed) @ root.T
    if not shifts:
        return float((gap + senses * errors >= 0).all(axis=1).mean())
    plus = (-errors[:, senses > 0]).max(axis=1, initial=-np.inf)
    minus = errors[:, senses < 0].max(axis=1, initial=-np.inf)
    return float((plus + minus <= 2 * gap).mean())


def gap_for(
    odds: float, chance: Callable[[float], float], most: float, within: float = 1e-7
) -> float | None:
    """The smallest gap, 0 or more, at which a chance reaches the odds; None if none does. [mm]

    Parameters
    ----------
    odds : float
        Wanted. [-]
    chance : callable
        Odds at a gap [mm]; never falls as the gap grows.
    most : float
        The largest gap to try. [mm]
    within : float
        How near to the least one the answer has to be. [mm]
    """
    if chance(0.0) >= odds:
        return 0.0
    if chance(most) < odds:
        return None
    low, high = 0.0, most
    while high - low > within:
        middle = (low + high) / 2
        if chance(middle) < odds:
            low = middle
        else:
            high = middle
    return high


def ramp_gap(step: float, count: int) -> float:
    """The gap that a ramp of position differences asks for when the parts may shift. [mm]

    Where boundary k is off by k times the step, as when two parts are cut on axes of different
    scale, the worst pair of opposite sense lies K - 1 apart at most.

    Parameters
    ----------
    step : float
        Growth of the difference from one boundary to the next. [mm]
    count : int
        Boundaries K, of alternating sense, the first one of sense +1. [-]
    """
    k = np.arange(count)
    senses = np.where(k % 2, -1.0, 1.0)
    errors = k * step
    plus = (-errors[senses > 0]).max(initial=-np.inf)
    minus = errors[senses < 0].max(initial=-np.inf)
    return max(0.0, float(plus + minus) / 2)


def _below(air: FloatArray, sd: float) -> FloatArray:
    """Chance that a boundary has air. [-]"""
    if sd <= 0:
        return np.asarray((air >= 0).astype(np.float64))
    return below(air / sd)


def _over_common(given: Callable[[FloatArray], FloatArray], gap: float, common: float) -> float:
    """A chance integrated over the error that all boundaries share. [-]"""
    if common <= 0:
        return float(given(np.array([gap]))[0])
    u, weight = nodes(NODES)
    return float(given(gap - common * u) @ weight)


def equicorrelated(z: float, count: int, correlation: float) -> float:
    """Chance that all of some equally correlated standard normals stay below z. [-]

    ∫ φ(u) Φ((z - √ρ u) / √(1 - ρ))^N du.

    Parameters
    ----------
    z : float
        The bound. [-]
    count : int
        How many, N. [-]
    correlation : float
        Between any two, ρ: 0 or more and less than 1. [-]
    """
    u, weight = nodes(4 * NODES)
    inner = (z - np.sqrt(correlation) * u) / np.sqrt(1 - correlation)
    return float(below(inner) ** count @ weight)
