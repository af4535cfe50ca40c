"""Proportion: fingers that are too thin, too wide, or hold too little."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.mends import SPARE, widen
from dryfit.checks.subject import alike, count_edits, listed, other_counts
from dryfit.findings import Mend, Severity
from dryfit.joints.plan import MIN_FINGER
from dryfit.model.cutter import Relief, Route

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint


def least_finger(thickness: float) -> float:
    """The narrowest finger in proportion: half its `thickness` [mm], 3 mm at least."""
    return max(MIN_FINGER, thickness / 2)


def least_neck(thickness: float) -> float:
    """The narrowest root a finger of that `thickness` [mm] may keep: half the narrowest finger."""
    return least_finger(thickness) / 2


def check_proportion(subject: Subject) -> Iterator[Finding]:
    """Fingers and corner blocks out of proportion."""
    yield from _corner_necks(subject)
    yield from _thin(subject)
    yield from _wide(subject)


@dataclass(frozen=True)
class _Hold:
    """How one corner block hangs on its panel: the two joints that hold it, and by how much.

    `spares` is what each joint's end finger has beyond the block. [mm]
    """

    joints: tuple[Joint, Joint]
    blocks: tuple[float, float]
    spares: tuple[float, float]
    least: float

    def neck(self, subject: Subject) -> float:
        """Wood between the two inside corners beside the block, or between their reliefs. [mm]

        The corners lie `spares` apart along both walls. A relief's centre lies √2 r (diagonal) or
        r (one wall) farther out, and its circle takes r on either side.
        """
        cutter = subject.cutter
        a, b = self.spares
        if cutter.route is not Route.ROUTER or cutter.relief is Relief.NONE:
            return hypot(a, b)
        out = cutter.radius * (sqrt(2) if cutter.relief is Relief.DIAGONAL else 1.0)
        return hypot(a + out, b + out) - 2 * cutter.radius

    def with_count(self, index: int, count: int) -> _Hold:
        """The same with one joint divided anew."""
        plan = self.joints[index].extent.plan(count)
        block = self.blocks[index]
        spare = plan.width if plan.width <= block else plan.width - block
        spares = (spare, self.spares[1]) if index == 0 else (self.spares[0], spare)
        return replace(self, spares=spares)


def _corner_necks(subject: Subject) -> Iterator[Finding]:
    """Corner blocks that hang on too little."""
    thin = [hold for hold in _holds(subject) if hold.neck(subject) < hold.least]
    for (neck, least), group in alike(thin, lambda hold: (hold.neck(subject), hold.least)):
        joints = dict.fromkeys(joint.id for hold in group for joint in hold.joints)
        names = listed(list(joints))
        gone = neck <= 0
        hangs = "is cut off by its reliefs" if gone else f"hangs on a neck of {subject.say(neck)}"
        yield finding(
            "corner-neck-thin",
            Severity.STOP if gone else Severity.LOOK,
            names,
            f"{names}: the corner block {hangs}, where {subject.say(least)} is the least"
            + ("." if gone else "; it will break when the part is handled."),
            numbers={"neck_mm": neck, "least_mm": least},
            mend=_hold_blocks(subject, group),
        )


def _holds(subject: Subject) -> list[_Hold]:
    """Every corner block with the two joints of its owner."""
    found: dict[int, list[tuple[Joint, float, float]]] = {}
    for corner, joint in zip(subject.plans.joined, subject.plans.joints, strict=True):
        if joint.extent.beside:  # a whole finger stands beside the block
            continue
        for block, end in zip(corner.blocks, joint.plan.ends, strict=True):
            if end.owner in (joint.lead, joint.follow):
                spare = joint.plan.width - (0.0 if end.carried else end.block)
                found.setdefault(block, []).append((joint, end.block, spare))
    return [
        _Hold(
            (one[0], other[0]),
            (one[1], other[1]),
            (one[2], other[2]),
            least_neck(max(subject.thickest(one[0]), subject.thickest(other[0]))),
        )
        for one, other in found.values()
    ]


def _hold_blocks(subject: Subject, holds: Sequence[_Hold]) -> Mend | None:
    """New counts for one of the two joints of each block, the nearest that hold it."""
    counts: dict[str, tuple[Joint, int]] = {}
    for hold in holds:
        best = min(_cures(subject, hold), default=None)
        if best is None:
            return None
        _, index, count = best
        joint = hold.joints[index]
        before = counts.get(joint.id, (joint, count))[1]
        counts[joint.id] = joint, min(before, count)
    names = listed(list(counts))
    first = next(iter(counts.values()))[1]
    return Mend(f"Divide {names} into {first}.", count_edits(counts.values()), value=first)


def _cures(subject: Subject, hold: _Hold) -> Iterator[tuple[float, int, int]]:
    """Counts that hold the block: how far the width moves [mm], which joint, and the count."""
    for index, joint in enumerate(hold.joints):
        for count in other_counts(joint):
            width = joint.extent.plan(count).width
            enters = width + joint.flank_gap >= subject.cutter.size
            if enters and hold.with_count(index, count).neck(subject) >= hold.least:
                yield abs(width - joint.plan.width), index, count
                break


def _figures(subject: Subject, joint: Joint) -> tuple[float, float]:
    return joint.plan.width, subject.thickest(joint)


def _thin(subject: Subject) -> Iterator[Finding]:
    joints = [joint for joint in subject.divided if joint.plan.count > 1]
    thin = [j for j in joints if j.plan.width < least_finger(subject.thickest(j))]
    for (width, thick), group in alike(thin, lambda joint: _figures(subject, joint)):
        names = listed([joint.id for joint in group])
        yield finding(
            "finger-thin",
            Severity.LOOK,
            names,
            f"{names}: fingers of {subject.say(width)} are thin in {subject.say(thick)} stock; "
            f"{subject.say(least_finger(thick))} is the least.",
            numbers={"width_mm": width, "least_mm": least_finger(thick)},
            mend=_in_proportion(subject, group, thick),
        )


def _wide(subject: Subject) -> Iterator[Finding]:
    joints = [joint for joint in subject.divided if joint.plan.count > 1]
    wide = [j for j in joints if j.plan.width > 2 * subject.thickest(j) + SPARE]
    for (width, thick), group in alike(wide, lambda joint: _figures(subject, joint)):
        names = listed([joint.id for joint in group])
        yield finding(
            "finger-wide",
            Severity.LOOK,
            names,
            f"{names}: fingers of {subject.say(width)} are wide for {subject.say(thick)} stock; "
            f"{subject.say(2 * thick)} is the most.",
            numbers={"width_mm": width, "most_mm": 2 * thick},
            mend=_in_proportion(subject, group, thick),
        )


def _in_proportion(subject: Subject, joints: Sequence[Joint], thick: float) -> Mend | None:
    least, most = least_finger(thick), 2 * thick
    return widen(subject, joints, lambda width, _: least <= width <= most)
