"""Steps of an order, replayed millimetre by millimetre with the dry fit.

The parts are moved as solids; nothing of what found the order is asked.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.meeting import find_meetings
from dryfit.parts.solids import solid_of
from dryfit.parts.touch import dry_fit
from dryfit.shapes.solid import Bulk
from dryfit.shapes.tolerances import CHORD

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.assembly.steps import Step
    from dryfit.parts.part import Part

BEYOND = 3.0
"""How much further than its travel a part begins. [mm]"""


def shifted(part: Part, by: np.ndarray) -> Part:
    x, y, z = (np.array(part.panel.frame.origin) + by).tolist()
    return replace(
        part, panel=replace(part.panel, frame=replace(part.panel.frame, origin=(x, y, z)))
    )


def stations(step: Step, every: float) -> np.ndarray:
    """How far the moving parts still have to go, from clear of all to their seat. [mm]"""
    assert step.way is not None
    whole = step.travel + BEYOND
    return np.linspace(whole, 0.0, ceil(whole / every) + 1)


def deepest(parts: Sequence[Part], step: Step, every: float = 1.0) -> float:
    """The deepest that a moving part and one that stands fill the same space on the way. [mm]"""
    moving = [part for part in parts if part.name in step.moving]
    standing = [part for part in parts if part.name in step.standing]
    found = 0.0
    for left in stations(step, every):
        by = -np.array(step.way) * left
        there = [*(shifted(part, by) for part in moving), *standing]
        for touch in dry_fit(there, find_meetings([part.panel for part in there]).lattices):
            if (touch.a in step.moving) != (touch.b in step.moving):
                found = max(found, touch.penetration)
    return found


def largest(parts: Sequence[Part], step: Step, every: float = 1.0) -> float:
    """The same for parts at any angle: the largest volume that two share on the way. [mm³]"""
    solids = {part.name: Bulk.of(solid_of(part, CHORD)) for part in parts}
    found = 0.0
    for left in stations(step, every):
        by = -np.array(step.way) * left
        for one, other in product(step.moving, step.standing):
            found = max(found, solids[one].moved(by).common(solids[other]).volume)
    return found
