"""Feeds of a router: rpm × flutes × chip load, from two published charts.

Vocabulary
----------
chip load
    How far the work moves while one flute turns past it: the thickness of a chip. [mm]
flute
    A cutting edge of the cutter.
chart
    A table of chip loads by material and cutter, as a vendor prints it for production machines.

A feed is a starting point: what the makers of machine and cutter say comes first.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.errors import SizeError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.materials.sheets import Material

CAUTION = (
    "A feed from a chart is a starting point: listen, look at the chips, and let the makers of "
    "machine and cutter have the last word."
)
"""Said wherever a feed is shown."""

CHARTS = (
    "two vendors' chip load charts, read second-hand; production machines, depth of one diameter"
)
"""Where the chip loads are from."""

DEPTHS = ((1.0, 1.0), (2.0, 0.75), (3.0, 0.5))
"""Depth of a pass in diameters, and what it leaves of the chip load, as the charts have it. [-]"""

_INCH = 25.4

_SOFTWOODS = frozenset(
    ("Douglas-fir", "fir", "hemlock", "larch", "pine", "redwood", "spruce", "western redcedar")
)
"""Botanically soft; every other species of ours is a hardwood."""

_ROWS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "plywood": ("plywood", "softwood/plywood"),
        "birch plywood": ("plywood", "softwood/plywood"),
        "MDF": ("MDF/particleboard",),
        "particleboard": ("MDF/particleboard",),
        "hardboard": ("MDF/particleboard",),
        "acrylic": ("acrylic",),
    }
)
"""What the charts call a sheet of ours; hardboard and MDF are both pressed fibre (no source)."""


@dataclass(frozen=True, slots=True)
class ChipLoad:
    """One row of a chart.

    Parameters
    ----------
    chart, source : str
        Which chart, and what kind of source it is.
    material : str
        As the chart calls it.
    diameter : float
        Of the cutter. [mm]
    low, high : float
        Range of the chip load. [mm]
    status : str
        ``read``, or how a misprint was read.
    """

    chart: str
    source: str
    material: str
    diameter: float
    low: float
    high: float
    status: str


@dataclass(frozen=True, slots=True)
class Spindle:
    """What a machine allows.

    Parameters
    ----------
    rpm : float
        Speed of the spindle. [1/min]
    most_feed : float, optional
        The fastest it moves while it cuts. [mm/min]
    least_rpm : float
        The slowest that the spindle turns. [1/min]
    production : bool
        Whether it is a production machine, stiff enough for the high end of the range.
    """

    rpm: float
    most_feed: float | None = None
    least_rpm: float = 0.0
    production: bool = False


@dataclass(frozen=True, slots=True)
class Feed:
    """A feed to start with.

    Parameters
    ----------
    feed : float
        How fast the cutter moves. [mm/min]
    rpm : float
        How fast it turns. [1/min]
    chip : float
        The chip load that these two give. [mm]
    low, high : float
        Range of the charts at this diameter, before the depth is taken off. [mm]
    share : float
        What the depth of the pass leaves of the chip load. [-]
    capped : bool
        Whether the machine's own limit set the feed, and the speed was lowered to keep the chip.
    thin : bool
        Whether the chip is thinner than wanted because the spindle turns no slower: it rubs.
    outside : bool
        Whether the diameter or the depth lies outside the charts, and was judged from their edge.
    source : str
        Where it is from.
    """

    feed: float
    rpm: float
    chip: float
    low: float
    high: float
    share: float
    capped: bool
    thin: bool
    outside: bool
    source: str = CHARTS


@cache
def chart() -> tuple[ChipLoad, ...]:
    """Every row of the charts, in their order."""
    text = files("dryfit.cutting").joinpath("chip_load.csv").read_text(encoding="utf-8")
    return tuple(
        ChipLoad(
            row["chart"], row["source"], row["material"], float(Fraction(row["cutter_in"])) * _INCH,
            float(row["low_in"]) * _INCH, float(row["high_in"]) * _INCH, row["status"],
        )
        for row in csv.DictReader(text.splitlines())
    )  # fmt: skip


def plain_feed(rpm: float, flutes: int, chip: float) -> float:
    """Feed = rpm × flutes × chip load. [mm/min]

    Parameters
    ----------
    rpm : float
        Speed of the spindle. [1/min]
    flutes : int
        Of the cutter. [-]
    chip : float
        Chip load. [mm]

    Examples
    --------
    >>> plain_feed(18000, 2, 0.1)
    3600.0
    """
    return rpm * flutes * chip


def chip_range(material: Material, diameter: float) -> tuple[float, float]:
    """Least and most chip load that any chart gives. [mm]

    Between the diameters of a chart in proportion; below the thinnest in proportion to the
    diameter, above the thickest as for the thickest (common practice, no source).

    Parameters
    ----------
    material : Material
        What is cut.
    diameter : float
        Of the cutter. [mm]

    Raises
    ------
    SizeError
        If the diameter is not more than 0.
    """
    if diameter <= 0:
        raise SizeError(f"a cutter of {diameter:g} mm cuts nothing; write its diameter, over 0 mm")
    named = _names(material)
    curves: dict[tuple[str, str], list[ChipLoad]] = {}
    for row in chart():
        if row.material in named:
            curves.setdefault((row.chart, row.material), []).append(row)
    lows = [_between(diameter, [(r.diameter, r.low) for r in rows]) for rows in curves.values()]
    highs = [_between(diameter, [(r.diameter, r.high) for r in rows]) for rows in curves.values()]
    return min(lows), max(highs)


def depth_share(depth: float, diameter: float) -> float:
    """What the depth of a pass leaves of the chip load. [-]

    Whole up to one diameter, three quarters at two, half at three, in proportion between; deeper
    than three the charts say nothing, and half stays.

    Parameters
    ----------
    depth, diameter : float
        Of the pass, and of the cutter. [mm]
    """
    times = depth / diameter
    for (near, more), (far, less) in pairwise(DEPTHS):
        if times <= far:
            return more - (more - less) * max(times - near, 0.0) / (far - near)
    return DEPTHS[-1][1]


def starting_feed(
    material: Material, diameter: float, flutes: int, depth: float, spindle: Spindle
) -> Feed:
    """A feed to start with: the low end of the range, on a production machine the high end.

    Less by the depth of the pass; no more than the machine moves, and then the spindle turns
    slower by as much, so that the chip stays as thick.

    Parameters
    ----------
    material : Material
        What is cut.
    diameter : float
        Of the cutter. [mm]
    flutes : int
        Of the cutter. [-]
    depth : float
        Of one pass. [mm]
    spindle : Spindle
        What the machine allows.

    Raises
    ------
    SizeError
        If any of these is not more than 0, or the slowest speed is more than the speed.

    Examples
    --------
    >>> from dryfit.materials.sheets import MATERIALS
    >>> start = starting_feed(MATERIALS["birch plywood"], 3.175, 2, 3.0, Spindle(18000, 1500))
    >>> round(start.feed), round(start.rpm), start.capped
    (1500, 9843, True)
    """
    _refuse(flutes, depth, spindle)
    low, high = chip_range(material, diameter)
    share = depth_share(depth, diameter)
    chip = (high if spindle.production else low) * share
    feed, rpm = plain_feed(spindle.rpm, flutes, chip), spindle.rpm
    capped = spindle.most_feed is not None and feed > spindle.most_feed
    if spindle.most_feed is not None and capped:
        feed = spindle.most_feed
        rpm = max(feed / (flutes * chip), spindle.least_rpm)
    kept = feed / (rpm * flutes)
    edges = [row.diameter for row in chart()]
    outside = not min(edges) - 1e-9 <= diameter <= max(edges) + 1e-9
    deep = depth > DEPTHS[-1][0] * diameter + 1e-9
    thin = kept < chip * (1 - 1e-9)
    return Feed(feed, rpm, kept, low, high, share, capped, thin, outside or deep)


def _refuse(flutes: int, depth: float, spindle: Spindle) -> None:
    """Stop at what no machine has."""
    if spindle.rpm <= 0:
        raise SizeError(f"a spindle at {spindle.rpm:g} rpm cuts nothing; write its speed, over 0")
    if flutes < 1:
        raise SizeError(f"a cutter with {flutes} flutes cuts nothing; write 1 or more")
    if depth <= 0:
        raise SizeError(f"a pass {depth:g} mm deep cuts nothing; write more than 0 mm")
    if spindle.most_feed is not None and spindle.most_feed <= 0:
        raise SizeError(f"a feed of {spindle.most_feed:g} mm/min stands still; write more than 0")
    if spindle.least_rpm > spindle.rpm:
        raise SizeError(
            f"the slowest speed, {spindle.least_rpm:g} rpm, is more than the speed, "
            f"{spindle.rpm:g} rpm; write the slower one first"
        )


def _names(material: Material) -> tuple[str, ...]:
    """What the charts call a material."""
    if material.name in _ROWS:
        return _ROWS[material.name]
    return ("softwood", "softwood/plywood") if material.name in _SOFTWOODS else ("hardwood",)


def _between(diameter: float, points: Sequence[tuple[float, float]]) -> float:
    """The value at a diameter, from those at others. [mm]"""
    first, last = points[0], points[-1]
    if diameter <= first[0]:
        return first[1] * diameter / first[0]
    for (thin, low), (thick, high) in pairwise(points):
        if diameter <= thick:
            return low + (high - low) * (diameter - thin) / (thick - thin)
    return last[1]
