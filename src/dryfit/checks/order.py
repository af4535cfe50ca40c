"""Does it close? The order of assembly, or the reason why there is none, and the clock of the glue.

What frees a locked piece is found by trying: one joint after the other of those that lock it gets
another kind, other ends or another lead, and the whole job is rehearsed anew.
"""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.kind import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.assembly.gluing import GlueUp
    from dryfit.assembly.steps import Locked
    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint

_MINUTE = 60.0

_INSTEAD = (Kind.HOUSING, Kind.BUTT, Kind.TENON)
"""What an edge that locks may be let in by instead, the nearest to what it was first."""

LONGEST_OPEN = 60
"""Minutes that hardly any glue stays open for. [min]"""


def check_order(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on the order of assembly."""
    assembly = subject.assembly
    if assembly is None:
        return
    if assembly.locked is not None:
        yield _locked(subject, assembly.locked)
        return
    for step in assembly.two_handed:
        yield finding(
            "two-handed",
            Severity.NOTE,
            listed(step.moving),
            f"{listed(step.moving)} go in together as one, {len(step.moving)} parts in one move: "
            "no part of what they are brought to can be put in by itself. Put them together first.",
            numbers={"parts": len(step.moving), "travel_mm": step.travel},
        )
    if subject.glue_up is not None:
        yield from _clock(subject.glue_up)


def _locked(subject: Subject, locked: Locked) -> Finding:
    """No order: who locks whom, and what frees them."""
    bars = ["+".join(bar) for bar in locked.bars]
    fewest = (
        "no fewer joints lock them" if locked.smallest else "without any one of these they open"
    )
    return finding(
        "locked",
        Severity.STOP,
        listed(locked.parts),
        f"{listed(locked.parts)} go together in no order: {listed(bars, most=8)} lock them, "
        f"{len(bars)} in all; {fewest}.",
        numbers={"parts": len(locked.parts), "joints": len(bars)},
        mend=_freed(subject, locked),
    )


def _freed(subject: Subject, locked: Locked) -> Mend | None:
    """The first change of one joint with which everything goes together and nothing else stops."""
    if subject.tried is None:
        return None
    joints = {frozenset((j.lead, j.follow)): j for j in subject.plans.joints}
    own = [joints[frozenset(bar)] for bar in locked.bars if frozenset(bar) in joints]
    for joint in own:
        for words, edits in _changes(joint):
            rehearsal = subject.tried(edits)
            if rehearsal is None or rehearsal.assembly is None or rehearsal.assembly.locked:
                continue
            if all(f.severity is not Severity.STOP for f in rehearsal.findings):
                return Mend(f"{words}; then it goes together.", edits, value=1)
    return None


def _changes(joint: Joint) -> Iterator[tuple[str, tuple[Edit, ...]]]:
    """What may be changed of a joint, in words and as edits."""
    name = joint.id
    path = ("joint", name)
    if joint.kind.is_trench:
        yield f"Let {name} run out through its ends", (
            Edit((*path, "stop"), None), Edit((*path, "ends"), "through"),
        )  # fmt: skip
    if joint.kind in (Kind.FINGER, Kind.HALVING):
        yield f"Let {joint.follow} lead in {name}", (Edit((*path, "leads"), joint.follow),)
    if joint.kind not in (Kind.FINGER, Kind.HALVING):
        for kind in _INSTEAD:
            if kind is not joint.kind:
                yield f"Make {name} a {kind.value} joint", (Edit((*path, "kind"), kind.value),)
    elif joint.kind is Kind.FINGER:
        yield f"Make {name} a butt joint", (Edit((*path, "kind"), Kind.BUTT.value),)


def _clock(glue_up: GlueUp) -> Iterator[Finding]:
    """Moves that take longer than the glue waits, and more than one go."""
    glue, long = glue_up.glue, glue_up.too_long
    waits = f"the glue skins after {glue.open:g} min"
    if long:
        worst = max(long, key=lambda go: go.seconds)
        others = f", and {len(long) - 1} more such" if len(long) > 1 else ""
        yield finding(
            "glue-too-quick",
            Severity.LOOK if glue.stated else Severity.NOTE,
            listed(worst.joints),
            f"{listed(worst.joints)} close in one move{others}: {worst.faces} faces at "
            f"{glue.spread:g} s are {worst.seconds / _MINUTE:.0f} min of spreading, and {waits}.",
            numbers={
                "faces": worst.faces,
                "minutes": worst.seconds / _MINUTE,
                "open_min": glue.open,
                "moves": len(long),
            },
            mend=_in_time(glue_up, worst.seconds, worst.faces),
        )
    elif len(glue_up.goes) > 1:
        minutes, faces = glue_up.seconds / _MINUTE, sum(go.faces for go in glue_up.goes)
        yield finding(
            "several-goes",
            Severity.NOTE,
            f"{len(glue_up.goes)} goes",
            f"Spreading takes {minutes:.0f} min and {waits}, so it is glued in "
            f"{len(glue_up.goes)} goes; dryfit order says which parts each one takes.",
            numbers={"goes": len(glue_up.goes), "minutes": minutes, "open_min": glue.open},
            mend=_in_time(glue_up, glue_up.seconds, faces),
        )


def _in_time(glue_up: GlueUp, seconds: float, faces: int) -> Mend:
    """A glue that waits as long as it takes, or, where hardly any does, a quicker way to spread."""
    minutes = ceil(seconds / _MINUTE)
    if minutes <= LONGEST_OPEN:
        return Mend(
            f"Take a glue that stays open for {minutes} min, or brush a whole comb at once and "
            "state the seconds a face under [glue].",
            (Edit(("glue", "open"), minutes),),
            value=minutes,
        )
    each = floor(600 * glue_up.glue.open / faces) / 10
    return Mend(
        f"Brush whole combs at once, {each:g} s a face, or make fingers fewer and wider.",
        (Edit(("glue", "spread"), each),),
        value=each,
    )
