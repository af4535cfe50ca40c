"""What a shop's own results teach about a cutter in a material.

The posterior of misfit and edge scatter stands on a grid over misfit and log scatter that is drawn
in on the place where it is. Each result counts with a weight that halves with every half life; what
was thought beforehand is not aged. Vocabulary in :mod:`dryfit.tolerance.evidence`, derivations in
``docs/theory/learning.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.evidence import HALF_LIFE, log_odds_of, reach, weight_of
from dryfit.tolerance.normal import FloatArray, log_chi_square
from dryfit.tolerance.surprise import Surprise, find_surprise

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from dryfit.tolerance.evidence import Prior, Source, Span

GRID = (61, 25)
"""Places over misfit and over log scatter. [-]"""

_ROUGH = (31, 17)  # places while the grid is being drawn in

_ENOUGH = 9  # places of the misfit that tell it from scatter
_FAINT = 1e-6  # of the highest density: where there is less, the grid is drawn in
_MOST_DRAWN_IN = 8
_MOST_FREEDOM = 1e7


@dataclass(frozen=True, slots=True)
class Posterior:
    """Shares of the grid's places. Arrays make it a value to look at, not to compare.

    Parameters
    ----------
    misfit : array, shape (m, 1)
        Places of the misfit. [mm]
    edge : array, shape (1, e)
        Places of the edge scatter, evenly spaced in its logarithm. [mm]
    shares : array, shape (m, e)
        How likely each is; they add up to 1. [-]
    """

    misfit: FloatArray
    edge: FloatArray
    shares: FloatArray

    @property
    def misfit_moments(self) -> tuple[float, float]:
        """Mean and standard deviation of the misfit. [mm]"""
        mean, variance = _moments(self.misfit[:, 0], self.shares.sum(axis=1))
        return mean, math.sqrt(variance)

    @property
    def scatter(self) -> tuple[float, float]:
        """Scale [mm] and degrees of freedom [-] of the scatter.

        σ ~ s √(ν / χ²_ν) with the mean and the variance that log σ has here: the variance, which
        is ψ′(ν/2) / 4, gives ν, and the mean then gives s.
        """
        mean, variance = _moments(np.log(self.edge[0]), self.shares.sum(axis=0))
        freedom = _freedom_of(4 * variance)
        log_mean, _ = log_chi_square(freedom)
        return math.exp(mean - (math.log(freedom) - log_mean) / 2), freedom


@dataclass(frozen=True, slots=True)
class Learned:
    """What is known of a cutter in a material.

    Parameters
    ----------
    misfit_mean, misfit_sd : float
        Of the misfit. [mm]
    edge_sd : float
        Scale s of the edge scatter: σ ~ s √(ν / χ²_ν). [mm]
    freedom : float
        Its degrees of freedom ν. [-]
    trials, widths : int
        How many of each it was learned from. [-]
    surprise : Surprise
        How well the results agree.
    """

    misfit_mean: float
    misfit_sd: float
    edge_sd: float
    freedom: float
    trials: int
    widths: int
    surprise: Surprise


def learn(sources: Sequence[Source], prior: Prior, half_life: float = HALF_LIFE) -> Learned:
    """What results teach.

    Parameters
    ----------
    sources : sequence of Comb and Widths
        The results, in any order; none leaves the prior.
    prior : Prior
        What was thought beforehand.
    half_life : float
        After so long a result counts half. [days]
    """
    found = posterior(sources, prior, half_life)
    mean, sd = found.misfit_moments
    edge_sd, freedom = found.scatter
    sizes = [source.sizes for source in sources]
    weights = [weight_of(source.age, half_life) for source in sources]
    return Learned(
        misfit_mean=mean,
        misfit_sd=sd,
        edge_sd=edge_sd,
        freedom=freedom,
        trials=sum(trials for trials, _ in sizes),
        widths=sum(widths for _, widths in sizes),
        surprise=find_surprise(sources, weights, prior, (found.misfit, found.edge, found.shares)),
    )


def posterior(sources: Sequence[Source], prior: Prior, half_life: float = HALF_LIFE) -> Posterior:
    """Misfit and scatter, given the results.

    Parameters
    ----------
    sources : sequence of Comb and Widths
        The results.
    prior : Prior
        What was thought beforehand.
    half_life : float
        After so long a result counts half. [days]
    """
    weights = [weight_of(source.age, half_life) for source in sources]

    def laid(spans: tuple[Span, Span], shape: tuple[int, int]) -> Posterior:
        misfit = np.linspace(*spans[0], shape[0])[:, None]
        edge = np.exp(np.linspace(*spans[1], shape[1]))[None, :]
        total = prior.log_density(misfit, edge)
        for weight, logs in zip(weights, log_odds_of(sources, misfit, edge), strict=True):
            total = total + weight * logs
        shares = np.exp(total - total.max())
        return Posterior(misfit, edge, shares / shares.sum())

    spans = reach(sources, prior)
    for _ in range(_MOST_DRAWN_IN):
        nearer = _drawn_in(laid(spans, _ROUGH))
        settled = all(
            _width(new) > 0.6 * _width(old) for new, old in zip(nearer, spans, strict=True)
        )
        spans = nearer
        if settled:
            break
    return laid(spans, GRID)


def _drawn_in(rough: Posterior) -> tuple[Span, Span]:
    """The stretches of misfit and log scatter that hold all but a faint rest, and a place more.

    Where the grid is too rough for the misfit, a larger scatter seems to explain what lies between
    its places; so the scatter is left as it is until enough places of the misfit are kept.
    """
    kept = rough.shares > _FAINT * rough.shares.max()
    misfits, logs = rough.misfit[:, 0], np.log(rough.edge[0])
    near = _stretch(misfits, kept.any(axis=1))
    if kept.any(axis=1).sum() < _ENOUGH:
        return near, (float(logs[0]), float(logs[-1]))
    return near, _stretch(logs, kept.any(axis=0))


def _stretch(places: FloatArray, kept: npt.NDArray[np.bool_]) -> Span:
    """From the first place that is kept to the last, and one more at each end."""
    at = np.flatnonzero(kept)
    last = len(places) - 1
    return float(places[max(at[0] - 1, 0)]), float(places[min(at[-1] + 1, last)])


def _width(span: Span) -> float:
    return span[1] - span[0]


def _moments(places: FloatArray, shares: FloatArray) -> tuple[float, float]:
    """Mean and variance of a place."""
    mean = float(places @ shares)
    return mean, float((places - mean) ** 2 @ shares)


def _freedom_of(variance: float) -> float:
    """Degrees of freedom for which the log of a chi-square has this variance. [-]"""
    low, high = math.log(1e-3), math.log(_MOST_FREEDOM)
    while high - low > 1e-9:
        middle = (low + high) / 2
        if log_chi_square(math.exp(middle))[1] > variance:
            low = middle
        else:
            high = middle
    return math.exp(high)
