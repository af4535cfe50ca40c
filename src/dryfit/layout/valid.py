"""Whether filled bins are what was asked for, before anybody sees them.

An engine of someone else's writing is believed in nothing: every box once, allowed to lie as it
does, inside its bin, clear of what is taken and of every other box; bins no more often than there
are. Boxes that were laid by their outlines may overlap; their outlines have to keep the spacing.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from dryfit.layout.data import laid_matrix
from dryfit.layout.problem import STEP
from dryfit.layout.score import boxes_in
from dryfit.model.panel import Face

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from dryfit.layout.problem import Filled, Problem, Spot

_SLACK = 1.5 * STEP
"""What two outlines may lack of the spacing, since their places are rounded. [mm]"""


def is_valid(problem: Problem, filled: Sequence[Filled]) -> bool:
    """Whether nothing is wrong with filled bins."""
    spots = [spot for each in filled for spot in each.spots]
    boxes = [spot.box for spot in spots]
    single = Counter((e.bin.sheet.name, e.bin.number) for e in filled if e.bin.number)
    if len(set(boxes)) != len(boxes) or any(count > 1 for count in single.values()):
        return False
    if not all(
        problem.ways[spot.box][spot.turned] and _turn_stands(problem, spot) for spot in spots
    ):
        return False
    return all(_bin_stands(problem, each) for each in filled)


def _turn_stands(problem: Problem, spot: Spot) -> bool:
    return spot.turn is None or (
        spot.turn in problem.items[spot.box].turns and spot.turn % 2 == spot.turned
    )


def _bin_stands(problem: Problem, filled: Filled) -> bool:
    """Whether everything in a bin lies inside it and clear."""
    boxes = np.array(boxes_in(problem, filled), dtype=np.int64).reshape(-1, 4)
    size = filled.bin.length, filled.bin.width
    if (boxes[:, :2] < 0).any() or (boxes[:, 2:] > size).any():
        return False
    taken = np.array(filled.bin.taken, dtype=np.int64).reshape(-1, 4)
    if _overlap(boxes, taken).any():
        return False
    pairs = np.argwhere(np.triu(_overlap(boxes, boxes), 1)).tolist()
    return all(_outlines_clear(problem, filled, one, other) for one, other in pairs)


def _overlap(one: npt.NDArray[np.int64], other: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    """Which boxes overlap, shape (of one, of the other)."""
    low = np.maximum(one[:, None, :2], other[None, :, :2])
    high = np.minimum(one[:, None, 2:], other[None, :, 2:])
    return np.asarray((low < high).all(axis=2))


def _outlines_clear(problem: Problem, filled: Filled, one: int, other: int) -> bool:
    """Whether two boxes that overlap were laid by outlines that keep the spacing."""
    from dryfit.shapes import geos

    spots = filled.spots[one], filled.spots[other]
    if any(spot.turn is None for spot in spots):
        return False
    rings = [outline_of(problem, spot) for spot in spots]
    shapes = [geos.regions([[ring]]) for ring in rings]
    if geos.overlay_area("intersection", shapes[0], shapes[1]) > 0:
        return False
    apart = min(
        float(geos.distances(shapes[a], rings[b]).min()) for a, b in combinations((0, 1), 2)
    )
    apart = min(apart, float(geos.distances(shapes[1], rings[0]).min()))
    return apart >= problem.rules.spacing - _SLACK


def outline_of(problem: Problem, spot: Spot) -> npt.NDArray[np.float64]:
    """The outline of a box in its place in the bin, or the box less its spacing. [mm]"""
    item = problem.items[spot.box]
    width, height = item.width, item.height
    ring = np.array(item.outline or [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    ring = ring @ np.array(laid_matrix(spot.turn or 0, Face.B)).T
    return np.asarray(ring - ring.min(axis=0) + np.array([spot.x, spot.y]) * STEP)
