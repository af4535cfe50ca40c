"""Awkward profiles: each is a pair to be combined, with the area of its union where known."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dryfit.shapes.profile import Loop, Profile


@dataclass(frozen=True)
class Case:
    """Two profiles and the area that they share. [mm²]"""

    name: str
    first: Profile
    second: Profile
    shared: float


def disc(x: float, y: float, radius: float) -> Profile:
    """A disc. [mm]"""
    return Profile(Loop.of([(x - radius, y, 1), (x + radius, y, 1)]))


def slotted(width: float) -> Profile:
    """A plate of 40 by 20 with a slot 15 deep in its upper edge. [mm]"""
    a, b = 20 - width / 2, 20 + width / 2
    return Profile(Loop.of([(0, 0), (40, 0), (40, 20), (b, 20), (b, 5), (a, 5), (a, 20), (0, 20)]))


SQUARE = Profile.rectangle(0, 0, 10, 10)
QUARTER = Profile(Loop.of([(0, 0), (3, 0, math.tan(math.pi / 8)), (0, 3)]))
STADIUM = Profile(Loop.of([(0, 0), (10, 0, 1), (10, 6), (0, 6, 1)]))
RING = Profile(Loop.of([(-5, 0, 1), (5, 0, 1)]), (Loop.of([(-3, 0, -1), (3, 0, -1)]),))
PLATE = Profile(SQUARE.outer, (Loop.of([(2, 2), (2, 8), (8, 8), (8, 2)]),))
THIRD = math.pi / 3

CASES = (
    Case("disc touching a side from within", SQUARE, disc(5, 3, 3), 9 * math.pi),
    Case("disc touching a side from without", SQUARE, disc(5, -3, 3), 0.0),
    Case("disc touching all four sides", SQUARE, disc(5, 5, 5), 25 * math.pi),
    Case("disc through a corner", SQUARE, disc(0.0, 3.0, 3.0), 4.5 * math.pi),
    Case("disc centred on a corner", SQUARE, disc(0, 0, 3), 2.25 * math.pi),
    Case("disc through two corners", SQUARE, disc(0, 5, 5), 12.5 * math.pi),
    Case("disc biting less than a chord", SQUARE, disc(5, 10.0005 - 3, 3), 9 * math.pi - 0.0000365),
    Case("two discs touching from without", disc(0, 0, 3), disc(5, 0, 2), 0.0),
    Case("two discs touching from within", disc(0, 0, 5), disc(2, 0, 3), 9 * math.pi),
    Case(
        "the same disc, split elsewhere",
        disc(0, 0, 5),
        Profile(Loop.of([(0, -5, 1), (0, 5, 1)])),
        25 * math.pi,
    ),
    Case("two discs that share a lens", disc(0, 0, 1), disc(1, 0, 1), 2 * THIRD - 3**0.5 / 2),
    Case("quarter disc on its own disc", disc(0, 0, 3), QUARTER, 2.25 * math.pi),
    Case("edges on one another", SQUARE, Profile.rectangle(10, 2, 20, 8), 0.0),
    Case("half of an edge shared", SQUARE, Profile.rectangle(5, 0, 15, 10), 50.0),
    Case("corner on corner", SQUARE, Profile.rectangle(10, 10, 20, 20), 0.0),
    Case("corner on an edge", SQUARE, Profile(Loop.of([(10, 5), (14, 1), (14, 9)])), 0.0),
    Case("the same square", SQUARE, Profile.rectangle(0, 0, 10, 10), 100.0),
    Case("a plug for a hole", PLATE, Profile.rectangle(2, 2, 8, 8), 0.0),
    Case("a disc in the hole of a ring", RING, disc(0, 0, 3), 0.0),
    Case("a disc over a ring", RING, disc(0, 0, 4), 7 * math.pi),
    Case("a bar across a ring", RING, Profile.rectangle(-9, 0, 9, 9), 8 * math.pi),
    Case("stadium and its own end", STADIUM, disc(10, 3, 3), 9 * math.pi),
    Case("stadium and a touching bar", STADIUM, Profile.rectangle(-5, 6, 20, 8), 0.0),
)


def relieved(width: float, radius: float) -> tuple[Profile, list[Profile]]:
    """A slotted plate and the diagonal reliefs of the slot's corners. [mm]"""
    reach = radius / math.sqrt(2)
    left, right = 20 - width / 2 + reach, 20 + width / 2 - reach
    return slotted(width), [disc(left, 5 + reach, radius), disc(right, 5 + reach, radius)]
