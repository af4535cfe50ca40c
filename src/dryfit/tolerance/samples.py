"""Samples of links: every error drawn but the misfit they share.

A larger misfit tightens every link. So each sample has a largest misfit at which every link closes
by itself, and a largest one, no larger, at which all close at once.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.links import gives, row_errors, row_worst
from dryfit.tolerance.loops import Graph
from dryfit.tolerance.normal import largest, spread_uniforms, standard, swell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.tolerance.links import Link
    from dryfit.tolerance.normal import FloatArray

MOST = 5.0
"""No misfit larger than this is looked at. [mm]"""

_SLIGHT = 1e-12


class Samples:
    """Errors of links, drawn once.

    Parameters
    ----------
    links : sequence of Link
        Their bodies in the order of their names.
    freedom : float
        Degrees of freedom behind the errors of boundaries. [-]
    power : int
        Binary logarithm of the number of samples. [-]
    seed : int
        The same seed gives the same samples. [-]
    """

    def __init__(self, links: Sequence[Link], freedom: float, power: int, seed: int) -> None:
        self._links = links
        self._low, self._high = _bounds(links, freedom, power, seed)
        self._per_gap = np.array([link.per_gap for link in links]).reshape(-1, 1)
        self._pairs = _pairs(links)
        self._graphs = [_graph(links, axis) for axis in sorted({link.axis for link in links})]

    def largest_misfits(self, gap: float) -> tuple[FloatArray, FloatArray]:
        """The largest misfit at which each closes alone, and all at once, shape (s,) each. [mm]

        Parameters
        ----------
        gap : float
            The swept gap. [mm]
        """
        low, high = self._low - self._per_gap * gap, self._high + self._per_gap * gap
        # What a link lacks is made up for by a misfit that is less than nothing.
        alone = np.full(low.shape[1], -MOST)
        for number, link in enumerate(self._links):
            if link.holds:
                alone = np.maximum(alone, _lacks(low[number] - high[number], 2 * link.per_misfit))
        whole = alone.copy()
        for one, other, rise in self._pairs:
            whole = np.maximum(whole, _lacks(low[one] - high[other], rise))
        for graph, sources in self._graphs:
            weight = np.array([high[n] if up else -low[n] for n, up in sources])
            whole = graph.least_opening(weight, whole)
        return -alone, -whole


def _lacks(short: FloatArray, rise: float) -> FloatArray:
    """The opening that makes up for what is short; infinite where none does. [mm]"""
    if rise > 0:
        return short / rise
    return np.where(short > _SLIGHT, inf, -MOST)


def _pairs(links: Sequence[Link]) -> list[tuple[int, int, float]]:
    """Two links each between the same bodies, the one from below and the other from above."""
    beside: dict[tuple[int, str, str], list[int]] = {}
    for number, link in enumerate(links):
        beside.setdefault((link.axis, link.first, link.second), []).append(number)
    return [
        (one, other, links[one].per_misfit + links[other].per_misfit)
        for members in beside.values()
        for one in members
        for other in members
        if one != other and links[one].plus and links[other].minus
    ]


def _graph(links: Sequence[Link], axis: int) -> tuple[Graph, list[tuple[int, bool]]]:
    """The loops along one axis, and the link and side that each of their edges stands for."""
    numbers: dict[str, int] = {}
    edges, sources = [], []
    for number, link in enumerate(links):
        if link.axis != axis:
            continue
        one, other = (numbers.setdefault(body, len(numbers)) for body in (link.first, link.second))
        for begin, end, bounds in ((one, other, link.minus), (other, one, link.plus)):
            if bounds:
                edges.append((begin, end, link.per_misfit))
                sources.append((number, end == other))
    graph, kept = Graph.of(edges)
    return graph, [sources[place] for place in kept]


def _bounds(
    links: Sequence[Link], freedom: float, power: int, seed: int
) -> tuple[FloatArray, FloatArray]:
    """The lowest and highest shift of every link with no gap, shape (links, samples). [mm]"""
    draw = _Draw(sum(link.width for link in links) + 1, power, seed)
    places = draw.uniforms(1)[:, 0]
    times = swell(places, freedom) if freedom < inf else np.ones(len(places))
    low, high = np.empty((len(links), 2**power)), np.empty((len(links), 2**power))
    # The first columns are spread best, and go to what moves a link as a whole.
    middles = [link.centre + _moved(link, draw, times) for link in links]
    for number, (link, middle) in enumerate(zip(links, middles, strict=True)):
        worst_low, worst_high = _worst(link, draw, times)
        low[number] = middle - link.gap + worst_low
        high[number] = middle + link.gap - worst_high
    return low, high


def _moved(link: Link, draw: _Draw, times: FloatArray) -> FloatArray:
    """How far a link lies off as a whole, in every sample. [mm]"""
    spread = np.full(len(times), link.datum)
    if link.is_single:
        spread = np.hypot(spread, link.sd * times / np.sqrt(2))
    return spread * draw.normals(1)[:, 0] if spread.any() else spread


class _Draw:
    """Hands out columns of well-spread points, each once."""

    def __init__(self, width: int, power: int, seed: int) -> None:
        self._points = spread_uniforms(width, power, seed)
        self._next = 0

    def uniforms(self, count: int) -> FloatArray:
        """The next columns, shape (samples, count). [-]"""
        self._next += count
        return self._points[:, self._next - count : self._next]

    def normals(self, count: int) -> FloatArray:
        """The next columns as standard normals. [-]"""
        return standard(self.uniforms(count))


def _worst(link: Link, draw: _Draw, times: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The largest errors of both senses, less what the boundaries give, in every sample. [mm]"""
    if link.row is not None:
        normals = draw.normals(len(link.row.places) + 1)
        errors = row_errors(link.row, link.sd * times[:, None], normals)
        return row_worst(link.row, errors, gives(link))
    if link.is_single:
        # Of two boundaries half the difference moves the link, and half the sum closes it.
        spread = np.hypot(link.sd * times / np.sqrt(2), link.squeeze / 2)
        closed = spread * draw.normals(1)[:, 0] if spread.any() else spread
        return closed - link.give(0), closed - link.give(1)
    return _worst_of(link, 0, draw, times), _worst_of(link, 1, draw, times)


def _worst_of(link: Link, sense: int, draw: _Draw, times: FloatArray) -> FloatArray:
    """The largest of the errors of one sense; minus infinity where there are none. [mm]"""
    count, strict = (link.plus, link.minus)[sense], link.strict[sense]
    worst = np.full(len(times), -inf)
    for number, give in ((count - strict, link.pinch), (strict, 0.0)):
        if number and link.sd > 0:
            drawn = link.sd * times * largest(draw.uniforms(1)[:, 0], number)
            worst = np.maximum(worst, drawn - give)
        elif number:
            worst = np.maximum(worst, -give)
    return worst
