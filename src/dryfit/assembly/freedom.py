"""In which straight directions one part leaves another: along axes, and between two of them.

Two parts of boxes: the one, moved by t, shares space with the other if t lies in one of the boxes
that the differences of their boxes make. A direction is free if its ray from the origin enters none
of them. In the plane of two axes each difference that the third axis crosses hides a range of
angles, so what is free there is exact, however narrow. A finger joint's free directions have no
width at all in space: they lie in one such plane.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import pi, radians
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.blocking import SLACK

if TYPE_CHECKING:
    from dryfit.assembly.bodies import Bodies

Vector = tuple[float, float, float]
FloatArray = npt.NDArray[np.float64]

_TURN = 2 * pi
_PLAY = radians(3)
"""Arcs narrower than this are the play of a joint, not a way out of it. [rad]"""


@dataclass(frozen=True, slots=True)
class Arc:
    """Directions between two, in the plane of two axes of the boxes.

    Parameters
    ----------
    first, second : tuple of float
        Two axes of the boxes, as unit vectors of the piece; angles count from the one to the other.
        [-]
    begin, end : float
        Where the directions begin and end; both are free as well. [rad]
    """

    first: Vector
    second: Vector
    begin: float
    end: float


@dataclass(frozen=True, slots=True)
class Freedom:
    """How one part leaves another.

    Parameters
    ----------
    axes : tuple of tuple of float
        The axes along which it leaves, as unit vectors of the piece. [-]
    arcs : tuple of Arc
        Directions between two of the axes.
    """

    axes: tuple[Vector, ...]
    arcs: tuple[Arc, ...]


def freedom(bodies: Bodies, one: int, other: int, slack: float = SLACK) -> Freedom:
    """In which directions part `one` leaves part `other`.

    Parameters
    ----------
    bodies : Bodies
        Parts as boxes.
    one, other : int
        The part that moves, and the one that stays.
    slack : float
        What they must share in every direction to be in each other's way. [mm]
    """
    own, mate = (slice(*bodies.first[[part, part + 1]].tolist()) for part in (one, other))
    low = (bodies.low[mate][None] - bodies.high[own][:, None]).reshape(-1, 3) + slack
    high = (bodies.high[mate][None] - bodies.low[own][:, None]).reshape(-1, 3) - slack
    solid = (high > low).all(axis=1)
    low, high = low[solid], high[solid]
    axes = []
    for axis in range(3):
        others = [k for k in range(3) if k != axis]
        crossed = ((low < 0) & (high > 0))[:, others].all(axis=1)
        for way in (1, -1):
            ahead = high[:, axis] > 0 if way > 0 else low[:, axis] < 0
            if not (crossed & ahead).any():
                axes.append(_triple(way * bodies.turn[axis]))
    arcs = [
        Arc(_triple(bodies.turn[pair[0]]), _triple(bodies.turn[pair[1]]), begin, end)
        for pair in combinations(range(3), 2)
        for begin, end in _arcs(low, high, pair)
    ]
    return Freedom(tuple(axes), tuple(arcs))


def _arcs(low: FloatArray, high: FloatArray, pair: tuple[int, int]) -> list[tuple[float, float]]:
    """What no box hides from the origin, in the plane of two axes. [rad]"""
    (third,) = {0, 1, 2} - set(pair)
    crossed = (low[:, third] < 0) & (high[:, third] > 0)
    low, high = low[crossed][:, pair], high[crossed][:, pair]
    if ((low < 0) & (high > 0)).all(axis=1).any():
        return []
    corners = np.stack((low, np.column_stack((high[:, 0], low[:, 1])), high,
                        np.column_stack((low[:, 0], high[:, 1]))), axis=1)  # fmt: skip
    middle = (low + high) / 2
    facing = np.arctan2(middle[:, 1], middle[:, 0])
    angles = np.arctan2(corners[:, :, 1], corners[:, :, 0]) - facing[:, None]
    angles = (angles + pi) % _TURN - pi
    begin, width = facing + angles.min(axis=1), np.ptp(angles, axis=1)
    return _gaps(begin % _TURN, width)


def _gaps(begin: FloatArray, width: FloatArray) -> list[tuple[float, float]]:
    """What some arcs leave of the full turn."""
    if not len(begin):
        return [(0.0, _TURN)]
    order = np.argsort(begin)
    begin, end = begin[order], begin[order] + width[order]
    reach = np.maximum.accumulate(end)
    after = np.append(begin[1:], begin[0] + _TURN)
    # What runs past the full turn hides the beginning of the next.
    reach = np.maximum(reach, reach[-1] - _TURN)
    return [(float(a), float(b)) for a, b in zip(reach, after, strict=True) if b - a > _PLAY]


def _triple(vector: FloatArray) -> Vector:
    x, y, z = (np.round(vector, 9) + 0.0).tolist()
    return x, y, z
