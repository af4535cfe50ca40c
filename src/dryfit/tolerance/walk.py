"""Errors that add up: a stepping jig carries the error of every step on to the next.

After k independent steps of standard deviation s the position is off by √k s, and two boundaries
share the errors of the steps they have in common: cov(i, j) = s² min(i, j).
"""

from __future__ import annotations

import math

import numpy as np

from dryfit.tolerance.normal import FloatArray, below

CORRECTION = 0.5826
"""How much farther off a bound seems to a walk in steps than to one without, in steps: -ζ(1/2)/√2π.

Siegmund, Corrected diffusion approximations in certain random walk problems, Adv. Appl. Prob. 11,
1979 (from memory). [-]
"""


def walk_covariance(count: int, sd: float) -> FloatArray:
    """Covariance of the positions after 1 to `count` steps. [mm²]

    Parameters
    ----------
    count : int
        Number of steps. [-]
    sd : float
        Standard deviation of one step. [mm]
    """
    k = np.arange(1, count + 1)
    return np.asarray(sd**2 * np.minimum.outer(k, k).astype(np.float64))


def stays_below(bound: float, sd: float, count: int, *, corrected: bool = True) -> float:
    """Chance that a walk never passes a bound on one side. [-]

    Brownian motion stays below c with 2 Φ(c / (s √K)) - 1, which is less than the walk's chance;
    with the bound moved off by 0.5826 steps it is right to about 0.01.

    Parameters
    ----------
    bound : float
        The bound c. [mm]
    sd : float
        Standard deviation of one step, s. [mm]
    count : int
        Number of steps K. [-]
    corrected : bool
        Whether the bound is moved.
    """
    c = bound + (CORRECTION * sd if corrected else 0.0)
    return float(2 * below(c / (sd * math.sqrt(count))) - 1)


def stays_within(bound: float, sd: float, count: int, *, corrected: bool = True) -> float:
    """Chance that a walk never passes a bound on either side. [-]

    (4/π) Σ (-1)^k / (2k+1) exp(-(2k+1)² π² K s² / (8 c²)) for Brownian motion.

    Parameters
    ----------
    bound : float
        The bound c on each side. [mm]
    sd : float
        Standard deviation of one step, s. [mm]
    count : int
        Number of steps K. [-]
    corrected : bool
        Whether the bound is moved as in :func:`stays_below`.
    """
    c = bound + (CORRECTION * sd if corrected else 0.0)
    odd = 2 * np.arange(60) + 1
    signs = np.where(np.arange(60) % 2, -1.0, 1.0)
    terms = signs / odd * np.exp(-(odd**2) * math.pi**2 * count * sd**2 / (8 * c**2))
    return float(4 / math.pi * terms.sum())
