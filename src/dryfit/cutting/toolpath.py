"""From an operation to moves: passes, ways down along the path, tabs, and back up.

A cutter goes down along its path, never straight into the wood unless the maker says that it may.
Each pass is a ramp and then a whole round from where the ramp ended, so that nothing of the ramp
stays. Over a tab the cutter rises, and goes down behind it along the path.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.along import Along, apart

if TYPE_CHECKING:
    from dryfit.cutting.operation import Operation
    from dryfit.model.machine import Machine
    from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]

AIR = 0.5
"""How far above the sheet a cutter begins its way down. [mm]"""

_STEEP = 89.0
"""A way down that is called straight. [deg]"""


@dataclass(frozen=True, eq=False)
class Toolpath:
    """The moves of one operation, heights above the bed.

    Parameters
    ----------
    operation : Operation
        What is cut.
    path : array, shape (k, 7)
        As in :class:`dryfit.cutting.moves.Moves`; all of them cut. [mm]
    tabs : array, shape (j, 4)
        Each tab as the line x0, y0, x1, y1 over which the cutter's middle is up. [mm]
    """

    operation: Operation
    path: FloatArray
    tabs: FloatArray

    @property
    def entry(self) -> tuple[float, float]:
        """Where the cutter comes down. [mm]"""
        return float(self.path[0, 0]), float(self.path[0, 1])

    @property
    def exit(self) -> tuple[float, float]:
        """Where it goes up. [mm]"""
        return float(self.path[-1, 3]), float(self.path[-1, 4])


def toolpath(operation: Operation, machine: Machine, thickness: float, diameter: float) -> Toolpath:
    """The moves of an operation.

    Parameters
    ----------
    operation : Operation
        A closed path and how deep it has to be.
    machine : Machine
        Depth of a pass, steepness, tabs.
    thickness : float
        Of the sheet. [mm]
    diameter : float
        Of the cutter. [mm]
    """
    levels = heights(operation.bottom, machine, thickness, diameter)
    # The passes before the last ones stay above the tabs, which they know nothing of.
    stop = max(operation.bottom, machine.tab_height) if operation.tabs else operation.bottom
    wide = heights(stop, machine, thickness, diameter)
    rows = [
        _descent(Along(loop), wide, thickness, machine, (), spring=0) for loop in operation.rough
    ]
    along = Along(operation.loop)
    # What nothing holds may be loose after its last round: it is not run again.
    held = bool(operation.tabs) or operation.bottom >= 0
    spring = machine.spring if held else 0
    rows.append(_descent(along, levels, thickness, machine, operation.tabs, spring=spring))
    way = _way(machine)
    ends = np.array([[begin, end + way] for begin, end in operation.tabs]).reshape(-1, 2)
    tabs = np.hstack((along.at(ends[:, 0]), along.at(ends[:, 1])))
    return Toolpath(operation, _linked(rows, thickness + machine.clearance), tabs)


def heights(bottom: float, machine: Machine, thickness: float, diameter: float) -> list[float]:
    """Height of each pass, in equal steps no deeper than one diameter or the maker's own. [mm]

    Parameters
    ----------
    bottom : float
        Height of the last one. [mm]
    machine : Machine
        With the maker's own depth.
    thickness : float
        Of the sheet. [mm]
    diameter : float
        Of the cutter. [mm]
    """
    deepest = machine.pass_depth or diameter
    total = thickness - bottom
    count = max(1, math.ceil(total / deepest - 1e-9))
    return [thickness - total * k / count for k in range(1, count)] + [bottom]


def _way(machine: Machine) -> float:
    """How far the way down behind a tab is, along the path. [mm]"""
    return (machine.tab_height + machine.spoil) / math.tan(math.radians(machine.ramp))


def _descent(
    along: Along,
    levels: list[float],
    thickness: float,
    machine: Machine,
    tabs: tuple[tuple[float, float], ...],
    *,
    spring: int,
) -> FloatArray:
    """Rows of moves down through every level, round and round. [mm]"""
    slope = math.tan(math.radians(_STEEP if machine.plunges else machine.ramp))
    at, height = 0.0, thickness + AIR
    knots = [(at, height)]
    for level in levels:
        at += 0.0 if machine.plunges else (height - level) / slope
        knots.append((at, level))
        at += along.whole
        knots.append((at, level))
        height = level
    at += spring * along.whole
    knots.append((at, height))
    profile = _Profile(np.array(knots), tabs, along.whole, machine)
    every = np.concatenate((profile.places(at), along.vertices(0.0, at)))
    places = profile.crossed(apart(every))
    first, last = profile.ends(places)
    edges = along.between(places)
    rows = np.column_stack((edges[:, :2], first, edges[:, 2:4], last, edges[:, 4]))
    return _with_steps(rows, thickness + AIR)


def _with_steps(rows: FloatArray, top: float) -> FloatArray:
    """Rows with a straight move up or down wherever one begins at another height. [mm]"""
    before = np.concatenate(([top], rows[:-1, 5]))
    steps = np.flatnonzero(np.abs(rows[:, 2] - before) > 1e-9)
    made = np.column_stack(
        (rows[steps, :2], before[steps], rows[steps, :2], rows[steps, 2], np.zeros(len(steps)))
    )
    return np.insert(rows, steps, made, axis=0)


class _Profile:
    """Height of the cutter along the way: the passes, and the tabs that lift it."""

    def __init__(
        self,
        knots: FloatArray,
        tabs: tuple[tuple[float, float], ...],
        whole: float,
        machine: Machine,
    ) -> None:
        self.knots = knots
        self.tabs = tabs
        self.whole = whole
        self.top = machine.tab_height
        self.way = _way(machine)

    def places(self, last: float) -> FloatArray:
        """Every place where the slope may change, from 0 to the last. [mm]

        A place of one round is one of all, so that rounds repeat one another edge by edge.
        """
        own = [np.array([begin, end, end + self.way]) for begin, end in self.tabs]
        around = np.mod(np.concatenate((self.knots[:, 0], *own)), self.whole)
        rounds = np.arange(int(last // self.whole) + 1)[:, None] * self.whole
        every = (rounds + around).ravel()
        return np.concatenate((self.knots[:, 0], every[(every > 0) & (every < last)]))

    def passes(self, places: FloatArray) -> FloatArray:
        """Height of the passes alone. [mm]"""
        return np.interp(places, self.knots[:, 0], self.knots[:, 1])

    def floor(self, places: FloatArray) -> FloatArray:
        """What tabs leave the cutter. [mm]"""
        floor = np.full(len(places), -np.inf)
        for begin, end in self.tabs:
            beyond = np.mod(places - begin, self.whole) - (end - begin)
            down = self.top * np.ones(len(places))
            if self.way > 0:
                share = np.clip(beyond / self.way, 0.0, 1.0)
                down = self.top - share * self.way * self._slope
            floor = np.maximum(floor, np.where(beyond < self.way, down, -np.inf))
        return floor

    @property
    def _slope(self) -> float:
        lowest = float(self.knots[:, 1].min())
        return (self.top - lowest) / self.way

    def crossed(self, places: FloatArray) -> FloatArray:
        """The places, and those where the passes come down on a tab. [mm]"""
        if not self.tabs:
            return places
        one, other = self._inside(places)
        # Where there is no tab there is no floor; any depth below everything will do.
        gaps = [self.passes(p) - np.maximum(self.floor(p), -1e3) for p in (one, other)]
        first, last = 1.5 * gaps[0] - 0.5 * gaps[1], 1.5 * gaps[1] - 0.5 * gaps[0]
        cross = (first * last < 0) & (np.minimum(np.abs(first), np.abs(last)) > 1e-9)
        share = first[cross] / (first[cross] - last[cross])
        begin, end = places[:-1][cross], places[1:][cross]
        return apart(np.concatenate((places, begin + share * (end - begin))))

    @staticmethod
    def _inside(places: FloatArray) -> tuple[FloatArray, FloatArray]:
        step = np.diff(places) / 4
        return places[:-1] + step, places[1:] - step

    def ends(self, places: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Height at the begin and at the end of every stretch, as seen from within it. [mm]"""
        one, other = self._inside(places)
        a, b = (np.maximum(self.passes(p), self.floor(p)) for p in (one, other))
        # Steps of binary rounding would make a level run uphill.
        first, last = 1.5 * a - 0.5 * b, 1.5 * b - 0.5 * a
        flat = np.abs(first - last) < 1e-7
        return np.where(flat, a, first), np.where(flat, a, last)


def _linked(parts: list[FloatArray], safe: float) -> FloatArray:
    """Several descents as one: up, across in the air, and down between them. [mm]"""
    rows = [parts[0]]
    for before, after in pairwise(parts):
        x0, y0, z0 = before[-1, 3:6]
        x1, y1, z1 = after[0, :3]
        rows.append(
            np.array(
                [
                    [x0, y0, z0, x0, y0, safe, 0.0],
                    [x0, y0, safe, x1, y1, safe, 0.0],
                    [x1, y1, safe, x1, y1, z1, 0.0],
                ]
            )
        )
        rows.append(after)
    return np.concatenate(rows)


def traced(loop: Loop, lead: float) -> FloatArray:
    """Rows of one round on the bed, begun off the part: a laser's path.

    Parameters
    ----------
    loop : Loop
        Path of the beam's middle, the wood on its left. [mm]
    lead : float
        How far off it begins, in the waste. [mm]
    """
    edges = loop.edges
    x, y = edges[0, :2]
    direction = edges[0, 2:4] - edges[0, :2]
    direction = direction / np.hypot(*direction)
    off = np.array([x, y]) + lead * np.array([direction[1], -direction[0]])
    flat = np.vstack(([*off, x, y, 0.0], edges))
    zeros = np.zeros(len(flat))
    return np.column_stack((flat[:, :2], zeros, flat[:, 2:4], zeros, flat[:, 4]))
