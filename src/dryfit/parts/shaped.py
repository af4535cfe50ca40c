"""Openings and shaped corners of a panel."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.opening import Where
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.opening import Opening, ShapedCorner
    from dryfit.model.panel import Panel

WEB = 3.0
"""Wood that an opening leaves beside a joint, another opening or an edge (common practice). [mm]"""

Rectangle = tuple[float, float, float, float]
FloatArray = npt.NDArray[np.float64]

_QUARTER = math.tan(math.pi / 8)


def opening(panel: Panel, asked: Opening) -> Profile:
    """The shape of an opening in the (u, v) of its panel. [mm]"""
    u0, v0, u1, v1 = asked.rectangle(panel.width, panel.height)
    radius = asked.radius
    if radius <= 0:
        return Profile.rectangle(u0, v0, u1, v1)
    points = [
        (u0 + radius, v0, 0.0), (u1 - radius, v0, _QUARTER),
        (u1, v0 + radius, 0.0), (u1, v1 - radius, _QUARTER),
        (u1 - radius, v1, 0.0), (u0 + radius, v1, _QUARTER),
        (u0, v1 - radius, 0.0), (u0, v0 + radius, _QUARTER),
    ]  # fmt: skip
    vertices = np.array(points)
    # In a slot or a round hole some straight edges have no length.
    apart = np.abs(vertices[:, :2] - np.roll(vertices[:, :2], -1, axis=0)).max(axis=1) > SAME
    return Profile(Loop(vertices[apart]))


def with_room(panel: Panel, zones: Sequence[Rectangle], web: float) -> list[Opening]:
    """The openings that hit neither a joint nor an edge, a corner or an opening before them.

    What is left out would cut an outline in two; the checks tell of it.

    Parameters
    ----------
    panel : Panel
        The panel, with its openings.
    zones : sequence of (float, float, float, float)
        What its joints take, in (u, v). [mm]
    web : float
        The wood that has to stand beside an opening. [mm]
    """
    taken = [*zones, *(corner_rectangle(panel, corner) for corner in panel.shaped)]
    found = []
    for each in panel.openings:
        u0, v0, u1, v1 = own = each.rectangle(panel.width, panel.height)
        inside = min(u0, v0, panel.width - u1, panel.height - v1) > web
        clear = all(
            max(u0 - other[2], other[0] - u1, v0 - other[3], other[1] - v1) > web for other in taken
        )
        if inside and clear:
            found.append(each)
            taken.append(own)
    return found


def place(panel: Panel, where: Where) -> tuple[float, float]:
    """Where a corner of a panel's reach lies, in (u, v). [mm]"""
    u = panel.width if where in (Where.BOTTOM_RIGHT, Where.TOP_RIGHT) else 0.0
    v = panel.height if where in (Where.TOP_LEFT, Where.TOP_RIGHT) else 0.0
    return u, v


def corner_rectangle(panel: Panel, asked: ShapedCorner) -> tuple[float, float, float, float]:
    """What a shaped corner takes: low u, low v, high u and high v. [mm]"""
    u, v = place(panel, asked.where)
    far_u = u - asked.size[0] if u else asked.size[0]
    far_v = v - asked.size[1] if v else asked.size[1]
    return min(u, far_u), min(v, far_v), max(u, far_u), max(v, far_v)


def shaped(panel: Panel, loop: Loop, inside: FloatArray) -> tuple[Loop, FloatArray]:
    """An outline with its corners rounded or cut down.

    A corner that a joint has taken away stays as it is; the checks tell of it.

    Parameters
    ----------
    panel : Panel
        The panel, with its corners.
    loop : Loop
        Its outline, straight and counter-clockwise. [mm]
    inside : array, shape (k,)
        Marks of the inside corners, as from :func:`dryfit.parts.outline.outline`.
    """
    for corner in panel.shaped:
        points = loop.vertices[:, :2]
        here = np.flatnonzero(np.abs(points - place(panel, corner.where)).max(axis=1) < SAME)
        if not len(here):
            continue
        index = int(here[0])
        back, onward = points[index - 1] - points[index], points[(index + 1) % len(points)]
        onward = onward - points[index]
        sizes = np.array(corner.size)
        if np.abs(back).max() < sizes[np.abs(back).argmax()] + SAME:
            continue
        if np.abs(onward).max() < sizes[np.abs(onward).argmax()] + SAME:
            continue
        first = points[index] + np.sign(back) * sizes
        last = points[index] + np.sign(onward) * sizes
        bulge = _QUARTER if corner.rounded else 0.0
        rows = np.array([[*first, bulge], [*last, 0.0]])
        vertices = np.insert(np.delete(loop.vertices, index, axis=0), index, rows, axis=0)
        inside = np.insert(np.delete(inside, index), index, np.zeros(2))
        loop = Loop(vertices)
    return loop, inside
