"""Even at any size: fingers and sockets measured on the outlines of the made parts."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, FRAMES, PAIR, RING, TRAY, Built, box, build
from tests.helpers.flanks import read

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.model.piece import Piece

# Coordinates are kept to a nanometre's thousandth, so a width is true to that and no more.
TRUE = 1e-9

counts = st.integers(1, 60)
lengths = st.floats(20.0, 2000.0)
thick = st.floats(0.5, 40.0)
ways = st.integers(0, FRAMES - 1)


@st.composite
def boxes(draw: st.DrawFn, walls: tuple[str, ...]) -> Piece:
    """A box of any size whose every corner the maker wants in n divisions."""
    thickness = {wall: draw(thick) for wall in walls}
    sizes = [draw(lengths) + 80.0 for _ in range(3)]
    return box(
        sizes,
        walls,
        thickness,
        ranks={wall: draw(st.integers(0, 2)) for wall in walls},
        ways={wall: draw(ways) for wall in walls},
        wish=Wish(count=draw(counts), flank_gap=0.0, proud=0.0),
    )


def expected_ends(built: Built, joint: Joint) -> tuple[float, float, float]:
    """Blocks of third panels at either end of a corner, and what end fingers carry. [mm]

    From the thickness of the third panel alone: nothing here is read from the plan but who owns
    the block and how many divisions there are.
    """
    mine = {joint.lead, joint.follow}
    length = corner_length(built, joint)
    foreign = [end.owner is not None and end.owner not in mine for end in joint.plan.ends]
    blocks = [end.block * own for end, own in zip(joint.plan.ends, foreign, strict=True)]
    carried = sum(end.carried for end in joint.plan.ends)
    return blocks[0], blocks[1], length - sum(blocks) - carried


def corner_length(built: Built, joint: Joint) -> float:
    shown = read(built.part(joint.lead), built.part(joint.follow))
    return shown.high - shown.low


def check_even(built: Built) -> None:
    """Every finger and socket is L / n wide on both outlines, and the two agree."""
    for joint in built.plans.joints:
        low_block, high_block, length = expected_ends(built, joint)
        width = length / joint.plan.count
        lead = read(built.part(joint.lead), built.part(joint.follow), (low_block, high_block))
        follow = read(built.part(joint.follow), built.part(joint.lead), (low_block, high_block))
        assert len(lead.flanks) == len(follow.flanks) == joint.plan.count - 1
        assert lead.flanks == pytest.approx(follow.flanks, abs=TRUE, rel=0)
        assert (lead.fingers == (np.arange(joint.plan.count) % 2 == 0)).all()
        assert (follow.fingers != lead.fingers).all()
        stretches = lead.stretches
        assert stretches[1:-1] == pytest.approx(width, abs=TRUE, rel=0)
        first, last = joint.plan.ends
        stretches[0] -= low_block + first.carried
        stretches[-1] -= high_block + last.carried
        assert stretches[[0, -1]] == pytest.approx(width, abs=2 * TRUE, rel=0)


def check_carried(built: Built) -> None:
    """An end finger carries a block exactly where one of the two owns a block no narrower."""
    for joint in built.plans.joints:
        for end in joint.plan.ends:
            if end.carried:
                assert end.owner in {joint.lead, joint.follow}
                assert end.carried == end.block >= joint.plan.width
            elif end.owner in {joint.lead, joint.follow}:
                assert end.block < joint.plan.width


@settings(max_examples=60)
@given(boxes(PAIR))
def test_pair_is_even_at_any_size(piece: Piece) -> None:
    built = build(piece)
    assert built.plans.joints[0].plan.count == piece.wish.count
    check_even(built)
    assert built.deepest <= 2 * TRUE


@settings(max_examples=30)
@given(boxes(RING))
def test_ring_is_even_at_any_size(piece: Piece) -> None:
    built = build(piece)
    assert {joint.plan.count for joint in built.plans.joints} == {piece.wish.count}
    check_even(built)


@settings(max_examples=40)
@given(st.one_of(boxes(TRAY), boxes(CASE)))
def test_blocks_leave_every_corner_even(piece: Piece) -> None:
    built = build(piece)
    check_even(built)
    check_carried(built)


@settings(max_examples=60)
@given(sockets=st.integers(1, 30), length=lengths, one=thick, other=thick)
def test_sockets_on_the_lead(sockets: int, length: float, one: float, other: float) -> None:
    """w = L / (2N + 1), pitch L / (N + ½), N + 1 fingers lead (common practice, no source)."""
    wish = Wish(count=2 * sockets + 1, flank_gap=0.0, proud=0.0)
    built = build(box((200, 200, length), PAIR, {"front": one, "left": other}, wish=wish))
    joint = built.plans.joints[0]
    lead = read(built.part(joint.lead), built.part(joint.follow))
    assert joint.plan.sockets == (~lead.fingers).sum() == sockets
    assert lead.fingers.sum() == joint.fingers[joint.lead] == sockets + 1
    assert lead.stretches == pytest.approx(length / (2 * sockets + 1), abs=2 * TRUE, rel=0)
    begins = lead.low + np.concatenate(([0.0], np.cumsum(lead.stretches)[:-1]))[lead.fingers]
    assert np.diff(begins) == pytest.approx(length / (sockets + 0.5), abs=2 * TRUE, rel=0)


@settings(max_examples=40)
@given(st.one_of(boxes(PAIR), boxes(TRAY), boxes(CASE)), counts)
def test_another_count_plans_both_mates_anew(piece: Piece, count: int) -> None:
    for wish in (piece.wish, replace(piece.wish, count=count)):
        built = build(replace(piece, wish=wish))
        check_even(built)
        for touch in built.fit():
            dust = 2 * TRUE * 60 * built.part(touch.a).thickness * built.part(touch.b).thickness
            assert touch.penetration <= 2 * TRUE
            assert touch.overlap <= dust
            assert touch.gap <= dust


def division(joint: Joint, length: float, count: int) -> float:
    """Width of a division: the first consistent way to carry blocks, fewest carried first."""
    mine = {joint.lead, joint.follow}
    blocks = [end.block for end in joint.plan.ends if end.owner in mine]
    shared = length - sum(
        end.block for end in joint.plan.ends if end.owner is not None and end.owner not in mine
    )
    for number in range(len(blocks) + 1):
        for carried in combinations(range(len(blocks)), number):
            width = (shared - sum(blocks[k] for k in carried)) / count
            if all((blocks[k] >= width) == (k in carried) for k in range(len(blocks))):
                return width
    raise AssertionError("no way to carry the blocks is consistent")


@settings(max_examples=40)
@given(boxes(CASE), st.floats(2.0, 60.0))
def test_a_typed_width_gets_the_nearest_of_its_parity(piece: Piece, wanted: float) -> None:
    """Brute force over every count up to 1200; nothing is weighed against what was typed."""
    built = build(replace(piece, wish=Wish(width=wanted, flank_gap=0.0, proud=0.0)))
    for joint in built.plans.joints:
        length = corner_length(built, joint)
        first = 3 if joint.plan.count % 2 else 2
        nearest = min(abs(division(joint, length, n) - wanted) for n in range(first, 1200, 2))
        assert abs(joint.plan.width - wanted) <= nearest + TRUE


@settings(max_examples=40)
@given(boxes(RING))
def test_the_usual_width_is_in_proportion(piece: Piece) -> None:
    """Half to two thicknesses, 3 mm at least, near one and a quarter (common practice).

    Where a count in that range exists, brute force finds none nearer to the wanted width.
    """
    built = build(replace(piece, wish=Wish(flank_gap=0.0, proud=0.0)))
    for joint in built.plans.joints:
        thickest = max(built.part(name).thickness for name in joint.fingers)
        least = max(3.0, thickest / 2)
        most, wanted = max(2 * thickest, least), 1.25 * thickest
        length = corner_length(built, joint)
        widths = [division(joint, length, n) for n in range(3, 1200, 2)]
        fair = [width for width in widths if least <= width <= most]
        if fair:
            assert least <= joint.plan.width <= most
            nearest = min(abs(width - wanted) for width in fair)
            assert abs(joint.plan.width - wanted) <= nearest + TRUE
