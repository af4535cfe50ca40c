"""Problems of bare boxes, for tests of the engines."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from dryfit.layout.data import Item, Key, Member
from dryfit.layout.problem import state
from dryfit.model.sheets import Rules, Sheet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.problem import Problem

WORKSHOP = Sheet("sheet", "ply", 1220.0, 610.0)
APART = Rules(spacing=6.0, margin=6.0)
STRAIGHT = Rules(spacing=6.0, margin=6.0, guillotine=True)


def boxes(
    sizes: Sequence[tuple[float, float]],
    sheets: Sequence[Sheet] = (WORKSHOP,),
    rules: Rules = APART,
    turns: tuple[int, ...] = (0, 2),
) -> Problem:
    """The problem of laying boxes of some sizes. [mm]"""
    items = [
        Item(width, height, turns, (Member(Key(f"part {n}"), 0.0, 0.0, width, height),))
        for n, (width, height) in enumerate(sizes)
    ]
    return state("ply", items, sheets, rules)


def panels(seed: int, count: int = 60) -> list[tuple[float, float]]:
    """Sizes of random panels of a workshop, 80 to 450 mm either way. [mm]"""
    rng = random.Random(seed)  # noqa: S311
    return [(float(rng.randint(80, 450)), float(rng.randint(80, 450))) for _ in range(count)]
