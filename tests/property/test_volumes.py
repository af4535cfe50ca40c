"""Volumes add up: every cell of space has exactly one owner."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, FRAMES, PAIR, PLACES, RING, TRAY, Built, box, build
from tests.helpers.oracle import cells, exact_volume, polygon

if TYPE_CHECKING:
    from dryfit.model.piece import Pair, Piece

FORMS = {"pair": PAIR, "ring": RING, "tray": TRAY, "case": CASE}
NECK = 1e-4


@st.composite
def pieces(draw: st.DrawFn, least_walls: int = 2) -> Piece:
    """Any connected set of walls, any sizes, any thickness each, any frame, some overrides."""
    walls = draw(st.lists(st.sampled_from(CASE), min_size=least_walls, max_size=6, unique=True))
    if len({PLACES[wall][0] for wall in walls}) == 1:
        walls.append(
            draw(st.sampled_from([w for w in CASE if PLACES[w][0] != PLACES[walls[0]][0]]))
        )
    thickness = {wall: draw(thick) for wall in walls}
    room = draw(st.tuples(*[st.floats(5.0, 300.0)] * 3))
    sizes = [
        room[axis] + sum(thickness[wall] for wall in walls if PLACES[wall][0] == axis)
        for axis in range(3)
    ]
    return box(
        sizes,
        walls,
        thickness,
        ranks={wall: draw(st.integers(0, 2)) for wall in walls},
        ways={wall: draw(st.integers(0, FRAMES - 1)) for wall in walls},
        wishes=draw(overrides(walls)),
    )


thick = st.one_of(st.sampled_from([3.0, 9.0, 18.0]), st.floats(1.0, 25.0))


@st.composite
def overrides(draw: st.DrawFn, walls: list[str]) -> dict[Pair, Wish]:
    """What the maker types for some joints: a count or a width, and who leads."""
    wishes = {}
    for one in walls:
        for other in walls:
            if one < other and PLACES[one][0] != PLACES[other][0] and draw(st.booleans()):
                count = draw(st.one_of(st.none(), st.integers(1, 12)))
                width = draw(st.floats(2.0, 40.0)) if count is None else None
                leads = draw(st.sampled_from([None, one, other]))
                wishes[frozenset((one, other))] = Wish(
                    count=count, width=width, leads=leads, flank_gap=0.0, proud=0.0
                )
    return wishes


def check(built: Built) -> None:
    """Every claim of this page about one piece, by the oracle."""
    space = cells(built.parts)
    owned = space.parts.sum(axis=0)
    reached = space.reaches.sum(axis=0)
    assert (owned == (reached > 0)).all()
    assert not (space.parts & ~space.reaches).any()
    union = float(space.volumes[reached > 0].sum())
    assert sum(part.volume for part in built.parts) == pytest.approx(union, rel=1e-9)
    for number, part in enumerate(built.parts):
        own = float(space.volumes[space.parts[number]].sum())
        assert part.volume == pytest.approx(own, rel=1e-9)
        shape = polygon(part.profile.outer.vertices)
        assert shape.is_valid
        assert (
            shape.buffer(-_slit(part.profile.outer.vertices), join_style="mitre").geom_type
            == "Polygon"
        )


def _slit(vertices: np.ndarray) -> float:
    """A depth far below the shortest edge: only a neck without width parts under it. [mm]"""
    edges = np.roll(vertices, -1, axis=0)[:, :2] - vertices[:, :2]
    return min(NECK, float(np.hypot(*edges.T).min()) / 100)


@settings(max_examples=150)
@given(pieces())
def test_every_cell_has_one_owner(piece: Piece) -> None:
    check(build(piece))


@settings(max_examples=60)
@given(pieces(least_walls=6))
def test_every_cell_of_a_case_has_one_owner(piece: Piece) -> None:
    check(build(piece))


@pytest.mark.parametrize("walls", FORMS.values(), ids=FORMS)
@pytest.mark.parametrize("count", [1, 2, 3, 4, 9])
def test_whole_numbers_add_up_without_rounding(walls: tuple[str, ...], count: int) -> None:
    """Sizes and thickness are multiples of 9, so every width comes out a short binary number."""
    wishes = Wish(count=count, flank_gap=0.0, proud=0.0)
    built = build(box((324, 216, 72), walls, 9.0, wish=wishes))
    widths = [Fraction(joint.plan.width) * 8 for joint in built.plans.joints]
    assert all(width.denominator == 1 for width in widths)
    total = sum(exact_volume(part) for part in built.parts)
    hollow = [sum(9 for wall in walls if PLACES[wall][0] == axis) for axis in range(3)]
    inner = (324 - hollow[0]) * (216 - hollow[1]) * (72 - hollow[2])
    assert total == 324 * 216 * 72 - inner
    assert sum(part.volume for part in built.parts) == total


@pytest.mark.parametrize("width", [2.0, 5.0, 17.9, 18.0, 18.1, 24.0])
def test_fingers_narrower_than_the_third_panel(width: float) -> None:
    """Three thicknesses meet at every block, and a finger may be narrower than all of them."""
    thickness = {
        "front": 6.0, "back": 12.0, "left": 9.0, "right": 18.0, "base": 15.0, "lid": 4.0,
    }  # fmt: skip
    wish = Wish(width=width, flank_gap=0.0, proud=0.0)
    check(build(box((180, 140, 110), CASE, thickness, wish=wish)))


@pytest.mark.parametrize("count", [1, 2, 5, 6, 31])
@pytest.mark.parametrize("leads", [None, "front", "left"])
def test_overrides_leave_nothing_unowned(count: int, leads: str | None) -> None:
    wish = Wish(count=count, leads=leads, flank_gap=0.0, proud=0.0)
    for walls in FORMS.values():
        check(build(box((90, 70, 50), walls, 9.0, wishes={frozenset(("front", "left")): wish})))
