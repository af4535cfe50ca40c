"""What holds the panels of a piece along each axis: flanks, slots, seats and rims.

The story is told in ``docs/theory/odds.md``; here every joint becomes the links that it makes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt
from typing import TYPE_CHECKING

from dryfit.model.cutter import Route
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.shapes.tolerances import SAME
from dryfit.tolerance.links import Link, Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.lattice import Seat
    from dryfit.model.meeting import Meeting
    from dryfit.model.panel import Panel, Vector
    from dryfit.model.piece import Piece
    from dryfit.model.scatter import Scatter

FORCE = 2000.0
"""What a joiner closes a joint with (common practice, no source). [N]"""

STIFFNESS = 51.0
"""Pressure for each millimetre that a flank is crushed: half a kilonewton closes 0.03 mm over 18 by
18 mm (common practice, no source). [N/mm³]"""

FLUSH = 0.3
"""How far rims and seats may stand off in a piece that is called closed (common practice). [mm]"""


@dataclass(frozen=True)
class Setting:
    """What the odds of a piece depend on beside its joints.

    Parameters
    ----------
    scatter : Scatter
        Of the shop.
    route : Route
        How it is cut.
    flush : float
        How far rims and seats may stand off. [mm]
    cups : dict of str to float
        What each panel takes of a slot beyond its thickness, as what is left of a cup when clamps
        have done what they can; panels that are not named take none. [mm]
    slopes : dict of str to float
        How much longer the leading panel of a joint has grown than its mate, by joint, since they
        were cut. [-]
    """

    scatter: Scatter
    route: Route
    flush: float
    cups: dict[str, float]
    slopes: dict[str, float]


def links_of(piece: Piece, plans: Plans, setting: Setting) -> tuple[Link, ...]:
    """The links of every joint of a piece, and of the edges that only touch a face.

    Parameters
    ----------
    piece : Piece
        Its panels and wishes; a joint without a flank gap of its own follows the swept gap.
    plans : Plans
        Its joints.
    setting : Setting
        Scatter and the rest.
    """
    own = _Linker(piece, plans, setting)
    found = [
        link
        for meeting, joint in zip(plans.joined, plans.joints, strict=True)
        for link in own.joint(meeting, joint)
    ]
    return (*found, *own.butts())


def pinch_of(piece: Piece, joint: Joint, depth: float) -> float:
    """What each flank of a joint gives: as the softer material, as far as force goes. [mm]

    Parameters
    ----------
    piece : Piece
        The panels.
    joint : Joint
        The joint.
    depth : float
        How deep its trench is, where it has one. [mm]
    """
    one, other = piece.panel(joint.lead), piece.panel(joint.follow)
    softer = min(panel.stock.material.pinch for panel in (one, other))
    return min(softer, FORCE / (STIFFNESS * flank_area(joint, one, other, depth)))


def flank_area(joint: Joint, one: Panel, other: Panel, depth: float) -> float:
    """The area of every flank of a joint together. [mm²]

    Parameters
    ----------
    joint : Joint
        The joint.
    one, other : Panel
        Its panels.
    depth : float
        How deep its trench is, where it has one. [mm]
    """
    t1, t2 = one.thickness, other.thickness
    if joint.is_divided:
        return t1 * t2 * max(1, sum(plan.count - 1 for plan in joint.segments))
    length = sum(plan.length for plan in joint.segments)
    # Both walls of one trench, or of two slots half as long each.
    return length * (t1 + t2 if joint.kind is Kind.HALVING else 2 * depth)


class _Linker:
    """Makes the links of one joint after the other."""

    def __init__(self, piece: Piece, plans: Plans, setting: Setting) -> None:
        self.piece, self.plans, self.setting = piece, plans, setting
        self.axes: dict[Vector, int] = {}
        self.seats: dict[int, tuple[int, Seat]] = {
            panel: (number, lattice.seats[place])
            for number, lattice in enumerate(plans.meetings.lattices)
            for place, panel in enumerate(lattice.panels)
        }

    def joint(self, meeting: Meeting, joint: Joint) -> Iterator[Link]:
        """Every link of one joint."""
        kind = joint.kind
        if joint.is_divided:
            yield from self._flanks(meeting, joint)
        if meeting.kind is MeetingKind.ANGLED:
            return
        a, b = meeting.a, meeting.b
        if kind is Kind.FINGER:
            yield from self._seat(joint.id, face=a, rests=b)
            yield from self._seat(joint.id, face=b, rests=a)
        elif kind is Kind.HALVING:
            yield self._slot(meeting, joint, holder=a, held=b)
            yield self._slot(meeting, joint, holder=b, held=a)
            yield self._level(meeting, joint)
        elif kind is Kind.REBATE:
            yield self._room(joint, meeting)
            yield from self._seat(joint.id, face=meeting.edge, rests=meeting.face)
        else:
            yield self._slot(meeting, joint, holder=meeting.face, held=meeting.edge)
            if kind is Kind.GROOVE:
                yield self._room(joint, meeting)
            else:
                yield from self._seat(joint.id, face=meeting.face, rests=meeting.edge)

    def butts(self) -> Iterator[Link]:
        """Edges that stop at a face."""
        for a, b in self.plans.meetings.butts:
            names = [self.piece.panels[panel].name for panel in (a, b)]
            for face, rests in ((a, b), (b, a)):
                if self._rests_on(face, rests):
                    yield from self._seat("+".join(names), face=face, rests=rests)

    def _rests_on(self, face: int, rests: int) -> bool:
        """Whether one panel ends at the face of another."""
        (home, flat), (other, own) = self.seats[face], self.seats[rests]
        axis = flat.axes[2]
        if home != other or own.axes[2] == axis:
            return False
        ends = own.low[axis] - flat.high[axis], flat.low[axis] - own.high[axis]
        return min(abs(end) for end in ends) < SAME

    def _axis(self, direction: Vector) -> tuple[int, bool]:
        """The number of a direction, and whether it runs against the one that was numbered."""
        near = tuple(round(part, 6) + 0.0 for part in direction)
        turned = next(part for part in near if part) < 0
        x, y, z = (-part + 0.0 if turned else part for part in near)
        return self.axes.setdefault((x, y, z), len(self.axes)), turned

    def _lattice_axis(self, panel: int, axis: int) -> tuple[int, bool]:
        x, y, z = self.plans.meetings.lattices[self.seats[panel][0]].turn[axis].tolist()
        return self._axis((x, y, z))

    def _name(self, panel: int) -> str:
        return self.piece.panels[panel].name

    def _pinch(self, meeting: Meeting, joint: Joint) -> float:
        """What each flank gives. [mm]"""
        depth = 0.0
        if joint.kind.is_trench:
            normal = self.seats[meeting.face][1].axes[2]
            depth = meeting.high[normal] - meeting.low[normal]
        return pinch_of(self.piece, joint, depth)

    def _air(self, joint: Joint) -> tuple[float, float]:
        """The gap that a joint has of its own, and how much of the swept one. [mm]"""
        wish = self.piece.wishes.get(frozenset((joint.lead, joint.follow)))
        swept = wish is None or wish.flank_gap is None
        return (0.0, 1.0) if swept else (joint.flank_gap, 0.0)

    def _flanks(self, meeting: Meeting, joint: Joint) -> Iterator[Link]:
        """The flanks of the fingers or tenons along a joint, and the rims of a finger joint."""
        if meeting.kind is MeetingKind.ANGLED:
            axis, turned = self._axis(self._edge(meeting))
        else:
            axis, turned = self._lattice_axis(meeting.a, meeting.axis)
        first, second = (joint.follow, joint.lead) if turned else (joint.lead, joint.follow)
        rows = [
            (place, 1 if number % 2 == 0 else -1)
            for plan in joint.segments
            for number, place in enumerate(plan.boundaries[1:-1])
        ]
        if not rows:
            return
        # Along a direction that runs the other way, up is down.
        places = tuple(place for place, _ in rows)
        senses = tuple(sense for _, sense in rows)
        plus = sum(sense > 0 for sense in senses)
        gap, per_gap = self._air(joint)
        scatter = self.setting.scatter
        by_hand = self.setting.route is Route.HAND
        yield Link(
            first,
            second,
            axis,
            joint.id,
            plus,
            len(senses) - plus,
            gap=gap,
            per_gap=per_gap,
            per_misfit=1.0,
            sd=scatter.edge if by_hand else sqrt(2) * scatter.edge,
            datum=0.0 if by_hand else sqrt(2) * scatter.datum,
            pinch=self._pinch(meeting, joint),
            strict=self._strict(joint, senses),
            row=self._row(joint, places, senses),
        )
        if joint.kind is Kind.FINGER and meeting.kind is not MeetingKind.ANGLED:
            yield self._within(joint.id, first, second, axis, 0.0)

    def _strict(self, joint: Joint, senses: tuple[int, ...]) -> tuple[int, int]:
        """The outermost boundaries give nothing in solid wood, where a board splits."""
        if not any(self.piece.panel(n).stock.material.solid for n in (joint.lead, joint.follow)):
            return 0, 0
        outer = (senses[0], senses[-1]) if len(senses) > 1 else senses
        return sum(sense > 0 for sense in outer), sum(sense < 0 for sense in outer)

    def _row(self, joint: Joint, places: tuple[float, ...], senses: tuple[int, ...]) -> Row | None:
        """Where boundaries lie, if their errors depend on it; the lead has grown by the slope."""
        slope, slope_sd = self.setting.slopes.get(joint.id, 0.0), self.setting.scatter.scale
        walks = self.setting.route is Route.SAW
        if not (walks or slope or slope_sd):
            return None
        return Row(places, senses, -slope, slope_sd, walks)

    def _edge(self, meeting: Meeting) -> Vector:
        """The direction in which an angled corner runs, along the first panel's side."""
        corner = next(c for c in self.plans.meetings.angled if (c.a, c.b) == (meeting.a, meeting.b))
        panel = self.piece.panels[corner.a]
        begin = panel.corners[corner.sides[0]]
        end = panel.corners[(corner.sides[0] + 1) % len(panel.corners)]
        du, dv = end[0] - begin[0], end[1] - begin[1]
        size = hypot(du, dv)
        x, y, z = (
            (du * u + dv * v) / size for u, v in zip(panel.frame.u, panel.frame.v, strict=True)
        )
        return x, y, z

    def _slot(self, meeting: Meeting, joint: Joint, *, holder: int, held: int) -> Link:
        """A panel in a mortise, a trench or a slot, across its own thickness."""
        panel = self.piece.panels[held]
        axis, _ = self._lattice_axis(held, self.seats[held][1].axes[2])
        gap, per_gap = self._air(joint)
        scatter = self.setting.scatter
        return Link(
            self._name(holder),
            panel.name,
            axis,
            joint.id,
            1,
            1,
            gap=gap - self.setting.cups.get(panel.name, 0.0) / 2,
            per_gap=per_gap,
            per_misfit=0.5,
            sd=scatter.edge,
            datum=scatter.datum,
            squeeze=panel.stock.scatter,
            pinch=self._pinch(meeting, joint),
        )

    def _rest(self, face: int, rests: int) -> tuple[int, bool]:
        """The axis along which a panel comes to rest on a face, and whether it lies below it."""
        flat, own = self.seats[face][1], self.seats[rests][1]
        lattice_axis = flat.axes[2]
        axis, turned = self._lattice_axis(face, lattice_axis)
        middle = [(seat.low[lattice_axis] + seat.high[lattice_axis]) / 2 for seat in (flat, own)]
        return axis, (middle[1] < middle[0]) != turned

    @property
    def _seat_sd(self) -> float:
        """Of where a shoulder lies; a thicker face moves all that rests on it alike. [mm]"""
        return hypot(self.setting.scatter.edge, self.setting.scatter.datum)

    def _seat(self, name: str, *, face: int, rests: int) -> Iterator[Link]:
        """A shoulder or an edge that comes to rest on a face, and may stand open a little."""
        axis, below = self._rest(face, rests)
        half = self.setting.flush / 2
        yield Link(
            self._name(face),
            self._name(rests),
            axis,
            name,
            1,
            1,
            gap=half,
            datum=self._seat_sd,
            centre=-half if below else half,
        )

    def _room(self, joint: Joint, meeting: Meeting) -> Link:
        """An edge in a groove, that may come no nearer than its room."""
        axis, below = self._rest(meeting.face, meeting.edge)
        return Link(
            self._name(meeting.face),
            self._name(meeting.edge),
            axis,
            joint.id,
            0 if below else 1,
            1 if below else 0,
            gap=joint.room,
            datum=self._seat_sd,
        )

    def _level(self, meeting: Meeting, joint: Joint) -> Link:
        """Two halves of a halving, that come to lie level."""
        axis, _ = self._lattice_axis(meeting.a, meeting.axis)
        return self._within(joint.id, joint.lead, joint.follow, axis, self._seat_sd)

    def _within(self, name: str, first: str, second: str, axis: int, sd: float) -> Link:
        """Two panels that lie flush."""
        return Link(first, second, axis, name, 1, 1, gap=self.setting.flush, datum=sd)
