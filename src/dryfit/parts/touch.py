"""Touch: the dry fit of as-cut parts in their assembled places.

Two plates that stand square to each other share a prism with three axes: s along the corner, and
each plate's own thickness. At each s one plate fills a(s) of the other's thickness and is itself
filled through, and the other way round. So what both fill is a(s) · b(s), what neither fills is
what is left of both, and the overlap and the gap are integrals along s: exact for square shapes
and to a millionth for arcs.

Penetration is a length, not a volume: the side of the largest cube that fits into one corner of
the overlap, which is how far both its walls must yield for the joint to close. A flank too fat by
0.05 mm penetrates by 0.05 mm, a square corner in a fillet of radius r by r (1 - 1/√2).
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2b
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from dryfit.parts.layers import standing
from dryfit.parts.memory import Memory
from dryfit.shapes.cells import overlapping_pairs
from dryfit.shapes.section import Views, cover
from dryfit.shapes.tolerances import DECIMALS, SAME

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.model.lattice import Lattice
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Profile
from dryfit.shapes.section import Cover

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

Spans: TypeAlias = "Mapping[tuple[str, str], Sequence[tuple[float, float]]]"

_SAMPLES = 513
_LOT = 1_000_000
_PLANES = np.array([[1, 2], [0, 2], [0, 1]])


@dataclass(frozen=True, slots=True)
class Touch:
    """How two parts touch in the assembled piece.

    Parameters
    ----------
    a, b : str
        The two parts.
    overlap : float
        Volume that both fill. [mm³]
    gap : float
        Volume of their shared prism that neither fills. [mm³]
    penetration : float
        How far both walls must yield for the parts to close. [mm]
    open : float
        How far the joint stands open if nothing yields. [mm]
    """

    a: str
    b: str
    overlap: float
    gap: float
    penetration: float
    open: float


_Key: TypeAlias = tuple[str, str, bytes, bytes, tuple[tuple[float, float], ...]]

TOUCHES: Memory[_Key, Touch] = Memory(16384)
"""Touches by the names of two parts, what their touch can see of them, and its own stretches."""


@dataclass(frozen=True, eq=False)
class _Table:
    """All parts of one lattice, layer by layer, in its axes: slabs, and edges of every profile.

    Parameters
    ----------
    parts : list of Part
        The part of each row; one with trenches has several rows.
    normal : array, shape (k,)
        The axis each plate's thickness runs along. [-]
    low, high : array, shape (k, 3)
        The slabs, as cut. [mm]
    edges : array, shape (m, 5)
        All edges; the profile lies left of travel. [mm]
    first : array, shape (k + 1,)
        Where the edges of each row begin.
    turn : array, shape (k, 2, 2)
        From a part's (u, v) to the two axes of its plane, in ascending order. [-]
    offset : array, shape (k, 2)
        Where its origin lies there. [mm]
    """

    parts: list[Part]
    normal: IntArray
    low: FloatArray
    high: FloatArray
    edges: FloatArray
    first: IntArray
    turn: FloatArray
    offset: FloatArray

    def prints(self) -> list[bytes]:
        """What a touch can see of each row, in short."""
        places = np.column_stack((self.low, self.high, self.normal))
        return [
            blake2b(place.tobytes() + self.edges[first:last].tobytes(), digest_size=32).digest()
            for place, first, last in zip(
                places, self.first[:-1].tolist(), self.first[1:].tolist(), strict=True
            )
        ]

    def profile(self, row: int) -> Profile:
        """A part's as-cut shape in the two axes of its plane. [mm]"""
        return self.parts[row].as_cut.transformed(self.turn[row], self.offset[row])


def dry_fit(
    parts: Sequence[Part],
    lattices: Sequence[Lattice],
    spans: Spans = MappingProxyType({}),
) -> tuple[Touch, ...]:
    """Put the as-cut parts together and measure every pair that comes near.

    Parameters
    ----------
    parts : sequence of Part
        In the order of the piece.
    lattices : sequence of Lattice
        Which parts are square to one another.
    spans : mapping of pair of str to pairs of float
        The stretches along the meeting where a pair's own joint runs; only there is a gap theirs,
        the rest of the prism belongs to third panels. Without an entry the whole prism counts.
        [mm]

    Returns
    -------
    tuple of Touch
        One for each pair whose slabs share space; square pairs only.
    """
    found: list[Touch] = []
    for lattice in lattices:
        table = _table([parts[panel] for panel in lattice.panels], lattice)
        pairs = overlapping_pairs(table.low, table.high)
        names = np.array([part.name for part in table.parts])
        pairs = pairs[names[pairs[:, 0]] != names[pairs[:, 1]]]
        flat = table.normal[pairs[:, 0]] == table.normal[pairs[:, 1]]
        for i, j in pairs[flat].tolist():
            stacked = _stacked(table, i, j)
            found += [stacked] if stacked is not None else []
        found += _crossed_all(table, pairs[~flat], spans)
    return _together(found)


def _crossed_all(table: _Table, pairs: IntArray, spans: Spans) -> list[Touch]:
    """Plates square to each other: those not seen before are measured together, in lots."""
    prints, names = table.prints(), [part.name for part in table.parts]
    keys = [
        (names[i], names[j], prints[i], prints[j], tuple(spans.get((names[i], names[j]), ())))
        for i, j in pairs.tolist()
    ]
    return TOUCHES.all_of(
        keys,
        lambda places: [
            touch
            for chunk in _chunks(table, pairs[places])
            for touch in _crossed(table, chunk, spans)
        ],
    )


def _chunks(table: _Table, pairs: IntArray) -> list[IntArray]:
    """The pairs in lots whose edges fit into memory together."""
    if not len(pairs):
        return []
    edges = np.diff(table.first)[pairs].sum(axis=1)
    lot = np.cumsum(edges) // _LOT
    return np.split(pairs, np.flatnonzero(np.diff(lot)) + 1)


def _together(touches: list[Touch]) -> tuple[Touch, ...]:
    """The layers of every two parts as one: volumes added, the deepest and the widest taken."""
    pairs: dict[tuple[str, str], Touch] = {}
    for touch in touches:
        before = pairs.setdefault((touch.a, touch.b), touch)
        if before is touch:
            continue
        pairs[touch.a, touch.b] = Touch(
            touch.a,
            touch.b,
            before.overlap + touch.overlap,
            before.gap + touch.gap,
            max(before.penetration, touch.penetration),
            max(before.open, touch.open),
        )
    return tuple(pairs.values())


def _table(whole: list[Part], lattice: Lattice) -> _Table:
    rows = [(part, layer) for part in whole for layer in part.layers]
    parts = [part for part, _ in rows]
    heights = np.array([(layer.low, layer.high) for _, layer in rows])
    frames = [part.panel.frame for part in parts]
    axes = np.rint(np.array([(f.u, f.v, f.n) for f in frames]) @ lattice.turn.T)
    origin = np.array([f.origin for f in frames]) @ lattice.turn.T
    normal = np.abs(axes[:, 2]).argmax(axis=1)
    plane = _PLANES[normal]
    row = np.arange(len(parts))[:, None]
    turn, offset = axes[row, :2, plane], origin[row, plane]
    bounds = np.array([part.as_cut.bounds for part in parts]).reshape(-1, 2, 2)
    corners = np.einsum("kij,kcj->kci", turn, bounds) + offset[:, None]
    faces = origin[row, normal[:, None]] + axes[row[:, 0], 2, normal][:, None] * heights
    low, high = np.empty((len(parts), 3)), np.empty((len(parts), 3))
    low[row, plane], high[row, plane] = corners.min(axis=1), corners.max(axis=1)
    low[row[:, 0], normal], high[row[:, 0], normal] = faces.min(axis=1), faces.max(axis=1)
    outlines = [
        np.concatenate([loop.edges for loop in standing(part.as_cut, layer.trenches)])
        if layer.trenches
        else part.as_cut.edges
        for part, layer in rows
    ]
    counts = np.array([len(outline) for outline in outlines])
    edges = _turned(np.concatenate(outlines), counts, turn, offset)
    first = np.concatenate(([0], np.cumsum(counts)))
    return _Table(
        parts, normal, np.round(low, DECIMALS), np.round(high, DECIMALS), edges, first, turn, offset
    )


def _turned(
    edges: FloatArray, counts: IntArray, turn: FloatArray, offset: FloatArray
) -> FloatArray:
    """Every part's edges in the lattice. [mm]

    A mirror runs them backwards, so that the profile stays on their left; bent backwards and
    mirrored, a bulge keeps its sign.
    """
    own = np.repeat(np.arange(len(counts)), counts)
    u, v = edges[:, (0, 2)], edges[:, (1, 3)]
    way, origin = turn[own, :, :, None], offset[own, :, None]
    places = [way[:, i, 0] * u + way[:, i, 1] * v + origin[:, i] for i in (0, 1)]
    ends = np.round(np.stack(places, axis=2), DECIMALS)
    mirrored = (np.linalg.det(turn) < 0)[own]
    ends[mirrored] = ends[mirrored][:, ::-1]
    return np.column_stack((ends.reshape(-1, 4), edges[:, 4]))


def _crossed(table: _Table, pairs: IntArray, spans: Spans) -> list[Touch]:
    """Plates square to each other, all pairs at once."""
    along = 3 - table.normal[pairs[:, 0]] - table.normal[pairs[:, 1]]
    number = np.arange(len(pairs))
    span = np.column_stack(
        (
            table.low[pairs, along[:, None]].max(axis=1),
            table.high[pairs, along[:, None]].min(axis=1),
        )
    )
    names = [(table.parts[i].name, table.parts[j].name) for i, j in pairs.tolist()]
    own = _own(names, span, spans)
    covers = cover(_views(table, pairs, along, span), own.reshape(len(pairs), -1))
    thick = table.high - table.low
    windows = np.array(
        [thick[pairs[:, 1 - side], table.normal[pairs[:, 1 - side]]] for side in (0, 1)]
    )
    middle = covers.begin + covers.width / 2
    begin, end = own[covers.pair, :, 0].T, own[covers.pair, :, 1].T
    theirs = ((middle > begin) & (middle < end)).any(axis=0)
    both = covers.both()
    volume = covers.overlap()
    overlap = np.bincount(covers.pair, volume * both, len(number))
    # ∫ (w - a)(v - b) = L w v - v ∫ a - w ∫ b + ∫ a b
    filled = np.cumsum([covers.filled(own[:, k]) for k in range(own.shape[1])], axis=0)[-1]
    common = np.bincount(covers.pair, volume * theirs, len(number))
    # One stretch after the other: a pair's sum must not depend on how many another has.
    lengths = np.cumsum(own[:, :, 1] - own[:, :, 0], axis=1)[:, -1]
    prism = lengths * windows[0] * windows[1]
    gap = np.maximum(prism - windows[1] * filled[0] - windows[0] * filled[1] + common, 0.0)
    deepest, widest = _yield_and_open(covers, both, len(number))
    return [
        Touch(a, b, float(overlap[k]), float(gap[k]), float(deepest[k]), float(widest[k]))
        for k, (a, b) in enumerate(names)
    ]


def _own(names: list[tuple[str, str]], whole: FloatArray, spans: Spans) -> FloatArray:
    """The own stretches of every pair, shape (p, q, 2), filled up with empty ones. [mm]"""
    found = [
        list(spans.get(name, [(low, high)]))
        for name, (low, high) in zip(names, whole.tolist(), strict=True)
    ]
    most = max(len(each) for each in found)
    return np.array([each + [(each[0][0],) * 2] * (most - len(each)) for each in found])


def _views(table: _Table, pairs: IntArray, along: IntArray, span: FloatArray) -> Views:
    """Every edge of every plate that bears on the slab of its mate."""
    sides = [_side_view(table, pairs, along, side) for side in (0, 1)]
    pair, edges, window, below = (
        np.concatenate([view[field] for view in sides]) for field in range(4)
    )
    side = np.repeat([0, 1], [len(view[0]) for view in sides])
    return Views(pair, side, edges, window, below, span)


def _side_view(
    table: _Table, pairs: IntArray, along: IntArray, side: int
) -> tuple[IntArray, FloatArray, FloatArray, npt.NDArray[np.bool_]]:
    """Pair, edges, window and sense of measuring for one plate of each pair."""
    own, mate = pairs[:, side], pairs[:, 1 - side]
    across = table.normal[mate]
    window = np.column_stack((table.low[mate, across], table.high[mate, across]))
    middle = (table.low[own, across] + table.high[own, across]) / 2
    below = window.mean(axis=1) < middle
    count = table.first[own + 1] - table.first[own]
    pair = np.repeat(np.arange(len(pairs)), count)
    row = np.arange(len(pair)) - np.repeat(np.cumsum(count) - count - table.first[own], count)
    # The lower axis of the plane comes first; where s is the higher, swap them. That is a mirror,
    # so the edges are run back to keep the profile on the left.
    swap = (along > across)[pair]
    near = _bears(table.edges, row, np.where(swap, 0, 1), window[pair], below[pair])
    pair, swap = pair[near], swap[near]
    edges = table.edges[row[near]]
    edges[swap] = edges[swap][:, (3, 2, 1, 0, 4)]
    return pair, edges, window[pair], below[pair]


def _bears(
    edges: FloatArray,
    row: IntArray,
    across: IntArray,
    window: FloatArray,
    below: npt.NDArray[np.bool_],
) -> npt.NDArray[np.bool_]:
    """Whether edges reach into their windows, or lie on the side they are measured from.

    Measured from below, what lies above the window adds nothing, and the other way round.
    """
    reach = np.abs(edges[:, :2] - edges[:, 2:4]).sum(axis=1) * np.abs(edges[:, 4])
    low = np.minimum(edges[:, :2], edges[:, 2:4]) - reach[:, None]
    high = np.maximum(edges[:, :2], edges[:, 2:4]) + reach[:, None]
    under = low[row, across] < window[:, 1]
    over = high[row, across] > window[:, 0]
    return np.asarray(np.where(below, under, over))


def _yield_and_open(
    covers: Cover, both: npt.NDArray[np.bool_], count: int
) -> tuple[FloatArray, FloatArray]:
    """Deepest penetration of each pair, and how far its joint stands open. [mm]"""
    deepest, widest = [0.0] * count, [0.0] * count
    shapes = np.round(np.column_stack((covers.width, covers.overlap(), *covers.flat)), 6)
    seen: dict[tuple[int, bytes], tuple[float, float]] = {}
    cubes: dict[bytes, float] = {}
    pairs = covers.pair.tolist()
    for first, last in _runs(covers, both):
        # Fingers repeat, and so do their overlaps: each shape of a pair is measured once.
        pair = pairs[first]
        shape = pair, shapes[first:last].tobytes()
        if shape not in seen:
            sample = _sampled(covers, np.arange(first, last))
            # Pairs repeat too: what is measured is the rounded sample, whichever pair comes first.
            content = sample.tobytes()
            if content not in cubes:
                cubes[content] = _largest_cube(*sample)
            seen[shape] = cubes[content], float(sample[1].max())
        deepest[pair] = max(deepest[pair], seen[shape][0])
        widest[pair] = max(widest[pair], seen[shape][1])
    return np.array(deepest), np.array(widest)


def _runs(covers: Cover, both: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and one past the last of consecutive stretches of one pair that both plates fill.

    A run ends where a cover jumps: beyond a flank another corner begins, which yields by itself.
    """
    rows = np.flatnonzero(both)
    if not len(rows):
        return []
    jumps = covers.breaks()[rows[:-1]]
    breaks = (np.diff(rows) > 1) | (np.diff(covers.pair[rows]) != 0) | jumps
    firsts = rows[np.concatenate(([True], breaks))]
    lasts = rows[np.concatenate((breaks, [True]))] + 1
    return list(zip(firsts.tolist(), lasts.tolist(), strict=True))


def _sampled(covers: Cover, run: IntArray) -> FloatArray:
    """Places along one run of overlap from its begin, and the smaller of the two covers there.

    Shape (2, m), rounded. [mm]
    """
    places = [
        np.linspace(begin, begin + width, _SAMPLES)
        for begin, width in zip(covers.begin[run], covers.width[run], strict=True)
    ]
    depths = [covers.smaller(stretch, _SAMPLES) for stretch in run.tolist()]
    along = np.concatenate(places)
    return np.round((along - along[0], np.concatenate(depths)), DECIMALS) + 0.0


def _largest_cube(places: FloatArray, depth: FloatArray) -> float:
    """Largest d such that the depth stays at d or more over a length of d. [mm]"""
    low, high = 0.0, float(min(places[-1] - places[0], depth.max()))
    if _longest(places, depth, high) >= high:
        return high
    for _ in range(40):
        middle = (low + high) / 2
        if _longest(places, depth, middle) >= middle:
            low = middle
        else:
            high = middle
    return low


def _longest(places: FloatArray, depth: FloatArray, least: float) -> float:
    """Longest stretch over which the depth is `least` or more. [mm]"""
    deep = depth >= least
    ends = np.flatnonzero(np.diff(np.concatenate(([False], deep, [False])))).reshape(-1, 2)
    longest = 0.0
    for first, last in ends.tolist():
        begin, end = places[first], places[last - 1]
        if first > 0 and depth[first] > depth[first - 1]:
            share = (depth[first] - least) / (depth[first] - depth[first - 1])
            begin -= share * (places[first] - places[first - 1])
        if last < len(places) and depth[last - 1] > depth[last]:
            share = (depth[last - 1] - least) / (depth[last - 1] - depth[last])
            end += share * (places[last] - places[last - 1])
        longest = max(longest, float(end - begin))
    return longest


def _stacked(table: _Table, i: int, j: int) -> Touch | None:
    """Two plates that lie flat in each other: their common area times their common thickness."""
    # Loads GEOS, which square pieces do not need.
    from dryfit.shapes.boolean import intersection

    normal = table.normal[i]
    depth = float(
        min(table.high[i, normal], table.high[j, normal])
        - max(table.low[i, normal], table.low[j, normal])
    )
    common = intersection([table.profile(i)], [table.profile(j)])
    area = sum(profile.area for profile in common)
    if area * depth <= SAME:
        return None
    sides = [min(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1], depth) for p in common]
    names = table.parts[i].name, table.parts[j].name
    return Touch(*names, area * depth, 0.0, max(sides), depth)
