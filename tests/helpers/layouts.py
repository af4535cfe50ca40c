"""Random pieces of planes and panels, with a random joint at every meeting."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.model.piece import Piece, Wish
from dryfit.model.planes import Layout, Member, Plane
from dryfit.model.reach import reach
from tests.helpers.boxes import BARE, HAND, Built, build, stock

if TYPE_CHECKING:
    from random import Random

SIZES = (260.0, 200.0, 180.0)
AXES = "xyz"
KINDS = (None, Kind.TENON, Kind.HOUSING, Kind.GROOVE, Kind.REBATE, Kind.BUTT, Kind.RUNNING)
THICK = (4.0, 6.0, 9.0, 11.5)


def random_layout(rng: Random) -> Layout:
    """Some walls of a box, and up to three panels on inner planes, each with edges of a kind."""
    planes, members = [], []
    for axis, size in enumerate(SIZES):
        name = AXES[axis]
        planes += [Plane(f"{name}0", axis, 0.0), Plane(f"{name}1", axis, size)]
        planes.append(Plane(f"{name}m", axis, round(rng.uniform(60, size - 60), 1)))
        members += [_member(rng, f"{name}{end}") for end in "01" if rng.random() < 0.75]
    for axis in rng.sample(range(3), rng.randint(0, 3)):
        between: tuple[str, ...] = ()
        if rng.random() < 0.5:
            across = rng.choice([other for other in range(3) if other != axis])
            between = tuple(f"{AXES[across]}{end}" for end in rng.choice(["0m", "m1"]))
        members.append(_member(rng, f"{AXES[axis]}m", between))
    return Layout(tuple(planes), tuple(members), tee=rng.choice([Kind.TENON, Kind.HOUSING]))


def _member(rng: Random, name: str, between: tuple[str, ...] = ()) -> Member:
    stop = rng.choice([None, (8.0, 0.0), (0.0, 11.0)]) if name.endswith("m") else None
    return Member(
        name, name, stock(rng.choice(THICK)), between, edges=Wish(kind=rng.choice(KINDS), stop=stop)
    )


def planned(layout: Layout) -> Built | None:
    """The layout without gaps and room, cut square; None where a finding or a sentence stops it."""
    if len(layout.members) < 2:
        return None
    try:
        found = reach(layout)
    except SizeError:
        return None
    wishes = {pair: replace(wish, room=0.0) for pair, wish in found.wishes.items()}
    made = build(Piece(found.panels, BARE, wishes), HAND)
    if made.plans.shut or made.plans.tangles:
        return None
    other = any(meeting.kind is MeetingKind.OTHER for meeting in made.meetings.meetings)
    return None if other else made
