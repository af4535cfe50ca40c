"""The dry fit catches what is beyond the slack and lets pass what is within it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, HAND, RING, TRAY, box, build
from tests.helpers.faults import plant

if TYPE_CHECKING:
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Profile

TOUCH = 0.01
cutters = st.sampled_from(
    [
        HAND,
        Cutter(Route.SAW, 3.2),
        *(Cutter(Route.ROUTER, 3.175, relief) for relief in list(Relief)[:3]),
    ]
)


@pytest.mark.parametrize("seed", range(150))
def test_planted_faults_are_caught_beyond_the_slack_only(seed: int) -> None:
    beyond, within = plant(np.random.default_rng(seed))
    assert beyond > TOUCH
    assert within <= TOUCH


def mirrored(part: Part) -> Part:
    """The part cut from the wrong face: turned over about its own middle line."""
    width = part.panel.width
    flipped = part.as_cut.transformed(np.diag([-1.0, 1.0]), (width, 0.0))
    return replace(part, as_cut=flipped)


def test_a_part_mirrored_is_caught() -> None:
    """An even plan has no symmetry: turned over, fingers meet fingers."""
    made = build(box((120, 90, 84), RING, 9.0, wish=Wish(count=6, flank_gap=0.05, proud=0.0)))
    for part in made.parts:
        upright = abs(part.panel.frame.u[2]) > 0.5
        wrong = mirrored(part) if upright else replace(part, as_cut=turned_over(part))
        assert made.with_part(wrong).deepest > TOUCH


def turned_over(part: Part) -> Profile:
    return part.as_cut.transformed(np.diag([1.0, -1.0]), (0.0, part.panel.height))


def test_two_leads_are_caught() -> None:
    """Both mates made as if each owned the first finger."""
    made = build(box((120, 90, 84), ("front", "left"), 9.0, wish=Wish(count=7, proud=0.0)))
    other = Wish(count=7, leads="left", proud=0.0)
    wrong = build(box((120, 90, 84), ("front", "left"), 9.0, wish=other))
    assert made.deepest == 0.0
    assert made.with_part(wrong.part("left")).deepest > 1.0


@settings(max_examples=60)
@given(
    st.sampled_from([("front", "left"), RING, TRAY, CASE]),
    st.tuples(*[st.floats(60, 300)] * 3),
    st.floats(3, 20),
    st.floats(0, 0.3),
    st.floats(0, 0.5),
    cutters,
)
def test_what_is_planned_closes(
    walls: tuple[str, ...],
    sizes: tuple[float, ...],
    thickness: float,
    gap: float,
    proud: float,
    cutter: Cutter,
) -> None:
    made = build(box(sizes, walls, thickness, wish=Wish(flank_gap=gap, proud=proud)), cutter)
    narrow = any(joint.plan.width + gap < cutter.size for joint in made.plans.joints)
    assert made.deepest == 0.0 or narrow


@settings(max_examples=40)
@given(st.floats(0.001, 0.2), st.integers(3, 15))
def test_a_press_fit_penetrates_by_what_it_presses(press: float, count: int) -> None:
    wish = Wish(count=count, flank_gap=-press, proud=0.0)
    made = build(box((150, 150, 120), ("front", "left"), 9.0, wish=wish))
    assert made.deepest == pytest.approx(press, abs=1e-9)


@settings(max_examples=40)
@given(st.floats(0.0, 0.3), st.integers(3, 15), st.floats(3, 18))
def test_the_gap_of_a_square_joint_is_its_flanks(gap: float, count: int, thickness: float) -> None:
    wish = Wish(count=count, flank_gap=gap, proud=0.0)
    made = build(box((150, 150, 160), ("front", "left"), thickness, wish=wish))
    assert made.fit()[0].gap == pytest.approx((count - 1) * gap * thickness**2, abs=1e-6)
