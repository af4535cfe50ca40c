"""Running dimensions: where things stand along the four sides of a part, from one corner.

Vocabulary
----------
datum
    The lower left corner of the box round a part's outline, face b towards the reader.
station
    A place along a side, from the datum: a flank, a shoulder, a corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Bounds

IN_THE_FACE = "in the face"

_STRAIGHT = 1e-6
_TWIN = 0.002
"""Stations nearer to one another than this are one. [mm]"""

_SHORT = 0.02
"""Shorter lines are no flank. [mm]"""


class Side(StrEnum):
    """A side of a part as it is drawn."""

    BOTTOM = "bottom"
    TOP = "top"
    LEFT = "left"
    RIGHT = "right"

    @property
    def along_u(self) -> bool:
        """Whether it runs from left to right."""
        return self in (Side.BOTTOM, Side.TOP)


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight line of an outline, from the datum; `level` runs along u. [mm]"""

    at: float
    low: float
    high: float
    level: bool


def edges_of(part: Part) -> tuple[tuple[Edge, ...], tuple[tuple[float, float], ...]]:
    """The straight level and upright lines of an outline, and its corners that lie on neither.

    Both are from the datum. [mm]
    """
    x0, y0, _, _ = part.profile.bounds
    loop = part.profile.outer.vertices
    edges, corners = [], []
    for (xa, ya, bulge), (xb, yb, _) in zip(
        loop.tolist(), [*loop[1:].tolist(), loop[0].tolist()], strict=True
    ):
        if bulge:
            continue
        if abs(xa - xb) < _STRAIGHT:
            edges.append(Edge(xa - x0, min(ya, yb) - y0, max(ya, yb) - y0, level=False))
        elif abs(ya - yb) < _STRAIGHT:
            edges.append(Edge(ya - y0, min(xa, xb) - x0, max(xa, xb) - x0, level=True))
        else:
            corners += [(xa - x0, ya - y0), (xb - x0, yb - y0)]
    return tuple(e for e in edges if e.high - e.low > _SHORT), tuple(corners)


def stations(part: Part, side: Side) -> tuple[float, ...]:
    """Every station along a side, rising from 0 to the overall size. [mm]"""
    x0, y0, x1, y1 = part.profile.bounds
    edges, corners = edges_of(part)
    size, across = (x1 - x0, y1 - y0) if side.along_u else (y1 - y0, x1 - x0)
    near = side in (Side.BOTTOM, Side.LEFT)
    found = [0.0, size]
    for edge in edges:
        middle = (edge.low + edge.high) / 2
        if edge.level is not side.along_u and _is_near(middle, across, near=near):
            found.append(edge.at)
    for u, v in corners:
        along, off = (u, v) if side.along_u else (v, u)
        if _is_near(off, across, near=near):
            found.append(along)
    return _without_twins(found, size)


def _is_near(at: float, across: float, *, near: bool) -> bool:
    return at <= across / 2 + _TWIN if near else at >= across / 2 - _TWIN


def _without_twins(places: Iterable[float], size: float) -> tuple[float, ...]:
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > _TWIN:
            kept.append(place)
    kept[-1] = size
    return tuple(kept)


def plan_stations(part: Part, zone: Bounds) -> tuple[str, tuple[float, ...]]:
    """Where a joint runs on a part, and the stations of its flanks within its zone.

    Parameters
    ----------
    part : Part
        What is cut.
    zone : tuple of float
        What one of its joints takes of the part, in (u, v). [mm]

    Returns
    -------
    str
        A side, or ``in the face``.
    tuple of float
        Stations along the zone, from the datum. [mm]
    """
    x0, y0, x1, y1 = part.profile.bounds
    a0, b0, a1, b1 = zone[0] - x0, zone[1] - y0, zone[2] - x0, zone[3] - y0
    along_u = a1 - a0 >= b1 - b0
    low, high = (a0, a1) if along_u else (b0, b1)
    across = (b0, b1) if along_u else (a0, a1)
    where = _where(along_u, across, (x1 - x0, y1 - y0))
    edges = edges_of(part)[0] if where != IN_THE_FACE else ()
    found = [
        edge.at
        for edge in edges
        if edge.level is not along_u
        and edge.high > across[0] + _SHORT
        and edge.low < across[1] - _SHORT
        and low - _SHORT <= edge.at <= high + _SHORT
    ]
    mortises = part.cuts_for(Purpose.MORTISE) if where == IN_THE_FACE else ()
    for cut in mortises:
        c = cut.profile.bounds
        box = (c[0] - x0, c[1] - y0, c[2] - x0, c[3] - y0)
        inside = box[2] > a0 and box[0] < a1 and box[3] > b0 and box[1] < b1
        if inside:
            found += [box[0], box[2]] if along_u else [box[1], box[3]]
    return where, _without_twins(found, max(found)) if found else ()


def _where(along_u: bool, across: tuple[float, float], size: tuple[float, float]) -> str:
    """Which side a zone lies at, or that it lies in the face."""
    most = size[1] if along_u else size[0]
    if across[0] <= 1.0:
        return Side.BOTTOM if along_u else Side.LEFT
    if across[1] >= most - 1.0:
        return Side.TOP if along_u else Side.RIGHT
    return IN_THE_FACE
