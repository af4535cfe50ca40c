"""Does it close? The dry fit, the maker's wishes, and what is known of the thickness."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.angled import check_angled
from dryfit.checks.catalogue import finding
from dryfit.checks.chances import check_chances
from dryfit.checks.mends import gap_edits, open_the_corners
from dryfit.checks.order import check_order
from dryfit.checks.standard import check_standard
from dryfit.checks.subject import alike, count_edits, listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.shapes.tolerances import TOUCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Conflict
    from dryfit.model.stock import Stock
    from dryfit.parts.touch import Touch

WIDE_ALLOWANCE = 0.25
"""Air at a finger above which glue no longer bridges well. [mm]"""

FAR = 0.2
"""How far off the wanted width, as a share of it, is called far (common practice). [-]"""

READINGS = 5
"""Readings that give a thickness and its scatter (common practice). [-]"""


def check_close(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on whether the joints close."""
    yield from _overlaps(subject)
    yield from _unplanned(subject)
    yield from _shut(subject)
    yield from _denied(subject)
    yield from _not_interlocking(subject)
    yield from check_angled(subject)
    yield from _wide_gaps(subject)
    yield from _unreachable(subject)
    yield from _thickness(subject)
    yield from check_standard(subject)
    yield from check_chances(subject)
    yield from check_order(subject)


def _pinch(subject: Subject, touch: Touch) -> float:
    """How far the two parts may crush: the harder one's pinch. [mm]"""
    return min(subject.panel(name).stock.material.pinch for name in (touch.a, touch.b))


def _overlaps(subject: Subject) -> Iterator[Finding]:
    touching = [touch for touch in subject.touches if touch.penetration > 0]

    def figures(touch: Touch) -> tuple[float, float, float]:
        return touch.penetration, _pinch(subject, touch), touch.open

    for (depth, pinch, opened), group in alike(touching, figures):
        names = [f"{touch.a}+{touch.b}" for touch in group]
        numbers = {
            "penetration_mm": depth,
            "pinch_mm": pinch,
            "open_mm": opened,
            "overlap_mm3": sum(touch.overlap for touch in group),
        }
        say = subject.say
        if depth > max(TOUCH, pinch):
            yield finding(
                "parts-overlap",
                Severity.STOP,
                listed(names),
                f"{listed(names)}: the parts need the same space, {say(depth, 3)} deep where the "
                f"material gives {say(pinch)}; unforced, the joint stands {say(opened)} open.",
                numbers=numbers,
                mend=open_the_corners(subject, names, max(TOUCH, pinch)),
            )
        else:
            yield finding(
                "corners-crush",
                Severity.NOTE,
                listed(names),
                f"{listed(names)}: corners crush by {depth:.3f} mm going together, within the "
                f"{max(TOUCH, pinch):.2f} mm that the material gives.",
                numbers=numbers,
            )


def _unplanned(subject: Subject) -> Iterator[Finding]:
    panels = subject.job.piece.panels
    if not subject.plans.meetings.meetings:
        yield finding(
            "nothing-meets",
            Severity.STOP,
            "piece",
            f"None of the {len(panels)} panels meets another: there is nothing to fit. State two "
            "panels or more whose reaches share an edge.",
            numbers={"panels": len(panels), "meetings": 0},
        )
    for meeting in subject.plans.meetings.meetings:
        if meeting.kind is MeetingKind.OTHER:
            one, other = panels[meeting.a].name, panels[meeting.b].name
            yield finding(
                "not-planned",
                Severity.STOP,
                f"{one}+{other}",
                f"{one} and {other} share space, but neither edge to edge nor with 0.5 mm of wood "
                "beside it; 1 meeting has no joint. Move or trim one of them.",
                numbers={"meetings": 1},
            )
    if not subject.plans.proved:
        yield finding(
            "owners-unproved",
            Severity.NOTE,
            "corner blocks",
            f"The search for who owns {len(subject.plans.owners)} corner blocks was cut short; the "
            "choice is sound, but one with fewer even plans may exist.",
            numbers={"blocks": len(subject.plans.owners)},
        )


def _shut(subject: Subject) -> Iterator[Finding]:
    for name in subject.plans.shut:
        yield finding(
            "halving-shut",
            Severity.STOP,
            name,
            f"{name}: 1 slot or both do not run out at an edge, so neither panel can be let over "
            "the other. Let the two end level, or let one end at the other.",
            numbers={"slots": 1},
        )
    for trio in subject.plans.tangles:
        names = listed(trio)
        yield finding(
            "three-cross",
            Severity.STOP,
            names,
            f"{names}: 3 panels pass through one place, and no joint shares it out among them. Let "
            "one of them end at another.",
            numbers={"panels": 3},
        )


def _denied(subject: Subject) -> Iterator[Finding]:
    joints = {joint.id: joint for joint in subject.plans.joints}
    for conflict in subject.plans.conflicts:
        joint = joints[conflict.joint]
        yield finding(
            "wish-denied",
            Severity.LOOK,
            conflict.joint,
            _denial(conflict, joint),
            numbers={"count": conflict.count, "count_wished": conflict.count_wished or 0},
            mend=_accept(conflict, joint),
        )


_GIVEN = {
    Kind.TENON: "{} keeps both ends of every stretch",
    Kind.HOUSING: "the whole edge sits in its trench",
    Kind.HALVING: "{} owns the low half",
}


def _denial(conflict: Conflict, joint: Joint) -> str:
    low, high = (end.owner or "nobody" for end in joint.plan.ends)
    where = f"{low} owns the block at one end and {high} the one at the other"
    if joint.kind is not Kind.FINGER:
        where = _GIVEN[joint.kind].format(joint.lead)
    elif low == high:
        where = f"{low} owns the blocks at both ends"
    wished = " with ".join(
        words
        for words in (
            f"{conflict.count_wished} divisions" if conflict.count_wished else "",
            f"{conflict.lead_wished} leading" if conflict.lead_wished else "",
        )
        if words
    )
    return (
        f"{conflict.joint}: {wished} cannot be had beside the other wishes, because {where}; "
        f"{conflict.count} divisions with {conflict.lead} leading come nearest."
    )


def _accept(conflict: Conflict, joint: Joint) -> Mend:
    """Write down what can be had."""
    edits = list(count_edits([(joint, conflict.count)])) if conflict.count_wished else []
    if conflict.lead_wished is not None:
        edits.append(Edit(("joint", joint.id, "leads"), conflict.lead))
    return Mend(
        f"Take {conflict.count} divisions with {conflict.lead} leading.",
        tuple(edits),
        value=conflict.count,
    )


def _not_interlocking(subject: Subject) -> Iterator[Finding]:
    for joint in subject.corners:
        if joint.plan.count == 1:
            yield finding(
                "not-interlocking",
                Severity.LOOK,
                joint.id,
                f"{joint.id}: 1 division leaves {joint.follow} no finger, so nothing interlocks; "
                "3 is the least.",
                numbers={"count": 1},
                mend=Mend("Divide it into 3.", count_edits([(joint, 3)]), value=3),
            )


def _wide_gaps(subject: Subject) -> Iterator[Finding]:
    # What is captive is not glued: it is meant to move.
    glued = [joint for joint in subject.plans.joints if not joint.kind.is_captive]
    wide = [joint for joint in glued if 2 * joint.flank_gap > WIDE_ALLOWANCE]
    for (gap,), group in alike(wide, lambda joint: (joint.flank_gap,)):
        names = listed([joint.id for joint in group])
        yield finding(
            "gap-wide",
            Severity.LOOK,
            names,
            f"{names}: {subject.say(2 * gap)} of air at a finger is more than glue bridges well; "
            f"{subject.say(WIDE_ALLOWANCE)} is the most.",
            numbers={"allowance_mm": 2 * gap, "most_mm": WIDE_ALLOWANCE},
            mend=Mend(
                f"Leave {subject.say(0.05)} at a flank.",
                gap_edits(subject, group, 0.05),
                value=0.05,
            ),
        )


def _unreachable(subject: Subject) -> Iterator[Finding]:
    def off(joint: Joint) -> float:
        wanted = subject.wish(joint).width
        return 0.0 if wanted is None else abs(joint.plan.width - wanted) / wanted

    far = [joint for joint in subject.divided if off(joint) > FAR]
    for (length, width, wanted), group in alike(
        far, lambda j: (j.plan.length, j.plan.width, subject.wish(j).width or 0.0)
    ):
        names = listed([joint.id for joint in group])
        edits = tuple(
            Edit(("joint", joint.id, "width"), subject.value(joint.plan.width)) for joint in group
        )
        yield finding(
            "width-unreachable",
            Severity.LOOK,
            names,
            f"{names}: fingers of {subject.say(wanted)} do not divide {subject.say(length)} "
            f"evenly; {group[0].plan.count} of {subject.say(width)} come nearest.",
            numbers={"wanted_mm": wanted, "width_mm": width, "length_mm": length},
            mend=Mend(f"Take {subject.say(width)} there.", edits, value=round(width, 4)),
        )


def _thickness(subject: Subject) -> Iterator[Finding]:
    seen: dict[Stock, list[str]] = {}
    for panel in subject.job.piece.panels:
        seen.setdefault(panel.stock, []).append(panel.name)
    for stock, names in seen.items():
        if stock.spread is not None and stock.readings:
            continue
        key = ("stock", stock.name, "readings")
        measure = Mend(
            f"Take {READINGS} caliper readings where the joints fall, 50 mm in from the edges.",
            measure=key,
            value=READINGS,
        )
        say = subject.say
        if not stock.readings:
            yield finding(
                "thickness-not-measured",
                Severity.LOOK,
                stock.name,
                f"{stock.name} ({listed(names)}) is not measured: every finger is as long as its "
                f"mate is thick, and {say(stock.nominal)} is a name, not a thickness.",
                numbers={"nominal_mm": stock.nominal, "readings": 0},
                mend=measure,
            )
        elif len(stock.readings) == 1:
            yield finding(
                "thickness-one-reading",
                Severity.NOTE,
                stock.name,
                f"{stock.name} ({listed(names)}) has 1 reading, {say(stock.readings[0])}; its "
                f"scatter is taken as {say(stock.scatter)}, a sixth of what "
                f"{stock.material.name} may vary within one sheet.",
                numbers={"readings": 1, "scatter_mm": stock.scatter},
                mend=measure,
            )
