"""Trenches, mortises and slots: can this route make them, and are they sound?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.mends import SPARE, smaller_cutter
from dryfit.checks.subject import alike, listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.cutter import Route
from dryfit.model.kind import Kind
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint
    from dryfit.parts.part import Cut, Part

LEAST_WEB = 1.0
"""Wood between the end of a stopped trench and the end of its panel (common practice). [mm]"""

LEAST_FLOOR = 1 / 3
"""Of the thickness, what a trench leaves under it (common practice). [-]"""


def check_trenches(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on trenches, mortises and slots."""
    yield from _narrow_slots(subject)
    yield from _out_of_reach(subject)
    yield from _stopped_on_a_saw(subject)
    yield from _shown(subject)
    yield from _deep(subject)
    yield from _breaking_out(subject)


def _let_in(joint: Joint, subject: Subject) -> float:
    """Width of the mortise, trench or slot that the thinner way of a joint asks for. [mm]"""
    mates = [subject.panel(joint.lead), subject.panel(joint.follow)]
    if joint.kind is not Kind.HALVING:
        mates = mates[1:] if joint.kind is Kind.TENON else mates[:1]
    return min(panel.thickness for panel in mates) + 2 * joint.flank_gap


def _narrow_slots(subject: Subject) -> Iterator[Finding]:
    size = subject.cutter.size
    passing = [joint for joint in subject.plans.joints if joint.kind is not Kind.FINGER]
    narrow = [joint for joint in passing if _let_in(joint, subject) < size]
    for (width,), group in alike(narrow, lambda joint: (_let_in(joint, subject),)):
        names = listed([joint.id for joint in group])
        yield finding(
            "slot-narrow",
            Severity.STOP,
            names,
            f"{names}: mortises, trenches or slots of {subject.say(width)} are narrower than the "
            f"{subject.tool} that the {subject.cutter.route} cuts.",
            numbers={"slot_mm": width, "cutter_mm": size},
            mend=smaller_cutter(subject, width - SPARE),
        )


def _out_of_reach(subject: Subject) -> Iterator[Finding]:
    """Joints that the route cannot make, with the nearest that it can."""
    route = subject.cutter.route
    if route is Route.LASER:
        bad = [joint for joint in subject.plans.joints if joint.kind.is_trench]
        yield from _replaced(
            subject,
            bad,
            "a laser cuts no trench of part depth; let the edge pass through",
            _THROUGH,
        )
    elif route is Route.SAW:
        bad = [joint for joint in subject.plans.joints if joint.kind is Kind.TENON]
        yield from _replaced(
            subject, bad, "a saw on a jig cuts no mortise; house the edge in a trench", _HOUSED
        )


_THROUGH = {Kind.REBATE: Kind.FINGER}
_HOUSED = {Kind.TENON: Kind.HOUSING}


def _replaced(
    subject: Subject, joints: list[Joint], reason: str, by: dict[Kind, Kind]
) -> Iterator[Finding]:
    if not joints:
        return
    names = listed([joint.id for joint in joints])
    edits = tuple(
        edit
        for joint in joints
        for edit in (
            Edit(("joint", joint.id, "kind"), by.get(joint.kind, Kind.TENON).value),
            Edit(("joint", joint.id, "room"), None),
        )
    )
    word = "pass them through" if subject.cutter.route is Route.LASER else "house them"
    many = f"{len(joints)} joint{'s'[: len(joints) - 1]}"
    mend = Mend(f"In {many}, {word}.", edits, value=len(joints))
    yield finding(
        "route-cannot",
        Severity.STOP,
        names,
        f"{names}: {reason} in {many}.",
        numbers={"joints": len(joints)},
        mend=mend,
    )


def _stopped_on_a_saw(subject: Subject) -> Iterator[Finding]:
    """A saw runs a trench out through the ends of its panel."""
    if subject.cutter.route is not Route.SAW:
        return
    stopped = [
        joint
        for joint in subject.plans.joints
        if joint.kind.is_trench and subject.wish(joint).through is not True
    ]
    stopped = [joint for joint in stopped if _stops(subject, joint)]
    if not stopped:
        return
    names = listed([joint.id for joint in stopped])
    edits: list[Edit] = []
    for joint in stopped:
        edits.append(Edit(("joint", joint.id, "ends"), "through"))
        if any(subject.wish(joint).stop or ()):
            edits.append(Edit(("joint", joint.id, "stop"), 0))
    yield finding(
        "route-cannot",
        Severity.STOP,
        names,
        f"{names}: a saw stops no trench inside a panel, and {len(stopped)} of them would be.",
        numbers={"joints": len(stopped)},
        mend=Mend("Run them out through the ends.", tuple(edits), value=len(stopped)),
    )


def _ends(part: Part, cut: Cut, along: bool) -> tuple[float, float]:
    """What stands beyond the low and the high end of a trench. [mm]"""
    x0, y0, x1, y1 = cut.profile.bounds
    if along:
        return x0, part.panel.width - x1
    return y0, part.panel.height - y1


def _stops(subject: Subject, joint: Joint) -> bool:
    return any(
        max(_ends(part, cut, along)) > SAME for part, cut, along in subject.trenches[joint.id]
    )


def _shown(subject: Subject) -> Iterator[Finding]:
    """Trenches that run out through a finger at the end of their panel."""
    shown = [
        joint
        for joint in subject.plans.joints
        if joint.kind.is_captive
        and any(_shows(part, cut, along) for part, cut, along in subject.trenches[joint.id])
        and subject.wish(joint).through is True
    ]
    if not shown:
        return
    names = listed([joint.id for joint in shown])
    saw = subject.cutter.route is Route.SAW
    depth = max(cut.depth_to for joint in shown for _, cut, _ in subject.trenches[joint.id])
    edits = tuple(Edit(("joint", joint.id, "ends"), "stopped") for joint in shown)
    stop = Mend("Stop them inside the corner.", edits, value=round(depth, 4))
    yield finding(
        "groove-shows",
        Severity.LOOK,
        names,
        f"{names}: {len(shown)} groove{'s'[: len(shown) - 1]} {subject.say(depth)} deep run out "
        "through a finger and show at the corner"
        + ("; plug the ends, or move the panel to the height of a socket." if saw else "."),
        numbers={"grooves": len(shown), "depth_mm": depth},
        mend=None if saw else stop,
    )


def _shows(part: Part, cut: Cut, along: bool) -> bool:
    """Whether wood stands round the place where a trench runs out, so that it is seen."""
    x0, y0, x1, y1 = cut.profile.bounds
    outer = part.as_cut.outer
    u0, v0, u1, v1 = outer.bounds
    for at_high, left in enumerate(_ends(part, cut, along)):
        if left > SAME:
            continue
        if along:
            end, low, high, axis = (u1 if at_high else u0), y0, y1, 0
        else:
            end, low, high, axis = (v1 if at_high else v0), x0, x1, 1
        edges = outer.edges
        at_end = abs(edges[:, axis] - end) < 1
        at_end &= abs(edges[:, axis + 2] - end) < 1
        begin, finish = edges[:, 1 - axis], edges[:, 3 - axis]
        over = (begin.clip(low, high) - finish.clip(low, high))[at_end]
        if (abs(over) > SAME).any():
            return True
    return False


def _deep(subject: Subject) -> Iterator[Finding]:
    def left(joint: Joint) -> tuple[float, float]:
        panel = subject.panel(joint.follow)
        deepest = max((cut.depth_to for _, cut, _ in subject.trenches[joint.id]), default=0.0)
        return panel.thickness - deepest, panel.thickness

    joints = [joint for joint in subject.plans.joints if joint.kind.is_trench]
    floors = [(joint, *left(joint)) for joint in joints]
    thin = [joint for joint, floor, whole in floors if floor < LEAST_FLOOR * whole - SAME]
    for (floor, thickness), group in alike(thin, left):
        names = listed([joint.id for joint in group])
        half = thickness / 2
        edits = tuple(Edit(("joint", j.id, "depth"), subject.value(half)) for j in group)
        yield finding(
            "trench-deep",
            Severity.LOOK,
            names,
            f"{names}: the trench leaves {subject.say(floor)} of {subject.say(thickness)} under "
            "it; a third is the least.",
            numbers={"floor_mm": floor, "thickness_mm": thickness},
            mend=Mend(
                f"Cut it {subject.say(thickness / 2)} deep.", edits, value=round(thickness / 2, 4)
            ),
        )


def _breaking_out(subject: Subject) -> Iterator[Finding]:
    def web(joint: Joint) -> float:
        ends = [
            end
            for part, cut, along in subject.trenches[joint.id]
            for end in _ends(part, cut, along)
            if end > SAME
        ]
        return min(ends, default=LEAST_WEB)

    joints = [joint for joint in subject.plans.joints if joint.kind.is_captive]
    for (left,), group in alike([j for j in joints if web(j) < LEAST_WEB], lambda j: (web(j),)):
        names = listed([joint.id for joint in group])
        depths = [cut.depth_to for j in group for _, cut, _ in subject.trenches[j.id]]
        less = min(depths) - (LEAST_WEB - left) - SPARE
        mend = None
        if less > 1:
            edits = tuple(Edit(("joint", j.id, "depth"), subject.value(less)) for j in group)
            mend = Mend(f"Cut it {subject.say(less)} deep.", edits, value=round(less, 4))
        elif subject.cutter.radius > LEAST_WEB - left:
            mend = smaller_cutter(subject, 2 * (subject.cutter.radius - LEAST_WEB + left) - SPARE)
        yield finding(
            "trench-breaks-out",
            Severity.LOOK,
            names,
            f"{names}: {subject.say(left)} of wood is left between the round end of the trench and "
            f"the end of its panel; {subject.say(LEAST_WEB)} is the least.",
            numbers={"web_mm": left, "least_mm": LEAST_WEB},
            mend=mend,
        )
