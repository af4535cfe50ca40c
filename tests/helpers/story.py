"""The physical story of a piece that is put together, told without any formula for its odds.

From a rehearsal this takes down what was drawn: which boundaries, slots, seats and rims there are
along each axis, with their nominal air. `tests.helpers.trial` then cuts and puts it together many
times. The specification is docs/theory/odds.md, "The piece"; where that leaves a choice, the choice
made here is said beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.cutter import Route
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy.typing as npt

    from dryfit.joints.joint import Joint
    from dryfit.model.lattice import Seat as Upright
    from dryfit.model.meeting import Meeting
    from dryfit.model.panel import Panel
    from dryfit.model.scatter import Scatter
    from dryfit.workflow import Rehearsal

FORCE = 2000.0
"""What a joiner closes a joint with (common practice, no source). [N]"""

STIFFNESS = 51.0
"""Of a flank that is crushed: half a kilonewton closes 0.03 mm over 18 by 18 mm. [N/mm³]"""


@dataclass(frozen=True)
class Flanks:
    """Every boundary of one divided joint, all segments; places from the meeting's low end. [mm]

    `first` is the panel that comes first in the piece. `slope` is how much more the second grew
    along the joint. [-]
    """

    joint: str
    axis: str
    first: int
    second: int
    places: tuple[float, ...]
    senses: tuple[int, ...]
    gap: float
    pinch: tuple[float, ...]
    slope: float = 0.0


@dataclass(frozen=True)
class Slot:
    """A panel between two walls of its mate; one for each mate, however many mortises it has."""

    joint: str
    axis: str
    face: int
    sitter: int
    gap: float
    pinch: float
    thickness_sd: float
    cup: float


@dataclass(frozen=True)
class Seat:
    """What comes to rest on a face: it moves away from it along `away`, from least to most. [mm]"""

    joint: str
    axis: str
    face: int
    mover: int
    away: int
    least: float
    most: float


@dataclass(frozen=True)
class Rim:
    """Two rims that lie flush."""

    axis: str
    first: int
    second: int


@dataclass(frozen=True)
class Tips:
    """The fingers of one panel at one joint, `proud` as drawn. [mm]"""

    joint: str
    panel: str
    count: int
    proud: float
    thickness_sd: float


@dataclass(frozen=True)
class Story:
    """Everything that has to hold, and what scatters."""

    panels: tuple[str, ...]
    scatter: Scatter
    flush: float
    route: Route
    flanks: tuple[Flanks, ...] = ()
    slots: tuple[Slot, ...] = ()
    seats: tuple[Seat, ...] = ()
    rims: tuple[Rim, ...] = ()
    tips: tuple[Tips, ...] = ()

    @property
    def axes(self) -> tuple[str, ...]:
        """Every axis along which something has to hold."""
        axes = {own.axis for own in self.flanks} | {own.axis for own in self.slots}
        axes |= {own.axis for own in self.seats} | {own.axis for own in self.rims}
        return tuple(sorted(axes))


def describe(
    rehearsal: Rehearsal,
    scatter: Scatter,
    flush: float,
    cups: Mapping[str, float] | None = None,
    slopes: Mapping[str, float] | None = None,
) -> Story:
    """The story of a piece.

    Parameters
    ----------
    rehearsal : Rehearsal
        The piece with its meetings and joints.
    scatter : Scatter
        What the shop leaves.
    flush : float
        Step that rims and seats may show. [mm]
    cups : mapping of str to float, optional
        What remains of the cup of each panel, by name. [mm]
    slopes : mapping of str to float, optional
        How much more the later panel of a joint grew along it, by the joint's id. [-]
    """
    teller = _Teller(rehearsal, flush, cups or {}, slopes or {})
    plans = rehearsal.plans
    for meeting, joint in zip(plans.joined, plans.joints, strict=True):
        teller.tell(meeting, joint)
    for pair in plans.meetings.butts:
        teller.butt(*pair)
    return Story(
        tuple(panel.name for panel in teller.panels),
        scatter,
        flush,
        rehearsal.job.cutter.route,
        tuple(teller.flanks),
        tuple(teller.slots),
        tuple(teller.seats),
        tuple(teller.rims),
        tuple(teller.tips),
    )


def lone_joint(
    count: int,
    gap: float,
    scatter: Scatter,
    length: float = 0.0,
    route: Route = Route.ROUTER,
    flush: float = inf,
    slope: float = 0.0,
) -> Story:
    """A joint of two panels with `count` boundaries at even places, and its rims.

    Parameters
    ----------
    count : int
        Boundaries K. [-]
    gap : float
        Air at each. [mm]
    scatter : Scatter
        What the shop leaves.
    length : float
        Of the meeting: boundary k lies at k / (K + 1) of it. [mm]
    route : Route
        How it is cut.
    flush : float
        Step that the rims may show. [mm]
    slope : float
        How much more the second panel grew. [-]
    """
    places = tuple(length * k / (count + 1) for k in range(1, count + 1))
    senses = tuple(1 if k % 2 else -1 for k in range(1, count + 1))
    pinch = (0.0,) * count
    flanks = Flanks("a+b", "along", 0, 1, places, senses, gap, pinch, slope)
    rims = (Rim("along", 0, 1),) if flush < inf else ()
    return Story(("a", "b"), scatter, flush, route, flanks=(flanks,), rims=rims)


class _Teller:
    """Takes down one meeting after the other."""

    def __init__(
        self,
        rehearsal: Rehearsal,
        flush: float,
        cups: Mapping[str, float],
        slopes: Mapping[str, float],
    ) -> None:
        self.panels = rehearsal.piece.panels
        self.flush, self.cups, self.slopes = flush, cups, slopes
        self.flanks: list[Flanks] = []
        self.slots: list[Slot] = []
        self.seats: list[Seat] = []
        self.rims: list[Rim] = []
        self.tips: list[Tips] = []
        self.meetings = rehearsal.plans.meetings
        self.home: dict[int, tuple[int, Upright]] = {
            panel: (number, seat)
            for number, lattice in enumerate(self.meetings.lattices)
            for panel, seat in zip(lattice.panels, lattice.seats, strict=True)
        }

    def tell(self, meeting: Meeting, joint: Joint) -> None:
        """Everything that one joint asks."""
        if joint.is_divided:
            self.divided(meeting, joint)
        if meeting.kind is MeetingKind.ANGLED:
            return
        if joint.kind is Kind.FINGER:
            self.finger(meeting, joint)
        elif joint.kind is Kind.HALVING:
            self.halving(meeting, joint)
        else:
            self.tee(meeting, joint)

    def divided(self, meeting: Meeting, joint: Joint) -> None:
        """The boundaries inside every segment."""
        axis, way = self._run(meeting)
        below = way if joint.lead == self.panels[meeting.a].name else -way
        inside = [
            (place, below if k % 2 == 0 else -below)
            for plan in joint.segments
            for k, place in enumerate(plan.boundaries[1:-1])
        ]
        pinch = [self._pinch(meeting, joint)] * len(inside)
        if any(self.panels[each].stock.material.solid for each in (meeting.a, meeting.b)):
            pinch[0] = pinch[-1] = 0.0
        self.flanks.append(
            Flanks(
                joint.id, axis, meeting.a, meeting.b,
                tuple(place for place, _ in inside), tuple(sense for _, sense in inside),
                joint.flank_gap, tuple(pinch), way * self.slopes.get(joint.id, 0.0),
            )
        )  # fmt: skip

    def finger(self, meeting: Meeting, joint: Joint) -> None:
        """Rims along it, and the shoulders of each on the inner face of the other."""
        self.rims.append(Rim(self._run(meeting)[0], meeting.a, meeting.b))
        for face, mover in ((meeting.a, meeting.b), (meeting.b, meeting.a)):
            self._seat(joint.id, face, mover, 0.0, self.flush)
            self._tips(joint, self.panels[mover], self.panels[face])

    def halving(self, meeting: Meeting, joint: Joint) -> None:
        """Two slots, and their ends that meet."""
        self._slot(meeting, joint, meeting.a, meeting.b)
        self._slot(meeting, joint, meeting.b, meeting.a)
        axis, flush = self._run(meeting)[0], self.flush
        self.seats.append(Seat(joint.id, axis, meeting.a, meeting.b, 1, -flush, flush))

    def tee(self, meeting: Meeting, joint: Joint) -> None:
        """An edge in a face.

        A rebate is open on one side: the panel's own face comes to rest on what is left of the
        mate there, and its edge has room, or none, but need not be near. A tenon rests with its
        shoulders on one face only.
        """
        edge, face = meeting.edge, meeting.face
        if joint.kind is Kind.REBATE:
            self._seat(joint.id, edge, face, 0.0, self.flush)
        else:
            self._slot(meeting, joint, face, edge)
        if joint.kind is Kind.TENON:
            self._tips(joint, self.panels[edge], self.panels[face])
        most = inf if joint.kind.is_captive else self.flush
        self._seat(joint.id, face, edge, -joint.room, most)

    def butt(self, a: int, b: int) -> None:
        """An edge that touches a face. Face on face, or edge on edge, nothing was cut to fit."""
        axis = self._touching(a, b)
        for face, mover in ((a, b), (b, a)):
            if self._normal(face) == axis != self._normal(mover):
                name = f"{self.panels[a].name}+{self.panels[b].name}"
                self._seat(name, face, mover, 0.0, self.flush)

    def _slot(self, meeting: Meeting, joint: Joint, face: int, sitter: int) -> None:
        panel = self.panels[sitter]
        self.slots.append(
            Slot(
                joint.id, self._axis(sitter, self._normal(sitter))[0], face, sitter,
                joint.flank_gap, self._pinch(meeting, joint), panel.stock.scatter,
                self.cups.get(panel.name, 0.0),
            )
        )  # fmt: skip

    def _seat(self, joint: str, face: int, mover: int, least: float, most: float) -> None:
        axis = self._normal(face)
        middle = [
            (self.home[each][1].low[axis] + self.home[each][1].high[axis]) / 2
            for each in (face, mover)
        ]
        name, way = self._axis(face, axis)
        away = way if middle[1] > middle[0] else -way
        self.seats.append(Seat(joint, name, face, mover, away, least, most))

    def _tips(self, joint: Joint, panel: Panel, mate: Panel) -> None:
        self.tips.append(
            Tips(
                joint.id, panel.name, joint.fingers[panel.name], joint.proud_of(panel.name),
                mate.stock.scatter,
            )
        )  # fmt: skip

    def _pinch(self, meeting: Meeting, joint: Joint) -> float:
        """What both bear, as far as the joiner's force goes over all flanks. [mm]

        The flanks of a trench are its two walls. Each of the two slots of a halving has two, half
        as long as the meeting and as wide as its own panel is thick.
        """
        one, other = self.panels[meeting.a], self.panels[meeting.b]
        gives = min(one.stock.material.pinch, other.stock.material.pinch)
        length = sum(plan.length for plan in joint.segments)
        if joint.is_divided:
            count = sum(plan.count - 1 for plan in joint.segments)
            area = one.thickness * other.thickness * count
        elif joint.kind is Kind.HALVING:
            area = 2 * (length / 2) * one.thickness + 2 * (length / 2) * other.thickness
        else:
            into = self._normal(meeting.face)
            area = 2 * length * (meeting.high[into] - meeting.low[into])
        return min(gives, FORCE / (STIFFNESS * area))

    def _normal(self, panel: int) -> int:
        return self.home[panel][1].axes[2]

    def _run(self, meeting: Meeting) -> tuple[str, int]:
        """The axis that a meeting runs along, from its low end."""
        if meeting.kind is not MeetingKind.ANGLED:
            return self._axis(meeting.a, meeting.axis)
        corners = {(corner.a, corner.b): corner for corner in self.meetings.angled}
        panel, side = self.panels[meeting.a], corners[meeting.a, meeting.b].sides[0]
        begin, end = np.array(panel.corners + panel.corners[:1])[side : side + 2]
        return _named((end - begin) @ np.array([panel.frame.u, panel.frame.v]))

    def _axis(self, panel: int, axis: int) -> tuple[str, int]:
        """The axis of the piece that a lattice axis of a panel lies along."""
        return _named(self.meetings.lattices[self.home[panel][0]].turn[axis])

    def _touching(self, a: int, b: int) -> int:
        """The axis along which two upright boxes touch."""
        one, other = self.home[a][1], self.home[b][1]
        shares = [
            min(one.high[axis], other.high[axis]) - max(one.low[axis], other.low[axis])
            for axis in range(3)
        ]
        return shares.index(min(shares))


def _named(direction: npt.NDArray[np.float64]) -> tuple[str, int]:
    """A name for a direction, the same for all that are parallel, and whether it runs with it.

    A panel has one place along a direction, whatever its mates there are square to.
    """
    near = np.round(direction / np.linalg.norm(direction), 6) + 0.0
    way = int(np.sign(near[np.flatnonzero(near)[0]]))
    axis = tuple((way * near + 0.0).tolist())
    known = {(1.0, 0.0, 0.0): "x", (0.0, 1.0, 0.0): "y", (0.0, 0.0, 1.0): "z"}
    return known.get(axis, str(axis)), way
