"""Links: how two bodies hold each other along one axis, and the odds of each by itself.

A link bounds the shift v of its second body against its first from both sides:

    centre - air + A + D + T/2 <= v <= centre + air - B + D - T/2

with A the largest error among its `plus` boundaries, B among its `minus` ones, D what moves all of
them together and T what a part too thick takes from both sides. By itself it goes together
iff A + B + T <= 2 air: D drops out, since the bodies shift by it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.normal import REACH, below, density, line, spread_normals

if TYPE_CHECKING:
    from dryfit.tolerance.normal import FloatArray

TABLE = 1500
"""Places at which the odds of a link are tabulated; between them they are interpolated. [-]"""

_GIVES_ALL = 12.0
"""A boundary that gives so many standard deviations always closes. [-]"""

_PLACES = 160
_ROW_POWER = 15


@dataclass(frozen=True, slots=True)
class Row:
    """Boundaries in a row, for errors that depend on where they lie.

    Parameters
    ----------
    places : tuple of float
        Where each boundary lies along the link, from its datum. [mm]
    senses : tuple of int
        +1 where it bounds the shift from below, -1 where from above. [-]
    slope : float
        Growth of the error with the place that is known. [-]
    slope_sd : float
        Standard deviation of what is not known of it. [-]
    walk : bool
        Whether the error of each boundary is handed on to the next.
    """

    places: tuple[float, ...]
    senses: tuple[int, ...]
    slope: float = 0.0
    slope_sd: float = 0.0
    walk: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """One link; see the module.

    Parameters
    ----------
    first, second : str
        The bodies.
    axis : int
        The axis along which it holds. [-]
    name : str
        What it belongs to.
    plus, minus : int
        Boundaries that bound the shift from below and from above. [-]
    gap : float
        Air at a boundary that is not swept. [mm]
    per_gap, per_misfit : float
        How much of the swept gap it has, and how much the shared misfit takes from it. [-]
    sd, datum, squeeze : float
        Standard deviations of the error of a boundary, of D and of T. T is for links of one
        boundary each way. [mm]
    centre : float
        Where the middle of the shift lies. [mm]
    pinch : float
        What a boundary gives. [mm]
    strict : pair of int
        How many of the boundaries of each sense give nothing. [-]
    row : Row, optional
        Where the boundaries lie, if their errors depend on it.
    """

    first: str
    second: str
    axis: int
    name: str
    plus: int
    minus: int
    gap: float = 0.0
    per_gap: float = 0.0
    per_misfit: float = 0.0
    sd: float = 0.0
    datum: float = 0.0
    squeeze: float = 0.0
    centre: float = 0.0
    pinch: float = 0.0
    strict: tuple[int, int] = (0, 0)
    row: Row | None = None

    def __post_init__(self) -> None:
        if self.squeeze > 0 and (self.plus, self.minus) != (1, 1):
            raise ValueError(f"{self.name}: a thickness is held by 1 boundary each way")

    @property
    def ordered(self) -> Link:
        """The same link with its bodies in the order of their names."""
        if self.first <= self.second:
            return self
        row = self.row
        if row is not None:
            row = replace(row, senses=tuple(-sense for sense in row.senses), slope=-row.slope)
        return replace(
            self, first=self.second, second=self.first, plus=self.minus, minus=self.plus,
            centre=-self.centre, row=row,
        )  # fmt: skip

    @property
    def key(self) -> tuple[object, ...]:
        """What links are sorted by, so that the order in which they come changes nothing."""
        return self.name, self.axis, self.first, self.second, self.centre, self.gap, self.plus

    @property
    def bare(self) -> Link:
        """What its odds by itself depend on."""
        return replace(self, first="", second="", axis=0, name="", datum=0.0, centre=0.0)

    @property
    def width(self) -> int:
        """How many random numbers it takes in a sample, at most. [-]"""
        if self.row is not None:
            return len(self.row.places) + 2
        return 2 if self.is_single else 5

    @property
    def is_single(self) -> bool:
        """Whether it has one boundary of each sense, wherever they lie."""
        return (self.plus, self.minus) == (1, 1) and self.row is None

    def give(self, sense: int) -> float:
        """What the boundaries of one sense, 0 or 1, give at least. [mm]"""
        return 0.0 if self.strict[sense] else self.pinch

    @property
    def holds(self) -> bool:
        """Whether it bounds the shift from both sides."""
        return self.plus > 0 and self.minus > 0

    def air(self, gap: FloatArray, misfit: FloatArray) -> FloatArray:
        """Air at a boundary, before anything gives. [mm]

        Parameters
        ----------
        gap, misfit : array
            The swept gap and the shared misfit. [mm]
        """
        return self.gap + self.per_gap * gap - self.per_misfit * misfit

    def alone(self, air: FloatArray, times: float = 1.0, seed: int = 11) -> FloatArray:
        """Odds that it goes together by itself, whatever the shift, at every `air` [mm]. [-]

        Parameters
        ----------
        air : array
            Air at a boundary. [mm]
        times : float
            How much larger than stated the errors of boundaries are. [-]
        seed : int
            Of the samples that a row takes. [-]
        """
        sd = times * self.sd
        if not self.holds:
            return np.ones_like(air)
        if self.row is not None:
            sums = _row_sums(replace(self.bare, sd=sd, gap=0.0, per_gap=0.0, per_misfit=0.0), seed)
            return np.searchsorted(sums, 2 * air, side="right") / len(sums)
        if (self.plus, self.minus) == (1, 1) or sd <= 0:
            give = (self.give(0) + self.give(1)) / 2
            spread = np.sqrt(2 * sd**2 + self.squeeze**2)
            if spread <= 0:
                return np.asarray((air + give >= 0).astype(np.float64))
            return below(2 * (air + give) / spread)
        if not any(self.strict):
            return np.interp((air + self.pinch) / sd, *_table(self.plus, self.minus, (0, 0), 0.0))
        give = round(min(self.pinch / sd, _GIVES_ALL), 9)
        return np.interp(air / sd, *_table(self.plus, self.minus, self.strict, give))


def row_errors(row: Row, sd: float | FloatArray, normals: FloatArray) -> FloatArray:
    """Errors of the boundaries of a row, in their own sense, shape (samples, k). [mm]

    Parameters
    ----------
    row : Row
        Where the boundaries lie.
    sd : float
        Standard deviation of one of them, or of one step. [mm]
    normals : array, shape (samples, k + 1)
        Standard normals; the last column is that of the slope. [-]
    """
    own = sd * normals[:, :-1]
    if row.walk:
        own = np.cumsum(own, axis=1)
    slope = row.slope + row.slope_sd * normals[:, -1:]
    return np.asarray(own + slope * np.array(row.places))


def row_worst(row: Row, errors: FloatArray, give: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The largest errors A and B of the two senses, less what each boundary gives. [mm]"""
    senses = np.array(row.senses)
    worst = -senses * errors - give
    return worst[:, senses > 0].max(axis=1), worst[:, senses < 0].max(axis=1)


def gives(link: Link) -> FloatArray:
    """What each boundary of a row gives; where some give nothing, it is the outermost. [mm]"""
    assert link.row is not None
    give = np.full(len(link.row.places), link.pinch)
    if any(link.strict):
        give[[0, -1]] = 0.0
    return give


@lru_cache(maxsize=512)
def _row_sums(link: Link, seed: int) -> FloatArray:
    """A + B of many samples of a link in a row, in order. [mm]"""
    assert link.row is not None
    normals = spread_normals(len(link.row.places) + 1, _ROW_POWER, seed)
    plus, minus = row_worst(link.row, row_errors(link.row, link.sd, normals), gives(link))
    return np.sort(plus + minus)


@lru_cache(maxsize=512)
def _table(
    plus: int, minus: int, strict: tuple[int, int], give: float
) -> tuple[FloatArray, FloatArray]:
    """Odds of a link against its air, both in standard deviations of a boundary. [-]

    The distribution of a largest error is Φ(t + give)^a Φ(t)^b, with a boundaries that give and b
    that do not; the odds are that of A, folded with the density of B.
    """
    air = np.linspace(-4.0 - give, 9.0, TABLE)
    t, weight = line(_PLACES, -REACH - give, REACH)
    upper = 2 * air[:, None] - t
    return air, np.clip(
        _within(upper, plus, strict[0], give) @ (weight * _density(t, minus, strict[1], give)), 0, 1
    )


def _within(t: FloatArray, count: int, strict: int, give: float) -> FloatArray:
    return np.asarray(below(t + give) ** (count - strict) * below(t) ** strict)


def _density(t: FloatArray, count: int, strict: int, give: float) -> FloatArray:
    soft, hard = below(t + give), below(t)
    loose = count - strict
    found = np.zeros_like(t)
    if loose:
        found += loose * density(t + give) * soft ** (loose - 1) * hard**strict
    if strict:
        found += strict * density(t) * hard ** (strict - 1) * soft**loose
    return found
