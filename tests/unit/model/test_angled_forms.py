"""Many-sided and splayed trays: where their panels lie, and which sizes are refused."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.errors import SizeError
from dryfit.model.forms import many_sided, splayed
from dryfit.model.forms.leaning import Sheets
from dryfit.model.forms.many_sided import ManySided
from dryfit.model.forms.splayed import Splayed
from tests.helpers.angled import edge_of, polygon_tray, splayed_tray
from tests.helpers.boxes import build, stock
from tests.helpers.oracle import frame_of

if TYPE_CHECKING:
    from dryfit.model.panel import Panel

SHEETS = Sheets(stock(9.0), stock(6.0))


def points(panels: tuple[Panel, ...]) -> np.ndarray:
    """Corners of all outsides. [mm]"""
    return np.array([edge_of(p, k)[0] for p in panels for k in range(len(p.corners))])


@pytest.mark.parametrize("sides", range(3, 13))
def test_a_many_sided_tray_stands_at_the_origin(sides: int) -> None:
    panels = polygon_tray(sides).panels
    assert [panel.name for panel in panels] == [*(f"wall {k + 1}" for k in range(sides)), "base"]
    assert points(panels).min(axis=0) == pytest.approx([0, 0, 0], abs=1e-9)
    assert points(panels)[:, 2].max() == pytest.approx(80.0)
    assert panels[0].frame.n == pytest.approx((0.0, -1.0, 0.0), abs=1e-12)


@pytest.mark.parametrize("panels", [polygon_tray(7).panels, splayed_tray(20.0).panels])
def test_outsides_look_out_and_frames_are_right_handed(panels: tuple[Panel, ...]) -> None:
    middle = points(panels).mean(axis=0)
    for panel in panels:
        origin, rows = frame_of(panel)
        assert np.cross(rows[0], rows[1]) == pytest.approx(rows[2])
        assert (origin + panel.thickness * rows[2] - middle) @ rows[2] > 0


def test_inside_and_across_agree() -> None:
    inside = many_sided.build(ManySided(6, 80.0, SHEETS, inside=282.0))
    assert inside == many_sided.build(ManySided(6, 80.0, SHEETS, across=300.0))


def test_a_splayed_tray_is_as_wide_as_stated_at_the_top() -> None:
    degrees, height = 20.0, 80.0
    panels = splayed_tray(degrees).panels
    corners = points(panels)
    top = corners[corners[:, 2] > height - 1e-6]
    assert np.ptp(top, axis=0) == pytest.approx([300.0, 220.0, 0.0], abs=1e-9)
    bottom = points((panels[-1],))
    inset = 2 * height * math.tan(math.radians(degrees))
    assert np.ptp(bottom, axis=0) == pytest.approx([300.0 - inset, 220.0 - inset, 0.0], abs=1e-9)
    assert corners.min(axis=0) == pytest.approx([0, 0, 0], abs=1e-9)


@pytest.mark.parametrize(
    ("tray", "words"),
    [
        (ManySided(2, 80.0, SHEETS, 300.0), "a tray of 2 sides"),
        (ManySided(13, 80.0, SHEETS, 300.0), "give 3 to 12"),
        (ManySided(6, 80.0, SHEETS), "0 sizes across are given"),
        (ManySided(6, 80.0, SHEETS, 300.0, 282.0), "2 sizes across are given"),
        (ManySided(6, 80.0, SHEETS, 30.0), "make it more than 36.00 mm across"),
        (ManySided(6, 6.0, SHEETS, 300.0), "its base alone takes 6.00 mm"),
    ],
)
def test_many_sided_sizes_that_cannot_be(tray: ManySided, words: str) -> None:
    with pytest.raises(SizeError, match=words):
        many_sided.build(tray)


@pytest.mark.parametrize(
    ("tray", "words"),
    [
        (Splayed((300.0, 220.0), 80.0, math.radians(-1.0), SHEETS), r"-1\.0°"),
        (Splayed((300.0, 220.0), 80.0, math.radians(46.0), SHEETS), "give 0 to 45°"),
        (Splayed((300.0, 150.0), 80.0, math.radians(45.0), SHEETS), "0.00 mm along y"),
        (Splayed((300.0, 220.0), 8.0, math.radians(45.0), SHEETS), "make it higher"),
    ],
)
def test_splayed_sizes_that_cannot_be(tray: Splayed, words: str) -> None:
    with pytest.raises(SizeError, match=words):
        splayed.build(tray)


@pytest.mark.parametrize("degrees", [5.0, 25.0, 45.0])
def test_the_least_sizes_are_the_least_that_can_be_planned(degrees: float) -> None:
    """What the form refuses is what has no room: a hair more and the piece is planned."""
    splay = math.radians(degrees)
    tray = Splayed((400.0, 400.0), 1.0, splay, Sheets(stock(9.0), stock(9.0)))
    with pytest.raises(SizeError) as refused:
        splayed.build(tray)
    least = float(str(refused.value).split("take ")[1].split(" mm")[0])
    built = build(splayed_tray(degrees, (400.0, 400.0), least + 0.1))
    assert min(joint.plan.length for joint in built.plans.joints) < 0.2
