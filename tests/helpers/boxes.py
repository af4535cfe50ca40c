"""Boxes for tests, built panel by panel in any frame, and the road from them to a dry fit.

Nothing here is shared with the forms: each reach is written down as an upright box, and a frame
is laid into it afterwards, in any of the eight ways that fit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from dryfit.joints.odds import Odds
from dryfit.joints.planning import plan_joints
from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Route
from dryfit.model.meeting import find_meetings
from dryfit.model.panel import Frame, Panel
from dryfit.model.piece import Piece, Wish
from dryfit.model.scatter import USUAL, WANTED
from dryfit.model.stock import Stock
from dryfit.parts.making import make_parts
from dryfit.parts.touch import Touch, dry_fit

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.meeting import Meetings
    from dryfit.model.piece import Pair
    from dryfit.parts.part import Part

HAND = Cutter(Route.HAND, 0.0)
BARE = Wish(flank_gap=0.0, proud=0.0)
RANKS: Mapping[str, int] = MappingProxyType(
    {"front": 0, "back": 0, "left": 1, "right": 1, "base": 2, "lid": 2}
)
# The axis a wall's thickness lies along, and whether it is the wall at the high end.
PLACES: Mapping[str, tuple[int, bool]] = MappingProxyType(
    {
        "front": (1, False), "back": (1, True), "left": (0, False),
        "right": (0, True), "base": (2, False), "lid": (2, True),
    }
)  # fmt: skip
PAIR = ("front", "left")
RING = ("front", "back", "left", "right")
TRAY = (*RING, "base")
CASE = (*RING, "base", "lid")
FRAMES = 8
"""Ways to lay a right-handed frame into an upright box with n along a given axis."""

Box = tuple[np.ndarray, np.ndarray]
Corner: TypeAlias = "Sequence[float] | np.ndarray"


def stock(thickness: float) -> Stock:
    """Plywood that is exactly as thick everywhere. [mm]"""
    return Stock(f"{thickness} mm", MATERIALS["birch plywood"], thickness, spread=0.0)


def slab(name: str, low: Corner, high: Corner, axis: int, way: int = 0,
         rank: int = 0) -> Panel:  # fmt: skip
    """A panel that fills a box, its thickness along `axis`, its frame laid in the given way."""
    one, other = (axis + 1) % 3, (axis + 2) % 3
    flip = -1.0 if way & 1 else 1.0
    su, sv = (1.0, 1.0) if way < 4 else (-1.0, -1.0)
    swap = bool(way & 2)
    u, v = np.zeros(3), np.zeros(3)
    u[other if swap else one], v[one if swap else other] = su, sv * flip
    n = np.cross(u, v)
    origin = np.where(u + v + n > 0, low, high)
    sizes = np.subtract(high, low)
    return Panel(
        name, Frame(triple(origin), triple(u), triple(v), triple(n)),
        float(sizes @ np.abs(u)), float(sizes @ np.abs(v)), stock(float(sizes[axis])), rank=rank,
    )  # fmt: skip


def triple(vector: Iterable[float]) -> tuple[float, float, float]:
    x, y, z = (float(value) + 0.0 for value in vector)
    return x, y, z


def reach(sizes: Sequence[float], thickness: float, name: str) -> Box:
    """The box that a wall reaches over: the whole outer face, as deep as it is thick."""
    axis, at_high = PLACES[name]
    low, high = np.zeros(3), np.array(sizes, dtype=float)
    if at_high:
        low[axis] = high[axis] - thickness
    else:
        high[axis] = thickness
    return low, high


def box(
    sizes: Sequence[float],
    walls: Sequence[str] = CASE,
    thickness: float | Mapping[str, float] = 9.0,
    *,
    ranks: Mapping[str, int] = RANKS,
    ways: Mapping[str, int] = MappingProxyType({}),
    wish: Wish = BARE,
    wishes: Mapping[Pair, Wish] = MappingProxyType({}),
) -> Piece:
    """Some walls of a box of these outer sizes; the default wish has neither gap nor proud."""
    panels = []
    for name in walls:
        thick = thickness if isinstance(thickness, int | float) else thickness[name]
        low, high = reach(sizes, thick, name)
        panels.append(slab(name, low, high, PLACES[name][0], ways.get(name, 0), ranks[name]))
    return Piece(tuple(panels), wish, wishes)


@dataclass(frozen=True)
class Built:
    """A piece taken all the way to its parts."""

    piece: Piece
    cutter: Cutter
    meetings: Meetings
    plans: Plans
    parts: tuple[Part, ...]

    @cached_property
    def joints(self) -> dict[Pair, Joint]:
        return {frozenset((joint.lead, joint.follow)): joint for joint in self.plans.joints}

    @cached_property
    def odds(self) -> Odds:
        """The odds with the usual scatter."""
        route = self.cutter.route
        return Odds(self.piece, self.plans, USUAL[route], route, WANTED)

    def part(self, name: str) -> Part:
        return next(part for part in self.parts if part.name == name)

    @cached_property
    def spans(self) -> dict[tuple[str, str], tuple[float, float]]:
        """Where along its corner each pair's joint runs: all but the blocks of third panels."""
        found = {}
        for meeting, joint in zip(self.plans.joined, self.plans.joints, strict=True):
            low, high = meeting.low[meeting.axis], meeting.high[meeting.axis]
            mine = (None, joint.lead, joint.follow)
            first, last = joint.plan.ends
            low += first.block if first.owner not in mine else 0.0
            high -= last.block if last.owner not in mine else 0.0
            names = [self.piece.panels[index].name for index in (meeting.a, meeting.b)]
            found[names[0], names[1]] = low, high
        return found

    def span_of(self, joint: Joint) -> tuple[float, float]:
        """Where along its corner a joint runs. [mm]"""
        names = joint.lead, joint.follow
        return next(span for pair, span in self.spans.items() if set(pair) == set(names))

    def fit(self) -> tuple[Touch, ...]:
        return dry_fit(self.parts, self.meetings.lattices, self.stretches)

    @cached_property
    def stretches(self) -> dict[tuple[str, str], list[tuple[float, float]]]:
        """The same, with what third panels claim of tees and crossings left out."""
        found = {pair: [span] for pair, span in self.spans.items()}
        for meeting, joint in zip(self.plans.joined, self.plans.joints, strict=True):
            if meeting.claims:
                low = meeting.low[meeting.axis]
                names = [self.piece.panels[index].name for index in (meeting.a, meeting.b)]
                found[names[0], names[1]] = [
                    (low + plan.start, low + plan.start + plan.length) for plan in joint.segments
                ]
        return found

    @property
    def deepest(self) -> float:
        """Deepest penetration of any pair. [mm]"""
        return max((touch.penetration for touch in self.fit()), default=0.0)

    def with_part(self, part: Part) -> Built:
        """The same with one part exchanged for another of its name."""
        parts = tuple(part if part.name == old.name else old for old in self.parts)
        return replace(self, parts=parts)


def build(piece: Piece, cutter: Cutter = HAND) -> Built:
    meetings = find_meetings(piece.panels, piece.captive)
    plans = plan_joints(piece, meetings, cutter)
    return Built(piece, cutter, meetings, plans, make_parts(piece, plans, cutter))
