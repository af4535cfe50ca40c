"""A panel that all but ends at another: neither tee nor corner, and said so instead of raised."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dryfit import workflow
from dryfit.findings import Severity
from tools.furniture import changed, pigeon_holes


@pytest.mark.parametrize("off", [1e-7, 1e-5, 1 / 300, 0.01, 0.1, 0.4])
def test_a_panel_thinner_than_its_reach_is_a_finding(off: float) -> None:
    """Stated from Python: the mates still reach as far as the thickness that was."""
    job = workflow.read_text(pigeon_holes(1)).job
    first = job.piece.panels[0]
    thinner = replace(first.stock, readings=(first.stock.thickness - off,))
    rehearsal = workflow.Rehearsal(
        changed(job, first.name, lambda panel: replace(panel, stock=thinner))
    )
    stops = {f.code for f in rehearsal.findings if f.severity is Severity.STOP}
    assert "not-planned" in stops
    assert any(first.name in f.place for f in rehearsal.findings if f.code == "not-planned")


def test_a_web_of_a_millimetre_is_a_tee() -> None:
    job = workflow.read_text(pigeon_holes(1)).job
    first = job.piece.panels[0]
    thinner = replace(first.stock, readings=(first.stock.thickness - 1.0,))
    rehearsal = workflow.Rehearsal(
        changed(job, first.name, lambda panel: replace(panel, stock=thinner))
    )
    assert not rehearsal.report.stops
