"""Even at any size: fingers and sockets measured on the outlines of the made parts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, FRAMES, PAIR, PLACES, RING, TRAY, Built, box, build
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


@dataclass(frozen=True)
class Corner:
    """A corner as the walls' places and thicknesses alone tell it. [mm]

    `blocks` are as long as the wall that stands at either end is thick, 0 where none does. Whose
    they are is read from the plan; so is the number of divisions, and nothing else.
    """

    length: float
    blocks: tuple[float, float]
    owned: tuple[bool, bool]
    foreign: tuple[bool, bool]

    @property
    def ends(self) -> tuple[float, float]:
        """What third panels take off either end. [mm]"""
        return (self.blocks[0] * self.foreign[0], self.blocks[1] * self.foreign[1])

    def divide(self, count: int) -> tuple[float, tuple[float, float]]:
        """Width of a division, and what end fingers carry: the fewest blocks that will do."""
        shared = self.length - sum(self.ends)
        mine = [end for end in (0, 1) if self.owned[end]]
        for number in range(len(mine) + 1):
            for chosen in combinations(mine, number):
                width = (shared - sum(self.blocks[end] for end in chosen)) / count
                if all((self.blocks[end] >= width) == (end in chosen) for end in mine):
                    carried = [self.blocks[end] * (end in chosen) for end in (0, 1)]
                    return width, (carried[0], carried[1])
        raise AssertionError("no way to carry the blocks is consistent")


def corner_of(built: Built, joint: Joint) -> Corner:
    shown = read(built.part(joint.lead), built.part(joint.follow))
    axis = 3 - PLACES[joint.lead][0] - PLACES[joint.follow][0]
    thickness = {
        PLACES[part.name][1]: part.thickness for part in built.parts if PLACES[part.name][0] == axis
    }
    owners = [end.owner for end in joint.plan.ends]
    assert [owner is not None for owner in owners] == [high in thickness for high in (False, True)]
    mine = [owner in (joint.lead, joint.follow) for owner in owners]
    foreign = [owner is not None and not own for owner, own in zip(owners, mine, strict=True)]
    return Corner(
        shown.high - shown.low,
        (thickness.get(False, 0.0), thickness.get(True, 0.0)),
        (mine[0], mine[1]),
        (foreign[0], foreign[1]),
    )


def check_even(built: Built) -> None:
    """Every finger and socket is L / n wide on both outlines, and the two agree.

    The one exception, an end finger that carries a block, is longer by exactly that block.
    """
    for joint in built.plans.joints:
        corner, count = corner_of(built, joint), joint.plan.count
        width, carried = corner.divide(count)
        lead = read(built.part(joint.lead), built.part(joint.follow), corner.ends)
        follow = read(built.part(joint.follow), built.part(joint.lead), corner.ends)
        assert len(lead.flanks) == len(follow.flanks) == count - 1
        assert lead.flanks == pytest.approx(follow.flanks, abs=TRUE, rel=0)
        assert (lead.fingers == (np.arange(count) % 2 == 0)).all()
        assert (follow.fingers != lead.fingers).all()
        stretches = lead.stretches
        stretches[0] -= corner.ends[0] + carried[0]
        stretches[-1] -= corner.ends[1] + carried[1]
        assert stretches == pytest.approx(width, abs=2 * TRUE, rel=0)
        assert stretches[1:-1] == pytest.approx(width, abs=TRUE, rel=0)
        assert tuple(end.carried for end in joint.plan.ends) == pytest.approx(carried, abs=TRUE)


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


@settings(max_examples=12)
@given(boxes(CASE), st.floats(2.0, 60.0))
def test_a_typed_width_gets_the_nearest_of_its_parity(piece: Piece, wanted: float) -> None:
    """Brute force over every count up to 1200; nothing is weighed against what was typed."""
    built = build(replace(piece, wish=Wish(width=wanted, flank_gap=0.0, proud=0.0)))
    for joint in built.plans.joints:
        corner = corner_of(built, joint)
        first = 3 if joint.plan.count % 2 else 2
        nearest = min(abs(corner.divide(n)[0] - wanted) for n in range(first, 1200, 2))
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
        corner = corner_of(built, joint)
        widths = [corner.divide(n)[0] for n in range(3, 1200, 2)]
        fair = [width for width in widths if least <= width <= most]
        if fair:
            assert least <= joint.plan.width <= most
            nearest = min(abs(width - wanted) for width in fair)
            assert abs(joint.plan.width - wanted) <= nearest + TRUE
