"""From planes and members to panels: where each lies, and how far it reaches.

First every plane is placed, then every slab along its own axis, since a slab needs only its plane
and its thickness. Then each member is ended in its other two directions: what it meets there and
how it is let in say how far it reaches.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from dryfit.errors import SizeError
from dryfit.model.kind import Kind
from dryfit.model.panel import Face, Frame, Grain, Panel
from dryfit.model.piece import Wish
from dryfit.model.planes import AXES
from dryfit.shapes.tolerances import SAME
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.model.panel import Vector
    from dryfit.model.piece import Pair
    from dryfit.model.planes import Layout, Member, Plane

GOOD_FACES: Mapping[str, Face | None] = MappingProxyType(
    {"outside": Face.B, "inside": Face.A, "both": None}
)
"""Which face shows, in the maker's words."""

ROOM = 0.5
"""Room that a groove leaves a captive panel where nothing is asked (common practice). [mm]"""

CLEARANCE = 0.5
"""Air of a running fit where nothing is asked (common practice). [mm]"""

Span = tuple[float, float]

_NOTHING = Wish()

_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_MINUS_X, _MINUS_Y, _MINUS_Z = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)

# u, v and n by axis, at the low boundary and elsewhere. At the boundaries n points outward; u runs
# along the horizontal length of every upright panel and along x on level ones, so that the grain
# of solid wood runs along u unless the maker says otherwise.
_FRAMES: Mapping[tuple[int, bool], tuple[Vector, Vector, Vector]] = MappingProxyType(
    {
        (0, True): (_MINUS_Y, _Z, _MINUS_X),
        (0, False): (_Y, _Z, _X),
        (1, True): (_X, _Z, _MINUS_Y),
        (1, False): (_MINUS_X, _Z, _Y),
        (2, True): (_X, _MINUS_Y, _MINUS_Z),
        (2, False): (_X, _Y, _Z),
    }
)
_RANKS = (1, 0, 2)


@dataclass
class _Slab:
    """A member in place: its box so far, and the names of the planes it spans between."""

    member: Member
    plane: Plane
    low: list[float]
    high: list[float]
    ends: dict[int, tuple[str, str]]

    @property
    def axis(self) -> int:
        return self.plane.axis

    @property
    def name(self) -> str:
        return self.member.name


@dataclass(frozen=True)
class Reached:
    """A layout in place.

    Parameters
    ----------
    panels : tuple of Panel
        In the order of the members.
    wishes : dict of pair of str to Wish
        The wishes of single joints, with the kind of trench that an edge takes.
    met : frozenset of pairs
        Panels of which one ends at the other.
    """

    panels: tuple[Panel, ...]
    wishes: dict[Pair, Wish]
    met: frozenset[Pair]


def reach(layout: Layout) -> Reached:
    """The panels of a layout, and what is wished of their joints.

    Parameters
    ----------
    layout : Layout
        Planes, members and wishes of single joints.

    Raises
    ------
    SizeError
        If planes lie in the wrong order, a panel has no length, or its end is asked to reach to
        two different places.
    """
    return _Solver(layout).solve()


class _Solver:
    """Places planes, slabs and ends of one layout."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.planes = {plane.name: plane for plane in layout.planes}
        self.on: dict[str, list[Member]] = {}
        for member in layout.members:
            self.on.setdefault(member.on, []).append(member)
        self.places: dict[str, float] = {}
        self.boundaries: dict[int, tuple[str, str]] = {}
        self.wishes = dict(layout.wishes)
        self.met: set[Pair] = set()
        self.stops: dict[tuple[str, str], Span] = {}
        self.order = {member.name: place for place, member in enumerate(layout.members)}

    def solve(self) -> Reached:
        """Everything in place."""
        self._place_planes()
        slabs = [self._slab(member) for member in self.layout.members]
        standing: dict[str, list[_Slab]] = {}
        for slab in slabs:
            standing.setdefault(slab.plane.name, []).append(slab)
        reached = [self._ended(slab, standing) for slab in slabs]
        self._check_stops(slabs, reached)
        panels = tuple(self._panel(slab, spans) for slab, spans in zip(slabs, reached, strict=True))
        return Reached(panels, self.wishes, frozenset(self.met))

    def _place_planes(self) -> None:
        """Where each plane lies; those at distances first, then divisions from the outside in."""
        for plane in self.layout.planes:
            if plane.at is not None:
                self.places[plane.name] = plane.at
        for axis in range(3):
            # A division lies between its two planes, so the boundaries are planes at distances.
            own = [p.name for p in self.layout.planes if p.axis == axis and p.at is not None]
            if own:
                ordered = sorted(own, key=lambda name: self.places[name])
                self.boundaries[axis] = ordered[0], ordered[-1]
        waiting = [plane for plane in self.layout.planes if plane.between is not None]
        while waiting:
            ready = [p for p in waiting if p.between and all(n in self.places for n in p.between)]
            if not ready:
                names = " and ".join(plane.name for plane in waiting[:2])
                raise SizeError(
                    f"{names} divide each other's space, so none of the {len(waiting)} can be "
                    "placed; let 1 lie between planes at a distance",
                    ("plane", waiting[0].name),
                )
            for plane in ready:
                self.places[plane.name] = self._division(plane)
            waiting = [plane for plane in waiting if plane.name not in self.places]

    def _division(self, plane: Plane) -> float:
        """Middle of one of the planes that leave equal clear openings. [mm]"""
        assert plane.between is not None
        first, last = plane.between
        if self.places[first] > self.places[last]:
            first, last = last, first
        begin = max((self._across(member)[1] for member in self.on.get(first, ())),
                    default=self.places[first])  # fmt: skip
        end = min((self._across(member)[0] for member in self.on.get(last, ())),
                  default=self.places[last])  # fmt: skip
        family = [
            other
            for other in self.layout.planes
            if other.between == plane.between and other.parts == plane.parts
            and other.axis == plane.axis
        ]  # fmt: skip
        thick = {other.number: self._thickest(other.name) for other in family}
        clear = (end - begin - sum(thick.values())) / plane.parts
        if clear <= 0:
            unit = self.layout.unit
            raise SizeError(
                f"{plane.parts} openings between {first} and {last} have no width: the panels take "
                f"{show_length(sum(thick.values()), unit)} of {show_length(end - begin, unit)}; "
                "divide into fewer or set the planes farther apart",
                ("plane", _family(plane)),
            )
        before = sum(thick.get(k, 0.0) for k in range(1, plane.number))
        return begin + plane.number * clear + before + thick[plane.number] / 2

    def _thickest(self, plane: str) -> float:
        return max((m.stock.thickness for m in self.on.get(plane, ())), default=0.0)

    def _across(self, member: Member) -> Span:
        """Where a member lies along the axis of its plane. [mm]"""
        plane, thickness = self.planes[member.on], member.stock.thickness
        at = self.places[plane.name]
        first, last = self.boundaries.get(plane.axis, ("", ""))
        usual = "low" if plane.name == first else "high" if plane.name == last else "middle"
        face = member.face or usual
        low = at - {"low": 0.0, "middle": thickness / 2, "high": thickness}[face]
        return low, low + thickness

    def _slab(self, member: Member) -> _Slab:
        plane = self.planes[member.on]
        low, high = [0.0] * 3, [0.0] * 3
        low[plane.axis], high[plane.axis] = self._across(member)
        ends = {}
        for axis in range(3):
            if axis == plane.axis:
                continue
            named = [name for name in member.between if self.planes[name].axis == axis]
            first, last = named or self.boundaries[axis]
            if self.places[first] > self.places[last]:
                first, last = last, first
            ends[axis] = first, last
            low[axis], high[axis] = self.places[first], self.places[last]
        return _Slab(member, plane, low, high, ends)

    def _ended(self, slab: _Slab, standing: Mapping[str, Sequence[_Slab]]) -> dict[int, Span]:
        """How far a member reaches along its two axes. [mm]"""
        found = {}
        for axis, names in slab.ends.items():
            low, high = (
                self._end(slab, axis, at_high, standing.get(name, ()))
                for at_high, name in enumerate(names)
            )
            if high - low <= SAME:
                unit = self.layout.unit
                raise SizeError(
                    f"{slab.name} has no length along {AXES[axis]}: it would run from "
                    f"{show_length(low, unit)} to {show_length(high, unit)}; set its planes "
                    "farther apart",
                    ("panel", slab.name),
                )
            found[axis] = low, high
        return found

    def _end(self, slab: _Slab, axis: int, at_high: int, others: Sequence[_Slab]) -> float:
        """Where one end of a member comes to lie. [mm]"""
        ends = {
            mate.name: self._against(slab, mate, axis, at_high)
            for mate in others
            if mate is not slab and self._meet(slab, mate, axis)
        }
        if not ends:
            return self.places[slab.ends[axis][at_high]]
        places = sorted(ends.items(), key=lambda item: item[1])
        (first, low), (last, high) = places[0], places[-1]
        if high - low > SAME:
            unit = self.layout.unit
            raise SizeError(
                f"{slab.name} would have to end at {show_length(low, unit)} along {AXES[axis]} for "
                f"{first} and at {show_length(high, unit)} for {last}; give both the same joint or "
                f"make 2 panels of {slab.name}",
                ("panel", slab.name),
            )
        return high if at_high else low

    def _meet(self, slab: _Slab, mate: _Slab, axis: int) -> bool:
        """Whether a panel on the plane at which a member ends is there to be met."""
        across = slab.axis
        at = self.places[slab.plane.name]
        if not mate.low[across] - SAME <= at <= mate.high[across] + SAME:
            return False
        third = 3 - axis - across
        return (
            min(slab.high[third], mate.high[third]) - max(slab.low[third], mate.low[third]) > SAME
        )

    def _against(self, slab: _Slab, mate: _Slab, axis: int, at_high: int) -> float:
        """How far a member reaches at one end for the sake of one mate. [mm]"""
        near, far = (
            (mate.low[axis], mate.high[axis]) if at_high else (mate.high[axis], mate.low[axis])
        )
        into = 1.0 if at_high else -1.0
        self.met.add(frozenset((slab.name, mate.name)))
        let = self._let(slab, mate)
        if let.kind in (Kind.TENON, Kind.FINGER, None):
            return far
        if let.kind is Kind.BUTT:
            return near
        if let.kind is Kind.RUNNING:
            return near - into * (let.clearance or 0.0)
        thickness = mate.member.stock.thickness
        depth = thickness / 3 if let.depth is None else let.depth
        room = let.room or 0.0
        self._check_depth(slab, mate, depth, room)
        return near + into * (depth - room)

    def _check_depth(self, slab: _Slab, mate: _Slab, depth: float, room: float) -> None:
        unit, thickness = self.layout.unit, mate.member.stock.thickness
        if depth >= thickness:
            path = self._wished_at(slab, mate, "depth")
            key = "edges" if path[0] == "panel" else "kind"
            raise SizeError(
                f"a trench of {show_length(depth, unit)} goes through {mate.name}, which is "
                f"{show_length(thickness, unit)} thick; make it less deep or let the edge through "
                f'with {key} = "tenon"',
                path,
            )
        if room >= depth:
            raise SizeError(
                f"a room of {show_length(room, unit)} leaves {slab.name} nothing in a groove of "
                f"{show_length(depth, unit)}; make the groove deeper or the room less",
                self._wished_at(slab, mate, "room"),
            )

    def _wished_at(self, slab: _Slab, mate: _Slab, key: str) -> tuple[str, ...]:
        """Where the depth, room or stop of a joint is written."""
        wish = self.layout.wishes.get(frozenset((slab.name, mate.name)), Wish())
        if getattr(wish, key) is not None:
            return ("joint", f"{slab.name}+{mate.name}", key)
        if getattr(slab.member.edges, key) is not None or wish.kind is None:
            return ("panel", slab.name, key)
        return ("joint", f"{slab.name}+{mate.name}", "kind")

    def _check_stops(self, slabs: Sequence[_Slab], reached: Sequence[Mapping[int, Span]]) -> None:
        """Stops leave something of every housing."""
        spans = {slab.name: ends for slab, ends in zip(slabs, reached, strict=True)}
        for (name, other), stop in self.stops.items():
            slab, mate = slabs[self.order[name]], slabs[self.order[other]]
            third = 3 - slab.axis - mate.axis
            (low, high), (begin, end) = spans[slab.name][third], spans[mate.name][third]
            length = min(high, end) - max(low, begin)
            if sum(stop) >= length - SAME:
                unit = self.layout.unit
                raise SizeError(
                    f"stops of {show_length(stop[0], unit)} and {show_length(stop[1], unit)} leave "
                    f"nothing of the housing of {slab.name} in {mate.name}, which is "
                    f"{show_length(length, unit)} long; make them less than that together",
                    self._wished_at(slab, mate, "stop"),
                )

    def _let(self, slab: _Slab, mate: _Slab) -> Wish:
        """How a member's edge is let into a mate; noted as a wish of their joint."""
        pair = frozenset((slab.name, mate.name))
        wish = self.layout.wishes.get(pair, _NOTHING)
        corner = slab.plane.name in mate.ends[slab.axis]
        let = self._corner(slab, mate, wish) if corner else wish.over(slab.member.edges)
        usual = Kind.FINGER if corner else self.layout.tee
        let = remembered_let(let, usual, self.layout.through)
        if let.kind and let.kind.is_trench:
            self.wishes[pair] = let
        if let.kind is Kind.RUNNING:
            self.wishes[pair] = replace(let, leads=mate.name)
        if let.kind is Kind.HOUSING and let.stop is not None:
            self.stops[slab.name, mate.name] = let.stop
        return let

    def _corner(self, slab: _Slab, mate: _Slab, wish: Wish) -> Wish:
        """How a member ends at a corner: by fingers unless one of the two gives way."""
        if wish.kind is not None:
            gives = wish.leads != slab.name if wish.leads else self._comes_later(slab, mate)
            let = wish.over(slab.member.edges)
            return let if gives and wish.kind is not Kind.FINGER else Wish(kind=Kind.FINGER)
        own, other = (_gives_way(each.member.edges) for each in (slab, mate))
        if own and (not other or self._comes_later(slab, mate)):
            return wish.over(slab.member.edges)
        return Wish(kind=Kind.FINGER)

    def _comes_later(self, slab: _Slab, mate: _Slab) -> bool:
        return self.order[slab.name] > self.order[mate.name]

    def _panel(self, slab: _Slab, spans: Mapping[int, Span]) -> Panel:
        low, high = list(slab.low), list(slab.high)
        for axis, (begin, end) in spans.items():
            low[axis], high[axis] = begin, end
        member, stock = slab.member, slab.member.stock
        bounds = self.boundaries[slab.axis]
        at_low = slab.plane.name == bounds[0]
        inner = slab.plane.name not in bounds
        u, v, n = _FRAMES[slab.axis, at_low]
        sizes = [end - begin for begin, end in zip(low, high, strict=True)]
        usual = Grain.U if stock.material.solid else Grain.FREE
        word = member.good_face or ("both" if inner else "outside")
        return Panel(
            name=member.name,
            frame=_frame(u, v, n, low, high),
            width=sizes[axis_of(u)],
            height=sizes[axis_of(v)],
            stock=stock,
            good_face=GOOD_FACES[word],
            grain=grains(slab.axis).get(member.grain, usual),
            rank=_RANKS[slab.axis] + (3 if inner else 0),
            openings=member.openings,
            keep_outs=member.keep_outs,
            shaped=member.shaped,
        )


@lru_cache(maxsize=1024)
def remembered_let(let: Wish, usual: Kind, through: bool) -> Wish:
    """How an edge is let in, with what is usual where it does not say; most edges say the same."""
    kind = let.kind or usual
    own: dict[str, Any] = {"kind": kind}
    if kind is Kind.GROOVE and let.room is None:
        own["room"] = ROOM
    if kind is Kind.RUNNING and let.clearance is None:
        own["clearance"] = CLEARANCE
    if kind.is_trench:
        own["through"] = let.through if let.through is not None else through or None
        own["leads"] = None
    return replace(let, **own)


def _gives_way(edges: Wish) -> bool:
    """Whether an edge that meets another edge yields to it instead of interlocking."""
    return edges.kind in (Kind.BUTT, Kind.REBATE, Kind.RUNNING)


def _family(plane: Plane) -> str:
    """The name under which a plane of a division stands in the file."""
    return plane.name.removesuffix(f" {plane.number}") if plane.parts > 2 else plane.name


def grains(axis: int) -> dict[str, Grain]:
    """The ways the grain of a panel may run whose thickness lies along an axis, by word."""
    u, v, _ = _FRAMES[axis, False]
    return {AXES[axis_of(u)]: Grain.U, AXES[axis_of(v)]: Grain.V, "free": Grain.FREE}


def axis_of(vector: Vector) -> int:
    """The axis that a unit vector lies along."""
    return next(axis for axis, part in enumerate(vector) if part)


def _frame(u: Vector, v: Vector, n: Vector, low: Sequence[float], high: Sequence[float]) -> Frame:
    """The frame laid into a box."""
    x, y, z = (high[axis] if min(u[axis], v[axis], n[axis]) < 0 else low[axis] for axis in range(3))
    return Frame((x, y, z), u, v, n)
