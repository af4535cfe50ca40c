"""Marking out by hand: running marks for the lead from one datum, the mate knifed from the lead.

Vocabulary
----------
running mark
    A distance from the datum, not from the mark before it, so that errors cannot add up.
grid
    What a rule shows: half millimetres or 1/64 in.
waste
    What is sawn and chopped away; the saw's kerf lies in it, and the line stays.
gauge
    A marking gauge, set once to how far the fingers reach.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from dryfit.errors import SizeError

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.model.panel import Panel

HALF_MILLIMETRE = 0.5
"""What a metric rule shows. [mm]"""

SIXTY_FOURTH = 25.4 / 64
"""What an inch rule shows. [mm]"""

_SAME = 1e-6


class Waste(StrEnum):
    """On which side of a line the waste lies, and so the saw."""

    BEFORE = "towards the datum"
    AFTER = "away from the datum"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Mark:
    """One line across the end of the lead.

    Parameters
    ----------
    exact : float
        Where the plan has it, from the datum. [mm]
    at : float
        Where the rule has it, from the datum. [mm]
    waste : Waste
        On which side to saw; the last mark, the whole, has none.
    """

    exact: float
    at: float
    waste: Waste


@dataclass(frozen=True, slots=True)
class Gauge:
    """A setting of the marking gauge.

    Parameters
    ----------
    panel : str
        The board it is run along.
    depth : float
        How far in from its end. [mm]
    """

    panel: str
    depth: float


@dataclass(frozen=True, slots=True)
class Marks:
    """How one corner is marked out.

    Parameters
    ----------
    joint : str
        Its id.
    lead, follow : str
        The board that is marked with the rule, and the one that is knifed from it.
    count : int
        Fingers and sockets together. [-]
    grid : float
        What the rule shows. [mm]
    marks : tuple of Mark
        From the datum; the last one is the whole.
    gauges : tuple of Gauge
        For each board.
    gap : float
        Air at one flank, pared off the mate; less than 0 where it is left fuller. [mm]
    """

    joint: str
    lead: str
    follow: str
    count: int
    grid: float
    marks: tuple[Mark, ...]
    gauges: tuple[Gauge, ...]
    gap: float = 0.0

    @property
    def whole(self) -> float:
        """Length of the corner. [mm]"""
        return self.marks[-1].at

    @property
    def most_off(self) -> float:
        """How far a mark lies from its place in the plan, at the most. [mm]"""
        return max(abs(mark.at - mark.exact) for mark in self.marks)


def running_marks(places: tuple[float, ...], whole: float, grid: float) -> tuple[float, ...]:
    """Places on a rule, each rounded from the datum by itself; the last is the whole as it is.

    Parameters
    ----------
    places : tuple of float
        Where lines fall, rising, less than the whole. [mm]
    whole : float
        Where they end. [mm]
    grid : float
        What the rule shows. [mm]

    Raises
    ------
    SizeError
        If two lines would fall on one mark.

    Examples
    --------
    >>> running_marks((21.3, 42.6), 64.0, 0.5)
    (21.5, 42.5, 64.0)
    """
    if grid <= 0:
        raise SizeError(f"a rule shows steps of more than 0 mm, not {grid:g}; take 0.5 or 1/64 in")
    marks = (*(round(place / grid) * grid for place in places), whole)
    for before, after in pairwise((0.0, *marks)):
        if after - before < _SAME:
            raise SizeError(
                f"two lines fall on one mark at {before:.2f} mm; "
                f"make the fingers wider than {grid:.2f} mm"
            )
    return marks


def marks_of(joint: Joint, panels: tuple[Panel, Panel], grid: float) -> Marks:
    """How a finger joint is marked out.

    A block that a third panel owns is waste on the lead; one that an end finger carries is not.

    Parameters
    ----------
    joint : Joint
        The corner.
    panels : pair of Panel
        Its lead and its follower.
    grid : float
        What the rule shows. [mm]

    Raises
    ------
    SizeError
        If the fingers are narrower than the rule's steps.
    """
    lead, follow = panels
    whole = joint.extent.length
    lines = _lines(joint, whole)
    at = running_marks(tuple(place for place, _ in lines), whole, grid)
    marks = [Mark(place, mark, waste) for (place, waste), mark in zip(lines, at, strict=False)]
    return Marks(
        joint.id, lead.name, follow.name, joint.plan.count, grid,
        (*marks, Mark(whole, at[-1], Waste.NONE)),
        tuple(
            Gauge(own.name, round(mate.thickness + joint.proud_of(own.name), 9))
            for own, mate in ((lead, follow), (follow, lead))
        ),
        joint.flank_gap,
    )  # fmt: skip


def _lines(joint: Joint, whole: float) -> list[tuple[float, Waste]]:
    """Where the lead's wood ends or begins between the ends of the corner, and the waste there."""
    kept = joint.owned(joint.lead)
    first, last = joint.plan.ends
    if first.carried and first.owner == joint.lead:
        kept[0] = (0.0, kept[0][1])
    if last.carried and last.owner == joint.lead:
        kept[-1] = (kept[-1][0], whole)
    lines = [
        (place, waste)
        for low, high in kept
        for place, waste in ((low, Waste.BEFORE), (high, Waste.AFTER))
    ]
    return [line for line in lines if _SAME < line[0] < whole - _SAME]
