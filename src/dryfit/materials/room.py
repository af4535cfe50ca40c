"""The room that something captive needs when it swells, and the hold it keeps when it shrinks.

Vocabulary
----------
clear
    The distance between the faces that a panel spans.
bite
    How far its edge reaches into a groove.
room
    Depth that a groove leaves beyond the edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

HOLD = 1.0
"""The least bite that keeps a panel in its groove (common practice, no source). [mm]"""

_STEP = 0.01
_ROUNDS = 30


@dataclass(frozen=True, slots=True)
class Groove:
    """One end of a captive panel.

    Parameters
    ----------
    depth : float
        Depth of the groove. [mm]
    room : float
        What it leaves beyond the edge. [mm]
    """

    depth: float
    room: float

    @property
    def bite(self) -> float:
        """How far the edge reaches in. [mm]"""
        return self.depth - self.room


NOTHING = Groove(0.0, 0.0)
"""No groove at all."""


def over(grooves: tuple[Groove, ...], grown: float) -> float:
    """How much a panel outgrows its grooves; negative where there is room left. [mm]

    A panel held at one end only grows out at the other.

    Parameters
    ----------
    grooves : tuple of Groove
        One for each end that is held.
    grown : float
        How much it has grown against what holds it. [mm]
    """
    room = sum(groove.room for groove in grooves)
    return grown - room if len(grooves) > 1 else -abs(room)


def left(grooves: tuple[Groove, ...], shrunk: float) -> float:
    """The bite that is left where a shrunken panel has slid as far the other way as it can. [mm]

    A panel held at one end only stays where its other end is.

    Parameters
    ----------
    grooves : tuple of Groove
        One for each end that is held.
    shrunk : float
        How much it has shrunk against what holds it. [mm]
    """
    if len(grooves) == 1:
        return grooves[0].bite - shrunk
    return min(one.bite - other.room for one, other in (grooves, grooves[::-1])) - shrunk


def solved(
    clear: float, swell: float, shrink: float, *, ends: int = 2, least: Groove = NOTHING
) -> Groove:
    """The least groove that a panel neither bursts nor drops out of.

    With both ends alike, room r = w W / 2 and bite b = hold + r + d W, where w and d are what it
    swells and shrinks by and W = clear + 2 b is its own width, so that it is solved by repetition.

    Parameters
    ----------
    clear : float
        The distance between the faces that it spans. [mm]
    swell, shrink : float
        Growth to the wettest and shrinkage to the driest state, as shares of its width. [-]
    ends : int
        How many of its ends are held: 2, or 1. [-]
    least : Groove
        The least depth and room that are wanted anyway.

    Examples
    --------
    >>> groove = solved(300.0, 0.01, 0.008)
    >>> groove.room, groove.depth
    (1.56, 6.61)
    """
    swell, shrink = max(swell, 0.0), max(shrink, 0.0)
    room, depth = least.room, least.depth
    # A shallow groove makes the narrowest panel; from there, room and depth only rise.
    width = clear
    for _ in range(_ROUNDS):
        room = max(room, _up(swell * width / 2) if ends > 1 else 0.0)
        depth = max(depth, _up(ends * room + HOLD + shrink * width))
        width = clear + ends * (depth - room)
    return Groove(depth, room)


def _up(value: float) -> float:
    """Rounded up to a hundredth. [mm]"""
    return round(ceil(round(value / _STEP, 6)) * _STEP, 6)


def held_width(strain: float, most: float) -> float:
    """The widest stretch that may be held across its grain. [mm]

    Parameters
    ----------
    strain : float
        What is held back, as a share. [-]
    most : float
        The movement that may be held back. [mm]
    """
    return most / abs(strain)
