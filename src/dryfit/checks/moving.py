"""How the panels of a piece move with the seasons, and what holds them.

Vocabulary
----------
side
    0 or 1: the direction along a panel's own u or v.
frame
    What keeps the faces apart that a panel spans: the panels glued to all of them.
held
    Glued along a line to something that moves otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from dryfit.materials.room import Groove
from dryfit.model.kind import Kind
from dryfit.model.panel import Grain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from dryfit.checks.subject import Subject
    from dryfit.joints.joint import Joint
    from dryfit.materials.moisture import Air
    from dryfit.model.panel import Panel, Vector

GLUED = (Kind.FINGER, Kind.TENON, Kind.HOUSING)
"""Joints that are glued along their line."""

_ALONG = 0.5


@dataclass(frozen=True, slots=True)
class Held:
    """A panel glued along a line to another that moves otherwise.

    Parameters
    ----------
    where : str
        The joint, or the two panels.
    fingers : bool
        Whether by fingers.
    panel, mate : Panel
        The livelier of the two, and the other.
    length : float
        What is glued. [mm]
    shrinks, swells : float
        What is held back of its movement to the driest and the wettest state. [-]
    """

    where: str
    fingers: bool
    panel: Panel
    mate: Panel
    length: float
    shrinks: float
    swells: float

    @property
    def strain(self) -> float:
        """The greater of the two. [-]"""
        return max(abs(self.shrinks), abs(self.swells))

    @property
    def moved(self) -> float:
        """What is held back at most. [mm]"""
        return self.length * self.strain


@dataclass(frozen=True, slots=True)
class Captive:
    """A panel in grooves, in one of its two directions.

    Parameters
    ----------
    panel : Panel
        What is held.
    side : int
        The direction, along its u or v.
    joints : tuple of Joint
        What it is held by.
    grooves : tuple of Groove
        The groove at each end that is held, one or two.
    shrinks, swells : float
        What it moves against its frame to the driest and the wettest state, shrinking below 0. [-]
    slides : bool
        Whether it is meant to run, as a lid does.
    """

    panel: Panel
    side: int
    joints: tuple[Joint, ...]
    grooves: tuple[Groove, ...]
    shrinks: float
    swells: float
    slides: bool

    @property
    def width(self) -> float:
        """Its size in that direction. [mm]"""
        return size(self.panel, self.side)

    @property
    def clear(self) -> float:
        """The distance between the faces that it spans. [mm]"""
        return self.width - sum(groove.bite for groove in self.grooves)


@dataclass(frozen=True, slots=True)
class Running:
    """A panel with air at both its ends, in one of its two directions."""

    panel: Panel
    side: int
    mates: tuple[str, ...]
    air: float
    swells: float

    @property
    def grown(self) -> float:
        """How much it grows against its frame by the wettest state. [mm]"""
        return size(self.panel, self.side) * self.swells


def size(panel: Panel, side: int) -> float:
    """Size of a panel along its u or v. [mm]"""
    return (panel.width, panel.height)[side]


def axis(panel: Panel, side: int) -> Vector:
    """The direction of a side in the piece."""
    return (panel.frame.u, panel.frame.v)[side]


def facing(panel: Panel, mate: Panel) -> int:
    """The side of a panel that runs towards a mate, more or less along the mate's normal."""
    along = [abs(_dot(axis(panel, side), mate.frame.n)) for side in (0, 1)]
    return 0 if along[0] > along[1] else 1


def is_across(panel: Panel, side: int) -> bool:
    """Whether a side runs across the grain; with the grain unsaid, both do."""
    return panel.grain is not (Grain.U, Grain.V)[side]


def _is_high(panel: Panel, side: int, mate: Panel) -> bool:
    """Whether a mate stands at the high end of a panel's side."""
    x, y, z = (a - b for a, b in zip(mate.frame.origin, panel.frame.origin, strict=True))
    return _dot((x, y, z), axis(panel, side)) > size(panel, side) / 2


def _dot(one: Vector, other: Vector) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


@dataclass(frozen=True)
class Moving:
    """Everything of a job that moves."""

    subject: Subject

    def strain(self, panel: Panel, side: int, after: Air) -> float:
        """How much longer a panel becomes along a side, from when it was cut. [-]"""
        cut = self.subject.job.seasons.making
        return panel.stock.strain(cut, after, across=is_across(panel, side))

    def strains(self, panel: Panel, side: int) -> tuple[float, float]:
        """The same to the driest and to the wettest state. [-]"""
        seasons = self.subject.job.seasons
        return (
            self.strain(panel, side, seasons.driest),
            self.strain(panel, side, seasons.wettest),
        )

    @cached_property
    def _mates(self) -> dict[str, set[str]]:
        """Who is glued to whom."""
        mates: dict[str, set[str]] = {}
        for joint in (each for each in self.subject.plans.joints if each.kind in GLUED):
            mates.setdefault(joint.lead, set()).add(joint.follow)
            mates.setdefault(joint.follow, set()).add(joint.lead)
        return mates

    @cached_property
    def _panels(self) -> dict[str, Panel]:
        return {panel.name: panel for panel in self.subject.job.piece.panels}

    def _frame(self, panel: Panel, side: int, faces: Iterable[str]) -> tuple[float, float]:
        """What moves the faces apart that a panel spans: the least of shrinking and swelling."""
        along, faces = axis(panel, side), set(faces)
        found = [
            self.strains(other, own)
            for name in set.intersection(*(self._mates.get(face, set()) for face in faces))
            if name != panel.name and name not in faces
            for other in (self._panels[name],)
            for own in (0, 1)
            if abs(_dot(axis(other, own), along)) > _ALONG
        ]
        if not found:
            return 0.0, 0.0
        return max(dry for dry, _ in found), min(wet for _, wet in found)

    def held(self) -> Iterator[Held]:
        """Panels glued along a line to others that move otherwise, once for each joint."""
        for joint in self.subject.plans.joints:
            if joint.kind not in GLUED:
                continue
            one, other = self.subject.mates(joint)
            # The end blocks of a corner are glued with it, whoever owns them.
            divided = sum(plan.length for plan in joint.segments)
            length = joint.extent.length if joint.kind is Kind.FINGER else divided
            sides = 1 - facing(one, other), 1 - facing(other, one)
            yield self._held(joint.id, (one, other), sides, length, fingers=joint.is_divided)
        yield from self._cleated()

    def _cleated(self) -> Iterator[Held]:
        """A lid glued to the cleats under it."""
        if self.subject.job.form != "chest" or "lid" not in self._panels:
            return
        lid = self._panels["lid"]
        for name in ("cleat left", "cleat right"):
            if name in self._panels:
                cleat = self._panels[name]
                side = max((0, 1), key=lambda k: size(cleat, k))
                where = f"lid+{name}"
                yield self._held(where, (lid, cleat), (side, side), size(cleat, side))

    def _held(
        self, where: str, pair: tuple[Panel, Panel], sides: tuple[int, int], length: float,
        *, fingers: bool = False,
    ) -> Held:  # fmt: skip
        """Two panels glued along a `length` [mm], each moving along one of its sides."""
        moves = [self.strains(panel, side) for panel, side in zip(pair, sides, strict=True)]
        shrinks, swells = (moves[0][k] - moves[1][k] for k in (0, 1))
        first = max(map(abs, moves[0])) >= max(map(abs, moves[1]))
        panel, mate = pair if first else pair[::-1]
        turn = 1 if first else -1
        return Held(where, fingers, panel, mate, length, turn * shrinks, turn * swells)

    def captives(self) -> Iterator[Captive]:
        """Panels in grooves and rebates, once for each direction in which they are held."""
        found: dict[tuple[str, int], list[Joint]] = {}
        for joint in self.subject.plans.joints:
            if joint.kind.is_captive:
                side = facing(self._panels[joint.lead], self._panels[joint.follow])
                found.setdefault((joint.lead, side), []).append(joint)
        for (name, side), joints in found.items():
            panel = self._panels[name]
            dry, wet = self.strains(panel, side)
            frame = self._frame(panel, side, [joint.follow for joint in joints])
            yield Captive(
                panel, side, tuple(joints), self._grooves(panel, side, joints),
                dry - frame[0], wet - frame[1], slides=name in self._sliding,
            )  # fmt: skip

    def _grooves(self, panel: Panel, side: int, joints: Iterable[Joint]) -> tuple[Groove, ...]:
        """The groove at each end of a panel; of several at one end, the least of each measure."""
        ends: dict[bool, list[Groove]] = {}
        for joint in joints:
            at_high = _is_high(panel, side, self._panels[joint.follow])
            ends.setdefault(at_high, []).append(self._groove(joint))
        return tuple(
            Groove(min(each.depth for each in end), min(each.room for each in end))
            for end in ends.values()
        )

    def _groove(self, joint: Joint) -> Groove:
        depth = self.subject.wish(joint).depth
        if depth is None:
            depth = self._panels[joint.follow].thickness / 3
        return Groove(depth, joint.room)

    @cached_property
    def _sliding(self) -> frozenset[str]:
        """Panels that run along others, so that they have to stay loose."""
        wishes = self.subject.job.piece.wishes
        return frozenset(
            name for pair, wish in wishes.items() if wish.kind is Kind.RUNNING for name in pair
        )

    def running(self) -> Iterator[Running]:
        """Panels with air between both their ends and two faces, in each such direction."""
        found: dict[tuple[str, int], list[tuple[str, float]]] = {}
        for pair, wish in self.subject.job.piece.wishes.items():
            if wish.kind is not Kind.RUNNING or not pair <= self._panels.keys():
                continue
            # The face leads, and the edge stops short of it.
            names = sorted(pair, key=lambda name: wish.leads == name)
            panel, mate = (self._panels[name] for name in names)
            air = wish.clearance or 0.0
            found.setdefault((panel.name, facing(panel, mate)), []).append((mate.name, air))
        for (name, side), stops in found.items():
            panel = self._panels[name]
            ends: dict[bool, float] = {}
            for stop, air in stops:
                at_high = _is_high(panel, side, self._panels[stop])
                ends[at_high] = min(air, ends.get(at_high, air))
            if len(ends) > 1:
                mates = tuple(mate for mate, _ in stops)
                swells = self.strains(panel, side)[1] - self._frame(panel, side, mates)[1]
                yield Running(panel, side, mates, sum(ends.values()), swells)
