"""The normal distribution and well-spread normal samples; the door to SciPy."""

from __future__ import annotations

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
    places, weights = np.polynomial.legendre.leggauss(count)
    z = REACH * places
    return z, REACH * weights * density(z)


def spread_normals(dimensions: int, power: int, seed: int) -> FloatArray:
    """Scrambled Sobol points as standard normals, shape (2**power, dimensions). [-]

    The same seed gives the same points.

    Parameters
    ----------
    dimensions : int
        Number of variables. [-]
    power : int
        Binary logarithm of the number of points. [-]
    seed : int
        Scrambles them. [-]
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    points = qmc.Sobol(dimensions, scramble=True, seed=seed).random_base2(power)
    return np.asarray(ndtri(np.clip(points, 2.0**-53, 1 - 2.0**-53)))
