"""What trays with angled corners share: walls that stand or lean on an edge, and a base.

Every panel is stated by its outer face. A wall stands on a stretch of the ground line, leans out
from it, and is wider at the top than at the bottom when its neighbours lean too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.model.panel import Face, Frame, Grain, Panel

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.stock import Stock

Point = tuple[float, float]

_LEVEL = 1e-9
"""A wall that is wider at the top by less than this is a rectangle. [mm]"""


@dataclass(frozen=True, slots=True)
class Sheets:
    """What a tray is cut from: its walls, and its base where it has one."""

    wall: Stock
    base: Stock | None = None


@dataclass(frozen=True, slots=True)
class Wall:
    """The outer face of a wall.

    Parameters
    ----------
    name : str
        Its name.
    begin, end : pair of float
        The corners of its outer edge at the top, as seen from above, counter-clockwise. [mm]
    height : float
        How high the outer edge at the top lies. [mm]
    splay : float
        How far it leans out from upright. [rad]
    narrower : float
        How much less than at the top it reaches at the bottom, at either end. [mm]
    rank : int
        Its rank among the panels. [-]
    """

    name: str
    begin: Point
    end: Point
    height: float
    splay: float = 0.0
    narrower: float = 0.0
    rank: int = 1


def wall_of(wall: Wall, sheets: Sheets) -> Panel:
    """The wall as a panel: u along its edge, v up the slope, n out of the tray."""
    (x0, y0), (x1, y1) = wall.begin, wall.end
    width = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / width, (y1 - y0) / width
    c, s = (1.0, 0.0) if wall.splay == 0 else (math.cos(wall.splay), math.sin(wall.splay))
    slope, thick = wall.height / c, sheets.wall.thickness
    # Seen from above, (uy, -ux) points out of the tray.
    v, n = (uy * s, -ux * s, c), (uy * c, -ux * c, -s)
    top = (x0, y0, wall.height)
    origin = tuple(
        place - slope * up - thick * out for place, up, out in zip(top, v, n, strict=True)
    )
    inset = wall.narrower
    outline = ((inset, 0.0), (width - inset, 0.0), (width, slope), (0.0, slope))
    return Panel(
        wall.name,
        Frame((origin[0], origin[1], origin[2]), (ux, uy, 0.0), v, n),
        width,
        slope,
        sheets.wall,
        Face.B,
        Grain.U if sheets.wall.material.solid else Grain.FREE,
        wall.rank,
        outline=outline if inset > _LEVEL else (),
    )


def base_of(corners: Sequence[Point], sheets: Sheets) -> Panel:
    """The base under a ground line.

    Parameters
    ----------
    corners : sequence of pair of float
        Its corners from above, counter-clockwise. [mm]
    sheets : Sheets
        What it is cut from; it has a base.
    """
    assert sheets.base is not None
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    left, back = min(xs), max(ys)
    width, height, thick = max(xs) - left, back - min(ys), sheets.base.thickness
    # Its outside looks down: v runs to the front, and the corners come in the other order.
    outline = tuple((x - left, back - y) for x, y in reversed(corners))
    flat = all(min(u, width - u) < _LEVEL and min(v, height - v) < _LEVEL for u, v in outline)
    return Panel(
        "base",
        Frame((left, back, thick), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)),
        width,
        height,
        sheets.base,
        Face.B,
        Grain.U if sheets.base.material.solid else Grain.FREE,
        0,
        outline=() if flat else outline,
    )


def check_body(angle: float, thick: float, other: float) -> float:
    """How much of a wall's length its joints at both ends take. [mm]

    Parameters
    ----------
    angle, other : float
        Inside angles of its two corners. [rad]
    thick : float
        Thickness of the walls. [mm]
    """
    return sum(thick / math.sin(a) + max(0.0, thick / math.tan(a)) for a in (angle, other))
