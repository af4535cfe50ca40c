"""Paths of a cutter's middle, and moves along them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryfit.cutting.along import Along
from dryfit.cutting.operation import Operation, Stage
from dryfit.cutting.path import beside, nested, rings
from dryfit.cutting.toolpath import AIR, heights, toolpath
from dryfit.errors import ShapeError
from dryfit.model.machine import Machine
from dryfit.shapes.offset import closed_by_disc, offset
from dryfit.shapes.profile import Loop, Profile

SQUARE = Loop.of([(0, 0), (100, 0), (100, 60), (0, 60)])


def socketed(width: float) -> Profile:
    """A square with one socket, as a cutter of 6 mm leaves it. [mm]"""
    a, b = 50 - width / 2, 50 + width / 2
    drawn = Loop.of([(0, 0), (100, 0), (100, 60), (b, 60), (b, 40), (a, 40), (a, 60), (0, 60)])
    return max(closed_by_disc(Profile(drawn), 3.0), key=lambda p: p.area)


@pytest.mark.parametrize("width", [6.5, 8.0, 20.0])
def test_a_path_agrees_with_the_general_offset(width: float) -> None:
    shape = socketed(width)
    path = beside(shape.outer, 3.0)
    (general,) = offset(shape, 3.0)
    assert path.area == pytest.approx(general.area, abs=1e-6)


def test_a_socket_as_wide_as_the_cutter_is_run_both_ways_on_its_middle_line() -> None:
    path = beside(socketed(6.0).outer, 3.0)
    within = path.vertices[path.vertices[:, 1] < 59]
    middle = within[within[:, 0] > 40][np.abs(within[within[:, 0] > 40][:, 0] - 50) < 1]
    assert middle[:, 0] == pytest.approx(50)
    assert middle[:, 1].min() == pytest.approx(43)


def test_a_corner_sharper_than_the_cutter_is_refused() -> None:
    notch = Loop.of([(0, 0), (40, 0), (40, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30)])
    with pytest.raises(ShapeError, match="2 inside corners are sharper"):
        beside(notch, 3.0)


def test_nested_rounds_leave_no_strip_between_them() -> None:
    path = nested((0, 0, 50, 17), 2.5)
    xs = np.unique(np.round(path.vertices[:, 1], 6))
    assert np.diff(xs).max() <= 2.5 + 1e-9
    assert nested((0, 5, 50, 5), 2.5).vertices.tolist() == [[0, 5, 0], [50, 5, 0]]


def test_rings_come_nearer_to_the_edge_of_the_hole() -> None:
    hole = Loop.of([(0, 0), (0, 30), (50, 30), (50, 0)])
    rounded = offset(offset(Profile(hole.reversed()), -4.0)[0], 4.0)[0].outer.reversed()
    areas = [abs(ring.area) for ring in rings(rounded, 3.0, 2.5)]
    assert areas == sorted(areas)


def test_passes_are_equal_and_no_deeper_than_a_diameter() -> None:
    levels = heights(-0.3, Machine(), 9.0, 3.175)
    steps = -np.diff([9.0, *levels])
    assert steps == pytest.approx(steps[0])
    assert steps[0] <= 3.175
    assert levels[-1] == -0.3
    assert len(heights(-0.3, Machine(pass_depth=1.0), 9.0, 3.175)) == 10


@pytest.mark.parametrize("tabs", [(), ((20.0, 30.0), (180.0, 190.0))])
@pytest.mark.parametrize("ramp", [3.0, 10.0, 30.0])
def test_a_cutter_goes_down_along_its_path_and_leaves_whole_rounds(
    tabs: tuple[tuple[float, float], ...], ramp: float
) -> None:
    machine = Machine(ramp=ramp)
    operation = Operation(0, "outline", Stage.LARGE, SQUARE, -0.3, tabs)
    path = toolpath(operation, machine, 9.0, 6.0).path
    assert path[0, 2] == pytest.approx(9.0 + AIR)
    assert path[1:, :3] == pytest.approx(path[:-1, 3:6])
    run = np.hypot(path[:, 3] - path[:, 0], path[:, 4] - path[:, 1])
    drop = path[:, 2] - path[:, 5]
    assert (drop <= run * math.tan(math.radians(ramp)) + 1e-6).all()
    low = path[(path[:, 2] < -0.3 + 1e-9) & (path[:, 5] < -0.3 + 1e-9)]
    places = np.unique(np.round(low[:, [0, 1, 3, 4]], 6), axis=0)
    covered = np.hypot(places[:, 2] - places[:, 0], places[:, 3] - places[:, 1]).sum()
    way = 2.3 / math.tan(math.radians(ramp))
    assert covered == pytest.approx(320 - sum(e - b + way for b, e in tabs), abs=1e-3)


def test_an_allowed_plunge_goes_straight_down() -> None:
    operation = Operation(0, "outline", Stage.LARGE, SQUARE, -0.3)
    path = toolpath(operation, Machine(plunges=True), 9.0, 6.0).path
    level = np.abs(path[:, 2] - path[:, 5]) < 1e-9
    upright = (path[:, :2] == path[:, 3:5]).all(axis=1)
    assert (level | upright).all()


def test_a_path_begun_elsewhere_is_the_same_path() -> None:
    along = Along(beside(socketed(8.0).outer, 3.0))
    for at in (0.0, 10.0, 123.4):
        assert along.begun(at).area == pytest.approx(along.loop.area)
        assert along.begun(at).length == pytest.approx(along.loop.length)
