"""Which of two layouts is the better one."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from dryfit.layout.free import FreeSpace, area_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.free import Box
    from dryfit.layout.problem import Bin, Filled, Problem

Score: TypeAlias = "tuple[float, ...]"
"""Figures in the order in which they count; less is better."""


def score_of(problem: Problem, filled: Sequence[Filled]) -> Score:
    """Everything placed; fewest bought; least cost; fewest and oldest in hand; largest left over.

    Returns
    -------
    tuple of float
        Area not placed, sheets bought, their cost, sheets in hand used, their places in the order
        of use added up (both 0 where any is bought), and the largest rectangle left over with its
        sign turned.
    """
    done = {spot.box for each in filled for spot in each.spots}
    missing = sum(problem.area(box) for box in range(len(problem.items)) if box not in done)
    bought = [each.bin for each in filled if each.bin.sheet.to_buy]
    order = {id(each): place for place, each in enumerate(problem.in_hand)}
    own = [order[id(each.bin)] for each in filled if id(each.bin) in order]
    left = max((area_of(largest_left(problem, each)) for each in filled), default=0)
    cost = sum(each.sheet.price or 0.0 for each in bought)
    if bought:  # then what is in hand may as well be used up
        own = []
    return missing, len(bought), cost, len(own), sum(own), -left


def boxes_in(problem: Problem, filled: Filled) -> list[Box]:
    """The boxes of a bin as they lie."""
    found = []
    for spot in filled.spots:
        width, height = problem.lying(spot.box, turned=spot.turned)
        found.append((spot.x, spot.y, spot.x + width, spot.y + height))
    return found


def largest_left(problem: Problem, filled: Filled) -> Box:
    """The largest rectangle left over in a bin; of straight cuts, the larger of two strips."""
    boxes = boxes_in(problem, filled)
    if problem.rules.guillotine:
        return _strip(filled.bin, [*boxes, *filled.bin.taken])
    return FreeSpace(filled.bin.length, filled.bin.width, (*filled.bin.taken, *boxes)).largest


def _strip(where: Bin, boxes: Sequence[Box]) -> Box:
    """The strip beside all boxes or the one above them, whichever is larger."""
    x, y = max((box[2] for box in boxes), default=0), max((box[3] for box in boxes), default=0)
    return max((x, 0, where.length, where.width), (0, y, where.length, where.width), key=area_of)
