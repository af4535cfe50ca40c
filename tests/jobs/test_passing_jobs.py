"""Pieces with shelves and dividers, stated in Python, all the way to findings and files."""

from __future__ import annotations

import pytest

from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Piece, Wish
from dryfit.workflow import Rehearsal, files
from tests.helpers.boxes import RING, box, slab

ROUTER = Cutter(Route.ROUTER, 3.175, Relief.FLANK)
WISH = Wish(flank_gap=0.05, proud=0.2)


def rehearsed(*panels: object, cutter: Cutter = ROUTER, walls: tuple[str, ...] = RING) -> Rehearsal:
    piece = Piece((*box((240, 180, 120), walls, 9.0).panels, *panels), WISH)  # type: ignore[arg-type]
    return Rehearsal(Job("Case for paper", piece, cutter))


def shelf(depth: float, thickness: float = 6.0) -> object:
    return slab("shelf", (9 - depth, 9, 50), (231 + depth, 171, 50 + thickness), 2)


def stops(rehearsal: Rehearsal) -> set[tuple[str, str]]:
    return {(f.code, f.place) for f in rehearsal.findings if f.severity is Severity.STOP}


@pytest.mark.parametrize("depth", [3.0, 9.0])
def test_a_shelf_closes_and_can_be_cut_on_the_router(depth: float) -> None:
    rehearsal = rehearsed(shelf(depth))
    assert stops(rehearsal) == set()
    assert rehearsal.report.answers[0].verdict.startswith("All 6 joints close as cut")


def test_a_laser_cuts_no_trench_and_a_saw_no_mortise() -> None:
    laser = rehearsed(shelf(3.0), cutter=Cutter(Route.LASER, 0.15))
    assert stops(laser) == {("route-cannot", "left+shelf and right+shelf")}
    saw = rehearsed(shelf(9.0), cutter=Cutter(Route.SAW, 3.0))
    assert ("route-cannot", "left+shelf and right+shelf") in stops(saw)
    (stopped,) = [
        f
        for f in rehearsed(shelf(3.0), cutter=Cutter(Route.SAW, 3.0)).findings
        if f.severity is Severity.STOP
    ]
    assert "a saw stops no trench inside a panel" in stopped.sentence


def test_a_slot_narrower_than_the_cutter_is_a_stop() -> None:
    rehearsal = rehearsed(shelf(3.0, 2.0))
    (finding,) = [f for f in rehearsal.findings if f.code == "slot-narrow"]
    assert finding.numbers == {"slot_mm": 2.1, "cutter_mm": 3.175}
    assert finding.mend is not None
    assert finding.mend.value == pytest.approx(2.099)


def test_slots_that_do_not_run_out_are_a_stop() -> None:
    """A bar through the middle of a divider could only be threaded."""
    tall = slab("tall", (100, 9, 0), (106, 171, 120), 0)
    bar = slab("bar", (9, 80, 40), (231, 86, 60), 1)
    assert ("halving-shut", "tall+bar") in stops(rehearsed(tall, bar))


def test_three_panels_that_all_cross_are_a_stop() -> None:
    """Each could be slotted for one other, but not for both in the same place."""
    tall = slab("tall", (100, 9, 0), (106, 171, 120), 0)
    long = slab("long", (9, 80, 0), (231, 86, 120), 1)
    flat = slab("flat", (9, 9, 50), (231, 171, 56), 2)
    assert ("three-cross", "tall, long and flat") in stops(rehearsed(tall, long, flat))


def test_panels_that_lie_in_each_other_are_not_planned() -> None:
    double = slab("double", (20, 4, 0), (220, 13, 120), 1)
    assert {code for code, _ in stops(rehearsed(double))} == {"not-planned", "parts-overlap"}


def test_files_hold_mortises_and_trenches_on_layers_of_their_own() -> None:
    through, housed = (files(rehearsed(shelf(depth))) for depth in (9.0, 3.0))
    assert b"CUT_INSIDE" in through["left.dxf"]
    assert b"TRENCH" not in through["left.dxf"]
    assert b"TRENCH_B_3.00" in housed["left.dxf"]
    assert b'data-note="B_3.00"' in housed["left.svg"]
    assert through["shelf.dxf"] != housed["shelf.dxf"]
