"""The referee for the odds of a piece: cut it and put it together, many times over.

Every error of the story is drawn by itself, for every sample. A sample closes along an axis when
places of the panels exist that satisfy every condition at once. That is decided by taking the
panels out one after the other and handing their conditions on to those that remain: places exist
unless two opposite conditions on one pair contradict each other. No distribution function and no
order statistic is used, and no code of the program that computes odds.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from tests.helpers.story import Flanks, Seat, Slot, Story, Tips

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

SLACK = 1e-9
"""Contradictions smaller than this are the rounding of sums. [mm]"""

_BINS = 20000


@dataclass(frozen=True)
class Trial:
    """How often it went together.

    Parameters
    ----------
    samples : int
        How many pieces were cut.
    closes : int
        How many of them go together.
    axes : mapping of str to int
        How many do along one axis alone.
    flanks, slots : mapping to int
        How many of one joint's flanks, or of one slot (joint and panel that sits in it), do
        when nothing else asks anything.
    joints : mapping of str to int
        The same for the flanks and slots of one joint together.
    widest : mapping of str to pair of float
        Of the flanks that close alone, pushed to where it is least: the median and the 95th
        percentile of the widest gap, 0 where all are pinched. [mm]
    sunk, proud : mapping of str to int
        How many joints have a finger below the face of the mate, or more than the allowance above.
    """

    samples: int
    closes: int
    axes: dict[str, int]
    flanks: dict[str, int]
    slots: dict[tuple[str, str], int]
    joints: dict[str, int]
    widest: dict[str, tuple[float, float]]
    sunk: dict[str, int]
    proud: dict[str, int]

    def odds(self, count: int) -> float:
        """A count as odds. [-]"""
        return count / self.samples

    def error(self, odds: float) -> float:
        """Standard error of a count whose true odds are `odds`, but never that of none. [-]"""
        return sqrt(max(odds * (1 - odds), 1 / self.samples) / self.samples)


def simulate(
    story: Story,
    samples: int,
    seed: int,
    chunk: int = 16384,
    sanding: float | None = 0.5,
    sunk: float = 0.0,
) -> Trial:
    """Cut and put together a piece many times.

    Parameters
    ----------
    story : Story
        What has to hold and what scatters.
    samples : int
        How many times.
    seed : int
        Seed of the generator.
    chunk : int
        How many at once; memory grows with it.
    sanding : float, optional
        How far a finger may stand proud to be sanded flush; None leaves the tips uncut, which
        takes a third off the time. [mm]
    sunk : float
        How far a finger may lie below the face of its mate. [mm]
    """
    tally = _Tally()
    rng = np.random.Generator(np.random.SFC64(seed))
    for begin in range(0, samples, chunk):
        _Batch(story, rng, min(chunk, samples - begin), tally).run(sanding, sunk)
    return Trial(
        samples,
        tally.closes["piece"],
        {axis: tally.axes[axis] for axis in story.axes},
        dict(tally.flanks),
        dict(tally.slots),
        dict(tally.joints),
        {joint: (seen.quantile(0.5), seen.quantile(0.95)) for joint, seen in tally.widest.items()},
        dict(tally.sunk),
        dict(tally.proud),
    )


@dataclass
class _Tally:
    closes: Counter[str] = field(default_factory=Counter)
    axes: Counter[str] = field(default_factory=Counter)
    flanks: Counter[str] = field(default_factory=Counter)
    slots: Counter[tuple[str, str]] = field(default_factory=Counter)
    joints: Counter[str] = field(default_factory=Counter)
    widest: dict[str, _Seen] = field(default_factory=dict)
    sunk: Counter[str] = field(default_factory=Counter)
    proud: Counter[str] = field(default_factory=Counter)


class _Batch:
    """One chunk of pieces."""

    def __init__(self, story: Story, rng: np.random.Generator, size: int, tally: _Tally) -> None:
        self.story, self.rng, self.size, self.tally = story, rng, size, tally
        scatter = story.scatter
        self.hand = story.route is Route.HAND
        # Knifed from the mate: no datum is measured twice.
        self.datum_sd = 0.0 if self.hand else scatter.datum
        self.beta = scatter.misfit + self.draw(scatter.misfit_sd)
        self.places: dict[str, Places] = {axis: Places(size) for axis in story.axes}
        self.joints: dict[str, BoolArray] = {}

    def run(self, sanding: float | None, sunk: float) -> None:
        """Draw everything, and count."""
        for flanks in self.story.flanks:
            self.flanks(flanks)
        for slot in self.story.slots:
            self.slot(slot)
        for seat in self.story.seats:
            self.seat(seat)
        for rim in self.story.rims:
            self.places[rim.axis].between(
                rim.first, rim.second, -self.story.flush, self.story.flush
            )
        closes = np.ones(self.size, dtype=bool)
        for axis, places in self.places.items():
            exist = places.exist()
            self.tally.axes[axis] += int(exist.sum())
            closes &= exist
        self.tally.closes["piece"] += int(closes.sum())
        for joint, alone in self.joints.items():
            self.tally.joints[joint] += int(alone.sum())
        if sanding is not None:
            self.fingertips(sanding, sunk)

    def draw(self, sd: float) -> FloatArray:
        """Errors of one standard deviation, one for each piece. [mm]"""
        if sd == 0.0:
            return np.zeros(self.size)
        drawn = self.rng.standard_normal(self.size)
        drawn *= sd
        return drawn

    def flanks(self, own: Flanks) -> None:
        """Draw every flank of both parts, and see how far the second may shift.

        One boundary after the other, so that what is drawn stays in the processor's own memory.
        """
        inf, shift = np.full(self.size, np.inf), self.draw(self.datum_sd)
        shift -= self.draw(self.datum_sd)
        stretch = self.draw(self.story.scatter.scale) + own.slope
        # By sense: the least room and the most air of any boundary so far.
        room, air = {1: inf, -1: inf}, {1: -inf, -1: -inf}
        off = np.zeros(self.size)
        for place, sense, pinch in zip(own.places, own.senses, own.pinch, strict=True):
            off = self.edges(off)
            here = (off + shift + stretch * place) * sense
            room[sense] = np.minimum(room[sense], here + pinch if pinch else here)
            air[sense] = np.maximum(air[sense], here)
        even = own.gap - self.beta
        low, high = -(room[1] + even), room[-1] + even
        alone = low <= high + SLACK
        self.tally.flanks[own.joint] += int(alone.sum())
        self._alone(own.joint, alone)
        self.places[own.axis].between(own.first, own.second, low, high)
        # Where the widest gap of one sense is as wide as that of the other, or as near as may be.
        best = np.clip((air[-1] - air[1]) / 2, low, high)
        widest = np.maximum(air[1] + best, air[-1] - best) + even
        self.tally.widest.setdefault(own.joint, _Seen()).add(np.maximum(widest[alone], 0.0))

    def edges(self, before: FloatArray) -> FloatArray:
        """How far off the flanks of both parts are at the next boundary. [mm]

        By hand one is knifed from the other, and there is one error; on the saw it is that of a
        step, on top of all steps before it.
        """
        off = self.draw(self.story.scatter.edge)
        if not self.hand:
            off -= self.draw(self.story.scatter.edge)
        if self.story.route is Route.SAW:
            off += before
        return off

    def slot(self, own: Slot) -> None:
        """Two walls, and what stands between them."""
        edge = self.story.scatter.edge
        air = own.gap - self.beta / 2 + own.pinch
        air = air - self.draw(own.thickness_sd) / 2 - own.cup / 2
        datum = self.draw(self.datum_sd)
        low = -(air - self.draw(edge)) - datum
        high = air - self.draw(edge) - datum
        alone = low <= high + SLACK
        self.tally.slots[own.joint, self.story.panels[own.sitter]] += int(alone.sum())
        self._alone(own.joint, alone)
        self.places[own.axis].between(own.face, own.sitter, low, high)

    def seat(self, own: Seat) -> None:
        """A shoulder or an edge on a face."""
        error = self.draw(self.story.scatter.edge) + self.draw(self.datum_sd)
        low, high = own.least - error, own.most - error
        if own.away < 0:
            low, high = -high, -low
        self.places[own.axis].between(own.face, own.mover, low, high)

    def fingertips(self, most: float, least: float) -> None:
        """Whether any finger of a joint is sunk, or too proud; sides with their own mates."""
        sunk: dict[str, BoolArray] = {}
        proud: dict[str, BoolArray] = {}
        for own in self.story.tips:
            low, high = self.tips(own)
            nothing = np.zeros(self.size, dtype=bool)
            sunk[own.joint] = sunk.get(own.joint, nothing) | (low < -least - SLACK)
            proud[own.joint] = proud.get(own.joint, nothing) | (high > most + SLACK)
        for joint, found in sunk.items():
            self.tally.sunk[joint] += int(found.sum())
            self.tally.proud[joint] += int(proud[joint].sum())

    def tips(self, own: Tips) -> tuple[FloatArray, FloatArray]:
        """The least and the most that a finger of one panel stands over its mate. [mm]"""
        least = most = self.draw(self.story.scatter.edge)
        for _ in range(own.count - 1):
            tip = self.draw(self.story.scatter.edge)
            least, most = np.minimum(least, tip), np.maximum(most, tip)
        over = own.proud - self.draw(own.thickness_sd)
        return over + least, over + most

    def _alone(self, joint: str, alone: BoolArray) -> None:
        before = self.joints.get(joint)
        self.joints[joint] = alone if before is None else before & alone


class Places:
    """What is asked of the places of panels along one axis, for many pieces at once."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.most: dict[tuple[int, int], FloatArray] = {}

    def between(
        self, first: int, second: int, low: float | FloatArray, high: float | FloatArray
    ) -> None:
        """Ask that the second panel lies from `low` to `high` beyond the first. [mm]"""
        self._at_most(first, second, high)
        self._at_most(second, first, -low)

    def _at_most(self, first: int, second: int, most: float | FloatArray) -> None:
        if np.isposinf(most).all():
            return
        known = self.most.get((first, second))
        bound = np.broadcast_to(np.asarray(most, dtype=float), (self.size,))
        self.most[first, second] = bound if known is None else np.minimum(known, bound)

    def exist(self) -> BoolArray:
        """Whether there are such places; panels that few others meet are taken out first."""
        most = dict(self.most)
        near: dict[int, set[int]] = {}
        for first, second in most:
            near.setdefault(first, set()).add(second)
            near.setdefault(second, set()).add(first)
        exist = np.ones(self.size, dtype=bool)
        while near:
            out = min(near, key=lambda panel: (len(near[panel]), panel))
            mates = near.pop(out)
            for first in mates:
                near[first] |= mates
                near[first] -= {first, out}
                for second in mates:
                    self._hand_on(most, (first, out, second), exist)
        return exist

    def _hand_on(
        self, most: dict[tuple[int, int], FloatArray], way: tuple[int, int, int], exist: BoolArray
    ) -> None:
        """Let the panel in the middle of `way` hand on what it asks of the other two."""
        first, out, second = way
        before, after = most.get((first, out)), most.get((out, second))
        if before is None or after is None:
            return
        through = before + after
        if first == second:
            exist &= through >= -SLACK
        else:
            known = most.get((first, second))
            most[first, second] = through if known is None else np.minimum(known, through)


class _Seen:
    """Lengths counted in narrow bins, so that any number of them has its quantiles. [mm]"""

    def __init__(self) -> None:
        self.bin = 0.0
        self.counts = np.zeros(_BINS, dtype=np.int64)

    def add(self, lengths: FloatArray) -> None:
        """Count some more; what lies far beyond the first ones goes into the last bin."""
        if lengths.size == 0:
            return
        if self.bin == 0.0:
            self.bin = max(2 * float(lengths.max()), SLACK) / _BINS
        places = (lengths / self.bin).astype(np.int64).clip(0, _BINS - 1)
        self.counts += np.bincount(places, minlength=_BINS)

    def quantile(self, share: float) -> float:
        """The length that `share` of them do not exceed; not a number where there are none."""
        total = int(self.counts.sum())
        if total == 0:
            return float("nan")
        below = np.cumsum(self.counts)
        place = int(np.searchsorted(below, share * total))
        before = int(below[place]) - int(self.counts[place])
        within = (share * total - before) / int(self.counts[place])
        return self.bin * (place + within)
