"""Laws: turned, mirrored, renamed or listed in another order, a piece gets the same parts."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, FRAMES, PLACES, RANKS, box, build
from tests.helpers.motion import (
    MIRROR,
    SQUARE_TURNS,
    congruent,
    matched,
    moved,
    renamed,
    rotation,
    same_place,
    solid,
)

if TYPE_CHECKING:
    from dryfit.model.piece import Pair, Piece

few = settings(max_examples=60)
turns = st.sampled_from(SQUARE_TURNS)
quaternions = st.tuples(*[st.floats(-1.0, 1.0)] * 4).filter(lambda q: np.linalg.norm(q) > 0.1)
shifts = st.tuples(*[st.floats(-500.0, 500.0)] * 3)


@st.composite
def wishes(draw: st.DrawFn, walls: list[str], leads: bool) -> dict[Pair, Wish]:
    """Some joints with a count of their own; with `leads`, odd ones with a lead of their own."""
    found = {}
    for pair in sorted({tuple(sorted((a, b))) for a in walls for b in walls if a != b}):
        if PLACES[pair[0]][0] == PLACES[pair[1]][0] or draw(st.integers(0, 3)) != 0:
            continue
        count = draw(st.integers(2, 7))
        lead = draw(st.sampled_from([None, *pair])) if leads and count % 2 else None
        found[frozenset(pair)] = Wish(count=count, leads=lead, flank_gap=0.0, proud=0.0)
    return found


@st.composite
def alike(draw: st.DrawFn, leads: bool = False) -> Piece:
    """Boxes full of symmetry: few sizes, few thicknesses, the usual ranks or none."""
    walls = draw(st.sampled_from([CASE, CASE[:5], CASE[:4], ("front", "left", "base")]))
    sides = draw(st.sampled_from([(120, 120, 120), (120, 120, 80), (150, 110, 70)]))
    thick = draw(st.sampled_from([{}, {"left": 12.0}, {"front": 12.0, "back": 12.0}]))
    return box(
        sides,
        walls,
        {wall: thick.get(wall, 9.0) for wall in walls},
        ranks=draw(st.sampled_from([RANKS, dict.fromkeys(CASE, 0)])),
        ways={wall: draw(st.integers(0, FRAMES - 1)) for wall in walls},
        wishes=draw(st.one_of(st.just({}), wishes(list(walls), leads))),
    )


@st.composite
def lopsided(draw: st.DrawFn) -> Piece:
    """Boxes without any symmetry: every panel has a thickness of its own.

    A ring of walls is its own mirror image from top to bottom, so it is not among them: an even
    plan in it must break that symmetry one way or the other.
    """
    walls = draw(st.sampled_from([CASE, CASE[:5], ("front", "left", "base")]))
    thicknesses = draw(st.permutations([5.0, 7.0, 9.0, 11.5, 14.0, 18.0]))
    return box(
        draw(st.sampled_from([(120, 120, 120), (150, 110, 70)])),
        walls,
        dict(zip(walls, thicknesses, strict=False)),
        ranks={wall: draw(st.integers(0, 2)) for wall in walls},
        ways={wall: draw(st.integers(0, FRAMES - 1)) for wall in walls},
        wishes=draw(st.one_of(st.just({}), wishes(list(walls), True))),
    )


def same_parts(one: Piece, other: Piece) -> bool:
    return matched(build(one).parts, build(other).parts)


def stays(piece: Piece, turn: np.ndarray, shift: tuple[float, float, float] = (0, 0, 0)) -> bool:
    """Whether every panel of the moved piece gets its own part, moved along with it."""
    before, after = build(piece).parts, build(moved(piece, turn, shift)).parts
    return all(
        same_place(solid(old) @ turn.T + np.array(shift), solid(new)) and congruent(old, new)
        for old, new in zip(before, after, strict=True)
    )


@few
@given(lopsided(), turns)
def test_square_turns_carry_every_part_along(piece: Piece, turn: np.ndarray) -> None:
    assert stays(piece, turn)


@few
@given(lopsided(), turns)
def test_mirrors_carry_every_part_along(piece: Piece, turn: np.ndarray) -> None:
    assert stays(piece, turn @ MIRROR)


@few
@given(lopsided(), quaternions, shifts)
def test_any_turn_and_shift_carries_every_part_along(
    piece: Piece, quaternion: tuple[float, ...], shift: tuple[float, float, float]
) -> None:
    assert stays(piece, rotation(quaternion), shift)


@few
@given(lopsided(), st.data())
def test_names_and_order_do_not_matter(piece: Piece, data: st.DataObject) -> None:
    names = [panel.name for panel in piece.panels]
    others = dict(zip(names, data.draw(st.permutations([*"zyxwvu"[: len(names)]])), strict=True))
    order = data.draw(st.permutations(range(len(names))))
    after = {part.name: part for part in build(renamed(piece, others, order)).parts}
    for part in build(piece).parts:
        assert same_place(solid(part), solid(after[others[part.name]]))


@settings(max_examples=120)
@given(alike(), turns, st.booleans())
def test_a_symmetric_piece_turned_or_mirrored_gets_congruent_parts(
    piece: Piece, turn: np.ndarray, mirror: bool
) -> None:
    assert same_parts(piece, moved(piece, turn @ MIRROR if mirror else turn))


@settings(max_examples=120)
@given(alike(leads=True), quaternions, st.data())
def test_a_symmetric_piece_renamed_and_reordered_gets_congruent_parts(
    piece: Piece, quaternion: tuple[float, ...], data: st.DataObject
) -> None:
    names = [panel.name for panel in piece.panels]
    others = dict(zip(names, data.draw(st.permutations(names)), strict=True))
    order = data.draw(st.permutations(range(len(names))))
    changed = renamed(piece, others, order)
    assert same_parts(piece, changed)
    assert same_parts(piece, moved(changed, rotation(quaternion)))


def test_the_wishes_are_part_of_the_symmetry() -> None:
    """Four equal walls and lids, wishes on three corners that no two panels share."""
    pairs = (("front", "left"), ("back", "base"), ("right", "lid"))
    found = {frozenset(pair): Wish(count=4, flank_gap=0.0, proud=0.0) for pair in pairs}
    cube = box(
        (90, 90, 90), CASE, 9.0, ranks=dict.fromkeys(CASE, 0), wishes=MappingProxyType(found)
    )
    for turn in SQUARE_TURNS:
        assert same_parts(cube, moved(cube, turn))
        assert same_parts(cube, moved(cube, turn @ MIRROR))


def test_walls_thicker_than_they_are_high_keep_their_faces() -> None:
    """A low ring: the shortest side of a wall is its height, but its thickness is its normal."""
    ring = box((150, 90, 6), CASE[:4], 9.0, ranks=dict.fromkeys(CASE, 0), wish=Wish(count=3))
    assert {joint.lead for joint in build(ring).plans.joints} == {"front", "back"}
    for turn in SQUARE_TURNS:
        assert same_parts(ring, moved(ring, turn))
