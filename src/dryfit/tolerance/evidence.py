"""What a shop has measured of one cutter in one material, and how likely it was.

Vocabulary
----------
misfit
    What every fit of the cutter in the material is tighter by than it was drawn, β: the true air at
    a boundary is the flank gap less the misfit. Above 0 the cutter or the kerf is narrower than its
    name. Half of it sits on each flank of a finger, the other half on those of a socket, so that a
    finger is wider by β and a socket narrower by β. [mm]
edge scatter
    Standard deviation σ of where one cut edge comes to lie. A boundary has two edges, so its own is
    √2 σ, and so is that of a width. [mm]
tongue
    What the sockets of a comb are tried on. When all are tried on the same one, its two edges are
    off by the same at every trial.

Derived in ``docs/theory/learning.md``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import grade_odds
from dryfit.tolerance.normal import density

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.tolerance.grades import Grade
    from dryfit.tolerance.normal import FloatArray

HALF_LIFE = 180.0
"""After so many days a result counts half (common practice, no source). [days]"""

TONGUE = np.linspace(-5.0, 5.0, 21)
"""Places of the sum over a shared tongue, in its standard deviations. [-]

Half a standard deviation apart, a sum over evenly spaced places is as good as any: what it sums is
smooth on that scale. Twice as many change no posterior mean by 1e-6 of its sd.
"""

FLOOR, ROUNDING = 1e-300, 1e-15
"""No chance is taken for less: of one finger in one socket, and of more boundaries, whose odds are
differences that are rounding below it. [-]"""

PAIR = Boundaries(1, 1)
"""One finger in one socket."""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is thought of a cutter before anything is measured.

    Parameters
    ----------
    mean, sd : float
        Mean and standard deviation of the misfit. [mm]
    edge_sd : float
        Scale s0 of the edge scatter: σ² is ν0 s0² over a chi-square of ν0 degrees. [mm]
    freedom : float
        Its degrees of freedom ν0. [-]
    """

    mean: float = 0.0
    sd: float = 0.05
    edge_sd: float = 0.03
    freedom: float = 4.0

    def log_density(self, misfit: FloatArray, edge: FloatArray) -> FloatArray:
        """Logarithm of the density over misfit and log σ, up to a constant. [-]

        Parameters
        ----------
        misfit, edge : array
            Misfit and edge scatter, in shapes that go together. [mm]
        """
        z = (misfit - self.mean) / self.sd
        ratio = (self.edge_sd / edge) ** 2
        return np.asarray(-(z**2) / 2 + self.freedom / 2 * (np.log(ratio) - ratio))


@dataclass(frozen=True, slots=True)
class Trial:
    """One socket of a comb, and how it went.

    Parameters
    ----------
    gap : float
        Flank gap it was drawn with. [mm]
    grade : Grade
        How it went together.
    boundaries : Boundaries
        How many of each sense. [-]
    pinch : float
        Crush the material takes at one flank. [mm]

    Raises
    ------
    ValueError
        If there is no boundary of one sense: then it closes whatever the air.
    """

    gap: float
    grade: Grade
    boundaries: Boundaries = PAIR
    pinch: float = 0.0

    def __post_init__(self) -> None:
        if min(self.boundaries.plus, self.boundaries.minus) < 1:
            raise ValueError("a trial has at least 1 boundary of each sense, so give 2 or more")

    def log_odds(self, misfit: FloatArray, sd: FloatArray) -> FloatArray:
        """Logarithm of the chance of its grade. [-]

        Parameters
        ----------
        misfit : array
            What is taken from the gap. [mm]
        sd : array
            Standard deviation of a boundary. [mm]
        """
        air = np.asarray(self.gap - misfit)
        odds = grade_odds(self.grade, air, sd, self.boundaries, self.pinch)
        return np.asarray(np.log(np.maximum(odds, FLOOR if self.boundaries == PAIR else ROUNDING)))


Memory: TypeAlias = "dict[tuple[Trial, bool], FloatArray]"
"""Log odds of trials at the places of one grid: combs are drawn alike, so most come again."""

_MOST_REMEMBERED = 100  # a grid of them is about 0.25 MB


@dataclass(frozen=True, slots=True)
class Comb:
    """Trials of one comb, made on one day.

    Parameters
    ----------
    name : str
        What it is called where it is spoken of.
    trials : tuple of Trial
        In any order.
    same_tongue : bool
        Whether all were tried on the same tongue.
    age : float
        Since then. [days]

    Raises
    ------
    ValueError
        If trials on the same tongue have more than two boundaries: then the tongue's errors are no
        longer one number.
    """

    name: str
    trials: tuple[Trial, ...]
    same_tongue: bool = True
    age: float = 0.0

    def __post_init__(self) -> None:
        wide = [trial for trial in self.trials if trial.boundaries != PAIR]
        if self.same_tongue and wide:
            raise ValueError(
                f"a trial on a shared tongue has 2 boundaries, not {wide[0].boundaries.count}; "
                "say that each socket had a tongue of its own"
            )

    @property
    def sizes(self) -> tuple[int, int]:
        """How many trials and how many widths it holds. [-]"""
        return len(self.trials), 0

    def log_odds(
        self, misfit: FloatArray, edge: FloatArray, memory: Memory | None = None
    ) -> FloatArray:
        """Logarithm of the chance of all its grades, not aged. [-]

        On a shared tongue the trials are independent once the tongue's share τ of the air is given;
        τ is normal with σ / √2, and is summed over.

        Parameters
        ----------
        misfit, edge : array
            Misfit and edge scatter, in shapes that go together. [mm]
        memory : dict, optional
            What was worked out of other combs at the same places.
        """
        memory = {} if memory is None else memory
        if not self.same_tongue:
            return self._given(misfit, math.sqrt(2) * edge, memory)
        shares = edge[..., None] * (TONGUE / math.sqrt(2))
        given = self._given(misfit[..., None] - shares, edge[..., None], memory)
        most = given.max(axis=-1)
        weight = density(TONGUE)
        return np.asarray(most + np.log(np.exp(given - most[..., None]) @ (weight / weight.sum())))

    def _given(self, misfit: FloatArray, sd: FloatArray, memory: Memory) -> FloatArray:
        """The same where every boundary has errors of its own alone."""
        total: FloatArray = np.zeros(np.broadcast_shapes(misfit.shape, sd.shape))
        for trial in self.trials:
            key = (trial, self.same_tongue)
            if key not in memory:
                if len(memory) == _MOST_REMEMBERED:
                    memory.clear()
                memory[key] = trial.log_odds(misfit, sd)
            total += memory[key]
        return total


@dataclass(frozen=True, slots=True)
class Widths:
    """Calipered widths less those drawn, of one day.

    Parameters
    ----------
    name : str
        What they are called where they are spoken of.
    fingers, sockets : tuple of float
        Measured less drawn width of each. [mm]
    resolution : float
        Step in which the caliper reads; 0 leaves it out. [mm]
    age : float
        Since then. [days]

    Raises
    ------
    ValueError
        If there is no width.
    """

    name: str
    fingers: tuple[float, ...] = ()
    sockets: tuple[float, ...] = ()
    resolution: float = 0.0
    age: float = 0.0

    def __post_init__(self) -> None:
        if not self.fingers and not self.sockets:
            raise ValueError(f"{self.name} holds 0 widths; give at least 1")

    @property
    def sizes(self) -> tuple[int, int]:
        """How many trials and how many widths they hold. [-]"""
        return 0, len(self.fingers) + len(self.sockets)

    @property
    def offs(self) -> FloatArray:
        """How much tighter each width makes a fit. [mm]"""
        return np.array([*self.fingers, *(-off for off in self.sockets)], dtype=np.float64)

    def variance(self, edge: FloatArray) -> FloatArray:
        """Of one width: two edges, and a caliper that rounds evenly to its step. [mm²]

        Parameters
        ----------
        edge : array
            Edge scatter. [mm]
        """
        return np.asarray(2 * edge**2 + self.resolution**2 / 12)

    def log_odds(self, misfit: FloatArray, edge: FloatArray) -> FloatArray:
        """Logarithm of the density of all of them, not aged, up to a constant. [-]

        Parameters
        ----------
        misfit, edge : array
            Misfit and edge scatter, in shapes that go together. [mm]
        """
        offs, variance = self.offs, self.variance(edge)
        squares = ((offs - offs.mean()) ** 2).sum() + offs.size * (offs.mean() - misfit) ** 2
        return np.asarray(-squares / (2 * variance) - offs.size / 2 * np.log(variance))


Source: TypeAlias = Comb | Widths
"""What was measured in one go."""


Span: TypeAlias = tuple[float, float]
"""From where to where."""


def log_odds_of(
    sources: Sequence[Source], misfit: FloatArray, edge: FloatArray
) -> Iterator[FloatArray]:
    """Log odds of each source, not aged. [-]

    Parameters
    ----------
    sources : sequence of Comb and Widths
        The results.
    misfit, edge : array
        Misfit and edge scatter, in shapes that go together. [mm]
    """
    memory: Memory = {}
    for source in sources:
        if isinstance(source, Comb):
            yield source.log_odds(misfit, edge, memory)
        else:
            yield source.log_odds(misfit, edge)


def weight_of(age: float, half_life: float = HALF_LIFE) -> float:
    """How much an old result counts: 1 when new, half after each half life. [-]

    Parameters
    ----------
    age, half_life : float
        In days; a half life of infinity ages nothing. [days]
    """
    return float(2.0 ** (-age / half_life))


def reach(sources: Sequence[Source], prior: Prior) -> tuple[Span, Span]:
    """How far misfit [mm] and log scatter may lie, by the prior and by the results.

    Parameters
    ----------
    sources : sequence of Comb and Widths
        The results.
    prior : Prior
        What was thought beforehand.
    """
    places = [prior.mean - 6 * prior.sd, prior.mean + 6 * prior.sd]
    scatters = [prior.edge_sd / 30, 30 * prior.edge_sd]
    for source in sources:
        if isinstance(source, Comb):
            places += [trial.gap + side for trial in source.trials for side in (-0.15, 0.15)]
        else:
            places += [float(source.offs.min()), float(source.offs.max())]
            scatters.append(3 * float(source.offs.std()) + 1e-9)
    logs = [math.log(scatter) for scatter in scatters if scatter > prior.edge_sd / 100]
    return (min(places), max(places)), (min(logs), max(logs))
