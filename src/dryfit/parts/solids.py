"""Finished parts as solid bodies in their places in the piece, trenches cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.shapes.profile import Profile
from dryfit.shapes.solid import Slice, Solid, Stack
from dryfit.shapes.solid import solid_of as solid_of_stack

if TYPE_CHECKING:
    from dryfit.parts.layers import Layer
    from dryfit.parts.part import Part


def stack_of(part: Part) -> Stack:
    """The as-cut part in its place, one slice a layer, arcs kept."""
    frame = part.panel.frame
    return Stack(
        tuple(Slice(layer.low, layer.high, _standing(part.as_cut, layer)) for layer in part.layers),
        np.array(frame.origin),
        np.array((frame.u, frame.v, frame.n)),
    )


def solid_of(part: Part, chord: float) -> Solid:
    """The as-cut part in its place; chords stray from arcs by `chord` [mm] at most.

    Raises
    ------
    ShapeError
        If nothing is left of the part.
    """
    return solid_of_stack(stack_of(part), chord)


def _standing(profile: Profile, layer: Layer) -> tuple[Profile, ...]:
    """What stands in a layer, as profiles of their own.

    Loops that are only counted one against the other do for an area, but a trench that runs out
    at an edge would leave a wall without thickness there.
    """
    if not layer.trenches:
        return (profile,)
    # Loads GEOS, which few pieces need here.
    from dryfit.shapes.boolean import difference

    return tuple(difference([profile], [Profile(trench) for trench in layer.trenches]))
