"""The odds that bodies held by many links all go together at once.

Two things are worked out and subtracted. The odds that each link goes together by itself are exact
integrals, and given what all links share they multiply: that product is an upper bound, since each
body has one place only. What the places cost on top of it, the chance that every link would close
alone and the whole does not, is small and is found by sampling. The shared misfit is left out of
the samples: each has a largest misfit at which every link closes by itself, and a largest one at
which the whole does, and between the two the normal distribution is integrated exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.normal import below, line, nodes, swell
from dryfit.tolerance.samples import Samples

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from dryfit.tolerance.links import Link
    from dryfit.tolerance.normal import FloatArray

POWER = 12
"""Binary logarithm of the number of samples; one less where links are many. [-]"""

MANY = 100
"""Links from which on there are many. [-]"""

_NOTHING = 1e-9
_SHARED_PLACES = 128
_SWELLS = 12


@dataclass(frozen=True, slots=True)
class Shared:
    """What all links share.

    Parameters
    ----------
    misfit, misfit_sd : float
        How much less air than drawn every boundary has, and how well that is known. [mm]
    freedom : float
        Degrees of freedom behind the errors of boundaries; infinite where they are known. [-]
    """

    misfit: float = 0.0
    misfit_sd: float = 0.0
    freedom: float = inf


@dataclass(frozen=True, slots=True)
class Effort:
    """How samples are drawn.

    Parameters
    ----------
    power : int, optional
        Binary logarithm of the number of samples; what is usual where it is None. [-]
    seed : int
        The same seed gives the same odds. [-]
    """

    power: int | None = None
    seed: int = 5


USUAL_EFFORT = Effort()


class Closing:
    """Links, and how they close.

    Parameters
    ----------
    links : sequence of Link
        In any order; bodies are only names.
    shared : Shared
        What they share.
    effort : Effort
        How many samples, and which.
    """

    def __init__(
        self, links: Sequence[Link], shared: Shared, effort: Effort = USUAL_EFFORT
    ) -> None:
        self.links = tuple(sorted((link.ordered for link in links), key=lambda link: link.key))
        self.shared = shared
        self._seed = effort.seed
        power = POWER - (len(self.links) > MANY) if effort.power is None else effort.power
        self._samples = Samples(self.links, shared.freedom, power, effort.seed)
        self._costs: dict[float, float] = {}

    def odds(self, gap: float) -> float:
        """Odds that everything goes together at a gap [mm]. [-]"""
        return float(self.curve(np.array([gap]))[0])

    def curve(self, gaps: FloatArray) -> FloatArray:
        """Those odds at many gaps [mm], shape (g,). [-]"""
        cost = np.array([self.cost(gap) for gap in gaps.tolist()])
        return np.asarray(np.clip(self.product(gaps) - cost, 0.0, 1.0))

    def product(self, gaps: FloatArray) -> FloatArray:
        """Odds that every link goes together by itself: an upper bound, shape (g,). [-]"""
        return self._over_shared(self.links, gaps)

    def cost(self, gap: float) -> float:
        """Chance that every link closes by itself at a gap [mm] and the whole does not. [-]"""
        if gap not in self._costs:
            alone, whole = self._samples.largest_misfits(gap)
            self._costs[gap] = float((self._within(alone) - self._within(whole)).mean())
        return self._costs[gap]

    def _within(self, most: FloatArray) -> FloatArray:
        """Chance that the shared misfit is no larger than `most` [mm]. [-]"""
        off = most - self.shared.misfit
        if self.shared.misfit_sd < _NOTHING:
            return np.asarray((off >= 0).astype(np.float64))
        return np.asarray(below(off / self.shared.misfit_sd))

    def of(self, name: str, gaps: FloatArray) -> FloatArray:
        """Odds of the links of one name by themselves, shape (g,). [-]"""
        return self._over_shared(self._named[name], gaps)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names that links have, in order."""
        return tuple(self._named)

    @cached_property
    def _named(self) -> dict[str, list[Link]]:
        named: dict[str, list[Link]] = {}
        for link in self.links:
            named.setdefault(link.name, []).append(link)
        return named

    def _over_shared(self, links: Iterable[Link], gaps: FloatArray) -> FloatArray:
        """A product of odds, integrated over what the links share. [-]"""
        misfit, weight = _misfits(self.shared)
        total = np.zeros(len(gaps))
        times, shares = _swells(self.shared)
        kinds = _counted(link for link in links if link.holds)
        grid = np.broadcast_to(gaps[:, None], (len(gaps), len(misfit)))
        for each, share in zip(times, shares, strict=True):
            odds = np.ones(grid.shape)
            for link, count in kinds.items():
                odds *= link.alone(link.air(grid, misfit), each, self._seed) ** count
            total += share * (odds @ weight)
        return total


def _counted(links: Iterable[Link]) -> dict[Link, int]:
    """Links that differ in nothing that their odds alone depend on, and how many."""
    counts: dict[Link, int] = {}
    for link in links:
        counts[link.bare] = counts.get(link.bare, 0) + 1
    return counts


def _misfits(shared: Shared) -> tuple[FloatArray, FloatArray]:
    if shared.misfit_sd < _NOTHING:
        return np.array([shared.misfit]), np.ones(1)
    places, weight = nodes(_SHARED_PLACES)
    return shared.misfit + shared.misfit_sd * places, weight


def _swells(shared: Shared) -> tuple[FloatArray, FloatArray]:
    if shared.freedom == inf:
        return np.ones(1), np.ones(1)
    places, weight = line(_SWELLS, 0.0, 1.0)
    return swell(places, shared.freedom), weight
