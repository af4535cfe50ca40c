"""How much of each line two crossing plates cover: the measure behind the dry fit.

Vocabulary
----------
pair
    Two plates that stand square to each other. Along the axis s that lies in both, each plate
    sees the other's slab as a *window* in its own plane.
cover
    How much of the window, on the line s = const, lies inside the plate's profile: a(s) for one
    plate of the pair, b(s) for the other.
curve
    An edge of a profile as a function over s. It is *flat* where it runs along s or lies outside
    the window, *bent* where it is an arc or a slant inside the window.
stretch
    A piece of s in which no curve of the pair begins or ends.

The cover is the sum, over the edges that the line crosses, of ± the clamped place of the crossing,
so no polygon has to be clipped. What both plates fill is the integral of a · b: exact on flat
stretches, and on bent ones by Gauss-Legendre quadrature after a cosine substitution, which takes
the square root out of the ends of an arc. All pairs of a piece are done at once: each pair's s is
counted in whole picometres from a place of its own on one long axis, so that coordinates which
are meant to be the same are the same.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc
from dryfit.shapes.tolerances import JUMP, SAME

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

_PICO = 1e9
_BETWEEN = 10**6
_GRID = 2.0**32

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)
_ANGLE = (_NODES + 1) * math.pi / 2
PLACES = np.concatenate(([0.0], (1 - np.cos(_ANGLE)) / 2, [1.0]))
"""Where the nodes lie in a stretch, 0 to 1: its two ends and ten between. [-]"""
SHARES = np.concatenate(([0.0], _WEIGHTS * math.pi / 4 * np.sin(_ANGLE), [0.0]))
"""The weight of each node; they add up to 1, and the ends weigh nothing. [-]"""


@dataclass(frozen=True, eq=False)
class Views:
    """What every plate of every pair shows of itself, one row an edge.

    Parameters
    ----------
    pair, side : array, shape (k,)
        Which pair the edge belongs to, and which of its two plates (0 or 1). [-]
    edges : array, shape (k, 5)
        s0, x0, s1, x1, bulge; the profile lies left of travel with s to the right and x up. [mm]
    window : array, shape (k, 2)
        The mate's slab in x. [mm]
    below : array, shape (k,)
        Whether the window lies at the low end of the plate; then it is measured from below, and
        edges above it need not be looked at.
    spans : array, shape (p, 2)
        The stretch of s that each pair shares. [mm]
    """

    pair: IntArray
    side: IntArray
    edges: FloatArray
    window: FloatArray
    below: BoolArray
    spans: FloatArray


@dataclass(frozen=True, eq=False)
class _Curves:
    """Curves over s: rows of pair, side, begin and end in s, sign, window, below, and shape.

    `shape` is centre s, centre x, radius and branch (+1 upper, -1 lower) of an arc; radius 0, x at
    s = 0 and slope of a straight edge.
    """

    pair: IntArray
    side: IntArray
    begin: FloatArray
    end: FloatArray
    sign: FloatArray
    window: FloatArray
    below: BoolArray
    shape: FloatArray

    def rows(self, keep: BoolArray | IntArray) -> _Curves:
        return _Curves(
            self.pair[keep], self.side[keep], self.begin[keep], self.end[keep],
            self.sign[keep], self.window[keep], self.below[keep], self.shape[keep],
        )  # fmt: skip

    def within(self, begin: FloatArray, end: FloatArray, rows: IntArray) -> _Curves:
        """The given rows with new ends."""
        return _Curves(
            self.pair[rows], self.side[rows], begin, end,
            self.sign[rows], self.window[rows], self.below[rows], self.shape[rows],
        )  # fmt: skip

    def heights(self, s: FloatArray) -> FloatArray:
        """Height x of each curve at its own places s, shape (k, m). [mm]"""
        centre_s, centre_x, radius, branch = self.shape.T[:, :, None]
        root = np.sqrt(np.maximum(radius**2 - (s - centre_s) ** 2, 0.0))
        return np.asarray(centre_x + branch * np.where(radius > 0, root, s))

    def shares(self, s: FloatArray) -> FloatArray:
        """What each curve adds to its cover at its own places s, shape (k, m). [mm]"""
        low, high = self.window[:, :1], self.window[:, 1:]
        height = np.clip(self.heights(s), low, high)
        below = self.below[:, None]
        return np.asarray(self.sign[:, None] * np.where(below, height - high, height - low))

    def areas(self, begin: FloatArray, end: FloatArray) -> FloatArray:
        """∫ of the shares from begin to end, shape (k,). [mm²]"""
        area = self.shares(((begin + end) / 2)[:, None])[:, 0] * (end - begin)
        bent = np.flatnonzero(_is_bent(self))
        arcs = self.rows(bent)
        base = np.where(arcs.below, arcs.window[:, 1], arcs.window[:, 0])
        under = arcs.antiderivative(end[bent]) - arcs.antiderivative(begin[bent])
        area[bent] = arcs.sign * (under - base * (end - begin)[bent])
        return np.asarray(area)

    def antiderivative(self, s: FloatArray) -> FloatArray:
        """∫ x ds up to s, from a place of its own for each curve, shape (k,). [mm²]"""
        centre_s, centre_x, radius, branch = self.shape.T
        u = np.clip(s - centre_s, -radius, radius)
        with np.errstate(divide="ignore", invalid="ignore"):
            angle = np.nan_to_num(np.arcsin(u / radius))
        round_ = (u * np.sqrt(radius**2 - u**2) + radius**2 * angle) / 2
        return np.asarray(centre_x * s + branch * np.where(radius > 0, round_, s**2 / 2))


def _joined(parts: list[_Curves]) -> _Curves:
    fields = ("pair", "side", "begin", "end", "sign", "window", "below", "shape")
    return _Curves(*(np.concatenate([getattr(part, name) for part in parts]) for name in fields))


def _curves(views: Views) -> _Curves:
    """Every edge that bears on a window, as pieces over s that are flat or inside the window."""
    edges = views.edges
    straight = edges[:, 4] == 0
    moving = straight & (np.abs(edges[:, 2] - edges[:, 0]) > SAME)
    pieces = [_lines(views, np.flatnonzero(moving))]
    if not straight.all():
        pieces.append(_branches(views, np.flatnonzero(~straight)))
    curves = _joined(pieces)
    span = views.spans[curves.pair]
    near = (curves.end > span[:, 0] + SAME) & (curves.begin < span[:, 1] - SAME)
    return _cut_at_window(curves.rows(near))


def _lines(views: Views, rows: IntArray) -> _Curves:
    s0, x0, s1, x1, _ = views.edges[rows].T
    slope = (x1 - x0) / (s1 - s0)
    zero = np.zeros_like(slope)
    shape = np.column_stack((zero, x0 - slope * s0, zero, slope))
    shape[slope == 0, 1] = x0[slope == 0]
    return _Curves(
        views.pair[rows], views.side[rows], np.minimum(s0, s1), np.maximum(s0, s1),
        np.where(s1 < s0, 1.0, -1.0), views.window[rows], views.below[rows], shape,
    )  # fmt: skip


def _branches(views: Views, rows: IntArray) -> _Curves:
    """Arcs cut at their extremes in s, so that each piece is an upper or a lower branch."""
    arcs = views.edges[rows]
    centre, radius, sweep = arc.centre(arcs), arc.radius(arcs), arc.included_angle(arcs)
    start = np.arctan2(arcs[:, 1] - centre[:, 1], arcs[:, 0] - centre[:, 0])
    low, high = np.minimum(start, start + sweep), np.maximum(start, start + sweep)
    turns = (np.floor(low / math.pi)[:, None] + np.arange(1, 4)) * math.pi
    stops = np.column_stack((low, np.clip(turns, low[:, None], high[:, None]), high))
    row, step = np.nonzero(np.diff(stops, axis=1) > 1e-12)
    one, other = stops[row, step], stops[row, step + 1]
    s_one = centre[row, 0] + radius[row] * np.cos(one)
    s_other = centre[row, 0] + radius[row] * np.cos(other)
    forward = (s_other > s_one) == (sweep[row] > 0)
    branch = np.sign(np.sin((one + other) / 2))
    here = rows[row]
    return _Curves(
        views.pair[here], views.side[here], np.minimum(s_one, s_other), np.maximum(s_one, s_other),
        np.where(forward, -1.0, 1.0), views.window[here], views.below[here],
        np.column_stack((centre[row], radius[row], branch)),
    )  # fmt: skip


def _cut_at_window(curves: _Curves) -> _Curves:
    """Bent curves cut where they cross an edge of their window."""
    varies = np.asarray((curves.shape[:, 2] > 0) | (curves.shape[:, 3] != 0))
    if not varies.any():
        return curves
    whole, curved = curves.rows(~varies), curves.rows(varies)
    centre_s, centre_x, radius, branch = curved.shape.T
    stops = [curved.begin, curved.end]
    for x in curved.window.T:
        root = np.sqrt(np.maximum(radius**2 - (x - centre_x) ** 2, 0.0))
        with np.errstate(divide="ignore", invalid="ignore"):
            slant = np.nan_to_num((x - centre_x) / branch)
        crossings = (np.where(radius > 0, centre_s + sign * root, slant) for sign in (-1, 1))
        stops += [np.clip(crossing, curved.begin, curved.end) for crossing in crossings]
    ordered = np.sort(np.column_stack(stops), axis=1)
    row, step = np.nonzero(np.diff(ordered, axis=1) > SAME)
    pieces = curved.within(ordered[row, step], ordered[row, step + 1], row)
    return _joined([whole, pieces])


def _is_bent(curves: _Curves) -> BoolArray:
    """Whether a curve varies inside its window, once it is cut there: judged midway."""
    bent = np.asarray((curves.shape[:, 2] > 0) | (curves.shape[:, 3] != 0))
    rows = np.flatnonzero(bent)
    varying = curves.rows(rows)
    height = varying.heights(((varying.begin + varying.end) / 2)[:, None])[:, 0]
    bent[rows] = (height > varying.window[:, 0]) & (height < varying.window[:, 1])
    return bent


@dataclass(frozen=True, eq=False)
class Cover:
    """The covers a(s) and b(s) of every pair, stretch by stretch.

    Parameters
    ----------
    pair : array, shape (m,)
        The pair of each stretch. [-]
    begin, width : array, shape (m,)
        Where each stretch begins, and its length. [mm]
    flat : array, shape (2, m)
        a and b, as far as flat curves make them. [mm]
    bent : array, shape (q,)
        The stretches that bent curves span and where neither plate surely fills nothing. [-]
    nodes : array, shape (2, q, 12)
        a and b at the nodes of those. [mm]
    curves : _Curves
        What they were made from, sorted by pair.
    """

    pair: IntArray
    begin: FloatArray
    width: FloatArray
    flat: FloatArray
    bent: IntArray
    nodes: FloatArray
    curves: _Curves

    def overlap(self) -> FloatArray:
        """∫ a b over each stretch, shape (m,). [mm³]"""
        volume: FloatArray = self.width * self.flat[0] * self.flat[1]
        shares = (self.nodes[0] * self.nodes[1] * SHARES).sum(axis=1)
        volume[self.bent] = self.width[self.bent] * shares
        return volume

    def filled(self, spans: FloatArray) -> FloatArray:
        """∫ a and ∫ b over a span of each pair, in closed form; shape (2, p). [mm²]

        Parameters
        ----------
        spans : array, shape (p, 2)
            The span of s. [mm]
        """
        own = self.curves
        begin = np.maximum(own.begin, spans[own.pair, 0])
        end = np.maximum(np.minimum(own.end, spans[own.pair, 1]), begin)
        area = own.areas(begin, end)
        return np.array(
            [
                np.bincount(own.pair[own.side == side], area[own.side == side], len(spans))
                for side in (0, 1)
            ]
        )

    def both(self) -> BoolArray:
        """Whether both plates fill something of a stretch, shape (m,)."""
        shared = np.asarray((self.flat > SAME).all(axis=0))
        shared[self.bent] = np.asarray((self.nodes > SAME).all(axis=0)).any(axis=1)
        return shared

    def breaks(self) -> BoolArray:
        """Whether a or b jumps between a stretch and the next, shape (m - 1,)."""
        ends = np.repeat(self.flat[:, :, None], 2, axis=2)
        ends[:, self.bent] = self.nodes[:, :, (0, -1)]
        return np.asarray((np.abs(ends[:, 1:, 0] - ends[:, :-1, 1]) > JUMP).any(axis=0))

    def smaller(self, stretch: int, count: int) -> FloatArray:
        """min(a, b) at `count` even places of one stretch, its ends included. [mm]"""
        begin = float(self.begin[stretch])
        end = begin + float(self.width[stretch])
        first, last = np.searchsorted(
            self.curves.pair, [self.pair[stretch], self.pair[stretch] + 1]
        )
        here = np.arange(first, last)
        spans = here[
            (self.curves.begin[here] < end - SAME) & (self.curves.end[here] > begin + SAME)
        ]
        curves = self.curves.rows(spans)
        shares = curves.shares(np.broadcast_to(np.linspace(begin, end, count), (len(spans), count)))
        one, other = (shares[curves.side == side].sum(axis=0) for side in (0, 1))
        return np.asarray(np.minimum(one, other))


def cover(views: Views, stops: FloatArray) -> Cover:
    """The covers of every pair.

    Parameters
    ----------
    views : Views
        What the plates show.
    stops : array, shape (p, q)
        Places of each pair at which a stretch should end whatever the curves do. [mm]
    """
    curves = _curves(views)
    curves = curves.rows(np.argsort(curves.pair, kind="stable"))
    spans = views.spans
    lengths = _whole(spans[:, 1] - spans[:, 0])
    homes = np.cumsum(lengths + _BETWEEN) - lengths - _BETWEEN
    begin, end = (
        _on_axis(s, curves.pair, spans, homes, lengths) for s in (curves.begin, curves.end)
    )
    pairs = np.arange(len(spans))
    extra = [_on_axis(s, pairs, spans, homes, lengths) for s in (*stops.T, *spans.T)]
    marks = np.unique(np.concatenate((begin, end, *extra)))
    pair = np.searchsorted(homes, marks[:-1], side="right") - 1
    real = marks[:-1] < homes[pair] + lengths[pair]
    place = spans[pair, 0] + (marks[:-1] - homes[pair]) / _PICO
    flat, bent, nodes = _measured(curves, marks, (begin, end), place)
    renumbered = np.cumsum(real) - 1
    return Cover(
        pair[real], place[real], np.diff(marks)[real] / _PICO, flat[:, real],
        renumbered[bent], nodes, curves,
    )  # fmt: skip


def _whole(lengths: FloatArray) -> IntArray:
    return np.asarray(np.rint(lengths * _PICO), dtype=np.int64)


def _on_axis(
    s: FloatArray, pair: IntArray, spans: FloatArray, homes: IntArray, lengths: IntArray
) -> IntArray:
    """Places s of pairs as whole picometres on the one long axis, kept inside their spans."""
    return np.asarray(homes[pair] + np.clip(_whole(s - spans[pair, 0]), 0, lengths[pair]))


def _spanned(rows: IntArray, first: IntArray, last: IntArray) -> tuple[IntArray, IntArray]:
    """Each of the rows with each stretch that it spans."""
    count = last[rows] - first[rows]
    curve = np.repeat(rows, count)
    start = np.repeat(np.cumsum(count) - count, count)
    return curve, first[curve] + np.arange(len(curve)) - start


def _measured(
    curves: _Curves, marks: IntArray, ends: tuple[IntArray, IntArray], place: FloatArray
) -> tuple[FloatArray, IntArray, FloatArray]:
    """Flat covers of all stretches, the bent stretches, and the covers at their nodes."""
    first, last = np.searchsorted(marks, ends[0]), np.searchsorted(marks, ends[1])
    is_bent = _is_bent(curves)
    level = np.flatnonzero(~is_bent)
    middle = ((curves.begin + curves.end) / 2)[level, None]
    # On a binary grid sums are exact: no pair's cover depends on who is measured beside it.
    share = np.rint(curves.rows(level).shares(middle)[:, 0] * _GRID) / _GRID
    flat = np.empty((2, len(marks) - 1))
    for side in (0, 1):
        own = level[curves.side[level] == side]
        value = share[curves.side[level] == side]
        steps = np.bincount(first[own], value, len(marks)) - np.bincount(
            last[own], value, len(marks)
        )
        flat[side] = np.cumsum(steps)[:-1]
    # Heights that differ by less than the tolerance leave dust where nothing is covered.
    flat[np.abs(flat) < SAME] = 0.0
    curve, stretch = _spanned(np.flatnonzero(is_bent), first, last)
    # Where one plate has no curve and no flat cover, it fills nothing, and the product is nought.
    some = flat > SAME
    some[curves.side[curve], stretch] = True
    needed = np.asarray(some.all(axis=0))[stretch]
    curve, stretch = curve[needed], stretch[needed]
    bent, slot = np.unique(stretch, return_inverse=True)
    s = place[stretch][:, None] + (np.diff(marks)[stretch] / _PICO)[:, None] * PLACES
    share_at = curves.rows(curve).shares(s)
    nodes = np.repeat(flat[:, bent, None], len(PLACES), axis=2)
    np.add.at(nodes, (curves.side[curve], slot), share_at)
    return flat, bent, nodes
