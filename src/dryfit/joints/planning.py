"""From meetings to joints: owners and parities first, together, then every finger plan."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.joints.angled import decide_angled, lay_out
from dryfit.joints.deciding import decide_corners
from dryfit.joints.joint import Extent, Joint
from dryfit.joints.knots import tangled
from dryfit.joints.owners import ANYONE
from dryfit.joints.passing import (
    Crossings,
    free,
    kind_of,
    stopped,
    tenon_plans,
    whole_plans,
    yielded,
)
from dryfit.joints.plan import MIN_FINGER, Proportion, choose_count
from dryfit.model.cutter import Route
from dryfit.model.kind import Kind
from dryfit.model.meeting import Meeting, MeetingKind, Meetings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.deciding import Decided
    from dryfit.joints.joint import FingerPlan
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece, Wish


@dataclass(frozen=True, slots=True)
class Conflict:
    """A wish that cannot be granted beside the others.

    `count_wished` and `lead_wished` are what was asked (None where not asked), `count` and `lead`
    the nearest that can be had.
    """

    joint: str
    count_wished: int | None
    count: int
    lead_wished: str | None
    lead: str


@dataclass(frozen=True)
class Plans:
    """Every joint of a piece, with the meetings they share out.

    Parameters
    ----------
    meetings : Meetings
        Where the panels meet.
    joints : tuple of Joint
        One for each meeting that is planned, in the order of `joined`.
    owners : tuple of str
        Name of the panel that owns each block.
    conflicts : tuple of Conflict
        Wishes that could not be granted.
    shut : tuple of str
        Ids of the halvings whose slots do not run out at an edge.
    proved : bool
        Whether the choice of owners is proved to be the best.
    tangles : tuple of triple of str
        Three panels each that pass through one place, where none of them can have the wood.
    """

    meetings: Meetings
    joints: tuple[Joint, ...]
    owners: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    shut: tuple[str, ...]
    proved: bool
    tangles: tuple[tuple[str, str, str], ...] = ()

    @cached_property
    def joined(self) -> tuple[Meeting, ...]:
        """The meetings that carry joints, in the order of `joints`."""
        return joined(self.meetings)


def joined(meetings: Meetings) -> tuple[Meeting, ...]:
    """The meetings for which a joint is planned."""
    return tuple(m for m in meetings.meetings if m.kind is not MeetingKind.OTHER)


def plan_joints(piece: Piece, meetings: Meetings, cutter: Cutter) -> Plans:
    """Plan every joint of a piece.

    Parameters
    ----------
    piece : Piece
        Panels and wishes.
    meetings : Meetings
        Where the panels meet.
    cutter : Cutter
        What cuts; the saw's blade set and the router's diameter bear on the width of a finger.

    Raises
    ------
    SizeError
        If a flank gap leaves nothing of a finger.
    """
    decided, owners, proved = decide_corners(piece, meetings)
    planner = _Planner(piece, meetings, cutter, owners)
    decided |= decide_angled(piece, planner.runs)
    planned = [
        planner.corner(meeting, decided[meeting.a, meeting.b])
        if meeting.kind in (MeetingKind.CORNER, MeetingKind.ANGLED)
        else planner.passing(meeting)
        for meeting in joined(meetings)
    ]
    return Plans(
        meetings,
        tuple(joint for joint, _ in planned),
        tuple(piece.panels[owner].name for owner in owners),
        tuple(conflict for _, conflict in planned if conflict is not None),
        tuple(
            joint.id
            for meeting, (joint, _) in zip(joined(meetings), planned, strict=True)
            if joint.kind is Kind.HALVING and not planner.crossings.slots_run_out(meeting)
        ),
        proved,
        tangled(
            piece.panels,
            meetings,
            [(m, joint) for m, (joint, _) in zip(joined(meetings), planned, strict=True)],
        ),
    )


class _Planner:
    """Divides one corner after the other, once the owners are known."""

    def __init__(
        self, piece: Piece, meetings: Meetings, cutter: Cutter, owners: Sequence[int]
    ) -> None:
        self.piece = piece
        self.meetings = meetings
        self.cutter = cutter
        self.owners = owners
        self.crossings = Crossings(piece, meetings)
        self.runs = lay_out(piece.panels, meetings.angled)

    def corner(self, corner: Meeting, decided: Decided) -> tuple[Joint, Conflict | None]:
        """The joint of one corner, and what it had to deny the maker."""
        panels = self.piece.panels
        one, other = panels[corner.a], panels[corner.b]
        wish = self.piece.wish_for(one.name, other.name)
        lead, follow = (one, other) if decided.first == corner.a else (other, one)
        extent = self._extent(corner)
        gap = self._gap(wish)
        count = self._count(corner, extent, wish, decided.odd)
        _check_gap(f"{one.name}+{other.name}", gap, extent.plan(count).width)
        joint = Joint(
            id=f"{one.name}+{other.name}",
            kind=Kind.FINGER,
            lead=lead.name,
            follow=follow.name,
            extent=extent,
            plan=extent.plan(count),
            flank_gap=gap,
            proud=_proud(wish, one, other),
        )
        conflict = Conflict(joint.id, wish.count, count, wish.leads, lead.name)
        return joint, None if decided.granted else conflict

    def passing(self, meeting: Meeting) -> tuple[Joint, Conflict | None]:
        """The joint of one tee or crossing, and what it had to deny the maker."""
        panels = self.piece.panels
        one, other = panels[meeting.a], panels[meeting.b]
        wish = self.piece.wish_for(one.name, other.name)
        kind = kind_of(meeting, wish)
        members = self._members(meeting, kind)
        extent = Extent(round(meeting.length, 9), (0.0, 0.0), (None, None), (one.name, other.name))
        plans = self._plans(meeting, kind, extent, wish)
        gap = self._gap(wish)
        for plan in plans:
            _check_gap(f"{one.name}+{other.name}", gap, plan.width)
        joint = Joint(
            id=f"{one.name}+{other.name}",
            kind=kind,
            lead=members[0],
            follow=members[1],
            extent=extent,
            plan=plans[0],
            flank_gap=gap,
            proud=_proud(wish, one, other) if kind is Kind.TENON else _flush(one, other),
            others=plans[1:],
            room=(wish.room or 0.0) if kind.is_captive else 0.0,
        )
        return joint, _refused(joint, wish)

    def _members(self, meeting: Meeting, kind: Kind) -> tuple[str, str]:
        """Who leads and who follows: the face of a tenon, the edge in a housing, the low half."""
        if kind is Kind.HALVING:
            lead = self.crossings.low_owner[meeting.a, meeting.b]
        else:
            lead = meeting.face if kind is Kind.TENON else meeting.edge
        follow = meeting.a + meeting.b - lead
        return self.piece.panels[lead].name, self.piece.panels[follow].name

    def _plans(
        self, meeting: Meeting, kind: Kind, extent: Extent, wish: Wish
    ) -> tuple[FingerPlan, ...]:
        taken = yielded(meeting)
        if kind.is_trench:
            taken += self.crossings.claims(meeting) + stopped(meeting, kind, wish)
        stretches = free(meeting, taken)
        if kind is not Kind.TENON:
            return whole_plans(stretches, 1 if kind.is_trench else 2)
        count = wish.count if wish.count and wish.count % 2 and wish.count >= 3 else None
        proportion = self.proportion(meeting, extent, wish)
        return tenon_plans(stretches, extent.members, proportion, count)

    def _gap(self, wish: Wish) -> float:
        return wish.flank_gap if wish.flank_gap is not None else self.cutter.usual_flank_gap

    def _extent(self, corner: Meeting) -> Extent:
        if corner.kind is MeetingKind.ANGLED:
            return self.runs[corner.a, corner.b].extent
        panels = self.piece.panels
        lengths = [0.0, 0.0]
        owners: list[str | None] = [None, None]
        for end, block in enumerate(corner.blocks):
            if block != ANYONE:
                shape = self.meetings.blocks[block]
                lengths[end] = round(shape.high[corner.axis] - shape.low[corner.axis], 9)
                owners[end] = panels[self.owners[block]].name
        return Extent(
            round(corner.length, 9),
            (lengths[0], lengths[1]),
            (owners[0], owners[1]),
            (panels[corner.a].name, panels[corner.b].name),
        )

    def _count(self, corner: Meeting, extent: Extent, wish: Wish, odd: bool) -> int:
        proportion = self.proportion(corner, extent, wish)
        if wish.count is None:
            return choose_count(extent, proportion, odd)
        if wish.count % 2 == int(odd):
            return wish.count
        nearest = [n for n in (wish.count - 1, wish.count + 1) if n >= 1]
        return min(nearest, key=lambda n: abs(extent.plan(n).width - proportion.wanted))

    def proportion(self, corner: Meeting, extent: Extent, wish: Wish) -> Proportion:
        """What a finger of this corner may measure.

        One and a quarter thicknesses unless the maker or the blade says otherwise, one and a half
        where an end finger holds a corner block (within the common one to one and a half); on the
        saw as wide as the blade set less the gap, in proportion or not. Never so narrow that the
        socket shuts out the cutter.
        """
        thick = [self.piece.panels[i].thickness for i in (corner.a, corner.b)]
        gap = self._gap(wish)
        least = max(MIN_FINGER, max(thick) / 2, self.cutter.size - gap)
        if wish.width is not None:
            wanted = wish.width
        elif self.cutter.route is Route.SAW:
            wanted = least = self.cutter.size - gap
        else:
            holds = any(owner in extent.members for owner in extent.owners)
            wanted = (1.5 if holds else 1.25) * max(thick)
        most = max(2 * max(thick), 1.5 * least)
        return Proportion(wanted, least, most, wish.width is not None)


def _proud(wish: Wish, one: Panel, other: Panel) -> tuple[tuple[str, float], ...]:
    """Extra length of each panel's fingers: as asked, else two sigma of the mate's thickness."""
    return tuple(
        (own.name, wish.proud if wish.proud is not None else 2 * mate.stock.scatter)
        for own, mate in ((one, other), (other, one))
    )


def _flush(one: Panel, other: Panel) -> tuple[tuple[str, float], ...]:
    """Nothing stands proud of a trench or a slot."""
    return (one.name, 0.0), (other.name, 0.0)


def _refused(joint: Joint, wish: Wish) -> Conflict | None:
    """What a tee or a crossing had to deny: a count it cannot have, or a lead that is given."""
    counts = wish.count is not None and joint.kind is Kind.TENON
    wrong_count = counts and any(plan.count != wish.count for plan in joint.segments)
    wrong_lead = wish.leads is not None and wish.leads != joint.lead
    if not (wrong_count or wrong_lead):
        return None
    count = wish.count if wrong_count else None
    return Conflict(joint.id, count, joint.plan.count, wish.leads, joint.lead)


def _check_gap(joint: str, gap: float, width: float) -> None:
    """Refuse a gap, or a press, that leaves nothing of a finger or of a socket. [mm]"""
    if abs(gap) >= width:
        raise SizeError(
            f"a flank gap of {gap:.2f} mm leaves nothing of fingers {width:.2f} mm wide; "
            f"make it less than {width:.2f} mm or the fingers wider",
            ("joint", joint, "flank_gap"),
        )
