"""Meetings: where two panels' reaches share space, found from their slabs.

Vocabulary
----------
lattice
    A set of panels whose frames are turned by right angles only against one another. Each lattice
    has one frame of its own, in which every slab is an upright box; a piece made square has one.
prism
    The box that two reaches share.
block
    The box that three reaches share, at the end of each of their three prisms.

Panels are named by their index in the piece. Finding meetings is one sweep over the boxes, not a
comparison of all pairs.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.dihedrals import AngledCorner, find_angled, share_space
from dryfit.model.lattice import homes, lattices_of
from dryfit.shapes.cells import overlapping_pairs, shared
from dryfit.shapes.tolerances import PARALLEL, SAME, WEB

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from dryfit.model.lattice import Lattice
    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.intp]

_NEAR = 10 * SAME


class MeetingKind(StrEnum):
    """How two panels meet.

    ``corner`` edge to edge in a lattice, ``angled`` edge to edge at any angle, ``tee`` edge to
    face, ``crossing`` face through face; ``other`` is what no joint is planned for.
    """

    CORNER = "corner"
    ANGLED = "angled"
    TEE = "tee"
    CROSSING = "crossing"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Block:
    """The box at a corner of corners that three reaches share; exactly one panel will own it."""

    panels: tuple[int, int, int]
    low: tuple[float, float, float]
    high: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two panels whose reaches share a prism.

    Parameters
    ----------
    a, b : int
        The panels' indices, a < b.
    kind : MeetingKind
        How they meet.
    lattice : int
        Index of the lattice both lie in; -1 for panels that are not square to each other.
    axis : int
        The lattice axis along which the meeting runs; -1 where no joint is planned. [-]
    low, high : tuple of float
        The shared prism in the lattice's axes. [mm]
    blocks : pair of int
        Index of the block at the low and at the high end of a corner; -1 where there is none.
    edge : int
        The panel whose edge meets the other's face in a tee; -1 otherwise.
    through : bool
        Whether that edge passes through the whole of the other's thickness.
    claims : tuple of Claim
        Stretches of a tee or a crossing that third panels reach into as well.
    """

    a: int
    b: int
    kind: MeetingKind
    lattice: int
    axis: int
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    blocks: tuple[int, int] = (-1, -1)
    edge: int = -1
    through: bool = False
    claims: tuple[Claim, ...] = ()

    @property
    def length(self) -> float:
        """Length of the meeting, blocks included. [mm]"""
        return self.high[self.axis] - self.low[self.axis]

    @property
    def face(self) -> int:
        """The panel whose face is met in a tee."""
        return self.a + self.b - self.edge


@dataclass(frozen=True, slots=True)
class Claim:
    """A stretch of a tee or a crossing that a third panel reaches into.

    Parameters
    ----------
    low, high : float
        The stretch in the lattice's axis. [mm]
    third : int
        The third panel.
    yields : bool
        Whether neither of the two may have it: it belongs to a meeting of higher rank. Otherwise
        it goes to whichever of two crossing panels passes on that side.
    """

    low: float
    high: float
    third: int
    yields: bool


@dataclass(frozen=True)
class Meetings:
    """Every meeting of a piece; `butts` touch and share no space, `angled` meet at any angle.

    `knots` are the blocks of three panels of which two cross, or which end at one another in a
    ring.
    """

    lattices: tuple[Lattice, ...]
    meetings: tuple[Meeting, ...]
    blocks: tuple[Block, ...]
    butts: tuple[tuple[int, int], ...] = ()
    knots: tuple[Block, ...] = ()
    angled: tuple[AngledCorner, ...] = ()


def find_meetings(
    panels: Sequence[Panel], captive: Collection[frozenset[str]] = frozenset()
) -> Meetings:
    """Find every meeting among panels in general frames.

    Panels that share an outer edge meet in a corner at whatever angle. Others that share space and
    are not square to each other are reported as meetings of kind ``other``.

    Parameters
    ----------
    panels : sequence of Panel
        The panels.
    captive : collection of pairs of str
        Names of two panels of which one is held in the other's groove: held by two neighbours, it
        keeps the corner that it has in common with both.

    Raises
    ------
    SizeError
        If an outline is not convex and counter-clockwise, or leaves the box of its panel.
    """
    lattices = lattices_of(panels, frozenset())
    angled, general = find_angled(panels, homes(lattices, len(panels)))
    if general:
        lattices = lattices_of(panels, general)
    meetings: list[Meeting] = []
    blocks: list[Block] = []
    butts: list[tuple[int, int]] = []
    knots: list[Block] = []
    number = {panel.name: index for index, panel in enumerate(panels)}
    held = {frozenset(number[name] for name in pair) for pair in captive if pair <= number.keys()}
    for place, lattice in enumerate(lattices):
        pairs = overlapping_pairs(lattice.low, lattice.high, -_NEAR)
        low, high, share = shared(lattice.low, lattice.high, pairs)
        butts += _butts(lattice, pairs, low, high)
        near = _Neighbourhood.of(lattice, pairs[share], low[share], high[share], held)
        _meet(place, near, meetings, blocks)
        knots += _knots(near)
    meetings.extend(_edge_to_edge(corner) for corner in angled)
    joined = {(corner.a, corner.b) for corner in angled}
    meetings.extend(
        meeting
        for meeting in _askew(lattices)
        if (meeting.a, meeting.b) not in joined
        and (not general or share_space(panels[meeting.a], panels[meeting.b]))
    )
    meetings.sort(key=lambda meeting: (meeting.a, meeting.b))
    return Meetings(
        lattices, tuple(meetings), tuple(blocks), tuple(sorted(butts)), tuple(knots), angled
    )


def _butts(
    lattice: Lattice, pairs: IndexArray, low: FloatArray, high: FloatArray
) -> list[tuple[int, int]]:
    """Pairs of a lattice that lie against each other without sharing space."""
    flat, wide = np.abs(high - low) < _NEAR, high - low > SAME
    found = pairs[(flat.sum(axis=1) == 1) & (wide.sum(axis=1) == 2)]
    return [(lattice.panels[i], lattice.panels[j]) for i, j in found.tolist()]


def _knots(around: _Neighbourhood) -> list[Block]:
    """Blocks of three panels of which two cross, or which end at one another in a ring."""
    found = {}
    for pair, way in around.ways.items():
        if way.kind not in (MeetingKind.CROSSING, MeetingKind.TEE):
            continue
        for third, low, high in around.thirds(*pair):
            if way.kind is MeetingKind.CROSSING or _in_a_ring(around, pair, way.edge, third):
                a, b, c = sorted(around.lattice.panels[row] for row in (*pair, third))
                found[a, b, c] = Block((a, b, c), _triple(low), _triple(high))
    return [found[trio] for trio in sorted(found)]


def _in_a_ring(around: _Neighbourhood, pair: tuple[int, int], edge: int, third: int) -> bool:
    """Whether the face that an edge ends at ends at a third panel, and that at the edge's own."""
    face = sum(pair) - edge
    return around.way(face, third).edge == face and around.way(edge, third).edge == third


def _edge_to_edge(corner: AngledCorner) -> Meeting:
    """A corner at any angle as a meeting; it runs along its own edge, from 0."""
    low, high = (0.0, 0.0, 0.0), (corner.length, 0.0, 0.0)
    return Meeting(corner.a, corner.b, MeetingKind.ANGLED, -1, 0, low, high)


@dataclass(frozen=True, slots=True)
class _Way:
    """How two panels of a lattice meet; `edge` is a row of the lattice."""

    kind: MeetingKind
    edge: int = -1
    through: bool = False


@dataclass(frozen=True)
class _Neighbourhood:
    """One lattice with its pairs: how each meets, and who else each panel meets."""

    lattice: Lattice
    ways: dict[tuple[int, int], _Way]
    prisms: dict[tuple[int, int], tuple[list[float], list[float]]]
    near: dict[int, set[int]]
    held: AbstractSet[frozenset[int]]

    @classmethod
    def of(
        cls,
        lattice: Lattice,
        pairs: IndexArray,
        low: FloatArray,
        high: FloatArray,
        held: AbstractSet[frozenset[int]],
    ) -> _Neighbourhood:
        """The neighbourhood of pairs with their prisms from `low` to `high` [mm]."""
        near: dict[int, set[int]] = {}
        listed = [(i, j) for i, j in pairs.tolist()]
        for i, j in listed:
            near.setdefault(i, set()).add(j)
            near.setdefault(j, set()).add(i)
        ends = zip(low.tolist(), high.tolist(), strict=True)
        prisms = dict(zip(listed, ends, strict=True))
        ways = {pair: _way(lattice, *pair, *prism) for pair, prism in prisms.items()}
        return cls(lattice, ways, prisms, near, held)

    def is_held(self, i: int, j: int) -> bool:
        """Whether one of two panels is captive in the other."""
        return frozenset((self.lattice.panels[i], self.lattice.panels[j])) in self.held

    def way(self, i: int, j: int) -> _Way:
        return self.ways[min(i, j), max(i, j)]

    def is_edge(self, i: int, j: int) -> bool:
        """Whether panel i ends at panel j: in a corner, or with its edge in a tee."""
        way = self.way(i, j)
        return way.kind is MeetingKind.CORNER or way.edge == i

    def thirds(self, i: int, j: int) -> Iterator[tuple[int, list[float], list[float]]]:
        """Panels that reach into the prism of two others, and the box all three share."""
        low, high = self.prisms[i, j]
        for third in sorted(self.near[i] & self.near[j]):
            seat = self.lattice.seats[third]
            lows = [max(one, other) for one, other in zip(low, seat.low, strict=True)]
            highs = [min(one, other) for one, other in zip(high, seat.high, strict=True)]
            if all(end - begin > SAME for begin, end in zip(lows, highs, strict=True)):
                yield third, lows, highs


def _meet(
    number: int, around: _Neighbourhood, meetings: list[Meeting], blocks: list[Block]
) -> None:
    """Find the meetings and blocks of one lattice and add them to the lists."""
    found: dict[tuple[int, ...], int] = {}
    meetings += [_meeting(number, around, pair, found, blocks) for pair in around.ways]


def _meeting(
    number: int,
    around: _Neighbourhood,
    pair: tuple[int, int],
    found: dict[tuple[int, ...], int],
    blocks: list[Block],
) -> Meeting:
    lattice, way = around.lattice, around.way(*pair)
    axis = 3 - lattice.seats[pair[0]].axes[2] - lattice.seats[pair[1]].axes[2]
    ends: tuple[int, int] | None = (-1, -1)
    claims: tuple[Claim, ...] = ()
    if way.kind is MeetingKind.CORNER:
        ends = _ends(around, pair, axis, found, blocks)
    elif way.kind is not MeetingKind.OTHER:
        claims = tuple(_claims(around, pair, axis))
    planned = ends is not None and way.kind is not MeetingKind.OTHER
    low, high = around.prisms[pair]
    return Meeting(
        lattice.panels[pair[0]],
        lattice.panels[pair[1]],
        way.kind if planned else MeetingKind.OTHER,
        number,
        axis if planned else -1,
        _triple(low),
        _triple(high),
        ends or (-1, -1),
        lattice.panels[way.edge] if way.edge >= 0 else -1,
        way.through,
        claims,
    )


def _way(lattice: Lattice, i: int, j: int, low: list[float], high: list[float]) -> _Way:
    """How two panels meet, from where their prism lies in each of them."""
    seats = lattice.seats
    normal_i, normal_j = seats[i].axes[2], seats[j].axes[2]
    if normal_i == normal_j:
        return _Way(MeetingKind.OTHER)

    def at_end(panel: int, axis: int) -> tuple[bool, bool]:
        return (
            abs(low[axis] - seats[panel].low[axis]) < SAME,
            abs(high[axis] - seats[panel].high[axis]) < SAME,
        )

    whole_i, whole_j = all(at_end(i, normal_i)), all(at_end(j, normal_j))
    edge_i, edge_j = any(at_end(i, normal_j)), any(at_end(j, normal_i))
    if whole_i and whole_j and edge_i == edge_j:
        return _Way(MeetingKind.CORNER if edge_i else MeetingKind.CROSSING)
    for own, whole, edge, through in ((i, whole_i, edge_i, whole_j), (j, whole_j, edge_j, whole_i)):
        if whole and edge:
            mate, normal = seats[i + j - own], seats[own].axes[2]
            # A mortise that all but reaches the end of its panel is neither tee nor corner.
            webs = low[normal] - mate.low[normal], mate.high[normal] - high[normal]
            thin = through and any(SAME < web < WEB for web in webs)
            return _Way(MeetingKind.OTHER) if thin else _Way(MeetingKind.TEE, own, through)
    return _Way(MeetingKind.OTHER)


def _ends(
    around: _Neighbourhood,
    pair: tuple[int, int],
    axis: int,
    found: dict[tuple[int, ...], int],
    blocks: list[Block],
) -> tuple[int, int] | None:
    """The blocks at the ends of a corner; None when another corner meets it midway.

    Panels that only end at this corner's two panels yield to it and take no block.
    """
    ends = [-1, -1]
    prism_low, prism_high = around.prisms[pair]
    for third, low, high in around.thirds(*pair):
        if any(around.way(panel, third).kind is not MeetingKind.CORNER for panel in pair):
            continue
        at_low = abs(low[axis] - prism_low[axis]) < SAME
        at_high = abs(high[axis] - prism_high[axis]) < SAME
        if at_low == at_high or ends[int(at_high)] >= 0:
            return None
        trio = tuple(sorted((*pair, third)))
        if trio not in found:
            found[trio] = len(blocks)
            a, b, c = sorted(around.lattice.panels[row] for row in trio)
            blocks.append(Block((a, b, c), _triple(low), _triple(high)))
        ends[int(at_high)] = found[trio]
    return ends[0], ends[1]


def _claims(around: _Neighbourhood, pair: tuple[int, int], axis: int) -> Iterator[Claim]:
    """What third panels claim of a tee or a crossing.

    Of three panels that share a block, one that ends at both others yields to the meeting of those
    two, unless it is captive in both: their grooves run on to hold its corner. Where two panels
    cross and both end at a third, the third keeps the block if either passes through it; in
    trenches of part depth the block stays with the two that cross.
    """
    for third, low, high in around.thirds(*pair):
        name = around.lattice.panels[third]
        stretch = low[axis], high[axis]
        way = around.way(*pair)
        if way.kind is MeetingKind.CROSSING:
            end = [around.way(panel, third) for panel in pair]
            if any(each.through and each.edge in pair for each in end):
                yield Claim(*stretch, name, yields=True)
            continue
        edge, face = way.edge, sum(pair) - way.edge
        if around.is_edge(edge, third):
            if around.is_held(edge, third) and around.is_held(edge, face):
                continue
            yield Claim(*stretch, name, yields=True)
        elif around.way(edge, third).kind is MeetingKind.CROSSING and around.is_edge(third, face):
            keeps = way.through or around.way(third, face).through
            yield Claim(*stretch, name, yields=keeps)


def _triple(values: list[float]) -> tuple[float, float, float]:
    return values[0], values[1], values[2]


def _askew(lattices: Sequence[Lattice]) -> list[Meeting]:
    """Panels of different lattices whose slabs share space, by separating axes."""
    if len(lattices) < 2:
        return []
    centres = np.concatenate([(lat.low + lat.high) / 2 @ lat.turn for lat in lattices])
    halves = np.concatenate([(lat.high - lat.low) / 2 for lat in lattices])
    turns = np.concatenate([np.broadcast_to(lat.turn, (len(lat.panels), 3, 3)) for lat in lattices])
    home = np.concatenate([np.full(len(lat.panels), n) for n, lat in enumerate(lattices)])
    names = np.concatenate([np.array(lat.panels) for lat in lattices])
    reach = np.einsum("ki,kij->kj", halves, np.abs(turns))
    pairs = overlapping_pairs(centres - reach, centres + reach)
    return [
        Meeting(
            int(min(names[i], names[j])), int(max(names[i], names[j])),
            MeetingKind.OTHER, -1, -1, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0),
        )
        for i, j in pairs.tolist()
        if home[i] != home[j]
        and not _apart(centres[j] - centres[i], turns[i], halves[i], turns[j], halves[j])
    ]  # fmt: skip


def _apart(
    between: FloatArray,
    turn_a: FloatArray,
    half_a: FloatArray,
    turn_b: FloatArray,
    half_b: FloatArray,
) -> bool:
    """Whether one of the fifteen candidate axes separates two boxes."""
    crosses = np.cross(turn_a[:, None, :], turn_b[None, :, :]).reshape(-1, 3)
    lengths = np.linalg.norm(crosses, axis=1)
    axes = np.concatenate((turn_a, turn_b, crosses[lengths > PARALLEL]))
    axes = axes / np.linalg.norm(axes, axis=1)[:, None]
    spread = np.abs(axes @ turn_a.T) @ half_a + np.abs(axes @ turn_b.T) @ half_b
    return bool((np.abs(axes @ between) > spread - SAME).any())
