"""From meetings to joints: owners and parities first, together, then every finger plan."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.errors import SizeError
from dryfit.joints.joint import Extent, Joint, Kind
from dryfit.joints.owners import ANYONE, Corner, Question, decide
from dryfit.joints.passing import (
    Crossings,
    free,
    kind_of,
    tenon_plans,
    whole_plans,
    yielded,
)
from dryfit.joints.plan import MIN_FINGER, Proportion, choose_count
from dryfit.joints.pose import canonical_pose, mirrors
from dryfit.model.cutter import Route
from dryfit.model.meeting import Meeting, MeetingKind, Meetings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.joint import FingerPlan
    from dryfit.joints.pose import Pose
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece, Wish

FloatArray = npt.NDArray[np.float64]


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
    """

    meetings: Meetings
    joints: tuple[Joint, ...]
    owners: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    shut: tuple[str, ...]
    proved: bool

    @cached_property
    def joined(self) -> tuple[Meeting, ...]:
        """The meetings that carry joints, in the order of `joints`."""
        return joined(self.meetings)


@dataclass(frozen=True, slots=True)
class _Decided:
    """What the search decided of one corner: who is first at the low end, and the parity."""

    first: int
    odd: bool
    granted: bool


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
    corners = [m for m in meetings.meetings if m.kind is MeetingKind.CORNER]
    decided: dict[tuple[int, int], _Decided] = {}
    owners = [ANYONE] * len(meetings.blocks)
    proved = True
    for group in _groups(corners):
        proved = _decide_group(piece, meetings, group, owners, decided) and proved
    planner = _Planner(piece, meetings, cutter, owners)
    planned = [
        planner.corner(meeting, decided[meeting.a, meeting.b])
        if meeting.kind is MeetingKind.CORNER
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
    )


def _groups(corners: Sequence[Meeting]) -> list[list[Meeting]]:
    """Corners by connected group of panels."""
    parent: dict[int, int] = {}

    def root(panel: int) -> int:
        while parent.setdefault(panel, panel) != panel:
            parent[panel] = parent[parent[panel]]
            panel = parent[panel]
        return panel

    for corner in corners:
        parent[root(corner.a)] = root(corner.b)
    groups: dict[int, list[Meeting]] = defaultdict(list)
    for corner in corners:
        groups[root(corner.a)].append(corner)
    return list(groups.values())


def _decide_group(
    piece: Piece,
    meetings: Meetings,
    corners: list[Meeting],
    owners: list[int],
    decided: dict[tuple[int, int], _Decided],
) -> bool:
    """Decide one connected group in its canonical pose and bring the answer home."""
    panels = sorted({panel for corner in corners for panel in (corner.a, corner.b)})
    lattice = meetings.lattices[corners[0].lattice]
    rows = np.searchsorted(lattice.panels, panels)
    traits = _traits(piece, panels)
    wishes = _wish_table(piece, corners, panels)
    pose = canonical_pose(lattice.low[rows], lattice.high[rows], traits, wishes)
    home = [panels[row] for row in pose.order]
    place = {panel: number for number, panel in enumerate(home)}
    question, blocks, ordered = _pose_question(piece, meetings, corners, pose, place, traits)
    answer = decide(question)
    for number, block in enumerate(blocks):
        owners[block] = home[answer.owners[number]]
    for corner, turn in zip(ordered, answer.turns, strict=True):
        first = home[turn.lead]
        if not turn.odd and pose.reverses(corner.axis):
            first = corner.b if first == corner.a else corner.a
        decided[corner.a, corner.b] = _Decided(first, turn.odd, turn.granted)
    return answer.proved


def _traits(piece: Piece, panels: list[int]) -> FloatArray:
    """What tells panels apart beside their boxes: rank, and the wishes of their joints."""
    wishes = [
        tuple(
            sorted(
                (wish.count or 0, wish.width or 0.0, 1 + (wish.leads == piece.panels[i].name))
                for wish in piece.wishes_of(piece.panels[i].name)
            )
        )
        for i in panels
    ]
    flavours = {wish: number for number, wish in enumerate(sorted(set(wishes)))}
    return np.array(
        [(piece.panels[i].rank, flavours[wish]) for i, wish in zip(panels, wishes, strict=True)],
        dtype=np.float64,
    )


def _wish_table(piece: Piece, corners: list[Meeting], panels: list[int]) -> FloatArray:
    """Wishes of single corners: two panels by place, who leads (+1, -1 or 0), count, width."""
    place = {panel: number for number, panel in enumerate(panels)}
    rows = []
    for corner in corners:
        one, other = (piece.panels[i].name for i in (corner.a, corner.b))
        wish = piece.wishes.get(frozenset((one, other)))
        if wish is not None:
            leads = (wish.leads == one) - (wish.leads == other)
            rows.append(
                (place[corner.a], place[corner.b], leads, wish.count or 0, wish.width or 0.0)
            )
    return np.array(rows, dtype=np.float64).reshape(-1, 5)


def _pose_question(
    piece: Piece,
    meetings: Meetings,
    corners: list[Meeting],
    pose: Pose,
    place: dict[int, int],
    traits: FloatArray,
) -> tuple[Question, list[int], list[Meeting]]:
    """The group as the search sees it: canonical numbers, corners and blocks in that order."""
    ordered = sorted(corners, key=lambda c: tuple(sorted((place[c.a], place[c.b]))))
    used = {block for corner in corners for block in corner.blocks if block >= 0}
    trios = {b: tuple(sorted(place[p] for p in meetings.blocks[b].panels)) for b in used}
    blocks = sorted(used, key=lambda b: trios[b])
    number = {block: n for n, block in enumerate(blocks)} | {ANYONE: ANYONE}
    posed = [_pose_corner(piece, corner, pose, place, number) for corner in ordered]
    by_trio = {trios[block]: number[block] for block in blocks}
    mirrored = [
        (number[block], by_trio[image], {p: int(goes[p]) for p in trios[block]})
        for goes in mirrors(pose, traits[pose.order])
        for block in blocks
        if (image := tuple(sorted(int(goes[p]) for p in trios[block]))) in by_trio
        and number[block] <= by_trio[image]
    ]
    question = Question(
        posed, [trios[b] for b in blocks], mirrored, _precedence(pose, traits[pose.order])
    )
    return question, blocks, ordered


def _pose_corner(
    piece: Piece, corner: Meeting, pose: Pose, place: dict[int, int], number: dict[int, int]
) -> Corner:
    wish = piece.wish_for(piece.panels[corner.a].name, piece.panels[corner.b].name)
    odd = None if wish.count is None else wish.count % 2 == 1
    leads = next(
        (place[p] for p in (corner.a, corner.b) if piece.panels[p].name == wish.leads), None
    )
    low, high = (number[block] for block in corner.blocks)
    reverses = pose.reverses(corner.axis)
    ends = (high, low) if reverses else (low, high)
    return Corner((place[corner.a], place[corner.b]), ends, odd, leads, from_high=reverses)


def _precedence(pose: Pose, traits: FloatArray) -> list[int]:
    """Places when a choice is free: rank, then the larger pair of parallel panels."""
    sizes = np.sort(pose.high - pose.low, axis=1)
    normal = (pose.high - pose.low).argmin(axis=1)
    faces = sizes[:, 1] * sizes[:, 2]
    total = np.array([faces[normal == axis].sum() for axis in range(3)])
    keys = [
        (float(traits[i, 0]), -round(float(total[normal[i]]), 6), int(normal[i]), i)
        for i in range(len(traits))
    ]
    ranked = sorted(range(len(keys)), key=lambda i: keys[i])
    places = [0] * len(keys)
    for rank, i in enumerate(ranked):
        places[i] = rank
    return places


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

    def corner(self, corner: Meeting, decided: _Decided) -> tuple[Joint, Conflict | None]:
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
        kind = kind_of(meeting)
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
        )
        return joint, _refused(joint, wish)

    def _members(self, meeting: Meeting, kind: Kind) -> tuple[str, str]:
        """Who leads and who follows: the face of a tenon, the edge in a housing, the low half."""
        lead = {
            Kind.TENON: meeting.face,
            Kind.HOUSING: meeting.edge,
            Kind.HALVING: self.crossings.low_owner.get((meeting.a, meeting.b), meeting.a),
        }[kind]
        follow = meeting.a + meeting.b - lead
        return self.piece.panels[lead].name, self.piece.panels[follow].name

    def _plans(
        self, meeting: Meeting, kind: Kind, extent: Extent, wish: Wish
    ) -> tuple[FingerPlan, ...]:
        taken = yielded(meeting)
        if kind is Kind.HOUSING:
            taken += self.crossings.claims(meeting)
        stretches = free(meeting, taken)
        if kind is not Kind.TENON:
            return whole_plans(stretches, 1 if kind is Kind.HOUSING else 2)
        count = wish.count if wish.count and wish.count % 2 and wish.count >= 3 else None
        proportion = self.proportion(meeting, extent, wish)
        return tenon_plans(stretches, extent.members, proportion, count)

    def _gap(self, wish: Wish) -> float:
        return wish.flank_gap if wish.flank_gap is not None else self.cutter.usual_flank_gap

    def _extent(self, corner: Meeting) -> Extent:
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
        where an end finger holds a corner block (within the common one to one and a half); never
        so narrow that the socket shuts out the cutter.
        """
        thick = [self.piece.panels[i].thickness for i in (corner.a, corner.b)]
        gap = self._gap(wish)
        least = max(MIN_FINGER, max(thick) / 2, self.cutter.size - gap)
        if wish.width is not None:
            wanted = wish.width
        elif self.cutter.route is Route.SAW:
            wanted = self.cutter.size - gap
        else:
            holds = any(owner in extent.members for owner in extent.owners)
            wanted = (1.5 if holds else 1.25) * max(thick)
        return Proportion(wanted, least, max(2 * max(thick), least), wish.width is not None)


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
