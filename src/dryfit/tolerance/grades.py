"""How a trial fit feels, and what that says of the air in it.

Vocabulary
----------
trial
    A socket, or a few of them, tried on a mate cut by the same cutter from the same stock.
play
    Air at a finger from which a maker calls a trial loose. [mm]

A trial of K boundaries goes together by hand iff it closes with the air it has, with a mallet iff
it closes with the pinch of the material on top, and is loose iff it would close with half the play
less at every boundary. So each grade bounds the air from both sides, and its chance is a difference
of two of the odds in :mod:`dryfit.tolerance.fits`.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.fits import closes
from dryfit.tolerance.normal import below

if TYPE_CHECKING:
    from dryfit.tolerance.fits import Boundaries
    from dryfit.tolerance.normal import FloatArray, Numbers

PLAY = 0.10
"""Air at a finger from which a trial is called loose (common practice, no source). [mm]"""

LEAST_PINCH = 0.01
"""What a mallet closes even in a material that takes no pinch (common practice, no source). [mm]"""


class Grade(StrEnum):
    """How a trial goes together, the tightest last."""

    LOOSE = "loose"
    HAND = "by hand"
    MALLET = "mallet"
    NO = "no"


def bounds(grade: Grade, pinch: float) -> tuple[float, float]:
    """The least and the most air at which a trial without scatter gets a grade. [mm]

    Parameters
    ----------
    grade : Grade
        How it went.
    pinch : float
        Crush the material takes at one flank. [mm]
    """
    crush = max(pinch, LEAST_PINCH)
    return {
        Grade.LOOSE: (PLAY / 2, math.inf),
        Grade.HAND: (0.0, PLAY / 2),
        Grade.MALLET: (-crush, 0.0),
        Grade.NO: (-math.inf, -crush),
    }[grade]


def grade_odds(
    grade: Grade, air: FloatArray, sd: Numbers, boundaries: Boundaries, pinch: float
) -> FloatArray:
    """Chance that a trial gets this grade, in the shape of the air. [-]

    Parameters
    ----------
    grade : Grade
        How it went.
    air : array
        True air at a boundary: what was drawn less the shared misfit. [mm]
    sd : float or array
        Standard deviation of a boundary, both parts together. [mm]
    boundaries : Boundaries
        Of the trial; two for one finger in one socket. [-]
    pinch : float
        Crush the material takes at one flank. [mm]
    """
    least, most = bounds(grade, pinch)
    if boundaries.plus == boundaries.minus == 1 and np.min(sd) > 0:
        scale = math.sqrt(2) / sd
        return _between((air - most) * scale, (air - least) * scale)
    at_least = 1.0 if least == -math.inf else closes(air - least, sd, boundaries)
    looser = 0.0 if most == math.inf else closes(air - most, sd, boundaries)
    return np.asarray(at_least - looser)


def _between(low: FloatArray, high: FloatArray) -> FloatArray:
    """Φ(high) - Φ(low), as the difference of the two smaller tails so that it keeps its digits."""
    turned = low + high > 0
    return below(np.where(turned, -low, high)) - below(np.where(turned, -high, low))
