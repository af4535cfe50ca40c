"""Read the fingers of a corner back from the outlines of its two parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.helpers.oracle import in_place, inside, reach_of

if TYPE_CHECKING:
    from dryfit.parts.part import Part

NEAR = 1e-6
"""Flanks are told apart and panels tested at this distance. [mm]"""


@dataclass(frozen=True)
class Read:
    """What one part shows in a corner.

    `flanks` are the places of its flanks along the corner, `fingers` for each stretch between
    them whether the part fills it, low end first; `low` and `high` are the corner's ends.
    """

    low: float
    high: float
    flanks: np.ndarray
    fingers: np.ndarray

    @property
    def stretches(self) -> np.ndarray:
        """Length of each stretch, the outermost up to the corner's ends. [mm]"""
        return np.diff(np.concatenate(([self.low], self.flanks, [self.high])))


def read(part: Part, mate: Part, ends: tuple[float, float] = (0.0, 0.0)) -> Read:
    """The flanks of `part` in the corner with `mate`, leaving out `ends` of the corner. [mm]"""
    axis, across = _axes(part, mate)
    reaches = reach_of(part.panel), reach_of(mate.panel)
    low = max(box[0][axis] for box in reaches)
    high = min(box[1][axis] for box in reaches)
    begin, finish = low + ends[0], high - ends[1]
    points = in_place(part)
    found = np.sort(points[places(part, mate, (begin, finish)), axis])
    stops = np.concatenate(([begin], found, [finish]))
    middles = (stops[1:] + stops[:-1]) / 2
    slab = reaches[1][0][across], reaches[1][1][across]
    probes = np.column_stack((middles, np.full(len(middles), sum(slab) / 2)))
    filled = inside(probes, points[:, (axis, across)])
    return Read(float(low), float(high), found, filled)


def places(part: Part, mate: Part, span: tuple[float, float]) -> list[int]:
    """Numbers of the edges of `part` that are flanks in the corner with `mate`.

    They cross the whole of the mate's slab, strictly within the `span` of the corner. [mm]
    """
    axis, across = _axes(part, mate)
    slab = [box[across] for box in reach_of(mate.panel)]
    points = in_place(part)
    following = np.roll(points, -1, axis=0)
    begins = np.minimum(points, following)[:, across]
    finishes = np.maximum(points, following)[:, across]
    level = np.abs(points[:, axis] - following[:, axis]) < NEAR
    crosses = level & (begins < slab[0] + NEAR) & (finishes > slab[1] - NEAR)
    within = (points[:, axis] > span[0] + NEAR) & (points[:, axis] < span[1] - NEAR)
    return np.flatnonzero(crosses & within).tolist()


def _axes(part: Part, mate: Part) -> tuple[int, int]:
    """The axis along the corner, and the one the mate's thickness lies along."""
    own, other = (int(np.abs(p.panel.frame.n).argmax()) for p in (part, mate))
    return 3 - own - other, other
