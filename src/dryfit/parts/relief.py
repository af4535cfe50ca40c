"""Inside corners: the relief a round cutter takes in them, or the round it leaves.

At an inside corner of a socket a flank meets a shoulder. With d along the shoulder and f along
the flank, both away from the corner and into the socket, a circle of the cutter's radius r is
centred

* for a *diagonal* relief at (d + f) r / √2: it bites both walls by r (1 - 1/√2),
* for a *flank* relief at f r: it bites the flank by r and only touches the shoulder,
* for a *shoulder* relief at d r: it bites the shoulder by r and only touches the flank.

Each of these cuts the outline in half a circle. An unrelieved corner keeps a fillet whose centre
is at (d + f) r and whose arc is a quarter circle. Where neighbouring bites would run into each
other or past the finger's tip, these closed forms do not hold and :mod:`dryfit.parts.ascut` takes
the shapes away one by one.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.cutter import Relief
from dryfit.shapes.profile import Loop

if TYPE_CHECKING:
    from collections.abc import Mapping

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]

_HALF = -1.0
_QUARTER = -math.tan(math.pi / 8)
_ROOT = math.sqrt(2)

# How far the bite reaches from the corner along the flank and along the shoulder, in radii, and
# the bulge of its arc. The outline turns right at an inside corner, so bulges are negative.
_BITE: Mapping[Relief, tuple[float, float, float]] = {
    Relief.DIAGONAL: (_ROOT, _ROOT, _HALF),
    Relief.FLANK: (2.0, 0.0, _HALF),
    Relief.SHOULDER: (0.0, 2.0, _HALF),
    Relief.NONE: (1.0, 1.0, _QUARTER),
}

_CENTRE: Mapping[Relief, tuple[float, float]] = {
    Relief.DIAGONAL: (1 / _ROOT, 1 / _ROOT),
    Relief.FLANK: (1.0, 0.0),
    Relief.SHOULDER: (0.0, 1.0),
}

# How deep the bite goes into the flank's wall, in radii: neighbouring flanks must leave a neck.
_DEPTH: Mapping[Relief, float] = {
    Relief.DIAGONAL: 1 - 1 / _ROOT,
    Relief.FLANK: 1.0,
    Relief.SHOULDER: 0.0,
    Relief.NONE: 0.0,
}


def flank_bite(relief: Relief, radius: float) -> float:
    """How deep a relief bites into the flank of a finger. [mm]

    Parameters
    ----------
    relief : Relief
        The style.
    radius : float
        Radius of the cutter. [mm]
    """
    return _DEPTH[relief] * radius


def flank_reach(relief: Relief, radius: float) -> float:
    """How far from the corner a relief, or the round that is left, reaches along the flank. [mm]

    Parameters
    ----------
    relief : Relief
        The style.
    radius : float
        Radius of the cutter. [mm]
    """
    return _BITE[relief][0] * radius


def shoulder_bite(relief: Relief, radius: float) -> float:
    """How deep a relief bites into the shoulder of a socket, where it can be seen through. [mm]

    Parameters
    ----------
    relief : Relief
        The style.
    radius : float
        Radius of the cutter. [mm]
    """
    swapped = {Relief.FLANK: Relief.SHOULDER, Relief.SHOULDER: Relief.FLANK}
    return _DEPTH[swapped.get(relief, relief)] * radius


def rounded(loop: Loop, inside: FloatArray, relief: Relief, radius: float) -> Loop | None:
    """The outline with an arc at every inside corner, or None where the arcs do not fit.

    Parameters
    ----------
    loop : Loop
        Straight outline, counter-clockwise. [mm]
    inside : array, shape (k,)
        +1 where a flank arrives at a shoulder, -1 where a shoulder arrives at a flank, else 0.
    relief : Relief
        The style; ``none`` leaves the cutter's own round.
    radius : float
        Radius of the cutter. [mm]
    """
    corners = np.flatnonzero(inside)
    if radius <= 0 or not len(corners):
        return loop
    points = loop.vertices[:, :2]
    flank_reach, shoulder_reach, bulge = _BITE[relief]
    arrives_by_flank = inside[corners] > 0
    before = np.where(arrives_by_flank, flank_reach, shoulder_reach) * radius
    after = np.where(arrives_by_flank, shoulder_reach, flank_reach) * radius
    backward = points[corners - 1] - points[corners]
    forward = points[(corners + 1) % len(points)] - points[corners]
    if not _fits(loop, corners, before, after) or not _apart(loop, inside, relief, radius):
        return None
    begin = points[corners] + backward * (before / np.hypot(*backward.T))[:, None]
    finish = points[corners] + forward * (after / np.hypot(*forward.T))[:, None]
    arcs = np.stack(
        (
            np.column_stack((begin, np.full(len(corners), bulge))),
            np.column_stack((finish, np.zeros(len(corners)))),
        ),
        axis=1,
    )
    return Loop(_spliced(loop.vertices, corners, arcs))


def _fits(loop: Loop, corners: IntArray, before: FloatArray, after: FloatArray) -> bool:
    """Whether the arcs at both ends of every edge leave something of the edge."""
    count = len(loop.vertices)
    used = np.zeros(count)
    np.add.at(used, corners, after)
    np.add.at(used, (corners - 1) % count, before)
    edges = loop.edges
    lengths = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    return bool((used < lengths).all())


def _apart(loop: Loop, inside: FloatArray, relief: Relief, radius: float) -> bool:
    """Whether bites leave wood between them: across a finger, and round a corner of the panel."""
    if relief is Relief.NONE:
        return True
    corners = np.flatnonzero(inside)
    marks, centres = inside[corners], bite_centres(loop, inside, relief, radius)
    onward = np.roll(centres, -1, axis=0) - centres
    in_one_socket = (
        (marks > 0)
        & (np.roll(marks, -1) < 0)
        & ((corners + 1) % len(inside) == np.roll(corners, -1))
    )
    return bool((in_one_socket | (np.hypot(*onward.T) > 2 * radius)).all())


def _spliced(vertices: FloatArray, corners: IntArray, arcs: FloatArray) -> FloatArray:
    """Vertices with each corner replaced by the two ends of its arc."""
    repeats = np.ones(len(vertices), dtype=np.intp)
    repeats[corners] = 2
    result = np.repeat(vertices, repeats, axis=0)
    places = (np.cumsum(repeats) - repeats)[corners]
    result[places] = arcs[:, 0]
    result[places + 1] = arcs[:, 1]
    return result


def bite_centres(loop: Loop, inside: FloatArray, relief: Relief, radius: float) -> FloatArray:
    """Centre of the relief circle at every inside corner; shape (k, 2). [mm]

    Parameters
    ----------
    loop : Loop
        Straight outline, counter-clockwise. [mm]
    inside : array, shape (k,)
        Marks of the inside corners, as for `rounded`.
    relief : Relief
        The style, not ``none``.
    radius : float
        Radius of the cutter. [mm]
    """
    corners = np.flatnonzero(inside)
    points = loop.vertices[:, :2]
    backward = points[corners - 1] - points[corners]
    forward = points[(corners + 1) % len(points)] - points[corners]
    by_flank = (inside[corners] > 0)[:, None]
    flank = np.where(by_flank, backward, forward)
    shoulder = np.where(by_flank, forward, backward)
    along_flank, along_shoulder = _CENTRE[relief]
    return np.asarray(
        points[corners]
        + flank / np.hypot(*flank.T)[:, None] * along_flank * radius
        + shoulder / np.hypot(*shoulder.T)[:, None] * along_shoulder * radius
    )
