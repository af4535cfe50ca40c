"""The swept sheet against the parts as they should come out, level by level and both ways.

*Cut inside part*: how near the middle of the cutter comes to what has to stand, against its radius.
*Wood left on part*: how far the edge of what has to stand is from the nearest middle of the cutter,
against its radius, at every vertex and at most `STEP` apart. A level that is wrong by no more than
it is high is wrong by its height.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes import geos
from dryfit.shapes.tolerances import TOUCH

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from dryfit.cutting.bed import Bed, Lying
    from dryfit.cutting.sweep import Cover, Sweep

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

STEP = 2.0
"""Farthest that two places looked at lie apart on a straight edge. [mm]"""

_CHORD = 4e-4
_SAME_LEVEL = 2e-3
"""Levels nearer than this are one; it is the most that rounding moves a height, and more. [mm]"""

_CRUMB = 0.02
"""Pieces thinner than this are left by rounding. [mm]"""

_NEAR = 1e-3
"""How far beyond its radius a middle is still looked at. [mm]"""


@dataclass(frozen=True, eq=False)
class Holds:
    """What is left on purpose.

    Parameters
    ----------
    tabs : array, shape (j, 4)
        Lines along which the cutter is up, or on its way down. [mm]
    tab_height : float
        How high tabs stand. [mm]
    span : float
        Length of the line over which it is up. [mm]
    skins : mapping
        Thickness of the skin under a part, by its number. [mm]
    """

    tabs: FloatArray = field(default_factory=lambda: np.zeros((0, 4)))
    tab_height: float = 0.0
    span: float = 0.0
    skins: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Miss:
    """The worst of one kind on one part.

    `inside` says that it is cut inside the part, else wood is left on it; `row` is a move to
    blame, -1 where none is; `depth` in [mm], at (x, y) and a height above the bed in [mm].
    """

    part: int
    inside: bool
    depth: float
    x: float
    y: float
    height: float
    row: int


@dataclass(frozen=True, eq=False)
class Standing:
    """What has to stand of every part at one height.

    `edges` are straight lines [mm], `owner` the part of each; `spots` the places looked at [mm],
    `holder` the part of each, `inner` whether it lies on the edge of a hole.
    """

    shapes: geos.Regions
    shape_owner: IntArray
    edges: FloatArray
    owner: IntArray
    spots: FloatArray
    holder: IntArray
    inner: BoolArray


class Comparison:
    """Compares sweeps with the parts on a bed; the cutter's `radius` in [mm]."""

    def __init__(
        self, bed: Bed, sweeps: Sequence[Sweep], radius: float, holds: Holds, top: float
    ) -> None:
        self.bed, self.sweeps, self.radius, self.holds, self.top = bed, sweeps, radius, holds, top
        self._standing: dict[tuple[int, ...], Standing] = {}
        self._judged: dict[tuple[object, ...], list[Miss]] = {}

    def levels(self) -> list[tuple[float, float]]:
        """Low and high of each level between two heights at which something may change. [mm]"""
        found = [np.array([0.0, self.top])]
        found += [sweep.heights() for sweep in self.sweeps]
        trenches = [t for lying in self.bed.lying for t in lying.trenches]
        found.append(np.array([z for t in trenches for z in (t.low, t.high)]))
        found.append(np.array([self.holds.tab_height, *self.holds.skins.values()]))
        heights = np.unique(np.concatenate(found))
        heights = heights[(heights >= 0) & (heights <= self.top)]
        kept = [0.0]
        for height in heights.tolist():
            if height - kept[-1] > _SAME_LEVEL:
                kept.append(height)
        kept[-1] = self.top
        return list(pairwise(kept))

    def misses(self) -> list[Miss]:
        """The worst miss of each part each way, larger than nothing."""
        worst: dict[tuple[int, bool], Miss] = {}
        run: dict[tuple[int, bool], float] = {}
        for low, high in self.levels():
            here = {(miss.part, miss.inside): miss for miss in self._at(low, high)}
            run = {key: run.get(key, 0.0) + high - low for key in here if here[key].depth > TOUCH}
            for key, miss in here.items():
                depth = min(miss.depth, run.get(key, np.inf))
                if key not in worst or depth > worst[key].depth:
                    worst[key] = replace(miss, depth=depth, height=(low + high) / 2)
        return [worst[key] for key in sorted(worst)]

    def _at(self, low: float, high: float) -> list[Miss]:
        """The worst misses on a level: all that reaches into it, and all that goes through it."""
        spare = min(1.25 * _SAME_LEVEL, (high - low) / 4)
        ends = low + spare, high - spare
        reaching = [sweep.at(ends[not sweep.turned_over]) for sweep in self.sweeps]
        through = [sweep.at(ends[sweep.turned_over]) for sweep in self.sweeps]
        height = (low + high) / 2
        state = self._state(height)
        tabbed = height < self.holds.tab_height
        skinned = tuple(k for k, skin in self.holds.skins.items() if height < skin)
        inside = (True, *(cover.key for cover in reaching), state)
        left = (False, *(cover.key for cover in through), state, tabbed, skinned)
        standing = self.standing(height)
        if inside not in self._judged:
            self._judged[inside] = [*self._inside(reaching, standing)]
        if left not in self._judged:
            self._judged[left] = [*self._left(through, standing, tabbed=tabbed, skinned=skinned)]
        return self._judged[inside] + self._judged[left]

    def _state(self, height: float) -> tuple[int, ...]:
        """Which trenches are open at a height."""
        return tuple(
            index
            for index, trench in enumerate(t for each in self.bed.lying for t in each.trenches)
            if trench.low < height < trench.high
        )

    def standing(self, height: float) -> Standing:
        """What has to stand at a `height` [mm]."""
        state = self._state(height)
        if state not in self._standing:
            self._standing[state] = _standing(self.bed.lying, height)
        return self._standing[state]

    def _inside(self, covers: Sequence[Cover], standing: Standing) -> Iterator[Miss]:
        chords = np.concatenate([cover.chords for cover in covers])
        rows = np.concatenate([cover.row for cover in covers])
        if not len(chords):
            return
        reach = self.radius + _NEAR
        chord, near, far = geos.closest(geos.lines(chords), geos.lines(standing.edges), reach)
        depth, part = self.radius - far, standing.owner[near]
        # A middle that lies in the wood itself cuts deeper than its radius.
        shape, spot = geos.inside_pairs(standing.shapes, chords[:, :2])
        if len(spot):
            _, off = geos.nearest(geos.spots(chords[spot, :2]), geos.lines(standing.edges))
            depth = np.concatenate((depth, self.radius + off))
            part = np.concatenate((part, standing.shape_owner[shape]))
            chord = np.concatenate((chord, spot))
        yield from self._worst(depth, part, chords[chord, :2], rows[chord], inside=True)

    def _left(
        self,
        covers: Sequence[Cover],
        standing: Standing,
        *,
        tabbed: bool,
        skinned: tuple[int, ...],
    ) -> Iterator[Miss]:
        looked = np.ones(len(standing.spots), dtype=np.bool_)
        if skinned:
            looked &= standing.inner | ~np.isin(standing.holder, skinned)
        if tabbed and len(self.holds.tabs):
            every, tabs = geos.spots(standing.spots), geos.lines(self.holds.tabs)
            held, _ = geos.within(every, tabs, self.radius + TOUCH)
            looked[held] = False
        spots, part = standing.spots[looked], standing.holder[looked]
        chords = np.concatenate([cover.chords for cover in covers])
        rows = np.concatenate([cover.row for cover in covers])
        near, far = geos.nearest(geos.spots(spots), geos.lines(chords), self.radius + _NEAR)
        depth = np.minimum(far - self.radius, 1e3)
        blame = rows[near] if len(rows) else np.full(len(spots), -1)
        yield from self._worst(depth, part, spots, blame, inside=False)

    @staticmethod
    def _worst(
        depth: FloatArray, part: IntArray, where: FloatArray, rows: IntArray, *, inside: bool
    ) -> Iterator[Miss]:
        """The deepest of each part."""
        order = np.lexsort((-depth, part))
        first = np.concatenate(([True], np.diff(part[order]) != 0)) if len(order) else order
        for k in order[first].tolist():
            if depth[k] > 0:
                x, y = where[k].tolist()
                yield Miss(int(part[k]), inside, float(depth[k]), x, y, 0.0, int(rows[k]))


def _standing(lying: Sequence[Lying], height: float) -> Standing:
    found, owners = [], []
    for index, each in enumerate(lying):
        whole = geos.regions([[loop.dense(_CHORD) for loop in each.outline.loops]])[0]
        open_here = [
            [trench.profile.outer.dense(_CHORD)]
            for trench in each.trenches
            if trench.low < height < trench.high
        ]
        rings = geos.rings_of(geos.less(whole, geos.regions(open_here)) if open_here else whole)
        kept = [part for part in rings if _is_wide(part)]
        found += kept
        owners += [index] * len(kept)
    edges, owner, spots, holder, inner = [], [], [], [], []
    for piece, index in zip(found, owners, strict=True):
        for place, ring in enumerate(piece):
            lines = np.hstack((ring[:-1], ring[1:]))
            looked = places(lines)
            edges.append(lines)
            owner.append(np.full(len(lines), index))
            spots.append(looked)
            holder.append(np.full(len(looked), index))
            inner.append(np.full(len(looked), place > 0))
    if not found:
        nothing = np.zeros(0, dtype=np.intp)
        none, bare = np.zeros((0, 4)), np.zeros((0, 2))
        return Standing(
            geos.regions([]), nothing, none, nothing, bare, nothing, nothing.astype(np.bool_)
        )
    return Standing(
        geos.regions(found),
        np.array(owners, dtype=np.intp),
        np.concatenate(edges),
        np.concatenate(owner),
        np.concatenate(spots),
        np.concatenate(holder),
        np.concatenate(inner),
    )


def _is_wide(rings: list[FloatArray]) -> bool:
    """Whether a piece is more than a crumb that rounding left."""
    shape = geos.regions([rings])
    return float(geos.widths(shape)[0]) > _CRUMB


def places(lines: FloatArray) -> FloatArray:
    """Begin of every line, and places on the long ones at most `STEP` apart. [mm]"""
    length = np.hypot(lines[:, 2] - lines[:, 0], lines[:, 3] - lines[:, 1])
    count = np.maximum(1, np.ceil(length / STEP)).astype(np.intp)
    which = np.repeat(np.arange(len(lines)), count)
    step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    share = (step / count[which])[:, None]
    own = lines[which]
    return np.asarray(own[:, :2] + share * (own[:, 2:] - own[:, :2]))
