"""The shape of a trench as the cutter leaves it.

A trench ends in the wood or runs out at the panel's edge. Where it ends in the wood, a round
cutter goes on by its radius, so that the square end of the edge which it holds finds full width.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from dryfit.model.panel import Panel
    from dryfit.parts.features import Trench

_QUARTER = math.tan(math.pi / 8)
_SWAP = np.array([[0.0, 1.0], [1.0, 0.0]])


def trench(panel: Panel, asked: Trench, radius: float) -> Profile:
    """A trench in the (u, v) of its panel. [mm]

    Parameters
    ----------
    panel : Panel
        The panel; nothing is cut beyond its reach.
    asked : Trench
        What the mate's edge fills.
    radius : float
        Radius of the cutter. [mm]
    """
    return remembered_trench((panel.width, panel.height), asked, radius)


@lru_cache(maxsize=8192)
def remembered_trench(size: tuple[float, float], asked: Trench, radius: float) -> Profile:
    """The same by value, for a panel of some `size` [mm] and a cutter of some `radius` [mm]."""
    u0, v0, u1, v1 = asked.rectangle
    (begin, end), (low, high) = ((u0, u1), (v0, v1)) if asked.along_u else ((v0, v1), (u0, u1))
    length, width = size if asked.along_u else size[::-1]
    begin, end = begin - radius, end + radius
    if asked.through:
        begin, end = 0.0, length
    ends_in = begin > SAME, end < length - SAME
    begin, end = max(begin, 0.0), min(end, length)
    low, high = max(low, 0.0), min(high, width)
    shape = _rounded(begin, end, low, high, min(radius, (high - low) / 2), ends_in)
    if not asked.along_u:
        shape = shape.transformed(_SWAP)
    return Profile(shape)


def _rounded(
    begin: float, end: float, low: float, high: float, radius: float, ends_in: tuple[bool, bool]
) -> Loop:
    """A bar whose ends have round corners where they lie in the wood. [mm]"""
    if radius <= 0:
        ends_in = (False, False)
    first, last = (radius if inside else 0.0 for inside in ends_in)
    points = [(begin + first, low, 0.0), (end - last, low, _QUARTER if last else 0.0)]
    if last:
        points += [(end, low + last, 0.0), (end, high - last, _QUARTER)]
    points += [(end - last, high, 0.0), (begin + first, high, _QUARTER if first else 0.0)]
    if first:
        points += [(begin, high - first, 0.0), (begin, low + first, _QUARTER)]
    vertices = np.array(points)
    # Where a cutter as wide as the trench leaves half a circle, the straight end has no length.
    apart = np.abs(vertices[:, :2] - np.roll(vertices[:, :2], -1, axis=0)).max(axis=1) > SAME
    return Loop(vertices[apart])
