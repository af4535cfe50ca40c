"""Openings, kept places and shaped corners: is there room for each?"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.findings import Edit, Mend, Severity
from dryfit.parts.shaped import WEB, corner_rectangle
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.parts.part import Part

Rectangle = tuple[float, float, float, float]


def check_places(subject: Subject) -> Iterator[Finding]:
    """Whether openings, kept places and shaped corners have room of their own."""
    for part in subject.parts:
        panel = part.panel
        if not (panel.openings or panel.keep_outs or panel.shaped):
            continue
        yield from _openings(subject, part)
        yield from _kept(subject, part)
        yield from _corners(subject, part)


def _openings(subject: Subject, part: Part) -> Iterator[Finding]:
    panel = part.panel
    size = panel.width, panel.height
    for number, each in enumerate(panel.openings):
        own = each.rectangle(*size)
        others = [other.rectangle(*size) for k, other in enumerate(panel.openings) if k != number]
        others += [kept.rectangle(*size) for kept in panel.keep_outs]
        others += [corner_rectangle(panel, corner) for corner in panel.shaped]
        taken = [zone for _, zone in part.zones] + others
        what = _hit(part, own, others)
        if what:
            yield _taken(subject, part, ("opening", each.name), own, taken, what, Severity.STOP)


def _kept(subject: Subject, part: Part) -> Iterator[Finding]:
    panel = part.panel
    for kept in panel.keep_outs:
        own = kept.rectangle(panel.width, panel.height)
        openings = [each.rectangle(panel.width, panel.height) for each in panel.openings]
        what = _hit(part, own, openings, web=0.0)
        if what:
            taken = [zone for _, zone in part.zones] + openings
            yield _taken(subject, part, ("keep_out", kept.name), own, taken, what, Severity.LOOK)


def _corners(subject: Subject, part: Part) -> Iterator[Finding]:
    for corner in part.panel.shaped:
        own = corner_rectangle(part.panel, corner)
        what = _hit(part, own, [], web=0.0)
        if what:
            yield finding(
                "place-taken",
                Severity.STOP,
                part.name,
                f"The corner {corner.name} of {part.name}, {subject.say(corner.size[0])} by "
                f"{subject.say(corner.size[1])}, runs into {what}.",
                numbers={"u_mm": corner.size[0], "v_mm": corner.size[1]},
                mend=Mend(
                    "Leave the corner square.", (Edit(("corner", corner.name), None),), value=0
                ),
            )


def _hit(part: Part, own: Rectangle, others: Sequence[Rectangle], web: float = WEB) -> str:
    """What a rectangle runs into, in words; empty where it is clear."""
    for name, zone in part.zones:
        if _overlap(own, zone, web):
            return f"the joint {name}"
    if any(_overlap(own, other, web) for other in others):
        return "another place that is taken"
    low = own[0] - web, own[1] - web
    high = own[2] + web - part.panel.width, own[3] + web - part.panel.height
    if min(low) < -SAME or max(high) > SAME:
        return "the edge of its panel"
    return ""


def _overlap(one: Rectangle, other: Rectangle, web: float) -> bool:
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > SAME - web
        and min(one[3], other[3]) - max(one[1], other[1]) > SAME - web
    )


def _taken(
    subject: Subject,
    part: Part,
    path: tuple[str, str],
    own: Rectangle,
    taken: Sequence[Rectangle],
    what: str,
    severity: Severity,
) -> Finding:
    """The finding, with the nearest free place for it."""
    spot = _nearest(part, own, taken)
    mend = None
    if spot is not None:
        value = [subject.value(at) for at in spot]
        mend = Mend(
            f"Put its middle at {subject.say(spot[0])} and {subject.say(spot[1])}.",
            (Edit((*path, "at"), value),),
            value=round(spot[0], 4),
        )
    middle = (own[0] + own[2]) / 2, (own[1] + own[3]) / 2
    kind = "opening" if path[0] == "opening" else "kept place"
    return finding(
        "place-taken",
        severity,
        part.name,
        f"The {kind} {path[1]} of {part.name}, its middle at {subject.say(middle[0])} and "
        f"{subject.say(middle[1])}, comes too near to {what}.",
        numbers={"u_mm": middle[0], "v_mm": middle[1]},
        mend=mend,
    )


def _nearest(
    part: Part, own: Rectangle, taken: Sequence[Rectangle], web: float = WEB
) -> tuple[float, float] | None:
    """The free middle nearest to where a rectangle stands, or None. [mm]"""
    half = (own[2] - own[0]) / 2, (own[3] - own[1]) / 2
    middle = (own[0] + own[2]) / 2, (own[1] + own[3]) / 2
    size = part.panel.width, part.panel.height
    spots: list[list[float]] = []
    for axis in range(2):
        away = half[axis] + web
        stops = [middle[axis], away, size[axis] - away]
        stops += [zone[axis] - away for zone in taken] + [zone[axis + 2] + away for zone in taken]
        spots.append(sorted(stops, key=lambda at: abs(at - middle[axis])))
    free = [
        (u, v)
        for u, v in product(*spots)
        if _is_free(part, (u - half[0], v - half[1], u + half[0], v + half[1]), taken, web)
    ]
    return min(
        free, key=lambda at: (abs(at[0] - middle[0]) + abs(at[1] - middle[1]), at), default=None
    )


def _is_free(part: Part, own: Rectangle, taken: Sequence[Rectangle], web: float) -> bool:
    near = web - 2 * SAME
    inside = (
        min(own[0], own[1]) >= web - SAME
        and own[2] <= part.panel.width - web + SAME
        and own[3] <= part.panel.height - web + SAME
    )
    return inside and not any(_overlap(own, other, near) for other in taken)
