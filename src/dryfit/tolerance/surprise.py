"""How well a shop's results agree with each other, and which two disagree most.

Two questions are asked. *Clashes*: for any two results, how likely is it that one and the same
misfit gave both? The misfit drops out, so no prior of it matters, and the scatter is what all the
other results say it is, so that two that clash do not excuse themselves. *Prediction*: would a new
comb, drawn from what was learned, be as unlikely as the one that was seen? Derived in
``docs/theory/learning.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import combinations, combinations_with_replacement
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.evidence import PAIR, Comb, log_odds_of, reach
from dryfit.tolerance.fits import closing_sum
from dryfit.tolerance.grades import Grade, bounds, grade_odds
from dryfit.tolerance.normal import below

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.tolerance.evidence import Prior, Source, Trial, Widths
    from dryfit.tolerance.fits import Boundaries
    from dryfit.tolerance.normal import FloatArray

CLASH = 0.01
"""Two results whose chance is less clash. [-]"""

UNLIKELY = 0.01
"""Results as a whole that new ones would match less often are not explained. [-]"""

_MISFITS, _EDGES = 81, 17
_DRAWS = 400
_SEED = 20


class Kind(StrEnum):
    """Between what a clash is."""

    TRIALS = "two sockets"
    SOURCES = "two sets of results"
    AGE = "older and newer results"
    WAYS = "calipered widths and combs"


@dataclass(frozen=True, slots=True)
class Result:
    """One result: the source by its place and name, and the place of a trial in it."""

    source: int
    name: str
    trial: int | None = None


@dataclass(frozen=True, slots=True)
class Clash:
    """Two results, and how likely they are together.

    `p` is the chance of two results as far apart under one misfit, times the number of results
    that were looked at; at most 1. [-]
    """

    kind: Kind
    tighter: Result
    looser: Result
    p: float


@dataclass(frozen=True, slots=True)
class Surprise:
    """How well results agree.

    Parameters
    ----------
    clash : Clash, optional
        The two results that contradict each other most; none where there are no two.
    predictive : tuple of float
        For each source, how often a new one would be as unlikely. [-]
    overall : float
        The same for all of them together. [-]
    """

    clash: Clash | None
    predictive: tuple[float, ...]
    overall: float

    @property
    def p(self) -> float:
        """The chance of the worst clash, 1 where there is none. [-]"""
        return self.clash.p if self.clash else 1.0

    @property
    def flagged(self) -> bool:
        """Whether one misfit and one scatter do not explain the results."""
        return self.p < CLASH or self.overall < UNLIKELY


@dataclass(frozen=True)
class _Field:
    """The sources on one wide grid: the log odds of each, weighted too, and the posterior's."""

    sources: Sequence[Source]
    edge: FloatArray
    logs: FloatArray
    weighted: FloatArray
    total: FloatArray

    def scatter_without(self, *left_out: int) -> FloatArray:
        """Shares of the edge scatters by all sources but some, and by the prior."""
        rest = self.total - sum(self.weighted[index] for index in set(left_out))
        shares = np.exp(rest - rest.max()).sum(axis=0)
        return np.asarray(shares / shares.sum())

    @cached_property
    def alone(self) -> list[tuple[FloatArray, FloatArray]]:
        """What each source says by itself, as of :func:`_likely`."""
        return [_likely(logs) for logs in self.logs]

    def together(self, group: Sequence[int]) -> tuple[FloatArray, FloatArray]:
        """What some sources say together."""
        return self.alone[group[0]] if len(group) == 1 else _likely(self.logs[list(group)].sum(0))


def find_surprise(
    sources: Sequence[Source],
    weights: Sequence[float],
    prior: Prior,
    found: tuple[FloatArray, FloatArray, FloatArray],
) -> Surprise:
    """How well sources agree.

    Parameters
    ----------
    sources : sequence of Comb and Widths
        The results.
    weights : sequence of float
        How much each counts. [-]
    prior : Prior
        What was thought beforehand.
    found : tuple of array
        Misfits [mm], edge scatters [mm] and shares of the posterior, over its grid.
    """
    if not sources:
        return Surprise(None, (), 1.0)
    span, log_span = reach(sources, prior)
    misfit = np.linspace(*span, _MISFITS)[:, None]
    edge = np.exp(np.linspace(*log_span, _EDGES))[None, :]
    logs = np.array(list(log_odds_of(sources, misfit, edge)))
    weighted = np.array(weights)[:, None, None] * logs
    total = prior.log_density(misfit, edge) + weighted.sum(axis=0)
    field = _Field(sources, edge[0], logs, weighted, total)
    clashes = [clash for clash in (_trials(field), *_groups(field)) if clash]
    worst = min(clashes, key=lambda clash: clash.p, default=None)
    return Surprise(worst, *_predicted(sources, found))


def _trials(field: _Field) -> Clash | None:
    """The two sockets that contradict each other most."""
    combs = [index for index, source in enumerate(field.sources) if isinstance(source, Comb)]
    count = sum(field.sources[index].sizes[0] for index in combs)
    best: tuple[float, Result, Result] | None = None
    for pair in combinations_with_replacement(combs, 2):
        shares = field.scatter_without(*pair)
        for first, second in {pair, pair[::-1]}:
            p, tighter, looser = _worst_pair(field, first, second, shares)
            if best is None or p < best[0]:
                best = p, tighter, looser
    if best is None or count < 2:
        return None
    return Clash(Kind.TRIALS, best[1], best[2], min(1.0, best[0] * count))


def _worst_pair(
    field: _Field, tight: int, loose: int, shares: FloatArray
) -> tuple[float, Result, Result]:
    """The least likely of: a trial of one source so tight while one of another is so loose.

    Each trial has its least air x = gap - β - sd X. The misfit and a shared tongue drop out of the
    difference of two, which is normal for one finger in one socket, and taken for normal with its
    own two moments where there are more boundaries.
    """
    one, other = field.sources[tight], field.sources[loose]
    assert isinstance(one, Comb)
    assert isinstance(other, Comb)
    sd = field.edge * (1.0 if tight == loose and one.same_tongue else math.sqrt(2))
    most = np.array([trial.gap - bounds(trial.grade, trial.pinch)[1] for trial in one.trials])
    least = np.array([trial.gap - bounds(trial.grade, trial.pinch)[0] for trial in other.trials])
    means, spreads = _asked_of(one.trials), _asked_of(other.trials)
    apart = least[None, :] - most[:, None]  # of the two differences gap - bound
    shift = spreads[0][None, :] - means[0][:, None]
    spread = np.sqrt(spreads[1][None, :] ** 2 + means[1][:, None] ** 2)
    z = (apart[..., None] - sd * shift[..., None]) / (sd * spread[..., None])
    chances = below(z) @ shares
    i, j = divmod(int(chances.argmin()), chances.shape[1])
    return (
        float(chances[i, j]),
        Result(tight, one.name, i),
        Result(loose, other.name, j),
    )


def _asked_of(trials: Sequence[Trial]) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation of the air each trial asks for, in sd of a boundary. [-]"""
    known = {each: _asked(each) for each in {trial.boundaries for trial in trials}}
    both = np.array([known[trial.boundaries] for trial in trials])
    return both[:, 0], both[:, 1]


def _asked(boundaries: Boundaries) -> tuple[float, float]:
    """Mean and standard deviation of the air from which a trial closes. [-]"""
    if boundaries == PAIR:
        return 0.0, math.sqrt(0.5)
    z = np.linspace(-6.0, 9.0, 1501)
    steps = np.diff(closing_sum(z, boundaries))
    middles = (z[1:] + z[:-1]) / 2
    mean = float(middles @ steps)
    return mean, math.sqrt(float((middles - mean) ** 2 @ steps))


def _groups(field: _Field) -> Iterator[Clash]:
    """The worst clash of two sources, and of all of one sort with all of another."""
    count = len(field.sources)
    places = range(count)
    pairs = [_apart(field, (i,), (j,)) for i, j in combinations(places, 2)]
    if not pairs:
        return
    p, tighter, looser = min(pairs, key=lambda found: found[0])
    yield Clash(Kind.SOURCES, tighter, looser, min(1.0, p * count))
    middle = float(np.median([source.age for source in field.sources]))
    old = [i for i in places if field.sources[i].age > middle]
    calipered = [i for i in places if not isinstance(field.sources[i], Comb)]
    for kind, some in ((Kind.AGE, old), (Kind.WAYS, calipered)):
        rest = [i for i in places if i not in some]
        if some and rest:
            p, tighter, looser = _apart(field, some, rest)
            yield Clash(kind, tighter, looser, min(1.0, 2 * p))


def _apart(
    field: _Field, some: Sequence[int], others: Sequence[int]
) -> tuple[float, Result, Result]:
    """How likely it is that one misfit lies behind two groups that share none of their results.

    Each group's misfit is spread as its odds are, with no prior; twice the smaller of the chances
    that one or the other is the larger. The scatter is what all results say of it when each group
    may have a misfit of its own, so that a difference between the two does not widen it.
    """
    (one, mass), (other, other_mass) = field.together(some), field.together(others)
    logs = np.log(field.scatter_without(*some, *others) + 1e-300) + mass + other_mass
    shares = np.exp(logs - logs.max())
    shares /= shares.sum()
    larger = (one * (np.cumsum(other, axis=0) - other / 2)).sum(axis=0)
    p = float(2 * np.minimum(larger, 1 - larger) @ shares)
    first, second = _foremost(field, some, one @ shares, others, other @ shares)
    return (p, first, second) if larger @ shares > 0.5 else (p, second, first)


def _likely(total: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Shares of the misfits by log odds alone, for each scatter, and the log odds of that."""
    most = total.max(axis=0)
    shares = np.exp(total - most)
    mass = shares.sum(axis=0)
    return shares / mass, most + np.log(mass)


def _foremost(
    field: _Field, some: Sequence[int], one: FloatArray, others: Sequence[int], other: FloatArray
) -> tuple[Result, Result]:
    """Of each group the source that lies farthest from the other group."""
    places = np.arange(len(one))
    sign = 1.0 if one @ places > other @ places else -1.0

    def place(index: int) -> float:
        return float(field.alone[index][0].mean(axis=1) @ places)

    first = max(some, key=lambda index: sign * place(index))
    second = min(others, key=lambda index: sign * place(index))
    return (
        Result(first, field.sources[first].name),
        Result(second, field.sources[second].name),
    )


def _predicted(
    sources: Sequence[Source], found: tuple[FloatArray, FloatArray, FloatArray]
) -> tuple[tuple[float, ...], float]:
    """How often new results, drawn from what was learned, are as unlikely as those seen.

    How unlikely is the sum of -log of the odds of each trial and width by itself, under the misfit
    and the scatter that were drawn.
    """
    rng = np.random.default_rng(_SEED)
    misfits, edges, shares = found
    drawn = rng.choice(shares.size, size=_DRAWS, p=shares.ravel())
    rows, columns = np.divmod(drawn, shares.shape[1])
    misfit, edge = misfits[rows, 0], edges[0, columns]
    seen, new = (np.zeros((len(sources), _DRAWS)) for _ in range(2))
    for index, source in enumerate(sources):
        compare = _compare_comb if isinstance(source, Comb) else _compare_widths
        seen[index], new[index] = compare(source, misfit, edge, rng)  # type: ignore[arg-type]
    each = (new >= seen - 1e-9).mean(axis=1)
    overall = (new.sum(axis=0) >= seen.sum(axis=0) - 1e-9).mean()
    return tuple(float(p) for p in each), float(overall)


def _compare_comb(
    comb: Comb, misfit: FloatArray, edge: FloatArray, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """How unlikely a comb's grades are, those seen and those of a new comb."""
    grades = list(Grade)
    tongue = edge / math.sqrt(2) * rng.standard_normal(len(edge))
    seen, new = np.zeros(len(edge)), np.zeros(len(edge))
    for trial in comb.trials:
        alone = _odds(trial, misfit, math.sqrt(2) * edge)
        given = _odds(trial, misfit - tongue, edge) if comb.same_tongue else alone
        drawn = (rng.random(len(edge)) > given.cumsum(axis=0)[:-1]).sum(axis=0)
        seen -= np.log(alone[grades.index(trial.grade)])
        new -= np.log(alone[drawn, np.arange(len(edge))])
    return seen, new


def _odds(trial: Trial, misfit: FloatArray, sd: FloatArray) -> FloatArray:
    """Chance of every grade, a row each."""
    rows = [
        grade_odds(grade, trial.gap - misfit, sd, trial.boundaries, trial.pinch) for grade in Grade
    ]
    return np.maximum(rows, 1e-15)


def _compare_widths(
    widths: Widths, misfit: FloatArray, edge: FloatArray, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """The same for calipered widths: sums of squares in standard deviations."""
    offs, sd = widths.offs, np.sqrt(widths.variance(edge))
    seen = (((offs[:, None] - misfit) / sd) ** 2).sum(axis=0) / 2
    new = rng.chisquare(len(offs), size=len(edge)) / 2
    return seen, new
