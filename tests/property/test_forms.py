"""Every form at any size and of any stock: volumes add up, and everything closes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryfit.errors import SizeError
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.forms import FORMS, Request
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.model.piece import Piece, Wish
from dryfit.model.reach import reach
from tests.helpers.boxes import BARE, HAND, Built, build, stock
from tests.property.test_passing import adds_up

if TYPE_CHECKING:
    from dryfit.model.forms import Options

ROUTER = Cutter(Route.ROUTER, 3.175, Relief.FLANK)
CHOICES: dict[str, st.SearchStrategy[Any]] = {
    "ring": st.just({}),
    "tray": st.just({}),
    "pair": st.just({}),
    "stand": st.fixed_dictionaries({"rail": st.floats(40, 70)}),
    "drawer": st.fixed_dictionaries({"inset": st.floats(4, 12)}),
    "chest": st.fixed_dictionaries({"lid": st.sampled_from(["lip", "cleats", "sliding"])}),
    "crate": st.fixed_dictionaries(
        {"along": st.integers(0, 3), "across": st.integers(0, 3)},
        optional={"divider": st.floats(60, 90)},
    ),
    "case": st.fixed_dictionaries(
        {
            "open": st.booleans(), "shelves": st.integers(0, 3), "uprights": st.integers(0, 2),
            "back": st.sampled_from(["finger", "rebate", "groove", "none"]),
        }
    ),
}  # fmt: skip


def made(name: str, options: Options, data: st.DataObject, *, bare: bool) -> Built:
    """A form of random sizes, every panel of a thickness of its own."""
    form = FORMS[name]
    size = st.floats(220, 500)
    sizes = (data.draw(size), data.draw(size), data.draw(size))
    thickness = st.sampled_from([3.0, 4.2, 6.05, 8.78, 12.0])
    stocks = {panel: stock(data.draw(thickness)) for panel in form.names(options)}
    try:
        placed = reach(form.layout(Request(stocks, outside=sizes, options=options)))
    except SizeError:
        assume(False)
    wishes, panels = placed.wishes, placed.panels
    if bare:
        # Windows are taken from the reach; whose the rest is, is the question here.
        panels = tuple(replace(panel, openings=()) for panel in panels)
        wishes = {
            pair: replace(wish, room=0.0, flank_gap=0.0) for pair, wish in placed.wishes.items()
        }
    wish = BARE if bare else Wish(flank_gap=0.05, proud=0.1, width=12.0)
    return build(Piece(panels, wish, wishes), HAND if bare else ROUTER)


@pytest.mark.parametrize("name", CHOICES)
@settings(max_examples=12)
@given(data=st.data())
def test_the_volumes_of_every_form_add_up(name: str, data: st.DataObject) -> None:
    built = made(name, data.draw(CHOICES[name]), data, bare=True)
    assert all(m.kind is not MeetingKind.OTHER for m in built.meetings.meetings)
    assert adds_up(built)
    # Coordinates are rounded to 1e-9 mm.
    assert built.deepest <= 2e-9


@pytest.mark.parametrize("name", CHOICES)
@settings(max_examples=12)
@given(data=st.data())
def test_every_form_closes_as_the_router_leaves_it(name: str, data: st.DataObject) -> None:
    built = made(name, data.draw(CHOICES[name]), data, bare=False)
    # A mortise, trench or slot that shuts the cutter out is a finding of its own.
    entering = [
        built.piece.panel(panel).thickness
        for joint in built.plans.joints
        if joint.kind is not Kind.FINGER
        for panel in ([joint.lead, joint.follow] if joint.kind is Kind.HALVING else [joint.lead])
    ]
    assume(min(entering, default=9.0) > 3.175)
    assert built.deepest <= 0.01


def test_every_form_is_tested() -> None:
    assert set(CHOICES) == set(FORMS)


def test_a_drawer_is_its_opening_less_its_air() -> None:
    options: Options = {
        "opening": (300.0, 400.0, 120.0), "side_clearance": 1.5, "top_clearance": 2.0,
        "back_clearance": 10.0, "coat": 0.1, "season": 1.4,
    }  # fmt: skip
    form = FORMS["drawer"]
    stocks = dict.fromkeys(form.names(options), stock(9.0))
    request = Request(stocks, options=options)
    assert form.outer_sizes(request) == pytest.approx((296.8, 390.0, 116.4))
