"""The dry fit catches what is beyond the slack and lets pass what is within it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryfit.checks.answers import answer_all
from dryfit.checks.subject import Subject
from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Wish
from tests.helpers.boxes import CASE, FRAMES, HAND, RING, TRAY, box, build
from tests.helpers.faults import Fault, Spot, air, planted

if TYPE_CHECKING:
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Profile
    from tests.helpers.boxes import Built

TOUCH = 0.01
cutters = st.sampled_from(
    [
        HAND,
        Cutter(Route.SAW, 3.2),
        *(Cutter(Route.ROUTER, 3.175, relief) for relief in list(Relief)[:3]),
    ]
)


BEYOND = 0.02
"""How far a planted error lies beyond the slack, or within it. [mm]"""
RELIEVED = st.sampled_from(
    [HAND, *(Cutter(Route.ROUTER, 3.175, relief) for relief in list(Relief)[:3])]
)


@st.composite
def closing(draw: st.DrawFn, cutter: Cutter) -> tuple[Built, Spot]:
    """A piece that closes with some air, and a part at one of its joints.

    Three divisions or more: with two, a shift one way only opens the one flank. Fingers are wide
    enough for the cutter and stand clear of the reliefs.
    """
    walls = draw(st.sampled_from([("front", "left"), RING, TRAY, CASE]))
    thickness = {wall: draw(st.floats(4.0, 12.0)) for wall in walls}
    wish = Wish(
        count=draw(st.sampled_from([None, 3, 4, 7])),
        flank_gap=draw(st.floats(0.03, 0.2)),
        proud=draw(st.sampled_from([0.0, 0.3])),
    )
    ways = {wall: draw(st.integers(0, FRAMES - 1)) for wall in walls}
    sizes = draw(st.tuples(*[st.floats(110.0, 260.0)] * 3))
    built = build(box(sizes, walls, thickness, ways=ways, wish=wish), cutter)
    # Two bites that meet in the bottom of a socket leave no shoulder for thicker wood to rest on.
    bare = min(j.plan.width + j.flank_gap for j in built.plans.joints) <= 2 * cutter.size
    assume(cutter.relief is not Relief.SHOULDER or not bare)
    joint = draw(st.sampled_from([j for j in built.plans.joints if j.plan.count > 2]))
    name = draw(st.sampled_from([joint.lead, joint.follow]))
    return built, Spot(joint, name, draw(st.integers(0, 60)))


@settings(max_examples=200)
@given(st.data(), st.sampled_from(list(Fault)))
def test_planted_faults_are_caught_beyond_the_slack_only(data: st.DataObject, fault: Fault) -> None:
    # A flank is moved on a square outline; what a route can spoil is spoilt on every route.
    square = fault in (Fault.FINGER, Fault.SHIFT, Fault.SHOULDER)
    built, spot = data.draw(closing(HAND if square else data.draw(RELIEVED)))
    assert built.deepest == 0.0
    slack = air(fault, spot.joint)
    assert planted(built, spot, fault, slack + BEYOND).deepest == pytest.approx(BEYOND, abs=1e-6)
    assert planted(built, spot, fault, slack - BEYOND).deepest <= TOUCH


@settings(max_examples=60)
@given(st.data(), RELIEVED)
def test_a_part_with_another_plan_is_caught(data: st.DataObject, cutter: Cutter) -> None:
    """The wrong panel leads, or the count is off by two: one part of the two is exchanged."""
    built, spot = data.draw(closing(cutter))
    joint = spot.joint
    gap = joint.flank_gap
    wishes = [
        Wish(count=joint.plan.count, leads=joint.follow, flank_gap=gap),
        Wish(count=joint.plan.count + 2, leads=joint.lead, flank_gap=gap),
    ]
    for wish in wishes:
        pair = frozenset((joint.lead, joint.follow))
        wrong = build(replace(built.piece, wishes={pair: wish}), cutter)
        plan = wrong.joints[pair]
        assume((plan.lead, plan.plan.count) != (joint.lead, joint.plan.count))
        assert built.with_part(wrong.part(spot.name)).deepest > 1.0


@settings(max_examples=40)
@given(st.data(), st.sampled_from(list(Fault)))
def test_what_is_caught_is_a_stop(data: st.DataObject, fault: Fault) -> None:
    """What the wood itself gives, its pinch, counts with the slack."""
    built, spot = data.draw(closing(HAND))
    pinch = min(panel.stock.material.pinch for panel in built.piece.panels)
    slack = air(fault, spot.joint) + pinch
    assert stops(planted(built, spot, fault, slack + BEYOND))
    assert not stops(planted(built, spot, fault, slack - BEYOND))


def stops(built: Built) -> bool:
    """Whether the answer to whether it closes stops, because parts overlap."""
    job = Job("type tray", built.piece, built.cutter)
    report = answer_all(Subject(job, built.plans, built.parts, built.fit(), built.odds))
    return any(
        finding.code == "parts-overlap" and finding.severity is Severity.STOP
        for finding in report.findings
    )


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
