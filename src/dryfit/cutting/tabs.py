"""Tabs: bridges of wood that hold a part until it is taken out and they are pared off."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.along import Along
from dryfit.shapes import geos

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.cutting.moves import FloatArray
    from dryfit.model.machine import Machine, Rectangle
    from dryfit.shapes.profile import Loop

APART = 300.0
"""One tab for so much of the way round, and two at least (common practice, no source). [mm]"""

_AIR = 0.5
"""Wood beyond a tab that the cut round another part leaves. [mm]"""

NOBODY = np.zeros((0, 4))
"""Edges of no other part."""

_CLEAR = 2.0
"""Straight edge beyond each end of a tab. [mm]"""


def tab_spans(machine: Machine, diameter: float) -> tuple[float, float]:
    """How long the cutter's middle stays up over a tab, and on its way down behind it. [mm]

    Parameters
    ----------
    machine : Machine
        Size of a tab and the steepest way down.
    diameter : float
        Of the cutter. [mm]
    """
    way = (machine.tab_height + machine.spoil) / math.tan(math.radians(machine.ramp))
    return machine.tab_width + diameter, way


def place_tabs(
    loop: Loop,
    zones: Sequence[Rectangle],
    machine: Machine,
    diameter: float,
    others: FloatArray = NOBODY,
) -> tuple[tuple[float, float], ...]:
    """Where the cutter stays up: on straight runs, away from every joint; none where none fit.

    Parameters
    ----------
    loop : Loop
        Path of the cutter's middle. [mm]
    zones : sequence of Rectangle
        What the part's joints take. [mm]
    machine : Machine
        Size of a tab.
    diameter : float
        Of the cutter. [mm]
    others : array, shape (k, 4)
        Edges of the parts near by, whose own cut would take a tab away. [mm]

    Returns
    -------
    tuple of pair of float
        Begin and end of each along the path, evenly spread as far as the runs allow. [mm]
    """
    span, way = tab_spans(machine, diameter)
    need = span + way + 2 * _CLEAR
    along = Along(loop)
    runs = [
        (begin, end)
        for edge, start in zip(along.edges.tolist(), along.begins.tolist(), strict=True)
        if edge[4] == 0
        for begin, end in _free(edge, start, zones, diameter)
        if end - begin >= need
    ]
    if not runs:
        return ()
    count = max(2, round(along.whole / APART))
    spots = _kept(along, _spots(runs, need), span + 2 * _CLEAR, others, 1.5 * diameter + _AIR)
    chosen: list[float] = []
    for wanted in np.linspace(0.0, along.whole, count, endpoint=False):
        free = [
            spot
            for spot in spots
            if all(min(abs(spot - c), along.whole - abs(spot - c)) > need for c in chosen)
        ]
        if free:
            gap = [min(abs(s - wanted), along.whole - abs(s - wanted)) for s in free]
            chosen.append(free[int(np.argmin(gap))])
    if len(chosen) < 2:
        return ()
    return tuple((spot + _CLEAR, spot + _CLEAR + span) for spot in sorted(chosen))


def _kept(
    along: Along, spots: list[float], span: float, others: FloatArray, distance: float
) -> list[float]:
    """The spots at which no other part is nearer than a distance. [mm]"""
    if not len(others) or not spots:
        return spots
    begin = np.array(spots)
    tabs = np.hstack((along.at(begin), along.at(begin + span)))
    near, _ = geos.within(geos.lines(tabs), geos.lines(others), distance)
    return np.delete(begin, np.unique(near)).tolist()


def _spots(runs: list[tuple[float, float]], need: float) -> list[float]:
    """Where a tab may begin on the runs, a few on each."""
    found: list[float] = []
    for begin, end in runs:
        room = end - begin - need
        count = 1 + int(room // need)
        found += [begin + room / 2] if count == 1 else list(np.linspace(begin, end - need, count))
    return found


def _free(
    edge: list[float], start: float, zones: Sequence[Rectangle], diameter: float
) -> list[tuple[float, float]]:
    """Stretches of a straight run that are clear of every joint, by their lengths. [mm]"""
    x0, y0, x1, y1, _ = edge
    length = math.hypot(x1 - x0, y1 - y0)
    if length == 0:
        return []
    shut = []
    for zone in zones:
        grown = (zone[0] - diameter, zone[1] - diameter, zone[2] + diameter, zone[3] + diameter)
        span = _within((x0, y0, x1, y1), grown)
        if span is not None:
            shut.append((span[0] * length, span[1] * length))
    free, at = [], 0.0
    for low, high in sorted(shut):
        if low > at:
            free.append((start + at, start + low))
        at = max(at, high)
    if at < length:
        free.append((start + at, start + length))
    return free


def _within(line: tuple[float, ...], box: Rectangle) -> tuple[float, float] | None:
    """The share of a line that lies in a box, or None."""
    x0, y0, x1, y1 = line
    low, high = 0.0, 1.0
    for origin, step, least, most in (
        (x0, x1 - x0, box[0], box[2]),
        (y0, y1 - y0, box[1], box[3]),
    ):
        if abs(step) < 1e-12:
            if not least < origin < most:
                return None
            continue
        one, other = sorted(((least - origin) / step, (most - origin) / step))
        low, high = max(low, one), min(high, other)
    return (low, high) if low < high else None
