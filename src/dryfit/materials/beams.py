"""Beams: how far a straight member bends under a load.

Deflection is kb W L³ / (E I) + ks W L / (G A'), with W the whole load, L the span, I = b h³ / 12
and A' = 5/6 b h: Wood Handbook, FPL-GTR-282, Eq. 9-2 to 9-4 with the coefficients of Table 9-1.
Its row for two loads at the quarter points, read at a load point, is that of simple supports.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

TABLE = "Wood Handbook, FPL-GTR-282, Table 9-1"


@dataclass(frozen=True, slots=True)
class Case:
    """One way to load and carry a beam.

    Parameters
    ----------
    what : str
        The load, the ends and where the deflection is read.
    bends, shears : float
        The coefficients kb and ks. [-]
    source : str
        Where they are printed.
    """

    what: str
    bends: float
    shears: float
    source: str = TABLE


SPREAD = Case("spread evenly, simple ends", 5 / 384, 1 / 8)
SPREAD_CLAMPED = Case("spread evenly, clamped ends", 1 / 384, 1 / 8)
MIDDLE = Case("in the middle, simple ends", 1 / 48, 1 / 4)
MIDDLE_CLAMPED = Case("in the middle, clamped ends", 1 / 192, 1 / 4)
QUARTERS = Case("at both quarter points, simple ends, read in the middle", 11 / 768, 1 / 8)
QUARTERS_AT_LOAD = Case("at both quarter points, simple ends, read at a load", 1 / 96, 1 / 8)
SPREAD_HUNG = Case("spread evenly, one end clamped and one free", 1 / 8, 1 / 2)
END_HUNG = Case("at the free end of a clamped beam", 1 / 3, 1.0)
SPREAD_PROPPED = Case(
    "spread evenly, one end clamped and one simple, bending only", 1 / 185, 0.0,
    "standard beam tables (from memory)",
)  # fmt: skip

CASES = (
    SPREAD, SPREAD_CLAMPED, MIDDLE, MIDDLE_CLAMPED, QUARTERS, QUARTERS_AT_LOAD, SPREAD_HUNG,
    END_HUNG, SPREAD_PROPPED,
)  # fmt: skip
"""Every case."""


@dataclass(frozen=True, slots=True)
class Section:
    """A rectangular section and what it is made of.

    Parameters
    ----------
    width, thickness : float
        Its breadth, and its height in the direction of the load. [mm]
    modulus : float
        Modulus of elasticity along the span, without shear. [N/mm²]
    shear : float
        Modulus of rigidity through the thickness; infinite leaves shear out. [N/mm²]
    """

    width: float
    thickness: float
    modulus: float
    shear: float = inf

    @property
    def bending_stiffness(self) -> float:
        """E I. [N mm²]"""
        return self.modulus * self.width * self.thickness**3 / 12

    @property
    def shear_stiffness(self) -> float:
        """G A'. [N]"""
        return self.shear * self.width * self.thickness * 5 / 6

    def deflection(self, case: Case, load: float, span: float) -> float:
        """How far it bends. [mm]

        Parameters
        ----------
        case : Case
            How it is loaded and carried.
        load : float
            The whole load. [N]
        span : float
            From one support to the other, or to the free end. [mm]

        Examples
        --------
        >>> Section(300, 18, 2500).deflection(SPREAD, 20 * 9.81, 800)
        3.589
        """
        return (
            case.bends * load * span**3 / self.bending_stiffness
            + case.shears * load * span / self.shear_stiffness
        )

    def longest(self, case: Case, pressure: float, share: float) -> float:
        """The span at which bending alone reaches a `share` of it, under an even load. [mm]

        Parameters
        ----------
        case : Case
            How it is carried.
        pressure : float
            Load on the face. [N/mm²]
        share : float
            Deflection over span that is allowed. [-]
        """
        each = case.bends * pressure * self.width / self.bending_stiffness
        return float((share / each) ** (1 / 3))
