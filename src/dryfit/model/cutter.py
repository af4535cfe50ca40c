"""The cutter and the route: how the work is cut, and what shape the cutter leaves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Route(StrEnum):
    """How the piece is cut."""

    ROUTER = "router"
    LASER = "laser"
    SAW = "saw"
    HAND = "hand"


class Relief(StrEnum):
    """The extra bite a round cutter takes so that a square corner can enter.

    ``diagonal`` bites both walls equally, ``flank`` bites into the side of the finger, where the
    mate closes it, ``shoulder`` bites into the bottom of the socket, ``none`` leaves the round.
    """

    DIAGONAL = "diagonal"
    FLANK = "flank"
    SHOULDER = "shoulder"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class BladeSet:
    """What a shop owns to make up the width of a cut: two outer blades and what goes between.

    Parameters
    ----------
    outer : float
        Width that each of the two outer blades cuts. [mm]
    chippers : tuple of float
        Width of every chipper there is, one entry each. [mm]
    shims : tuple of float
        Thickness of every shim there is, one entry each. [mm]
    """

    outer: float
    chippers: tuple[float, ...] = ()
    shims: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Cutter:
    """What cuts.

    Parameters
    ----------
    route : Route
        How it is cut.
    size : float
        Diameter of a router cutter, kerf of a laser, width of a saw blade or blade set; 0 where
        the work is sawn and chopped by hand. [mm]
    relief : Relief
        How inside corners are relieved; only a router needs it.
    owned : BladeSet, optional
        What there is to make up a blade set, where the maker says it; on the saw only.
    """

    route: Route
    size: float
    relief: Relief = Relief.NONE
    owned: BladeSet | None = None

    @property
    def radius(self) -> float:
        """Radius of the round the cutter leaves in an inside corner; 0 on saw and hand. [mm]"""
        return self.size / 2 if self.route in (Route.ROUTER, Route.LASER) else 0.0

    @property
    def usual_flank_gap(self) -> float:
        """Flank gap where the maker wishes none: 0.05 mm from machines, 0 by hand. [mm]

        Common practice, no source: by hand the mate is knifed from the lead and pared to it.
        """
        return 0.0 if self.route is Route.HAND else 0.05
