"""Random planes and panels with a random joint at every meeting: the volumes add up."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryfit.errors import SizeError
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.model.piece import Piece, Wish
from dryfit.model.planes import Layout, Member, Plane
from dryfit.model.reach import reach
from tests.helpers.boxes import BARE, HAND, build, stock
from tests.property.test_passing import adds_up

if TYPE_CHECKING:
    from dryfit.model.reach import Reached

SIZES = (260.0, 200.0, 180.0)
AXES = ("x", "y", "z")
EDGES = st.sampled_from(
    [None, Kind.TENON, Kind.HOUSING, Kind.GROOVE, Kind.REBATE, Kind.BUTT, Kind.RUNNING]
)
THICK = st.sampled_from([4.0, 6.0, 9.0, 11.5])


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """Some walls of a box, and up to three panels on inner planes, each with edges of a kind."""
    planes, members = [], []
    for axis, size in enumerate(SIZES):
        low, high = f"{AXES[axis]}0", f"{AXES[axis]}1"
        inner = f"{AXES[axis]}m"
        planes += [Plane(low, axis, 0.0), Plane(high, axis, size)]
        planes.append(Plane(inner, axis, draw(st.floats(60, size - 60).map(lambda x: round(x, 1)))))
        members += [
            Member(name, name, stock(draw(THICK)), edges=Wish(kind=draw(EDGES)))
            for name in (low, high)
            if draw(st.integers(0, 3))
        ]
    for axis in draw(st.lists(st.integers(0, 2), max_size=3, unique=True)):
        between: tuple[str, ...] = ()
        if draw(st.booleans()):
            across = draw(st.sampled_from([other for other in range(3) if other != axis]))
            ends = draw(st.sampled_from([("0", "m"), ("m", "1")]))
            between = tuple(f"{AXES[across]}{end}" for end in ends)
        stop = draw(st.sampled_from([None, (8.0, 0.0), (0.0, 11.0)]))
        edges = Wish(kind=draw(EDGES), stop=stop, room=draw(st.sampled_from([None, 0.0])))
        name = f"{AXES[axis]}m"
        members.append(Member(name, name, stock(draw(THICK)), between, edges=edges))
    return Layout(
        tuple(planes), tuple(members), tee=draw(st.sampled_from([Kind.TENON, Kind.HOUSING]))
    )


def placed(layout: Layout) -> Reached:
    try:
        return reach(layout)
    except SizeError:
        # Two mates at one end that want different reaches, or no length left: a sentence says so.
        assume(False)
        raise


@settings(max_examples=60)
@given(layouts())
def test_every_cell_has_one_owner_whatever_the_joints(layout: Layout) -> None:
    assume(len(layout.members) > 1)
    found = placed(layout)
    wishes = {pair: replace(wish, room=0.0) for pair, wish in found.wishes.items()}
    made = build(Piece(found.panels, BARE, wishes), HAND)
    # What is not planned is said so; everything else adds up.
    assume(all(m.kind is not MeetingKind.OTHER for m in made.meetings.meetings))
    assume(not made.plans.shut and not made.plans.tangles)
    assert adds_up(made)
    assert made.deepest <= 2e-9
