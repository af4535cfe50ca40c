"""The odds against the flank gap as one ink curve, with the chosen point on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.pages.hand import DOTTED, INK, PAPER
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text
from dryfit.units import in_100, show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDTH, HEIGHT = 160.0, 92.0
_LEFT, _RIGHT, _FOOT, _TOP = 18.0, 8.0, 18.0, 16.0
_LETTER = 2.5
_TICK = 1.5
_DOT = 1.1
_HUNDREDS = (0, 25, 50, 75, 100)

Point = tuple[float, float]
"""A flank gap [mm] and its odds [-]."""


def curve_page(
    title: str, points: Sequence[Point], chosen: Point, wanted: Point | None, aim: float, unit: str
) -> Page:
    """The curve on a page of its own.

    Parameters
    ----------
    title : str
        What the job is called.
    points : sequence of pair of float
        The curve, from the smallest gap [mm] on.
    chosen : pair of float
        The gap [mm] that the job has now, and its odds.
    wanted : pair of float, optional
        The least gap [mm] that reaches the odds that are wanted; None where none does.
    aim : float
        Those odds. [-]
    unit : str
        The unit to print lengths in.
    """
    plot = _Plot(points[0][0], points[-1][0])
    said = (
        f"The odds rise from {in_100(points[0][1])} at {show_length(points[0][0], unit, 3)} of air "
        f"at a flank to {in_100(points[-1][1])} at {show_length(points[-1][0], unit, 3)}. At "
        f"{show_length(chosen[0], unit, 3)}, as drawn, they are {in_100(chosen[1])}."
    )
    return Page(
        title=f"{plain_text(title)}: odds that everything goes together",
        description=said,
        width=WIDTH,
        height=HEIGHT,
        paper=PAPER,
        fills=(Fill(Role.FACE, (_dot(*plot.at(chosen)),), INK),),
        strokes=tuple(_strokes(plot, points, aim)),
        texts=tuple(_texts(plot, title, chosen, wanted, aim, unit)),
    )


class _Plot:
    """Where gaps and odds lie on the page."""

    def __init__(self, low: float, high: float) -> None:
        self.low, self.high = low, high

    def x(self, gap: float) -> float:
        """A gap [mm] across the page. [mm]"""
        share = (gap - self.low) / max(self.high - self.low, 1e-9)
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    @staticmethod
    def y(odds: float) -> float:
        """Odds up the page. [mm]"""
        return _FOOT + odds * (HEIGHT - _FOOT - _TOP)

    def at(self, point: Point) -> tuple[float, float]:
        """A gap [mm] and its odds on the page. [mm]"""
        return self.x(point[0]), self.y(point[1])

    def ticks(self) -> list[float]:
        """Round gaps along the foot, ten at the most. [mm]"""
        span = self.high - self.low
        step = next(s for s in (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0) if span / s <= 10 or s == 1)
        first = round(self.low / step)
        count = int((self.high - first * step) / step + 1e-9) + 1
        return [round((first + k) * step, 6) for k in range(count)]


def _strokes(plot: _Plot, points: Sequence[Point], aim: float) -> Iterator[Stroke]:
    foot, right = plot.y(0.0), WIDTH - _RIGHT
    yield Stroke(Role.DIMENSION, Path.line((_LEFT, foot), (right, foot)))
    for gap in plot.ticks():
        x = plot.x(gap)
        yield Stroke(Role.DIMENSION, Path.line((x, foot), (x, foot - _TICK)))
    for hundred in _HUNDREDS:
        y = plot.y(hundred / 100)
        yield Stroke(Role.DIMENSION, Path.line((_LEFT - _TICK, y), (_LEFT, y)))
    yield Stroke(Role.LEADER, Path.line((_LEFT, plot.y(aim)), (right, plot.y(aim))), dashes=DOTTED)
    yield Stroke(Role.EDGE, Path.line(*(plot.at(point) for point in points)))


def _texts(
    plot: _Plot, title: str, chosen: Point, wanted: Point | None, aim: float, unit: str
) -> Iterator[Text]:
    yield Text(Role.LABEL, _LEFT, HEIGHT - 9.0, 3.2, plain_text(title))
    for hundred in _HUNDREDS:
        y = plot.y(hundred / 100) - _LETTER / 2
        yield Text(Role.DIMENSION, _LEFT - 2.5, y, _LETTER, str(hundred), Anchor.END)
    foot = plot.y(0.0)
    for gap in plot.ticks():
        said = show_length(gap, unit, 2).rpartition(" ")[0]
        yield Text(Role.DIMENSION, plot.x(gap), foot - 5.5, _LETTER, said, Anchor.MIDDLE)
    words = f"air at a flank [{unit}], against the odds in 100 that everything goes together"
    yield Text(Role.DIMENSION, _LEFT, foot - 12.0, _LETTER, words)
    x, y = plot.at(chosen)
    end = x > WIDTH - 55
    yield Text(
        Role.LABEL,
        x - 2.5 if end else x + 2.5,
        y - 4.0,
        _LETTER,
        f"{show_length(chosen[0], unit, 3)}: {in_100(chosen[1])}",
        Anchor.END if end else Anchor.START,
    )
    reach = "out of reach" if wanted is None else f"from {show_length(wanted[0], unit, 3)} on"
    yield Text(
        Role.LABEL, _LEFT + 1.5, plot.y(aim) + 1.4, _LETTER, f"{in_100(aim)} wanted: {reach}"
    )


def _dot(x: float, y: float) -> Path:
    """A round dot: two half circles. [mm]"""
    return Path(((x - _DOT, y, 1.0), (x + _DOT, y, 1.0)))
