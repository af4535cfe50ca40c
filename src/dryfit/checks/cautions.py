"""Cautions: where the work can hurt someone, said beside the files that lead to it.

They are the care of the trade, no published source; each defers to those who know the machine.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.checks.standing import is_tall
from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.model.piece import Job

BY_ROUTE: Mapping[Route, tuple[str, ...]] = MappingProxyType(
    {
        Route.ROUTER: (
            (
                "Clamp the work, keep both hands clear of the cutter and wear eye and ear "
                "protection; by hand, never climb-cut."
            ),
        ),
        Route.LASER: (
            (
                "Never leave a cutting laser alone, draw off its fumes, and never cut PVC or any "
                "other chlorinated sheet: its smoke is poison and acid."
            ),
        ),
        Route.SAW: (
            (
                "A jig rides past the blade: where the riving knife is off, fit an overhead "
                "guard, an exit block and a travel stop, and give both hands a place."
            ),
            "Use a blade set only on a saw and an arbor approved for it.",
        ),
        Route.HAND: (
            "Hold the work in a vice or against a stop, and keep both hands behind the edge.",
        ),
    }
)
"""What can hurt on each route."""

DUST = "Wood dust harms the lungs: take it off at the tool, and wear a mask that is made for it."

LOADS = (
    "Nothing here has been checked for standing or sitting on, or for lifting a load over people."
)

FIGURES = (
    "Sag and strength are reckoned from averages and from the least that standards allow: a guide "
    "to choose by, no certificate."
)

WALL = (
    "Fix so tall a piece to the wall, with a fixing made for that wall, before anything stands in "
    "it; a child who climbs it pulls harder than you expect."
)

DEFER = (
    "What the makers of your machine and your cutter say, local codes and licensed practice come "
    "before anything said here."
)


def cautions(job: Job, *, stands: bool = True) -> tuple[str, ...]:
    """What to mind before a job is cut: its route first, and last whose word comes first.

    Parameters
    ----------
    job : Job
        The job.
    stands : bool
        Whether they stand beside the whole piece; a card for one step at the machine needs no
        word of what the piece will bear.
    """
    wooden = any(panel.stock.material.name != "acrylic" for panel in job.piece.panels)
    dusty = wooden and job.cutter.route is not Route.LASER
    tall = stands and bool(job.piece.panels) and is_tall(job.piece.panels)
    return (
        *BY_ROUTE[job.cutter.route],
        *((DUST,) if dusty else ()),
        *((WALL,) if tall else ()),
        *((FIGURES,) if stands else ()),
        LOADS,
        DEFER,
    )
