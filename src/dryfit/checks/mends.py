"""Mends that several findings share: edits to the job file, with the values worked out."""

from __future__ import annotations

from math import floor, sqrt
from typing import TYPE_CHECKING

from dryfit.checks.subject import count_edits, count_where, listed
from dryfit.findings import Edit, Mend
from dryfit.model.cutter import Relief, Route
from dryfit.model.kind import Kind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.joints.joint import Joint

RELIEVE = "Relieve the inside corners diagonally."
"""The mend of an unrelieved corner, in words."""

SPARE = 0.001
"""Added to a length that just does, so that rounding cannot undo the mend. [mm]"""


def gap_edits(subject: Subject, joints: Iterable[Joint], gap: float) -> tuple[Edit, ...]:
    """Edits that give joints a flank `gap` [mm] of their own."""
    return tuple(Edit(("joint", joint.id, "flank_gap"), subject.value(gap)) for joint in joints)


def relieve(relief: Relief) -> Edit:
    """The edit that chooses a relief."""
    return Edit(("cutter", "relief"), relief.value)


def open_the_corners(subject: Subject, names: Sequence[str], crush: float) -> Mend | None:
    """What makes overlapping parts close: relief, wider sockets or more air; None if none would.

    Parameters
    ----------
    subject : Subject
        The job.
    names : sequence of str
        Ids of the joints that overlap.
    crush : float
        What the material gives on each wall. [mm]
    """
    joints = [joint for joint in subject.plans.joints if joint.id in names]
    cutter = subject.cutter
    narrow = [joint for joint in joints if socket(joint) < cutter.size]
    if narrow:
        return admit(subject, narrow)
    if cutter.route is Route.ROUTER and cutter.relief is Relief.NONE:
        return Mend(RELIEVE, (relieve(Relief.DIAGONAL),), value=1)
    air = air_for(cutter.radius, crush) + SPARE if cutter.radius else 0.0
    if any(joint.kind is not Kind.FINGER for joint in joints):
        # A tenon or a halved panel has rounds on all sides, with air on both walls of each.
        air = max(air, round_air(cutter.radius) + SPARE)
    tight = [joint for joint in joints if joint.flank_gap < air - SPARE]
    if not tight:
        return None
    return Mend(
        f"Leave {subject.say(air, 3)} of air at each flank.",
        gap_edits(subject, tight, air),
        value=round(air, 4),
    )


def round_air(radius: float) -> float:
    """Air on both walls at which a square corner just enters a round one. [mm]

    (r - a)² + (r - a)² = r².

    Parameters
    ----------
    radius : float
        Radius of the round. [mm]
    """
    return radius * (1 - sqrt(0.5))


def air_for(radius: float, crush: float) -> float:
    """Least flank gap at which two parts close within a crush. [mm]

    Without rounds the flanks may press by the crush itself. With them, a square corner that may
    crush by d on both walls enters a fillet of radius r from an air a on, where
    (r - a - d)² + (r - d)² = r²; and where the air is more than d, the rounds of the two mates,
    which meet in its middle, must not be deeper than d over a length of d:
    (r - a/2 - d/2)² + (r - d)² = r².

    Parameters
    ----------
    radius : float
        Radius of the round that the cutter leaves in an inside corner. [mm]
    crush : float
        What the material gives on each wall. [mm]

    Examples
    --------
    >>> round(air_for(0.1, 0.01), 4)
    0.1028
    >>> air_for(0.0, 0.03)
    -0.03
    """
    if crush >= radius:
        return -crush
    side = sqrt(radius**2 - (radius - crush) ** 2)
    corner = max(radius - crush - side, -crush)
    middle = 2 * (radius - crush / 2 - side)
    return middle if middle > max(corner, crush) else corner


def socket(joint: Joint) -> float:
    """Width of the narrowest socket of a joint, as cut. [mm]"""
    return round(joint.plan.width + joint.flank_gap, 9)


def admit(subject: Subject, joints: Sequence[Joint]) -> Mend:
    """Let the cutter into every socket: fewer and wider fingers, or a smaller cutter."""
    size = subject.cutter.size

    def enters(width: float, gap: float) -> bool:
        return width + gap >= size + SPARE

    counts = [(joint, count_where(joint, enters)) for joint in joints]
    widened = [(joint, count) for joint, count in counts if count is not None]
    if len(widened) == len(joints):
        most = max(count for _, count in widened)
        return Mend(
            f"Make fewer fingers, {most} divisions at most.", count_edits(widened), value=most
        )
    return smaller_cutter(subject, min(socket(joint) for joint in joints) - SPARE)


def smaller_cutter(subject: Subject, size: float) -> Mend:
    """Take a cutter of that `size` [mm]: diameter, kerf or blade."""
    key = {Route.ROUTER: "diameter", Route.LASER: "kerf", Route.SAW: "blade"}
    fits = floor(size * 1000) / 1000
    return Mend(
        f"Take a cutter of {subject.say(fits, 3)} or less.",
        (Edit(("cutter", key[subject.cutter.route]), subject.value(fits)),),
        value=fits,
    )


def widen(
    subject: Subject, joints: Sequence[Joint], fits: Callable[[float, float], bool]
) -> Mend | None:
    """Other counts for joints whose fingers are out of proportion; None where there is none.

    Parameters
    ----------
    subject : Subject
        The job.
    joints : sequence of Joint
        The joints to divide anew.
    fits : callable
        Takes a division's width and the flank gap [mm]; the cutter must enter as well.
    """
    size = subject.cutter.size

    def suits(width: float, gap: float) -> bool:
        return fits(width, gap) and width + gap >= size

    counts = [(joint, count_where(joint, suits)) for joint in joints]
    found = [(joint, count) for joint, count in counts if count is not None]
    if len(found) < len(joints):
        return None
    joint, count = found[0]
    width = joint.extent.plan(count).width
    same = len({count for _, count in found}) == 1
    names = listed([j.id for j, _ in found]) if same else f"{joint.id}"
    rest = "" if same else ", and the others alike"
    return Mend(
        f"Divide {names} into {count}, {subject.say(width)} each{rest}.",
        count_edits(found),
        value=count,
    )
