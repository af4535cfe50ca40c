"""Meetings against all pairs, and what is no corner."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.meeting import MeetingKind, find_meetings
from dryfit.model.panel import Frame, Panel
from dryfit.shapes import cells
from tests.helpers.boxes import CASE, FRAMES, PLACES, box, reach, slab, stock, triple
from tests.helpers.motion import moved, rotation
from tests.helpers.oracle import frame_of, reach_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.meeting import Meetings

SHARED = 1e-6


def pairs(found: Meetings) -> set[tuple[int, int]]:
    return {(meeting.a, meeting.b) for meeting in found.meetings}


def brute(panels: Sequence[Panel]) -> set[tuple[int, int]]:
    """All pairs of upright reaches that share space."""
    boxes = [reach_of(panel) for panel in panels]
    return {
        (i, j)
        for i, j in combinations(range(len(boxes)), 2)
        if (
            np.minimum(boxes[i][1], boxes[j][1]) - np.maximum(boxes[i][0], boxes[j][0]) > SHARED
        ).all()
    }


def walls_at(place: tuple[float, float, float], prefix: str, names: Sequence[str]) -> list[Panel]:
    """Some walls of a 100 mm box that stands at a place."""
    found = []
    for name in names:
        low, high = reach((100.0, 100.0, 100.0), 9.0, name)
        low, high = low + place, high + place
        found.append(slab(f"{prefix}{name}", low.tolist(), high.tolist(), PLACES[name][0]))
    return found


def test_a_closed_case_has_twelve_corners_and_eight_blocks() -> None:
    found = find_meetings(box((300, 200, 100), CASE, 9.0).panels)
    assert len(found.meetings) == 12
    assert {meeting.kind for meeting in found.meetings} == {MeetingKind.CORNER}
    assert len(found.blocks) == 8
    assert len({block.panels for block in found.blocks}) == 8
    ends = [end for meeting in found.meetings for end in meeting.blocks]
    assert sorted(ends) == sorted(list(range(8)) * 3)
    for meeting in found.meetings:
        assert meeting.length == (300, 200, 100)[meeting.axis]
        for end, place in zip(meeting.blocks, (meeting.low, meeting.high), strict=True):
            block = found.blocks[end]
            assert {meeting.a, meeting.b} < set(block.panels)
            corner = block.low if place is meeting.low else block.high
            assert corner[meeting.axis] == place[meeting.axis]


@settings(max_examples=60)
@given(st.data())
def test_meetings_are_all_pairs_that_share_space(data: st.DataObject) -> None:
    """Slabs at random on a coarse grid: corners, tees, crossings, and many that only touch."""
    panels = []
    for number in range(data.draw(st.integers(2, 9))):
        axis = data.draw(st.integers(0, 2))
        low = np.array(data.draw(st.tuples(*[st.integers(0, 8)] * 3)), dtype=float) * 10
        size = np.array(data.draw(st.tuples(*[st.integers(2, 8)] * 3)), dtype=float) * 10
        size[axis] = 10.0
        way = data.draw(st.integers(0, FRAMES - 1))
        panels.append(slab(f"p{number}", low.tolist(), (low + size).tolist(), axis, way))
    found = find_meetings(panels)
    assert pairs(found) == brute(panels)
    for meeting in found.meetings:
        boxes = [reach_of(panels[meeting.a]), reach_of(panels[meeting.b])]
        assert meeting.low == tuple(np.maximum(boxes[0][0], boxes[1][0]))
        assert meeting.high == tuple(np.minimum(boxes[0][1], boxes[1][1]))


@settings(max_examples=40)
@given(
    st.tuples(*[st.floats(-1.0, 1.0)] * 4).filter(lambda q: np.linalg.norm(q) > 0.1),
    st.tuples(*[st.floats(-300.0, 300.0)] * 3),
)
def test_a_turned_case_has_the_same_meetings(
    quaternion: tuple[float, ...], shift: tuple[float, float, float]
) -> None:
    piece = box((300, 200, 100), CASE, {name: 7.0 + n for n, name in enumerate(CASE)})
    straight = find_meetings(piece.panels)
    turned = find_meetings(moved(piece, rotation(quaternion), shift).panels)
    assert len(turned.lattices) == 1
    assert [(m.a, m.b, m.kind) for m in turned.meetings] == [
        (m.a, m.b, m.kind) for m in straight.meetings
    ]
    lengths = [[m.length for m in found.meetings] for found in (straight, turned)]
    assert lengths[1] == pytest.approx(lengths[0], abs=1e-9)
    assert sorted(b.panels for b in turned.blocks) == sorted(b.panels for b in straight.blocks)


def test_an_edge_that_passes_through_a_face_is_a_tee() -> None:
    """A divider that ends in the thickness of a wall, away from its edges."""
    wall = slab("wall", (0, 0, 0), (200, 9, 100), 1)
    divider = slab("divider", (90, 0, 0), (99, 150, 100), 0)
    (meeting,) = find_meetings([wall, divider]).meetings
    assert (meeting.kind, meeting.axis, meeting.lattice) == (MeetingKind.TEE, 2, 0)
    assert (meeting.edge, meeting.face, meeting.through) == (1, 0, True)


def test_faces_that_pass_through_each_other_cross() -> None:
    one = slab("one", (0, 70, 0), (200, 79, 60), 1)
    other = slab("other", (90, 0, 0), (99, 150, 60), 0)
    (meeting,) = find_meetings([one, other]).meetings
    assert (meeting.kind, meeting.axis) == (MeetingKind.CROSSING, 2)


def test_half_a_thickness_is_a_tee_of_part_depth() -> None:
    """A wall let halfway into its mate sits in a trench along its end."""
    wall = slab("wall", (0, 0, 0), (200, 9, 100), 1)
    side = slab("side", (0, 4.5, 0), (9, 150, 100), 0)
    (meeting,) = find_meetings([wall, side]).meetings
    assert (meeting.kind, meeting.edge, meeting.through) == (MeetingKind.TEE, 1, False)


def test_faces_that_only_touch_do_not_meet() -> None:
    wall = slab("wall", (0, 0, 0), (200, 9, 100), 1)
    butt = slab("butt", (0, 9, 0), (9, 150, 100), 0)
    assert find_meetings([wall, butt]).meetings == ()


def test_a_shelf_yields_to_the_corner_it_reaches() -> None:
    """It ends at both walls, so the corner is theirs, and both its tees leave the block out."""
    walls = walls_at((0, 0, 0), "", ("front", "left"))
    shelf = slab("shelf", (0, 0, 40), (100, 100, 49), 2)
    found = find_meetings([*walls, shelf])
    kinds = {(meeting.a, meeting.b): meeting.kind for meeting in found.meetings}
    assert kinds == {
        (0, 1): MeetingKind.CORNER, (0, 2): MeetingKind.TEE, (1, 2): MeetingKind.TEE
    }  # fmt: skip
    claims = [meeting.claims for meeting in found.meetings]
    assert [len(each) for each in claims] == [0, 1, 1]
    assert all(claim.yields for each in claims for claim in each)


def leaning(degrees: float, distance: float) -> Panel:
    """A panel that leans about y over a wall that lies in z = 0, its low edge at a height."""
    angle = math.radians(degrees)
    u = np.array([math.cos(angle), 0.0, math.sin(angle)])
    n = np.array([-math.sin(angle), 0.0, math.cos(angle)])
    v = np.cross(n, u)
    return Panel(
        "lean",
        Frame((20.0, 20.0, distance), triple(u), triple(v), triple(n)),
        60.0,
        50.0,
        stock(9.0),
    )


@pytest.mark.parametrize("degrees", [15.0, 30.0, 45.0, 60.0, 72.5])
def test_tilted_panels_meet_when_they_share_space(degrees: float) -> None:
    """The lowest point of the leaning slab is its low edge, so its height decides."""
    floor = slab("floor", (0, 0, 0), (120, 120, 9), 2)
    (meeting,) = find_meetings([floor, leaning(degrees, 8.9)]).meetings
    assert (meeting.a, meeting.b) == (0, 1)
    assert (meeting.kind, meeting.lattice) == (MeetingKind.OTHER, -1)
    assert find_meetings([floor, leaning(degrees, 9.1)]).meetings == ()


@pytest.mark.parametrize(("apart", "meet"), [(12.7, True), (12.75, False)])
def test_edges_that_cross_in_the_air_do_not_meet(apart: float, meet: bool) -> None:
    """Two laths on edge, one over the other: no face tells them apart, only their edges do.

    Each is 9 by 9 mm and stands on its edge, so it reaches 9 / √2 up and down: 12.728 in all.
    """
    c = math.sqrt(0.5)
    # Turned as a whole, so that the upright boxes round the two share space either way.
    turn = rotation((0.8, 0.3, -0.4, 0.2))
    laths = []
    for name, u, v, n, height in (
        ("lower", (1, 0, 0), (0, c, c), (0, -c, c), 0.0),
        ("upper", (0, 1, 0), (c, 0, c), (c, 0, -c), apart),
    ):
        middle = np.array([0.0, 0.0, height])
        corner = middle - 50 * np.array(u) - 4.5 * np.array(v) - 4.5 * np.array(n)
        frame = Frame(*(triple(turn @ np.array(vector)) for vector in (corner, u, v, n)))
        laths.append(Panel(name, frame, 100.0, 9.0, stock(9.0)))
    assert len(find_meetings(laths).meetings) == int(meet)


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1))
def test_tilted_panels_against_points_inside(seed: int) -> None:
    """Two slabs in general frames: a grid of points in one tells whether it reaches the other.

    A point in both proves that they meet. Where the slabs shrunk by the grid's step already
    share a point of a finer grid and none is found, or the other way round, nothing is claimed.
    """
    rng = np.random.default_rng(seed)
    panels = [_random_panel(rng, str(k)) for k in range(2)]
    meet = len(find_meetings(panels).meetings) == 1
    common = _common_point(panels[0], panels[1])
    if common:
        assert meet
    if meet:
        assert _nearest(panels[0], panels[1]) < 1e-3


def _random_panel(rng: np.random.Generator, name: str) -> Panel:
    turn = rotation(rng.normal(size=4).tolist())
    u, v, n = turn
    origin = rng.uniform(-40, 40, 3)
    width, height = rng.uniform(20, 60, 2).tolist()
    return Panel(
        name, Frame(triple(origin), triple(u), triple(v), triple(n)), width, height, stock(9.0)
    )


def _sizes(panel: Panel) -> np.ndarray:
    return np.array([panel.width, panel.height, panel.thickness])


def _common_point(one: Panel, other: Panel) -> bool:
    steps = [np.linspace(0, size, 24) for size in _sizes(one)]
    grid = np.stack(np.meshgrid(*steps, indexing="ij"), axis=-1).reshape(-1, 3)
    origin, rows = frame_of(one)
    far, theirs = frame_of(other)
    local = (origin + grid @ rows - far) @ theirs.T
    return bool(((local > 1e-6) & (local < _sizes(other) - 1e-6)).all(axis=1).any())


def _nearest(one: Panel, other: Panel) -> float:
    """Distance between two slabs, by projecting to and fro between them."""
    origin, rows = frame_of(one)
    far, theirs = frame_of(other)
    point = origin + _sizes(one) / 2 @ rows
    apart = math.inf
    for _ in range(4000):
        over = far + np.clip((point - far) @ theirs.T, 0, _sizes(other)) @ theirs
        point = origin + np.clip((over - origin) @ rows.T, 0, _sizes(one)) @ rows
        apart = float(np.linalg.norm(point - over))
        if apart < 1e-4:
            break
    return apart


def test_a_row_and_a_shelf_wall_of_boxes() -> None:
    """600 panels in a row of boxes, and 20 by 30 boxes of six: only neighbours are looked at."""
    row = [p for k in range(100) for p in walls_at((150.0 * k, 0, 0), f"{k} ", CASE)]
    found = find_meetings(row)
    assert len(row) == 600
    assert len(found.meetings) == 1200
    assert len(found.blocks) == 800
    wall = [
        p
        for i in range(20)
        for k in range(30)
        for p in walls_at((150.0 * i, 0, 150.0 * k), f"{i} {k} ", CASE)
    ]
    found = find_meetings(wall)
    assert len(found.meetings) == 600 * 12
    assert len(found.blocks) == 600 * 8
    assert all(meeting.kind is MeetingKind.CORNER for meeting in found.meetings)


def test_pairs_looked_at_grow_with_the_panels(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten times the boxes of a row: ten times the pairs written out by the sweep, and no more."""
    written: list[int] = []
    swept = cells._swept

    def counting(order: np.ndarray, count: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        written.append(int(count.sum()))
        return swept(order, count)

    monkeypatch.setattr(cells, "_swept", counting)
    for boxes in (10, 100):
        find_meetings([p for k in range(boxes) for p in walls_at((150.0 * k, 0, 0), f"{k} ", CASE)])
    assert written[1] == 10 * written[0]
    assert written[1] < 15 * 100
