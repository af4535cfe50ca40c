"""What carries each panel: which of its edges and which lines across it rest on other panels.

Vocabulary
----------
line
    A stretch of a panel, along u or along v, under which another panel stands square to it.
bay
    What lies between neighbouring lines, or between the last one and a free edge.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from dryfit.joints.planning import Plans
    from dryfit.model.panel import Panel, Vector

LEVEL = 0.999
"""A normal whose upright part is longer lies level; one whose part is shorter than 1 - LEVEL stands
upright. [-]"""

_WHOLE = 0.8  # a line that is shorter than this share of the panel carries no bay
_ONE_LINE = 3.0  # lines nearer than this are one [mm]

_NEAR = 1e-6
_UPWARD = (0.0, 0.0, 1.0)

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bay:
    """A rectangle of a panel, and which of its edges are carried.

    Parameters
    ----------
    u, v : float
        Its sides along u and along v, between the middles of what carries it. [mm]
    ends_u, ends_v : int
        How many of its edges across u, and across v, are carried: 0, 1 or 2. [-]
    """

    u: float
    v: float
    ends_u: int
    ends_v: int

    @property
    def turned(self) -> Bay:
        """The same bay with u and v exchanged."""
        return Bay(self.v, self.u, self.ends_v, self.ends_u)

    @property
    def span(self) -> float:
        """The shortest way from one carried edge to the other. [mm]"""
        ways = [side for side, ends in ((self.u, self.ends_u), (self.v, self.ends_v)) if ends == 2]
        return min(ways, default=0.0)


@dataclass(frozen=True, slots=True)
class Bearing:
    """A panel and what carries it.

    Parameters
    ----------
    panel : Panel
        The panel.
    bays : tuple of Bay
        Its different bays; none where nothing carries it.
    carriers : tuple of str
        The panels that carry it.
    butted : tuple of str
        Those of them that its edge only butts against.
    """

    panel: Panel
    bays: tuple[Bay, ...]
    carriers: tuple[str, ...]
    butted: tuple[str, ...] = ()


def is_level(panel: Panel) -> bool:
    """Whether a panel lies level."""
    return abs(panel.frame.n[2]) > LEVEL


def is_upright(panel: Panel) -> bool:
    """Whether a panel stands upright."""
    return abs(panel.frame.n[2]) < 1 - LEVEL


def bearings(
    panels: Sequence[Panel], plans: Plans, pushed: Iterable[str] = ()
) -> Iterator[Bearing]:
    """Every level panel with what carries it; upright ones where they are `pushed` on."""
    mates: dict[int, list[Panel]] = defaultdict(list)
    meetings = plans.meetings
    butts = {frozenset((panels[a].name, panels[b].name)) for a, b in meetings.butts}
    for a, b in (*((each.a, each.b) for each in meetings.meetings), *meetings.butts):
        mates[a].append(panels[b])
        mates[b].append(panels[a])
    wanted = frozenset(pushed)
    for number, panel in enumerate(panels):
        level = is_level(panel)
        if not level and panel.name not in wanted:
            continue
        under = [mate for mate in mates[number] if not level or _is_under(panel, mate)]
        found = _bearing(panel, under)
        butted = tuple(
            mate.name
            for mate in under
            if frozenset((panel.name, mate.name)) in butts and not _is_below(panel, mate)
        )
        yield replace(found, butted=butted) if butted else found


def _is_below(panel: Panel, mate: Panel) -> bool:
    """Whether a panel lies on top of a mate, so that it needs no glue."""
    upward = (0.0, 0.0, 1.0)
    return _reach(mate, upward)[1] < _reach(panel, upward)[0] + _ONE_LINE


def _is_under(panel: Panel, mate: Panel) -> bool:
    """Whether a mate of a level panel reaches down below the panel's middle."""
    low, _ = _reach(mate, (0.0, 0.0, 1.0))
    own, top = _reach(panel, (0.0, 0.0, 1.0))
    return low < (own + top) / 2


def _bearing(panel: Panel, under: Sequence[Panel]) -> Bearing:
    frame, across_u, across_v = panel.frame, [], []
    names = []
    askew = 0
    for mate in under:
        along_u, along_v = (abs(_dot(mate.frame.n, axis)) for axis in (frame.u, frame.v))
        if panel.outline or max(along_u, along_v) < LEVEL:
            # Parallel to the panel it lies flat on it; else it stands at an angle.
            askew += abs(_dot(mate.frame.n, frame.n)) < LEVEL
            continue
        u, v = _shared(panel, mate)
        names.append(mate.name)
        if along_u > along_v:
            across_u.append(((u[0] + u[1]) / 2, v))
        else:
            across_v.append(((v[0] + v[1]) / 2, u))
    if askew:
        return _askew(panel, under, askew)
    ways_u = _stretches(across_u, panel.width, panel.height, panel.thickness)
    ways_v = _stretches(across_v, panel.height, panel.width, panel.thickness)
    bays = {
        Bay(round(u, 6), round(v, 6), ends_u, ends_v)
        for (u, ends_u), (v, ends_v) in product(ways_u, ways_v)
        if ends_u or ends_v
    }
    ordered = sorted(bays, key=lambda bay: (-bay.u * bay.v, bay.u, bay.ends_u))
    return Bearing(panel, tuple(ordered), tuple(names))


def _askew(panel: Panel, under: Sequence[Panel], askew: int) -> Bearing:
    """A panel among walls at other angles: carried all round, or left alone.

    Its outline lies in the rectangle round it, which bends more.
    """
    sides = len(panel.outline) or 4
    bays = (Bay(panel.width, panel.height, 2, 2),) if askew >= sides else ()
    return Bearing(panel, bays, tuple(mate.name for mate in under))


def _stretches(
    lines: Sequence[tuple[float, Span]], length: float, breadth: float, thickness: float
) -> list[tuple[float, int]]:
    """Stretches between the lines across one way of a panel, each with how many carry it. [mm]"""
    places = _places(lines, breadth)
    if not places:
        return [(length, 0)]
    found = [(high - low, 2) for low, high in pairwise(places)]
    found += [(over, 1) for over in (places[0], length - places[-1]) if over > 2 * thickness]
    if not found:
        return [(length, 1)]
    return found


def _places(lines: Sequence[tuple[float, Span]], breadth: float) -> list[float]:
    """Where lines lie that carry nearly the whole breadth, several in a row taken together. [mm]"""
    groups: list[list[tuple[float, Span]]] = []
    for line in sorted(lines):
        if groups and line[0] - groups[-1][-1][0] < _ONE_LINE:
            groups[-1].append(line)
        else:
            groups.append([line])
    return [
        sum(place for place, _ in group) / len(group)
        for group in groups
        if _covered([span for _, span in group]) >= _WHOLE * breadth
    ]


def _covered(spans: Sequence[Span]) -> float:
    """Length that stretches cover together. [mm]"""
    total, reached = 0.0, float("-inf")
    for low, high in sorted(spans):
        total += max(0.0, high - max(low, reached))
        reached = max(reached, high)
    return total


def _shared(panel: Panel, mate: Panel) -> tuple[Span, Span]:
    """What a mate shares of a panel's reach, along its u and its v. [mm]"""
    found = []
    for axis, size in ((panel.frame.u, panel.width), (panel.frame.v, panel.height)):
        start = _dot(panel.frame.origin, axis)
        low, high = _reach(mate, axis)
        found.append((min(max(low - start, 0.0), size), max(min(high - start, size), 0.0)))
    return found[0], found[1]


def _reach(panel: Panel, axis: Vector) -> Span:
    """How far a panel reaches along an axis. [mm]"""
    frame = panel.frame
    start = _dot(frame.origin, axis)
    steps = [
        size * _dot(own, axis)
        for own, size in (
            (frame.u, panel.width), (frame.v, panel.height), (frame.n, panel.thickness),
        )
    ]  # fmt: skip
    return start + sum(min(step, 0.0) for step in steps), start + sum(
        max(step, 0.0) for step in steps
    )


def extent(panels: Sequence[Panel], axis: Vector) -> float:
    """How far some panels reach together along an axis. [mm]"""
    reaches = [_reach(panel, axis) for panel in panels]
    return max(high for _, high in reaches) - min(low for low, _ in reaches)


class Levels:
    """The level panels of a piece from the lowest up, to find what lies next over each."""

    def __init__(self, panels: Sequence[Panel]) -> None:
        reaches = [(_reach(panel, _UPWARD), panel) for panel in panels]
        self._top = max((high for (_, high), _ in reaches), default=0.0)
        self._level = sorted(
            ((low, panel) for (low, _), panel in reaches if is_level(panel)),
            key=lambda each: each[0],
        )

    def room_above(self, panel: Panel) -> float:
        """Clear height over a level panel, to the next one above or to the piece's top. [mm]"""
        _, top = _reach(panel, _UPWARD)
        first = bisect_right(self._level, top - _NEAR, key=lambda each: each[0])
        over = (
            low
            for low, other in self._level[first:]
            if other is not panel and _overlaps(panel, other)
        )
        return max(next(over, self._top) - top, 0.0)


def _overlaps(panel: Panel, other: Panel) -> bool:
    """Whether one level panel lies above the other."""
    return all(high - low > _NEAR for low, high in _shared(panel, other))


def _dot(a: Vector, b: Vector) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))
