"""Parts that the maker has locked in their places: is there room for each?"""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.layout.problem import Bin, Problem
    from dryfit.model.sheets import Rectangle, Rules

_NEAR = 1e-6
"""Distances that lack less than this lack nothing. [mm]"""


def clashes_of(problem: Problem) -> tuple[str, ...]:
    """Names of locked parts that leave their sheet or meet something, each once."""
    found = chain.from_iterable(_clashes(each, problem.rules) for each in problem.in_hand)
    return tuple(dict.fromkeys(found))


def _clashes(where: Bin, rules: Rules) -> Iterator[str]:
    sheet, margin = where.sheet, rules.margin
    inside = margin, margin, sheet.length - margin, sheet.width - margin
    for number, placed in enumerate(where.locked):
        box = placed.box
        within = all(a >= b - _NEAR for a, b in zip(box[:2], inside[:2], strict=True)) and all(
            a <= b + _NEAR for a, b in zip(box[2:], inside[2:], strict=True)
        )
        others = [other.box for k, other in enumerate(where.locked) if k != number]
        places = (*sheet.defects, *rules.clamps)
        if (
            not within
            or any(_nearer(box, other, rules.spacing) for other in others)
            or any(_nearer(box, place, margin) for place in places)
        ):
            yield placed.part


def _nearer(one: Rectangle, other: Rectangle, distance: float) -> bool:
    """Whether two rectangles come nearer than a distance along both axes. [mm]"""
    apart = distance - _NEAR
    return (
        max(other[0] - one[2], one[0] - other[2]) < apart
        and max(other[1] - one[3], one[1] - other[3]) < apart
    )
