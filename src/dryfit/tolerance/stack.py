"""Linear stacks and how capable a process is of its limits."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.tolerance.normal import below

if TYPE_CHECKING:
    from collections.abc import Sequence

UNIFORM = math.sqrt(3)
"""What a ± that is spread evenly counts for, against one that is three standard deviations. [-]"""


@dataclass(frozen=True, slots=True)
class Process:
    """A normally spread size between two limits.

    Parameters
    ----------
    mean, sd : float
        Its mean and standard deviation. [mm]
    low, high : float
        The limits. [mm]
    """

    mean: float
    sd: float
    low: float
    high: float

    @property
    def cp(self) -> float:
        """Width of the limits over six standard deviations, Cp. [-]"""
        return (self.high - self.low) / (6 * self.sd)

    @property
    def cpk(self) -> float:
        """Distance to the nearer limit over three standard deviations, Cpk. [-]"""
        return min(self.high - self.mean, self.mean - self.low) / (3 * self.sd)

    @property
    def outside(self) -> float:
        """Share that lies outside the limits. [-]"""
        above = below((self.mean - self.high) / self.sd)
        return float(above + below((self.low - self.mean) / self.sd))


def worst_case(tolerances: Sequence[float]) -> float:
    """Sum of tolerances that may all be at their worst. [mm]"""
    return float(sum(abs(each) for each in tolerances))


def root_sum_square(tolerances: Sequence[float], inflation: float = 1.0) -> float:
    """What independent, centred tolerances add up to, each three standard deviations. [mm]

    Parameters
    ----------
    tolerances : sequence of float
        Half widths. [mm]
    inflation : float
        1 for normal spreads, :data:`UNIFORM` for even ones. [-]
    """
    return inflation * math.sqrt(sum(each**2 for each in tolerances))
