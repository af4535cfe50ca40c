"""Tees and crossings: volumes add up, every cell has one owner, and everything closes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.kind import Kind
from dryfit.model.piece import Piece, Wish
from tests.helpers.boxes import BARE, FRAMES, HAND, RING, TRAY, box, build, slab
from tests.helpers.motion import SQUARE_TURNS, matched, moved
from tests.helpers.oracle import cells

if TYPE_CHECKING:
    from dryfit.model.panel import Panel
    from tests.helpers.boxes import Built

ROUTER = Cutter(Route.ROUTER, 3.175, Relief.FLANK)
W, D, H, T = 240.0, 180.0, 120.0, 9.0


def adds_up(made: Built) -> bool:
    """Whether every cell that a reach fills belongs to one part, one whose reach fills it."""
    found = cells(made.parts)
    shared = found.reaches.sum(axis=0) > 0
    owned = found.parts.sum(axis=0)
    assert (owned[shared] == 1).all()
    assert not owned[~shared].any()
    assert not (found.parts & ~found.reaches).any()
    union = float(found.volumes[shared].sum())
    # Coordinates are rounded to 1e-9 mm: on faces of 1e5 mm² that is 1e-4 mm³.
    volume = sum(part.volume for part in made.parts)
    assert volume == pytest.approx(union, abs=1e-4 if union > 1e5 else 1e-6)
    return True


def shelf(depth: float, z: float = 50.0, way: int = 0) -> Panel:
    """A shelf between left and right, let in by a depth."""
    return slab("shelf", (T - depth, T, z), (W - T + depth, D - T, z + 6.0), 2, way, rank=3)


def dividers(depth: float, low: float = T, xs: tuple[float, ...] = (80.0, 150.0)) -> list[Panel]:
    """Dividers both ways on a base, let in by a depth."""
    along = slab("long", (T - depth, 70, low - depth), (W - T + depth, 76, 70), 1, rank=3)
    across = [
        slab(f"cross {n}", (x, T - depth, low - depth), (x + 5, D - T + depth, 70), 0, rank=4)
        for n, x in enumerate(xs)
    ]
    return [along, *across]


PIECES = {
    "shelf, through": (RING, [shelf(T)]),
    "shelf, housed": (RING, [shelf(3.0)]),
    "shelf in a tray": (TRAY, [shelf(T)]),
    "shelf to three walls": (
        RING, [slab("shelf", (0, T, 50), (W, D, 56), 2, rank=3)],
    ),
    "shelf housed in three walls": (
        RING, [slab("shelf", (6, T, 50), (W - 6, D - 6, 56), 2, rank=3)],
    ),
    "dividers crossing": (RING, dividers(0.0)),
    "dividers, through walls": (RING, dividers(T, low=20.0)),
    "dividers, through a base": (TRAY, dividers(T)),
    "dividers, housed": (TRAY, dividers(4.0)),
    "dividers, housed in walls alone": (RING, dividers(4.0, low=20.0)),
    "upright and shelves": (
        TRAY,
        [
            slab("upright", (100, T, 0), (108, D - T, H), 0, rank=3),
            slab("shelf", (100, T, 60), (W, D - T, 66), 2, rank=4),
        ],
    ),
    "upright housed, shelf through it": (
        TRAY,
        [
            slab("upright", (100, T - 3, T - 3), (108, D - T + 3, H), 0, rank=3),
            slab("shelf", (102, T - 3, 60), (W - T + 3, D - T + 3, 66), 2, rank=4),
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", PIECES)
def test_volumes_add_up_cell_by_cell(name: str) -> None:
    walls, more = PIECES[name]
    made = build(Piece((*box((W, D, H), walls, T).panels, *more), BARE))
    assert adds_up(made)
    assert made.deepest == 0.0


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.parametrize("cutter", [HAND, ROUTER], ids=["hand", "router"])
def test_with_air_everything_closes(name: str, cutter: Cutter) -> None:
    walls, more = PIECES[name]
    wish = Wish(flank_gap=0.05, proud=0.2)
    made = build(Piece((*box((W, D, H), walls, T).panels, *more), wish), cutter)
    assert made.deepest == 0.0


@pytest.mark.parametrize("name", PIECES)
def test_turned_and_mirrored_it_gets_the_same_parts(name: str) -> None:
    walls, more = PIECES[name]
    piece = Piece((*box((W, D, H), walls, T).panels, *more), BARE)
    parts = build(piece).parts
    for turn in (SQUARE_TURNS[5], SQUARE_TURNS[17], np.diag([-1.0, 1.0, 1.0])):
        assert matched(parts, build(moved(piece, turn)).parts)


@settings(max_examples=80)
@given(st.data())
def test_random_cases_with_shelves_uprights_and_crossings(data: st.DataObject) -> None:
    walls = data.draw(st.sampled_from([RING, TRAY, ("left", "right"), ("left", "right", "base")]))
    thick = {wall: data.draw(st.sampled_from([6.0, 9.0, 12.5])) for wall in TRAY}
    depth = {wall: data.draw(st.sampled_from([0.0, 2.5, thick[wall]])) for wall in TRAY}
    way = data.draw(st.integers(0, FRAMES - 1))
    left = thick["left"] - depth["left"]
    right = W - thick["right"] + depth["right"]
    front = thick["front"] - depth["front"] if "front" in walls else 0.0
    back = D - thick["back"] + depth["back"] if "back" in walls else D
    more = []
    for n in range(data.draw(st.integers(0, 2))):
        z = 30.0 + 40 * n
        more.append(slab(f"shelf {n}", (left, front, z), (right, back, z + 5), 2, way, rank=3))
    if not more:
        low = thick["base"] - depth["base"] if "base" in walls else 10.0
        more.append(slab("long", (left, 70, low), (right, 77, 80), 1, way, rank=3))
        for n in range(data.draw(st.integers(0, 3))):
            x = 60.0 + 40 * n
            more.append(slab(f"cross {n}", (x, front, low), (x + 4, back, 80), 0, way, rank=4))
    made = build(Piece((*box((W, D, H), walls, thick).panels, *more), BARE))
    assert adds_up(made)
    assert made.deepest == 0.0


def test_tenons_are_set_back_and_divided_evenly() -> None:
    made = build(Piece((*box((W, D, H), RING, T).panels, shelf(T)), BARE))
    joint = made.joints[frozenset(("left", "shelf"))]
    assert joint.kind is Kind.TENON
    assert joint.lead == "left"
    assert joint.plan.count % 2 == 1
    assert joint.plan.length == pytest.approx(D - 2 * T, abs=1e-9)
    wall = made.part("left")
    assert len(wall.as_cut.holes) == joint.fingers["shelf"]
    for hole in wall.as_cut.holes:
        x0, y0, x1, y1 = hole.bounds
        assert sorted((x1 - x0, y1 - y0)) == pytest.approx(sorted((joint.plan.width, 6.0)))


def test_halvings_meet_in_the_middle_and_all_run_one_way() -> None:
    made = build(Piece((*box((W, D, H), RING, T).panels, *dividers(0.0)), BARE))
    halvings = [j for j in made.plans.joints if j.kind is Kind.HALVING]
    assert [joint.lead for joint in halvings] == ["long", "long"]
    for joint in halvings:
        assert joint.plan.count == 2
        assert joint.plan.width == pytest.approx((70 - T) / 2)
    assert made.part("long").profile.area == pytest.approx((W - 2 * T) * 61 - 2 * 5 * 30.5)


def test_a_mortise_is_relieved_and_admits_its_tenon() -> None:
    made = build(Piece((*box((W, D, H), RING, T).panels, shelf(T)), Wish(flank_gap=0.05)), ROUTER)
    mortise = made.part("left").as_cut.holes[0]
    assert np.count_nonzero(mortise.vertices[:, 2]) == 4
    bare = build(
        Piece((*box((W, D, H), RING, T).panels, shelf(T)), Wish(flank_gap=0.05)),
        Cutter(Route.ROUTER, 3.175, Relief.NONE),
    )
    assert bare.deepest > 0.3
