"""Trenches as they are cut: how long, how deep, and how they end."""

from __future__ import annotations

import math

import pytest

from dryfit.parts.part import Purpose
from dryfit.workflow import Rehearsal, read_text

PLANES = """
format = 1
[piece]
{piece}
[stock.ply]
material = "birch plywood"
nominal = 9
spread = 0
readings = [9, 9]
[cutter]
{cutter}
[fingers]
flank_gap = 0
proud = 0
[plane.left]
x = 0
[plane.right]
x = 300
[plane.front]
y = 0
[plane.back]
y = 200
[plane.bottom]
z = 0
[plane.top]
z = 400
[plane.shelf]
z = 150
[panel.left]
on = "left"
[panel.right]
on = "right"
[panel.shelf]
on = "shelf"
"""
HAND, ROUTER = 'kind = "hand"', 'kind = "router"\ndiameter = 6\nrelief = "flank"'


def job(more: str, cutter: str = HAND, piece: str = "") -> Rehearsal:
    return read_text(PLANES.format(cutter=cutter, piece=piece) + more)


def trench(rehearsal: Rehearsal, name: str = "left") -> tuple[float, float, float, float, float]:
    """Bounds in (u, v) and depth of a part's only trench."""
    (cut,) = rehearsal.drawing(name).cuts_for(Purpose.TRENCH)
    return (*cut.profile.bounds, cut.depth_to)


def test_a_housing_runs_along_the_whole_edge() -> None:
    # The left side's u runs from back to front.
    assert trench(job("depth = 4")) == pytest.approx((0, 145.5, 200, 154.5, 4))


def test_a_stopped_housing_ends_and_the_shelf_is_notched() -> None:
    stopped = job("depth = 4\nstop = [12, 0]")
    assert trench(stopped) == pytest.approx((0, 145.5, 188, 154.5, 4))
    shelf = stopped.drawing("shelf")
    assert shelf.area == pytest.approx(290 * 200 - 2 * 4 * 12)
    assert stopped.subject.touches
    assert max(touch.penetration for touch in stopped.touches) == 0


def test_the_round_end_of_a_stopped_housing_lies_beyond_the_notch() -> None:
    stopped = job("depth = 4\nstop = [12, 0]", ROUTER)
    assert trench(stopped) == pytest.approx((0, 145.5, 191, 154.5, 4))
    (cut,) = stopped.drawing("left").cuts_for(Purpose.TRENCH)
    # Two corners of 3 mm are left round.
    assert cut.profile.area == pytest.approx(191 * 9 - 2 * 9 * (1 - math.pi / 4))
    assert max(touch.penetration for touch in stopped.touches) == 0


def test_a_groove_is_as_deep_as_asked_and_leaves_its_room() -> None:
    grooved = job('edges = "groove"\ndepth = 4\nroom = 1')
    assert trench(grooved)[4] == pytest.approx(4)
    assert grooved.drawing("shelf").panel.width == pytest.approx(300 - 2 * 6)


CAPTIVE = """edges = "groove"
depth = 4
room = 0.5
[panel.front]
on = "front"
[panel.back]
on = "back"
"""


def test_a_captive_panel_keeps_its_corners_and_grooves_stop_within_them() -> None:
    captive = job(CAPTIVE)
    shelf = captive.drawing("shelf")
    assert shelf.area == pytest.approx((300 - 11) * (200 - 11))
    # From 5 mm off the end, where the neighbour's groove ends too.
    assert trench(captive) == pytest.approx((5, 145.5, 195, 154.5, 4))
    assert max(touch.penetration for touch in captive.touches) == 0


def test_a_through_groove_runs_out_and_shows() -> None:
    through = job(CAPTIVE.replace("room", 'ends = "through"\nroom'), ROUTER)
    assert trench(through) == pytest.approx((0, 145.5, 200, 154.5, 4))
    assert "groove-shows" in {finding.code for finding in through.findings}
    stopped = job(CAPTIVE, ROUTER)
    assert "groove-shows" not in {finding.code for finding in stopped.findings}


def test_a_groove_that_runs_out_inside_a_socket_does_not_show() -> None:
    """Three divisions of a low ring: the bottom lies at the height of the sides' middle finger."""
    low = PLANES.replace("z = 400", "z = 60").replace("z = 150", "z = 30").format(
        cutter=ROUTER, piece=""
    )  # fmt: skip
    text = low + CAPTIVE.replace("room", 'ends = "through"\nroom')
    text += '[joint."front+left"]\ncount = 3\nleads = "front"\n'
    found = read_text(text)
    shown = [f for f in found.findings if f.code == "groove-shows"]
    # The front has a socket there, where its groove runs out unseen; the sides have their finger.
    assert shown
    assert all("front+shelf" not in f.place.split(", ") for f in shown)


def test_a_rebate_runs_along_the_edge_of_its_mate() -> None:
    rebated = job('[panel.back]\non = "back"\nedges = "rebate"\ndepth = 4\n')
    (cut,) = [
        cut
        for cut in rebated.drawing("left").cuts_for(Purpose.TRENCH)
        if cut.profile.bounds[3] > 300
    ]
    assert cut.profile.bounds == pytest.approx((0, 0, 9, 400))
    assert cut.depth_to == pytest.approx(4)
    assert rebated.drawing("back").panel.width == pytest.approx(300 - 2 * 5)
    assert max(touch.penetration for touch in rebated.touches) == 0


def test_on_the_saw_trenches_run_through_and_on_the_laser_edges_do() -> None:
    saw = job("depth = 4", 'kind = "saw"\nblade = 3')
    assert saw.piece.wish_for("left", "shelf").through is True
    laser = job("", 'kind = "laser"\nkerf = 0.2')
    assert {joint.kind.value for joint in laser.joints} == {"tenon"}
