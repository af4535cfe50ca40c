"""A panel whose stock is a little thinner or thicker than its neighbours were cut for.

Pieces stated in Python may be so. Less than `ONE_PLACE` is nothing; more is a gap, or a finding.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from dryfit import workflow
from dryfit.findings import Severity
from dryfit.model.lattice import lattices_of
from dryfit.shapes.tolerances import ONE_PLACE, SAME, TOUCH
from tools.furniture import changed, pigeon_holes

if TYPE_CHECKING:
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Job

HOLES = workflow.read_text(pigeon_holes(1)).job
PANELS = ("case 1 left", "case 1 bottom", "case 1 back", "case 1 shelf 3")
JOINTS = 62


def thicker(job: Job, name: str, by: float) -> Job:
    """The job with every reading of one panel greater, and nothing moved for it. [mm]"""

    def change(panel: Panel) -> Panel:
        readings = tuple(reading + by for reading in panel.stock.readings)
        return replace(panel, stock=replace(panel.stock, readings=readings))

    return changed(job, name, change)


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.parametrize("by", [sign * k * SAME for sign in (-1, 1) for k in (0.5, 1, 2, 3)])
def test_what_is_nothing_changes_nothing(name: str, by: float) -> None:
    rehearsal = workflow.Rehearsal(thicker(HOLES, name, by))
    assert len(rehearsal.joints) == JOINTS
    assert max(touch.penetration for touch in rehearsal.touches) <= ONE_PLACE
    assert not [f for f in rehearsal.findings if f.severity is Severity.STOP]


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.parametrize(
    "by", [sign * size for sign in (-1, 1) for size in (4e-9, 1e-7, 1e-5, 1 / 300, 0.1, 1.0)]
)
def test_what_is_more_is_answered(name: str, by: float) -> None:
    """Parts that overlap are told of; nothing raises."""
    rehearsal = workflow.Rehearsal(thicker(HOLES, name, by))
    told = {f.code for f in rehearsal.findings if f.severity is Severity.STOP}
    deepest = max(touch.penetration for touch in rehearsal.touches)
    assert ("parts-overlap" in told) == (deepest > TOUCH)
    assert len(rehearsal.joints) == JOINTS or "not-planned" in told


def test_a_thinner_wall_is_named() -> None:
    findings = workflow.Rehearsal(thicker(HOLES, "case 1 left", -1 / 300)).findings
    sentences = [f.sentence for f in findings if f.code == "not-planned"]
    assert sentences
    assert all("case 1 left" in sentence for sentence in sentences)


@pytest.mark.parametrize("low", [0.0, 0.4999999999e-9, -0.5000000001e-9])
def test_faces_on_either_side_of_a_half_step_are_one(low: float) -> None:
    """Rounded to nine decimals, 0.49... and 0.50... of a step lie one step apart."""
    panels = [
        replace(panel, frame=replace(panel.frame, origin=(0.0, 0.0, z)))
        for panel, z in zip(HOLES.piece.panels[:2], (low, 0.5000000001e-9), strict=True)
    ]
    (lattice,) = lattices_of(panels, frozenset())
    assert lattice.low[0, 2] == lattice.low[1, 2]
