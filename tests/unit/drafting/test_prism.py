"""Faces of boards with trenches: counted and measured by hand, and against a solid kernel."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryfit.drafting.prism import sides
from dryfit.model.panel import Frame
from dryfit.model.piece import Piece
from dryfit.shapes.profile import Loop
from dryfit.shapes.view import View
from dryfit.shapes.visible import visible
from tests.helpers.boxes import BARE, HAND, build, slab
from tests.helpers.steps import areas, board, carved, closed, edges, enclosed, oblong
from tests.unit.drafting.samples import slot

FRONT = View.axonometric(math.radians(-90), 0.0)


def test_a_groove_from_end_to_end_makes_ten_faces() -> None:
    """100 by 60 by 10, a groove 8 wide and 4 deep along it: a prism over an octagon."""
    solid = closed(board(oblong(100, 60), [((0, 20, 100, 28), "b", 4.0)]))
    ends = 60 * 10 - 8 * 4
    wanted = [100 * 60, 100 * 20, 100 * 32, 100 * 8, 400, 400, 1000, 1000, ends, ends]
    assert areas(solid) == pytest.approx(sorted(wanted))
    assert enclosed(solid) == pytest.approx(100 * ends)
    total, real = edges(solid)
    assert total == real == pytest.approx(2 * (8 * 100 + 2 * (2 * 60 + 2 * 10 + 2 * 4)))


def test_a_stopped_housing_is_a_pocket_with_a_notch_in_one_edge() -> None:
    solid = closed(board(oblong(100, 60), [((0, 20, 70, 28), "a", 4.0)]))
    pocket = [70 * 8, 70 * 4, 70 * 4, 8 * 4]
    wanted = [6000, 6000 - 560, *pocket, 1000, 1000, 600, 600 - 32]
    assert areas(solid) == pytest.approx(sorted(wanted))
    assert enclosed(solid) == pytest.approx(60000 - 70 * 8 * 4)


def test_a_housing_stopped_at_both_ends_is_a_hole_in_the_face_alone() -> None:
    solid = closed(board(oblong(100, 60), [((10, 20, 70, 28), "b", 4.0)]))
    assert len(solid) == 11
    (top,) = (side for side in solid if len(side.face.loops) == 2)
    assert top.normal == pytest.approx([0, 0, 1])


def test_trenches_of_one_depth_that_cross_have_one_floor() -> None:
    solid = closed(
        board(oblong(100, 60), [((0, 20, 100, 28), "b", 4.0), ((40, 0, 50, 60), "b", 4.0)])
    )
    floors = [side for side in solid if side.along is None and side.face.loops[0][0, 2] == 6]
    assert len(floors) == 1
    assert areas(floors) == pytest.approx([100 * 8 + 60 * 10 - 80])
    assert len(solid) == 1 + 4 + 1 + 8 + 4


def test_trenches_of_two_depths_that_cross_step_down() -> None:
    solid = closed(
        board(oblong(100, 60), [((0, 20, 100, 28), "b", 4.0), ((40, 0, 50, 60), "b", 6.0)])
    )
    flats = [side for side in solid if side.along is None]
    wanted = [6000, 600, 40 * 8, 50 * 8, 40 * 20, 50 * 20, 40 * 32, 50 * 32]
    assert areas(flats) == pytest.approx(sorted(wanted))
    assert enclosed(solid) == pytest.approx(60000 - 800 * 4 - 600 * 6 + 80 * 4)


def test_trenches_in_both_faces_that_meet_leave_a_hole() -> None:
    part = board(oblong(100, 60), [((0, 20, 100, 28), "a", 5.0), ((40, 0, 50, 60), "b", 5.0)])
    solid = closed(part)
    assert enclosed(solid) == pytest.approx(60000 - 4000 - 3000)
    assert sum(side.along is None for side in solid) == 8
    assert sum(areas(solid)) == pytest.approx(carved(part).surface_area(), rel=1e-5)


def test_a_trench_that_reaches_the_edge_along_it_is_a_rebate() -> None:
    solid = closed(board(oblong(100, 60), [((0, 52, 100, 60), "b", 4.0)]))
    assert areas(solid) == pytest.approx(
        sorted([6000, 5200, 800, 400, 600, 1000, 600 - 32, 600 - 32])
    )


def test_a_trench_runs_into_a_mortise() -> None:
    hole = Loop.of([(30, 10), (30, 40), (40, 40), (40, 10)])
    part = board(oblong(100, 60), [((0, 20, 100, 28), "b", 4.0)], (hole,))
    solid = closed(part)
    assert enclosed(solid) == pytest.approx(60000 - 3000 - 90 * 8 * 4)
    assert sum(areas(solid)) == pytest.approx(carved(part).surface_area(), rel=1e-5)


def test_round_walls_that_a_trench_crosses_keep_their_seams() -> None:
    """A slot with round ends crossed by two trenches: its walls have edges at the trenches only."""
    part = board(
        oblong(100, 60),
        [((45, 0, 52, 60), "b", 4.0), ((33, 22, 36, 60), "a", 3.0)],
        (slot(50.0, 30.0),),
    )
    solid = closed(part)
    assert enclosed(solid) == pytest.approx(carved(part).volume(), rel=1e-5)
    assert sum(areas(solid)) == pytest.approx(carved(part).surface_area(), rel=1e-5)
    round_ = [s for s in solid if s.along is not None and min(np.abs(s.along)) > 1e-9]
    assert len(round_) > 20
    upright = [
        (x0, y0, bool(inked))
        for side in round_
        for (x0, y0, _), (x1, y1, _), inked in zip(
            side.face.loops[0], np.roll(side.face.loops[0], -1, axis=0), side.face.inked[0],
            strict=True,
        )
        if math.dist((x0, y0), (x1, y1)) < 1e-9
    ]  # fmt: skip
    at_trench = [inked for x, y, inked in upright if min(abs(x - 33), abs(x - 36)) < 1e-9]
    assert at_trench
    assert all(at_trench)
    assert not any(inked for x, _, inked in upright if min(abs(x - 33), abs(x - 36)) > 1e-9)


def test_trenches_follow_the_frame_of_their_panel() -> None:
    frame = Frame((5.0, 7.0, 9.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    part = board(oblong(100, 60), [((0, 20, 70, 28), "a", 4.0)], frame=frame)
    (floor,) = (s for s in closed(part) if s.along is None and 100 < areas([s])[0] < 1000)
    assert floor.normal == pytest.approx([-1, 0, 0])
    assert floor.face.loops[0].min(axis=0) == pytest.approx([5 + 4, 7, 9 + 20])
    assert floor.face.loops[0].max(axis=0) == pytest.approx([5 + 4, 7 + 70, 9 + 28])


def test_a_shelf_flush_in_its_sides_shows_one_line_round_each_edge() -> None:
    """Sides 12 by 100, a shelf 9 thick let in 4 deep, 200 between the sides, seen square on.

    The outlines of the sides are 2 (12 + 100) long and 2 x 4 more for the housing; of the shelf's,
    2 x 200 is free, and the rest lies on the housings. In ink, every line stands once.
    """
    panels = (
        slab("left", (0, 0, 0), (12, 80, 100), 0),
        slab("right", (212, 0, 0), (224, 80, 100), 0),
        slab("shelf", (8, 0, 40), (216, 80, 49), 2, rank=3),
    )
    parts = build(Piece(panels, BARE), HAND).parts
    patches = visible([s.face for k, part in enumerate(parts) for s in sides(part, k)], FRONT)
    seen = dict.fromkeys(range(3), 0.0)
    for patch in patches:
        for rings in patch.polygons:
            x, y = rings[0].T
            seen[patch.tag] += abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2
    assert seen == pytest.approx({0: 1200 - 36, 1: 1200 - 36, 2: 208 * 9}, abs=1e-3)
    drawn = [np.hypot(*np.diff(line, axis=0).T).sum() for p in patches for line in p.ink]
    assert sum(drawn) == pytest.approx(2 * (2 * 112 + 8) + 2 * 200, abs=1e-3)
