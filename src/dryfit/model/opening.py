"""Openings, kept places and shaped corners of a panel.

All are stated in the panel's own (u, v), as one looks at its face b: from the lower left corner of
its reach, to the right and up.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Opening:
    """A hole right through a panel: a finger hole, a handle, a window.

    Parameters
    ----------
    name : str
        The maker's name for it.
    at : pair of float, optional
        Its middle; None is the middle of the panel. [mm]
    size : pair of float
        Along u and along v. [mm]
    radius : float
        Radius of its corners; half the smaller size makes a round hole or a slot. [mm]
    """

    name: str
    at: tuple[float, float] | None
    size: tuple[float, float]
    radius: float

    def rectangle(self, width: float, height: float) -> tuple[float, float, float, float]:
        """Low u, low v, high u and high v on a panel of some `width` and `height` [mm]."""
        u, v = self.at or (width / 2, height / 2)
        half_u, half_v = self.size[0] / 2, self.size[1] / 2
        return u - half_u, v - half_v, u + half_u, v + half_v


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A place where nothing is cut: under a hinge, a magnet, a screw.

    Parameters
    ----------
    name : str
        The maker's name for it.
    at : pair of float, optional
        Its middle; None is the middle of the panel. [mm]
    size : pair of float
        Along u and along v. [mm]
    """

    name: str
    at: tuple[float, float] | None
    size: tuple[float, float]

    def rectangle(self, width: float, height: float) -> tuple[float, float, float, float]:
        """Low u, low v, high u and high v on a panel of some `width` and `height` [mm]."""
        return Opening(self.name, self.at, self.size, 0.0).rectangle(width, height)


class Where(StrEnum):
    """A corner of a panel, as one looks at its face b."""

    BOTTOM_LEFT = "bottom left"
    BOTTOM_RIGHT = "bottom right"
    TOP_RIGHT = "top right"
    TOP_LEFT = "top left"


@dataclass(frozen=True, slots=True)
class ShapedCorner:
    """A corner of a panel that is rounded or cut down.

    Parameters
    ----------
    name : str
        The maker's name for it.
    where : Where
        Which corner.
    size : pair of float
        How far it reaches along u and along v; equal where it is rounded. [mm]
    rounded : bool
        Whether it is a round; else the corner is cut off straight.
    """

    name: str
    where: Where
    size: tuple[float, float]
    rounded: bool
