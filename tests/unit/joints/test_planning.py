"""What the maker asks for: granted, or denied with the nearest that can be had."""

from __future__ import annotations

import numpy as np
import pytest

from dryfit.errors import SizeError
from dryfit.joints import owners
from dryfit.model.cutter import Cutter, Route
from dryfit.model.piece import Wish
from dryfit.model.stock import Stock
from tests.helpers.boxes import CASE, PAIR, RING, TRAY, box, build

FRONT_LEFT = frozenset(("front", "left"))


@pytest.mark.parametrize("leads", PAIR)
@pytest.mark.parametrize("count", [1, 2, 5, 8, 60])
@pytest.mark.parametrize("walls", [PAIR, RING, TRAY, CASE], ids=["pair", "ring", "tray", "case"])
def test_one_wish_is_always_granted(walls: tuple[str, ...], count: int, leads: str) -> None:
    """The first division is counted from the bottom, where the corner's low end lies."""
    wish = Wish(count=count, leads=leads, flank_gap=0.0, proud=0.0)
    made = build(box((150, 120, 90), walls, 9.0, wishes={FRONT_LEFT: wish}))
    joint = made.joints[FRONT_LEFT]
    assert (joint.plan.count, joint.lead) == (count, leads)
    assert made.plans.conflicts == ()


def test_wishes_that_fight_name_the_joint_and_the_nearest_choice() -> None:
    """At each of two blocks front leads left, left leads base and base leads front: a circle."""
    ask = {("front", "left"): "front", ("left", "base"): "left", ("front", "base"): "base"}
    wishes = {
        frozenset(pair): Wish(count=5, leads=lead, flank_gap=0.0, proud=0.0)
        for pair, lead in ask.items()
    }
    made = build(box((150, 150, 150), ("front", "left", "base"), 9.0, wishes=wishes))
    # Only one end of each corner has a block; its owner is first or last in an odd plan of both
    # corners that it belongs to, so of the circle one wish at most is denied.
    denied = [
        joint
        for joint in made.plans.joints
        if (joint.plan.count, joint.lead) != (5, ask[pair_of(joint.lead, joint.follow, ask)])
    ]
    assert len(made.plans.conflicts) == len(denied) == 1
    (conflict,) = made.plans.conflicts
    assert conflict.joint == denied[0].id
    assert (conflict.count_wished, conflict.count) == (5, denied[0].plan.count)
    assert (conflict.lead_wished, conflict.lead) == (
        ask[pair_of(denied[0].lead, denied[0].follow, ask)],
        denied[0].lead,
    )


def pair_of(one: str, other: str, pairs: dict[tuple[str, str], str]) -> tuple[str, str]:
    return next(pair for pair in pairs if set(pair) == {one, other})


def test_an_odd_count_where_the_ends_demand_an_even_one() -> None:
    """Every corner of a case even: impossible, and each denied count is one away."""
    wish = Wish(count=6, flank_gap=0.0, proud=0.0)
    made = build(box((150, 120, 90), CASE, 9.0, wish=wish))
    denied = {conflict.joint: conflict for conflict in made.plans.conflicts}
    for joint in made.plans.joints:
        if joint.id in denied:
            assert joint.plan.count in (5, 7)
            assert denied[joint.id].count == joint.plan.count
        else:
            assert joint.plan.count == 6


def test_a_gap_that_leaves_nothing_is_refused() -> None:
    wish = Wish(count=9, flank_gap=10.0)
    with pytest.raises(SizeError, match=r"10\.00 mm leaves nothing of fingers 10\.00 mm wide"):
        build(box((100, 100, 90), PAIR, 9.0, wish=wish))
    wish = Wish(count=9, flank_gap=9.99)
    assert build(box((100, 100, 90), PAIR, 9.0, wish=wish)).joints[FRONT_LEFT].flank_gap == 9.99


def test_fingers_stand_proud_by_two_sigma_of_the_mate() -> None:
    """Readings 8.9, 9.0 and 9.1 have a standard deviation of 0.1 about their mean."""
    piece = box((100, 100, 90), PAIR, 9.0, wish=Wish())
    rough = Stock("rough", piece.panels[1].stock.material, 9.0, readings=(8.9, 9.0, 9.1))
    assert rough.scatter == pytest.approx(np.std([8.9, 9.0, 9.1], ddof=1))
    front, left = piece.panels
    object.__setattr__(left, "stock", rough)
    joint = build(piece).joints[FRONT_LEFT]
    assert joint.proud_of("front") == pytest.approx(0.2)
    assert joint.proud_of("left") == 2 * front.stock.scatter


def test_sockets_admit_the_cutter_where_they_can() -> None:
    """Stock thinner than the cutter: the usual finger would shut it out."""
    for size in (6.0, 8.0, 12.7):
        made = build(box((200, 200, 200), TRAY, 4.0), Cutter(Route.ROUTER, size))
        for joint in made.plans.joints:
            assert joint.plan.width + joint.flank_gap >= size


@pytest.mark.parametrize(("blade", "thickness"), [(6.35, 18.0), (12.7, 9.0), (9.5, 19.0)])
def test_the_saw_cuts_sockets_of_its_blade_set(blade: float, thickness: float) -> None:
    """The stack sets the width, in proportion to the stock or not; no division fits it better."""
    made = build(box((300, 220, 190), RING, thickness), Cutter(Route.SAW, blade))
    for joint in made.plans.joints:
        widths = [joint.extent.plan(n).width for n in range(3, 99, 2)]
        best = min(width for width in widths if width + joint.flank_gap >= blade)
        assert joint.plan.width == pytest.approx(best, abs=1e-12)


def test_a_search_cut_short_still_gives_a_sound_piece(monkeypatch: pytest.MonkeyPatch) -> None:
    """With hardly any choice looked at, the owners are not proved, but every finger mates."""
    monkeypatch.setattr(owners, "NODE_LIMIT", 3)
    made = build(box((150, 120, 90), CASE, {name: 7.0 + n for n, name in enumerate(CASE)}))
    assert not made.plans.proved
    assert made.deepest == 0.0
