"""A part sliced at the floors of its trenches: what stands in each layer.

The outline, its mortises and the trenches of a layer are counted one against the other: loops that
run counter-clockwise are wood, clockwise ones are not. That holds as long as each trench lies in
the wood and clear of the others. Where a relief bites into a trench, or two trenches run into each
other, the shapes are cut out of one another first, so that nothing is taken off twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.profile import Profile
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Layer:
    """A slice of a part between two heights above face a [mm], and the trenches that cross it."""

    low: float
    high: float
    trenches: tuple[Loop, ...]


@lru_cache(maxsize=2048)
def standing(profile: Profile, trenches: tuple[Loop, ...]) -> tuple[Loop, ...]:
    """Loops of what stands in a layer: wood counter-clockwise, what is gone clockwise.

    Parameters
    ----------
    profile : Profile
        The outline with its mortises. [mm]
    trenches : tuple of Loop
        The trenches that cross the layer, counter-clockwise. [mm]
    """
    if not trenches:
        return profile.loops
    bounds = np.array([trench.bounds for trench in trenches])
    if not (_collide(bounds) or _runs_into(profile, bounds)):
        return (*profile.loops, *(trench.reversed() for trench in trenches))
    # Loads GEOS, which few pieces need here.
    from dryfit.shapes.boolean import difference

    left = difference([profile], [Profile(trench) for trench in trenches])
    return tuple(loop for piece in left for loop in piece.loops)


def _collide(bounds: FloatArray) -> bool:
    """Whether two upright trenches share space; `bounds` has shape (k, 4). [mm]"""
    high = np.minimum(bounds[:, None, 2:], bounds[None, :, 2:])
    low = np.maximum(bounds[:, None, :2], bounds[None, :, :2])
    shared = (high - low > SAME).all(axis=2)
    np.fill_diagonal(shared, val=False)
    return bool(shared.any())


def _runs_into(profile: Profile, bounds: FloatArray) -> bool:
    """Whether an edge, or the round it bows out to, lies inside an upright trench. [mm]"""
    edges = profile.edges
    bow = np.abs(edges[:, :2] - edges[:, 2:4]).sum(axis=1) * np.abs(edges[:, 4])
    low = np.minimum(edges[:, :2], edges[:, 2:4]) - bow[:, None]
    high = np.maximum(edges[:, :2], edges[:, 2:4]) + bow[:, None]
    near = (low < bounds[:, None, 2:] - SAME) & (high > bounds[:, None, :2] + SAME)
    return bool(near.all(axis=2).any())
