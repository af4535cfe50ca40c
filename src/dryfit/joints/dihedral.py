"""Square-cut fingers in a corner of any angle: where they begin, where they end, what stays open.

Seen square to the corner, panel A is a strip between its inner face (h = 0) and its outer face
(h = t_A), and s runs along A, from its inside towards the corner and past it. The inner faces meet
at s = 0 under the angle θ that the piece has inside. The mate B is the strip between

    s = h cot θ  (its inner face)   and   s = t_B / sin θ + h cot θ  (its outer face).

An edge cut square through the sheet is a line s = const. So that nothing of it lies in B, a
shoulder of A lies at the least of B's inner face over 0 <= h <= t_A; so that nothing of it stands
out of B, the tip of a finger lies at the least of B's outer face. Both leans are the same, hence

    shoulder = min(0, t_A cot θ),    tip = t_B / sin θ + min(0, t_A cot θ),    length = t_B / sin θ.

Beside each shoulder and each tip a triangle stays open, t_A wide and t_A |cot θ| long. The outer
faces meet in the *outer edge*, at s = t_B / sin θ + t_A cot θ: from there both are counted, as
levels of a side of A, outward positive. Derived in full in ``docs/theory/angled.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from dryfit.shapes.tolerances import PARALLEL


@dataclass(frozen=True, slots=True)
class Dihedral:
    """One panel's share of a corner at an angle; swap the thicknesses for its mate's.

    Parameters
    ----------
    angle : float
        Inside the piece, between the two inner faces; more than 0 and less than a straight angle.
        [rad]
    own, mate : float
        Thickness of this panel and of the other. [mm]

    Examples
    --------
    >>> hexagon = Dihedral(math.radians(120), 9.0, 9.0)
    >>> round(hexagon.finger, 3), round(hexagon.shoulder, 3), hexagon.tip
    (10.392, -10.392, 0.0)
    """

    angle: float
    own: float
    mate: float

    @property
    def sine(self) -> float:
        """Sine of the angle; exactly 1 where the corner is square. [-]"""
        return 1.0 if self._cosine == 0 else math.sin(self.angle)

    @property
    def _cosine(self) -> float:
        cosine = math.cos(self.angle)
        return 0.0 if abs(cosine) < PARALLEL else cosine

    @property
    def lean(self) -> float:
        """How far the mate's faces lean along this panel, from its inside to its outside. [mm]

        Negative in a blunt corner, where they lean back, 0 in a square one.
        """
        return self.own * self._cosine / self.sine

    @property
    def finger(self) -> float:
        """Length of a finger from its shoulder to its tip, t_B / sin θ. [mm]"""
        return self.mate / self.sine

    @property
    def tip(self) -> float:
        """Level of a finger's tip, outward from the outer edge; never above 0. [mm]"""
        return -self.lean if self.lean > 0 else 0.0

    @property
    def shoulder(self) -> float:
        """Level of a shoulder, outward from the outer edge. [mm]"""
        return self.tip - self.finger

    @property
    def inner_edge(self) -> float:
        """Level of the edge in which the inner faces meet. [mm]"""
        return -self.finger - self.lean

    @property
    def wedge(self) -> float:
        """Section of the wedge that stays open at each shoulder and at each tip. [mm²]"""
        return self.own * abs(self.lean) / 2

    @property
    def bevel(self) -> float:
        """How far from square an edge must be bevelled to lie on the mate's face. [rad]"""
        return abs(math.pi / 2 - self.angle) if self._cosine else 0.0

    @property
    def to_plane(self) -> float:
        """What to add to the proud for a finger that is bevelled flush and closes its tip. [mm]

        The wedge that then stands out of the mate's face, and is planed off, has the section of
        the one that would have stayed open.
        """
        return abs(self.lean)
