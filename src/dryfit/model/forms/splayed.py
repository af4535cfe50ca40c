"""Splayed trays: four walls that lean out alike, with or without a base.

A splay of 0 is an upright tray. The walls' upper edges are cut square to their faces like all
others, so the inner edge stands higher than the outer by the thickness times the sine of the splay;
the maker planes it level, or leaves it.
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

MOST = math.radians(45)
"""The farthest its walls may lean. [rad]"""

_NAMES = ("front", "right", "back", "left")


@dataclass(frozen=True, slots=True)
class Splayed:
    """A splayed tray.

    Parameters
    ----------
    outside : pair of float
        Outside sizes along x and y at the top. [mm]
    height : float
        How high the outer edges at the top lie. [mm]
    splay : float
        How far the walls lean out from upright, 0 to 45 degrees. [rad]
    sheets : Sheets
        What walls and base are cut from.
    unit : str
        The unit to speak of sizes in.
    """

    outside: tuple[float, float]
    height: float
    splay: float
    sheets: Sheets
    unit: str = "mm"

    @property
    def narrower(self) -> float:
        """How much farther in the walls stand at the bottom than at the top. [mm]"""
        return self.height * math.tan(self.splay)

    @property
    def angle(self) -> float:
        """The angle between two walls, inside: cos θ = -sin² of the splay. [rad]"""
        return math.acos(-(math.sin(self.splay) ** 2))


def build(tray: Splayed) -> tuple[Panel, ...]:
    """The panels in place: front, right, back, left, then the base.

    Raises
    ------
    SizeError
        If the walls lean in or too far out, or if the tray is so small at the bottom or so low
        that the joints leave nothing of its walls.
    """
    if not 0 <= tray.splay <= MOST:
        raise SizeError(
            f"walls that lean out by {math.degrees(tray.splay):.1f}° cannot be made; "
            f"give 0 to {math.degrees(MOST):.0f}°",
            ("piece", "splay"),
        )
    _check(tray)
    (x, y), inset = tray.outside, tray.narrower
    top = [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]
    walls = [
        Wall(name, top[k], top[(k + 1) % 4], tray.height, tray.splay, inset, 1 + k % 2)
        for k, name in enumerate(_NAMES)
    ]
    ground = [(inset, inset), (x - inset, inset), (x - inset, y - inset), (inset, y - inset)]
    base = (base_of(ground, tray.sheets),) if tray.sheets.base else ()
    return (*(wall_of(wall, tray.sheets) for wall in walls), *base)


def _check(tray: Splayed) -> None:
    """Refuse a tray whose joints take all of a wall's length or height. [mm]"""
    thick, unit = tray.sheets.wall.thickness, tray.unit
    slant = math.atan(math.sin(tray.splay))
    # Seen in a wall's plane its ends lean, and a joint takes more along the edge than square to it.
    least = check_body(tray.angle, thick, tray.angle) / math.cos(slant)
    for axis, size in zip("xy", tray.outside, strict=True):
        bottom = size - 2 * tray.narrower
        if bottom <= least:
            need = show_length(least + 2 * tray.narrower, unit)
            raise SizeError(
                f"the tray is {show_length(max(bottom, 0.0), unit)} along {axis} at the bottom, "
                f"and its joints take {show_length(least, unit)}; make it more than {need} at the "
                "top, lower, or less splayed",
                ("piece", "outside"),
            )
    # Along a corner's edge the slanted end at the top takes as much again as a joint is deep there.
    base = tray.sheets.base.thickness if tray.sheets.base else 0.0
    steep = math.sqrt(1 + 2 * math.tan(tray.splay) ** 2)
    least = base + thick / math.sin(tray.angle) * math.sin(tray.splay) / steep
    if tray.height <= least:
        raise SizeError(
            f"the tray is {show_length(tray.height, unit)} high, and its base and the slant of its "
            f"upper ends take {show_length(least, unit)}; make it higher or use thinner stock",
            ("piece", "height"),
        )
