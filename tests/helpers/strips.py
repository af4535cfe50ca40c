"""Strips of known height as problems of one sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.layout.problem import STEP
from dryfit.model.sheets import Rules, Sheet
from tests.helpers.packing import boxes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.problem import Filled, Problem
    from tests.helpers.hopper_turton import Strip

_BARE = Rules(spacing=0.0, margin=0.0)


def strip_problem(strip: Strip) -> Problem:
    """The strip across a sheet, its height along it, twice as long as is needed."""
    sheet = Sheet("strip", "ply", 2.0 * strip.height, float(strip.width))
    pieces = [(float(height), float(width)) for width, height in strip.pieces]
    return boxes(pieces, (sheet,), _BARE, (0,))


def height_of(problem: Problem, filled: Sequence[Filled]) -> float:
    """How high the strip is filled; a second sheet stands on the first."""
    top = max(spot.x + problem.lying(spot.box, turned=spot.turned)[0] for spot in filled[-1].spots)
    return (len(filled) - 1) * problem.bins[0].length * STEP + top * STEP
