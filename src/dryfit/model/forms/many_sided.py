"""Many-sided trays: upright walls of one size round a regular polygon, with or without a base.

Wall 1 is the front, the others follow counter-clockwise as seen from above. The size across is
measured square to a wall, through the middle: between two opposite walls where their number is
even, and twice the way from the middle to a wall where it is odd.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.forms.leaning import Sheets, Wall, base_of, check_body, wall_of
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.model.panel import Panel

LEAST, MOST = 3, 12
"""How few and how many walls it may have. [-]"""


@dataclass(frozen=True, slots=True)
class ManySided:
    """A many-sided tray.

    Parameters
    ----------
    sides : int
        Number of walls, 3 to 12. [-]
    height : float
        Outer height. [mm]
    sheets : Sheets
        What walls and base are cut from.
    across : float, optional
        Outside size across. [mm]
    inside : float, optional
        Inside size across; one of the two is to be given. [mm]
    unit : str
        The unit to speak of sizes in.
    """

    sides: int
    height: float
    sheets: Sheets
    across: float | None = None
    inside: float | None = None
    unit: str = "mm"

    @property
    def angle(self) -> float:
        """The angle between two walls, inside. [rad]"""
        return math.pi - 2 * math.pi / self.sides


def build(tray: ManySided) -> tuple[Panel, ...]:
    """The panels in place: wall 1, wall 2 and so on, then the base.

    Raises
    ------
    SizeError
        If it has too few or too many sides, two sizes or none, or if its walls are so short that
        the joints leave nothing of them.
    """
    if not LEAST <= tray.sides <= MOST:
        raise SizeError(
            f"a tray of {tray.sides} sides cannot be made; give {LEAST} to {MOST}",
            ("piece", "sides"),
        )
    across = _across(tray)
    length = across * math.tan(math.pi / tray.sides)
    _check(tray, length)
    corners = _corners(tray.sides, across, length)
    walls = [
        Wall(f"wall {k + 1}", corners[k], corners[(k + 1) % tray.sides], tray.height)
        for k in range(tray.sides)
    ]
    base = (base_of(corners, tray.sheets),) if tray.sheets.base else ()
    return (*(wall_of(wall, tray.sheets) for wall in walls), *base)


def _across(tray: ManySided) -> float:
    """The outside size across. [mm]"""
    if tray.across is not None and tray.inside is None:
        return tray.across
    if tray.inside is not None and tray.across is None:
        return tray.inside + 2 * tray.sheets.wall.thickness
    given = 0 if tray.across is None else 2
    raise SizeError(
        f"{given} sizes across are given; give 1 of across and inside", ("piece", "flats")
    )


def _check(tray: ManySided, length: float) -> None:
    """Refuse a tray whose joints take all of a wall's length or height. [mm]"""
    thick = tray.sheets.wall.thickness
    least = check_body(tray.angle, thick, tray.angle)
    if length <= least:
        need = show_length(least / math.tan(math.pi / tray.sides), tray.unit)
        raise SizeError(
            f"walls {show_length(length, tray.unit)} long have nothing left between joints that "
            f"take {show_length(least, tray.unit)}; make it more than {need} across or use thinner "
            "stock",
            ("piece", "flats"),
        )
    base = tray.sheets.base.thickness if tray.sheets.base else 0.0
    if tray.height <= base:
        raise SizeError(
            f"the tray is {show_length(tray.height, tray.unit)} high and its base alone takes "
            f"{show_length(base, tray.unit)}; make it higher or use a thinner base",
            ("piece", "height"),
        )


def _corners(sides: int, across: float, length: float) -> list[tuple[float, float]]:
    """Corners of the outside from above, counter-clockwise, the first wall in front. [mm]

    They are laid so that left, front and bottom of the piece lie at 0.
    """
    radius = math.hypot(across, length) / 2
    turn = 2 * math.pi / sides
    start = -math.pi / 2 - turn / 2
    points = [
        (radius * math.cos(start + k * turn), radius * math.sin(start + k * turn))
        for k in range(sides)
    ]
    left, front = (min(point[axis] for point in points) for axis in (0, 1))
    return [(x - left, y - front) for x, y in points]
