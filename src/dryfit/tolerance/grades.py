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

from enum import StrEnum
from typing import TYPE_CHECKING

from dryfit.tolerance.fits import closes

if TYPE_CHECKING:
    from dryfit.tolerance.fits import Boundaries
    from dryfit.tolerance.normal import FloatArray

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


def grade_odds(
    grade: Grade, air: FloatArray, sd: float, boundaries: Boundaries, pinch: float
) -> FloatArray:
    """Chance that a trial gets this grade, shape (g,). [-]

    Parameters
    ----------
    grade : Grade
        How it went.
    air : array, shape (g,)
        True air at a boundary: what was drawn less the shared misfit. [mm]
    sd : float
        Standard deviation of a boundary, both parts together. [mm]
    boundaries : Boundaries
        Of the trial; two for one finger in one socket. [-]
    pinch : float
        Crush the material takes at one flank. [mm]
    """
    crush = max(pinch, LEAST_PINCH)
    loose = closes(air - PLAY / 2, sd, boundaries)
    hand = closes(air, sd, boundaries)
    mallet = closes(air + crush, sd, boundaries)
    return {
        Grade.LOOSE: loose,
        Grade.HAND: hand - loose,
        Grade.MALLET: mallet - hand,
        Grade.NO: 1 - mallet,
    }[grade]
