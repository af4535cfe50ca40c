"""Simulated shops: a hidden misfit and scatter, combs cut with them, and a piece cut after them.

Each shop is scored by the exact chance that its piece closes given what it hides, not by one throw.
The worlds beside the plain one break what the book takes for granted.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf, sqrt
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

from dryfit.tolerance.closing import Closing, Shared
from dryfit.tolerance.evidence import Comb, Prior, Trial
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import LEAST_PINCH, PLAY, Grade
from dryfit.tolerance.learning import Learned, learn
from dryfit.tolerance.links import Link

PRIOR = Prior(mean=0.0, sd=0.05, edge_sd=0.02, freedom=4.0)
SOCKETS = 8
COMB_STEP = 0.02
BOUNDARIES = 8
DATUM = 0.01
WANTED = 0.95
WALLS = ("front", "right", "back", "left")
THROWS = 4000
STEP = 0.002
LOW, HIGH = -150, 400


class World(StrEnum):
    """What a shop is like beside its misfit and scatter."""

    PLAIN = "as the book takes it to be"
    TAPER = "a kerf wider on one face: the piece's misfit is 0.03 mm more than the combs'"
    SKEWED = "skewed errors: edges lie off by an exponential"
    DRIFT = "the cutter wears by 0.02 mm a month, a comb a month"
    FENCE = "a fence out of square: a slope of 0.0006 along every joint"
    OUTLIER = "one of the three combs cut on a day 0.12 mm off"


@dataclass(frozen=True)
class Outcome:
    """One shop: the odds that were called, the true chance, and whether the book flagged it."""

    called: float
    true: float
    flagged: bool


def outcomes(world: World, seed: int, wanted: Sequence[float] = (WANTED,)) -> list[Outcome]:
    """Cut three combs, learn, choose the gap that reaches the odds wanted, cut the piece.

    One outcome for each of the odds wanted, of the same shop.
    """
    rng = np.random.default_rng((seed, list(World).index(world)))
    misfit = PRIOR.mean + PRIOR.sd * rng.standard_normal()
    edge = PRIOR.edge_sd * sqrt(PRIOR.freedom / rng.chisquare(PRIOR.freedom))
    combs: list[Comb] = []
    learned = learn([], PRIOR)
    for number in range(3):
        off = 0.12 if world is World.OUTLIER and number == 1 else 0.0
        worn = 0.02 * number if world is World.DRIFT else 0.0
        age = 30.0 * (2 - number) if world is World.DRIFT else 0.0
        gaps = np.round(learned.misfit_mean + COMB_STEP * (np.arange(SOCKETS) - 3), 2)
        combs.append(_comb(rng, gaps, misfit + off + worn, edge, world, f"comb {number}", age))
        learned = learn(combs, PRIOR)
    closing = Closing(_ring(learned.edge_sd), _shared(learned))
    extra = {World.TAPER: 0.03, World.DRIFT: 0.06}.get(world, 0.0)
    found = []
    for odds in wanted:
        gap = _least_gap(closing, odds)
        true = _true(rng, gap, misfit + extra, edge, world)
        found.append(Outcome(closing.odds(gap), true, learned.surprise.flagged))
    return found


def _least_gap(closing: Closing, wanted: float) -> float:
    """The least gap, in steps that a shop would draw, that reaches the odds. [mm]"""
    low, high = LOW, HIGH
    while high - low > 1:
        middle = (low + high) // 2
        if closing.odds(middle * STEP) >= wanted:
            high = middle
        else:
            low = middle
    return high * STEP


def _shared(learned: Learned) -> Shared:
    return Shared(learned.misfit_mean, learned.misfit_sd, learned.freedom)


def _ring(edge: float) -> list[Link]:
    own = Boundaries.of(BOUNDARIES)
    link = Link(
        "", "", 2, "", own.plus, own.minus, per_gap=1.0, per_misfit=1.0, sd=sqrt(2) * edge,
        datum=sqrt(2) * DATUM,
    )  # fmt: skip
    pairs = zip(WALLS, [*WALLS[1:], WALLS[0]], strict=True)
    return [replace(link, first=a, second=b, name=f"{a}+{b}") for a, b in pairs]


def _edges(
    rng: np.random.Generator, shape: tuple[int, ...], edge: float, world: World
) -> np.ndarray:
    if world is World.SKEWED:
        return edge * (rng.exponential(size=shape) - 1.0)
    return edge * rng.standard_normal(shape)


def _comb(
    rng: np.random.Generator, gaps: np.ndarray, misfit: float, edge: float, world: World,
    name: str, age: float,
) -> Comb:  # fmt: skip
    tongue = _edges(rng, (2,), edge, world)
    trials = []
    for gap in gaps.tolist():
        errors = _edges(rng, (2,), edge, world) - tongue
        # The socket is wide enough for the tongue by this much, wherever the tongue lies in it.
        air = 2 * (gap - misfit) + errors[0] - errors[1]
        grade = (
            Grade.LOOSE if air >= PLAY
            else Grade.HAND if air >= 0
            else Grade.MALLET if air >= -2 * LEAST_PINCH
            else Grade.NO
        )  # fmt: skip
        trials.append(Trial(gap, grade, Boundaries.of(2), 0.0))
    return Comb(name, tuple(trials), same_tongue=True, age=age)


def _true(rng: np.random.Generator, gap: float, misfit: float, edge: float, world: World) -> float:
    """The chance that a ring closes: exact odds, or throws where errors are not normal."""
    if world not in (World.SKEWED, World.FENCE):
        return Closing(_ring(edge), Shared(misfit, 0.0, inf)).odds(gap)
    places = np.linspace(10.0, 80.0, BOUNDARIES)
    slope = 0.0006 if world is World.FENCE else 0.0
    errors = _edges(rng, (THROWS, 4, BOUNDARIES), edge, world)
    errors = errors - _edges(rng, (THROWS, 4, BOUNDARIES), edge, world) + slope * places
    errors += sqrt(2) * DATUM * rng.standard_normal((THROWS, 4, 1))
    low = (-errors[:, :, ::2]).max(axis=2) - (gap - misfit)
    high = (gap - misfit) - errors[:, :, 1::2].max(axis=2)
    closes = (low <= high).all(axis=1) & (low.sum(axis=1) <= 0) & (high.sum(axis=1) >= 0)
    return float(closes.mean())
