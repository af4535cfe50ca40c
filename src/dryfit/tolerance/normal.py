"""The normal distribution and well-spread normal samples; the door to SciPy."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Numbers: TypeAlias = "float | FloatArray"

REACH = 8.5
"""Standard deviations beyond which a normal density is left out: 2e-17 lies there. [-]"""


def below(z: Numbers) -> FloatArray:
    """The normal distribution function Φ(z). [-]"""
    # SciPy triples the time a program takes to start, so it is loaded by what needs it.
    from scipy.special import ndtr

    return np.asarray(ndtr(z))


def density(z: Numbers) -> FloatArray:
    """The normal density φ(z). [-]"""
    return np.asarray(np.exp(-np.square(z) / 2) / np.sqrt(2 * np.pi))


def quantile(odds: float) -> float:
    """The z with Φ(z) = odds. [-]

    Raises
    ------
    ValueError
        If the odds are not between 0 and 1.
    """
    from scipy.special import ndtri

    if not 0 < odds < 1:
        raise ValueError(f"odds of {odds} have no quantile; give more than 0 and less than 1")
    return float(ndtri(odds))


def standard(uniforms: FloatArray) -> FloatArray:
    """Uniform numbers as standard normals. [-]"""
    from scipy.special import ndtri

    return np.asarray(ndtri(uniforms))


def swell(uniforms: FloatArray, freedom: float) -> FloatArray:
    """How much larger than its estimate a standard deviation may be: sqrt(ν / χ²_ν). [-]

    Parameters
    ----------
    uniforms : array
        Between 0 and 1; the larger, the larger. [-]
    freedom : float
        Degrees of freedom ν behind the estimate. [-]
    """
    from scipy.special import gammaincinv

    return np.asarray(np.sqrt(freedom / (2 * gammaincinv(freedom / 2, 1 - uniforms))))


def nodes(count: int) -> tuple[FloatArray, FloatArray]:
    """Places and weights of a quadrature over a standard normal variable. [-]

    Gauss-Legendre over eight and a half standard deviations to either side, weighted by the
    density: it keeps its accuracy where the integrand is a high power of Φ, as Gauss-Hermite does
    not.

    Parameters
    ----------
    count : int
        Number of places. [-]
    """
    z, weights = line(count, -REACH, REACH)
    return z, weights * density(z)


def line(count: int, low: float, high: float) -> tuple[FloatArray, FloatArray]:
    """Places and weights of a Gauss-Legendre quadrature from low to high. [-]

    Parameters
    ----------
    count : int
        Number of places. [-]
    low, high : float
        The ends. [-]
    """
    places, weights = _legendre(count)
    half = (high - low) / 2
    return low + half * (places + 1), half * weights


@lru_cache(maxsize=16)
def _legendre(count: int) -> tuple[FloatArray, FloatArray]:
    """Places and weights between -1 and 1."""
    places, weights = np.polynomial.legendre.leggauss(count)
    return places, weights


def largest(uniforms: FloatArray, count: int) -> FloatArray:
    """The largest of `count` standard normals, from one uniform each: Φ^-1(u^(1/count)). [-]

    Parameters
    ----------
    uniforms : array
        Between 0 and 1. [-]
    count : int
        How many normals. [-]
    """
    return standard(np.exp(np.log(uniforms) / count))


@lru_cache(maxsize=6)
def remembered_points(dimensions: int, power: int, seed: int) -> FloatArray:
    """The points of :func:`spread_uniforms`, which are the same every time."""
    from scipy.stats import qmc

    known = min(dimensions, qmc.Sobol.MAXDIM)
    points = qmc.Sobol(known, scramble=True, seed=seed).random_base2(power)
    if dimensions > known:
        rest = np.random.default_rng(seed).random((2**power, dimensions - known))
        points = np.hstack((points, rest))
    # A variable is read as a whole, so each lies in one stretch of memory.
    found = np.asarray(np.clip(points.T, 2.0**-53, 1 - 2.0**-53, order="C").T)
    found.flags.writeable = False
    return found


def spread_uniforms(dimensions: int, power: int, seed: int) -> FloatArray:
    """Scrambled Sobol points, shape (2**power, dimensions), all inside 0 to 1. [-]

    The same seed gives the same points. Beyond what Sobol points are known for, the rest are
    pseudo-random.

    Parameters
    ----------
    dimensions : int
        Number of variables. [-]
    power : int
        Binary logarithm of the number of points. [-]
    seed : int
        Scrambles them. [-]
    """
    return remembered_points(dimensions, power, seed)


def spread_normals(dimensions: int, power: int, seed: int) -> FloatArray:
    """Standard normals from scrambled Sobol points, shape (2**power, dimensions). [-]

    Parameters
    ----------
    dimensions : int
        Number of variables. [-]
    power : int
        Binary logarithm of the number of points. [-]
    seed : int
        Scrambles them. [-]
    """
    return standard(spread_uniforms(dimensions, power, seed))


def log_chi_square(freedom: float) -> tuple[float, float]:
    """Mean and variance of the logarithm of a chi-square variable, ψ(ν/2) + ln 2 and ψ′(ν/2). [-]

    Parameters
    ----------
    freedom : float
        Its degrees of freedom ν. [-]
    """
    from scipy.special import polygamma

    digamma, trigamma = polygamma(0, freedom / 2), polygamma(1, freedom / 2)
    return float(digamma) + math.log(2), float(trigamma)
