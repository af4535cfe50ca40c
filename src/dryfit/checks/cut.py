"""Can we cut it? Sockets, necks, proportions, relief and grain against the cutter at hand."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.grain import check_grain
from dryfit.checks.mends import RELIEVE, SPARE, admit, relieve, smaller_cutter, socket, widen
from dryfit.checks.places import check_places
from dryfit.checks.proportion import check_proportion, least_neck
from dryfit.checks.sawing import check_saw
from dryfit.checks.subject import alike, listed
from dryfit.checks.trenches import check_trenches
from dryfit.findings import Mend, Severity
from dryfit.model.cutter import Relief, Route
from dryfit.model.kind import Kind
from dryfit.parts.relief import flank_bite, shoulder_bite

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint


def check_cut(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on whether the parts can be cut."""
    yield from _narrow_sockets(subject)
    yield from check_trenches(subject)
    yield from check_places(subject)
    yield from _no_relief(subject)
    yield from _thin_necks(subject)
    yield from check_proportion(subject)
    yield from check_grain(subject)
    yield from _see_through(subject)
    yield from check_saw(subject)


def _narrow_sockets(subject: Subject) -> Iterator[Finding]:
    size = subject.cutter.size
    narrow = [joint for joint in subject.divided if socket(joint) < size]
    for (width,), group in alike(narrow, lambda joint: (socket(joint),)):
        names = listed([joint.id for joint in group])
        yield finding(
            "socket-narrow",
            Severity.STOP,
            names,
            f"{names}: sockets of {subject.say(width)} are narrower than the {subject.tool} "
            f"that the {subject.cutter.route} cuts.",
            numbers={"socket_mm": width, "cutter_mm": size},
            mend=admit(subject, group),
        )


def _no_relief(subject: Subject) -> Iterator[Finding]:
    cutter = subject.cutter
    if cutter.route is not Route.ROUTER or cutter.relief is not Relief.NONE:
        return
    deepest = max((touch.penetration for touch in subject.touches), default=0.0)
    opened = max((touch.open for touch in subject.touches), default=0.0)
    if not subject.plans.joints or opened == 0.0:
        return
    say = subject.say
    yield finding(
        "no-relief",
        Severity.STOP,
        "cutter",
        f"The {subject.tool} cutter leaves rounds of {say(cutter.radius)} in every inside "
        f"corner: mates jam {say(deepest)} deep and the joints stand {say(opened)} open.",
        numbers={
            "radius_mm": cutter.radius, "penetration_mm": deepest, "open_mm": opened,
            "open_to_square_mate_mm": _opening(cutter.radius, _air(subject)),
        },
        mend=Mend(RELIEVE, (relieve(Relief.DIAGONAL),), value=1),
    )  # fmt: skip


def _air(subject: Subject) -> float:
    return max(0.0, min(joint.flank_gap for joint in subject.plans.joints))


def _opening(radius: float, air: float) -> float:
    """How far a square mate stands off the shoulder, (r - a)² + (r - b)² = r² for b. [mm]"""
    return radius - sqrt(max(radius**2 - max(radius - air, 0.0) ** 2, 0.0))


def _neck(subject: Subject, width: float, gap: float) -> float:
    """What a finger bitten on both flanks keeps at its root. [mm]"""
    cutter = subject.cutter
    relief = cutter.relief if cutter.route is Route.ROUTER else Relief.NONE
    return width - gap - 2 * flank_bite(relief, cutter.radius)


def _thin_necks(subject: Subject) -> Iterator[Finding]:
    if subject.cutter.route is not Route.ROUTER or subject.cutter.relief is Relief.NONE:
        return

    def figures(joint: Joint) -> tuple[float, float]:
        least = least_neck(subject.thickest(joint))
        return _neck(subject, joint.plan.width, joint.flank_gap), least

    # A finger at the very end of a corner is bitten on one side; two divisions have no other.
    bitten = [joint for joint in subject.divided if joint.plan.count > 2]
    thin = [joint for joint in bitten if figures(joint)[0] < figures(joint)[1]]
    for (neck, least), group in alike(thin, figures):
        names = listed([joint.id for joint in group])
        gone = neck <= 0
        yield finding(
            "neck-thin",
            Severity.STOP if gone else Severity.LOOK,
            names,
            f"{names}: the reliefs leave "
            + ("nothing" if gone else f"a neck of {subject.say(neck)}")
            + f" at the root of a finger; {subject.say(least)} is the least.",
            numbers={"neck_mm": neck, "least_mm": least},
            mend=_thicken(subject, group, least),
        )


def _thicken(subject: Subject, joints: Sequence[Joint], least: float) -> Mend | None:
    """Bite less, make wider fingers, or take a smaller cutter."""
    cutter = subject.cutter
    bite = 2 * flank_bite(Relief.DIAGONAL, cutter.radius)
    if cutter.relief is Relief.FLANK and all(
        joint.plan.width - joint.flank_gap - bite >= least and socket(joint) >= cutter.size
        for joint in joints
    ):
        return Mend(
            "Relieve the corners diagonally: that bites less into the finger.",
            (relieve(Relief.DIAGONAL),),
            value=round(bite / 2, 4),
        )
    wider = widen(subject, joints, lambda width, gap: _neck(subject, width, gap) >= least)
    if wider is not None:
        return wider
    spare = min(joint.plan.width - joint.flank_gap for joint in joints) - least - SPARE
    size = min(spare / flank_bite(cutter.relief, 1.0), *(socket(joint) for joint in joints))
    return smaller_cutter(subject, size) if size > 0 else None


def _see_through(subject: Subject) -> Iterator[Finding]:
    cutter = subject.cutter
    hole = shoulder_bite(cutter.relief, cutter.radius)
    if cutter.route is not Route.ROUTER or cutter.relief is Relief.NONE or hole == 0:
        return
    holes = sum(
        (2 if joint.kind is Kind.FINGER else 1) * (plan.count - 1)
        for joint in subject.divided
        for plan in joint.segments
    )
    if not holes:
        return
    yield finding(
        "see-through",
        Severity.LOOK,
        "cutter",
        f"Reliefs at the shoulders leave {holes} holes, {subject.say(hole)} deep, at the inside of "
        "the corners. Bite into the flank instead and the mate closes them.",
        numbers={"holes": holes, "hole_mm": hole},
        mend=_bite_flanks(subject),
    )


def _bite_flanks(subject: Subject) -> Mend | None:
    """Flank relief, with wider fingers where it would leave no neck."""
    bite = 2 * flank_bite(Relief.FLANK, subject.cutter.radius)

    def holds(width: float, gap: float) -> bool:
        return width - gap - bite > SPARE

    weak = [
        joint
        for joint in subject.divided
        if joint.plan.count > 2 and not holds(joint.plan.width, joint.flank_gap)
    ]
    wider = widen(subject, weak, holds) if weak else None
    if weak and wider is None:
        return None
    edits = (relieve(Relief.FLANK), *(wider.edits if wider else ()))
    return Mend("Bite into the flank.", edits, value=round(bite / 2, 4))
