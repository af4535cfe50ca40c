"""What each joint asks of its two panels: stretches on their sides, mortises and trenches."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

from dryfit.model.kind import Kind
from dryfit.model.panel import Face
from dryfit.parts.outline import Stretch
from dryfit.shapes.tolerances import DECIMALS, SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.joint import Joint
    from dryfit.model.lattice import Seat
    from dryfit.model.meeting import Meeting
    from dryfit.model.piece import Piece

Rectangle = tuple[float, float, float, float]
"""Low u, low v, high u, high v. [mm]"""


@dataclass(frozen=True, slots=True)
class Trench:
    """A trench in one face of a panel.

    Parameters
    ----------
    rectangle : tuple of float
        What the mate's edge fills, with its air. [mm]
    along_u : bool
        Whether it runs along u.
    face : Face
        The face it is cut into.
    depth : float
        How deep. [mm]
    through : bool
        Whether it runs out of the panel at both ends.
    """

    rectangle: Rectangle
    along_u: bool
    face: Face
    depth: float
    through: bool


@dataclass
class Features:
    """What the joints of one panel ask of it, gathered one joint after the other.

    `bases` are the shoulders along each side, `stretches` the fingers over them, `slots` what is
    cut through both, `zones` where the mates lie, by joint.
    """

    bases: list[list[Stretch]] = field(default_factory=lambda: [[], [], [], []])
    stretches: list[list[Stretch]] = field(default_factory=lambda: [[], [], [], []])
    slots: list[list[Stretch]] = field(default_factory=lambda: [[], [], [], []])
    mortises: list[tuple[Rectangle, bool]] = field(default_factory=list)
    trenches: list[Trench] = field(default_factory=list)
    zones: list[tuple[str, Rectangle]] = field(default_factory=list)


_SIDES = {(1, False): 0, (0, True): 1, (1, True): 2, (0, False): 3}


@dataclass(frozen=True)
class Share:
    """One panel's share of one joint, and where it and its mate lie in their lattice."""

    piece: Piece
    seat: Seat
    mate_seat: Seat
    meeting: Meeting
    joint: Joint
    own: int
    mate: int

    @property
    def name(self) -> str:
        """The panel's name."""
        return self.piece.panels[self.own].name

    @cached_property
    def sizes(self) -> tuple[float, float, float]:
        """The panel along its own u, v and n. [mm]"""
        panel = self.piece.panels[self.own]
        return panel.width, panel.height, panel.thickness

    @property
    def axes(self) -> list[int]:
        """The lattice axes that its u, v and n lie along. [-]"""
        return self.seat.axes

    def along(self, axis: int, places: Sequence[float]) -> list[float]:
        """Places in a lattice axis, along the panel's own axis. [mm]"""
        seat = self.seat
        low, high = seat.low[axis], seat.high[axis]
        own = self.axes.index(axis)
        if seat.signs[own] > 0:
            found = [place - low for place in places]
        else:
            found = [high - place for place in places]
        # Faces of one place are one in the lattice; here the end is where the panel itself ends.
        last, beyond = high - low - SAME, high - low + SAME
        size = self.sizes[own]
        return [size if last < place < beyond else place for place in found]

    def stretch(self, low: float, high: float) -> tuple[float, float]:
        """A stretch from the meeting's low end, along the panel's own axis. [mm]"""
        axis = self.meeting.axis
        begin = self.meeting.low[axis]
        one, other = self.along(axis, (begin + low, begin + high))
        return (other, one) if self.runs_back else (one, other)

    @property
    def side(self) -> int:
        """The side of the panel that the mate lies at."""
        normal = self.mate_seat.axes[2]
        at_low = self.mate_seat.low[normal] <= self.seat.low[normal]
        return self.side_at(normal, at_low=at_low)

    def side_at(self, axis: int, *, at_low: bool) -> int:
        """The side at one end of a lattice axis."""
        own = self.axes.index(axis)
        far = at_low == (self.seat.signs[own] < 0)
        return _SIDES[own, far]

    @cached_property
    def runs_back(self) -> bool:
        """Whether the panel's own axis runs against the meeting's."""
        own = self.axes.index(self.meeting.axis)
        return self.seat.signs[own] < 0

    @cached_property
    def whole(self) -> tuple[float, float]:
        """The meeting along the panel's own axis, infinite where the panel ends with it. [mm]"""
        length = self.sizes[self.axes.index(self.meeting.axis)]
        low, high = self.stretch(0.0, self.meeting.length)
        return -inf if low < SAME else low, inf if high > length - SAME else high

    @cached_property
    def across(self) -> tuple[float, float]:
        """The mate's slab across the meeting, along the panel's own axis. [mm]"""
        normal = self.mate_seat.axes[2]
        one, other = self.along(normal, (self.meeting.low[normal], self.meeting.high[normal]))
        return min(one, other), max(one, other)

    def rectangle(self, low: float, high: float, air: float) -> Rectangle:
        """The mate's slab over a stretch of the meeting, in the panel's (u, v), with air. [mm]"""
        begin, end = self.across
        one, other = self.stretch(low, high)
        if self.axes[0] == self.meeting.axis:
            return one, begin - air, other, end + air
        return begin - air, one, end + air, other


def add(share: Share, asked: Features) -> None:
    """Add what one joint asks of one of its panels."""
    _ADD[share.joint.kind](share, asked)
    asked.zones.append((share.joint.id, share.rectangle(0.0, share.meeting.length, 0.0)))


def _add_finger(share: Share, asked: Features) -> None:
    """Fingers on a side; those at the ends of the side run out into the corners."""
    joint, number = share.joint, share.side
    tip, half = joint.proud_of(share.name), joint.flank_gap / 2
    asked.bases[number].append(_base(share, -share.piece.panels[share.mate].thickness))
    begin, end = share.whole
    last = joint.plan.boundaries[-1]
    for low, high in joint.owned(share.name):
        one, other = share.stretch(low, high)
        at_end = low == joint.plan.start, high == last
        first, final = at_end[::-1] if share.runs_back else at_end
        asked.stretches[number].append(
            Stretch(begin if first else one, end if final else other, tip, (half, half))
        )


def _base(share: Share, level: float) -> Stretch:
    """The shoulder along the whole of a meeting; where the panel goes on, it leaves air. [mm]"""
    gap = share.joint.flank_gap
    return Stretch(*share.whole, level, (gap, gap))


def _add_tenon(share: Share, asked: Features) -> None:
    """Tenons on the edge, mortises in the face."""
    joint = share.joint
    if share.own == share.meeting.edge:
        _add_edge(share, asked, joint.proud_of(share.name))
        return
    for low, high in joint.owned(joint.other(share.name)):
        half = joint.flank_gap / 2
        along_u = share.axes.index(share.meeting.axis) == 0
        asked.mortises.append((share.rectangle(low - half, high + half, joint.flank_gap), along_u))


def _add_edge(share: Share, asked: Features, tip: float) -> None:
    """What an edge owns of a tee stands out to `tip`; the rest stops at the face. [mm]"""
    joint, number = share.joint, share.side
    normal = share.mate_seat.axes[2]
    level = share.meeting.low[normal] - share.meeting.high[normal]
    asked.bases[number].append(_base(share, level))
    half, length = joint.flank_gap / 2, share.meeting.length
    claimed = _claimed_ends(share.meeting)
    begin, end = share.whole
    for low, high in joint.owned(share.name):
        one, other = share.stretch(low, high)
        out = [abs(low) < SAME, abs(high - length) < SAME]
        # Against a block at the very end the edge seats, as a shoulder does.
        seats = [abs(low - claimed[0]) < SAME, abs(high - claimed[1]) < SAME]
        if share.runs_back:
            out, seats = out[::-1], seats[::-1]
        asked.stretches[number].append(
            Stretch(
                begin if out[0] else one,
                end if out[1] else other,
                tip,
                (0.0 if seats[0] else half, 0.0 if seats[1] else half),
            )
        )


def _claimed_ends(meeting: Meeting) -> tuple[float, float]:
    """Where third panels' claims at the very ends stop, from the meeting's low end. [mm]"""
    low, high = meeting.low[meeting.axis], meeting.high[meeting.axis]
    first = max((c.high - low for c in meeting.claims if abs(c.low - low) < SAME), default=0.0)
    last = min((c.low - low for c in meeting.claims if abs(c.high - high) < SAME),
               default=high - low)  # fmt: skip
    return first, last


def _add_trench(share: Share, asked: Features) -> None:
    """The whole edge, and the trench that holds it."""
    if share.own == share.meeting.edge:
        _add_edge(share, asked, 0.0)
        return
    joint, normal = share.joint, share.seat.axes[2]
    heights = share.along(normal, (share.meeting.low[normal], share.meeting.high[normal]))
    face = Face.A if min(heights) < SAME else Face.B
    wish = share.piece.wish_for(joint.lead, joint.follow)
    along_u = share.axes.index(share.meeting.axis) == 0
    for low, high in joint.owned(joint.other(share.name)):
        rectangle = share.rectangle(low - joint.room, high + joint.room, joint.flank_gap)
        depth = abs(heights[1] - heights[0]) + joint.room
        asked.trenches.append(Trench(rectangle, along_u, face, depth, wish.through is True))


def _add_halving(share: Share, asked: Features) -> None:
    """A slot from the edge at which the mate's half lies."""
    joint, axis = share.joint, share.meeting.axis
    owns_low = joint.lead == share.name
    number = share.side_at(axis, at_low=not owns_low)
    first, last = share.across
    begin = share.meeting.low[axis]
    middle = begin + joint.plan.boundaries[1]
    edge = (share.seat.low if not owns_low else share.seat.high)[axis]
    asked.slots[number].append(
        Stretch(
            first - joint.flank_gap,
            last + joint.flank_gap,
            -abs(round(edge - middle, DECIMALS)),
            (0.0, 0.0),
            cuts=True,
        )
    )


_ADD = {
    Kind.FINGER: _add_finger,
    Kind.TENON: _add_tenon,
    Kind.HOUSING: _add_trench,
    Kind.GROOVE: _add_trench,
    Kind.REBATE: _add_trench,
    Kind.HALVING: _add_halving,
}
