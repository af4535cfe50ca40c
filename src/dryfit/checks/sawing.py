"""Can we cut it on the saw? The blade set, whole fingers, and boards that can be stood and held."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.mends import SPARE, socket
from dryfit.checks.subject import alike, listed
from dryfit.cutting.jig import setting_of, sizes_at, whole_lengths
from dryfit.cutting.stack import nearest, widest_under
from dryfit.cutting.tool import slack, tool_for
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.cutting.jig import Setting, Whole
    from dryfit.findings import Finding, JobValue
    from dryfit.joints.joint import Joint

TALL, TOO_TALL = 600.0, 1200.0
"""A board on end over the saw asks for help from the first on, and falls from the second on
(common practice, no source). [mm]"""

SMALL, TOO_SMALL = 150.0, 75.0
"""A board whose longer side is less has to be clamped, or cannot be held: hands stay a span from
the blade (common practice, no source). [mm]"""

_BOXES = ("ring", "tray", "case", "pair", "crate")
"""Forms whose outside sizes are those of their panels together."""

_MOST_SHIMS = 12


def check_saw(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on the saw alone."""
    if subject.cutter.route is not Route.SAW:
        return
    cut = [joint for joint in subject.corners if socket(joint) >= subject.cutter.size]
    yield from _passes(subject, cut)
    yield from _set_misses(subject, cut)
    yield from _not_whole(subject, cut)
    yield from _stand(subject)
    yield from _hold(subject)


def _passes(subject: Subject, joints: Sequence[Joint]) -> Iterator[Finding]:
    """Sockets that take more than one pass each; a set that misses has a finding of its own."""
    owned = subject.cutter.owned
    wide = []
    for joint in joints:
        tool = tool_for(subject.cutter, socket(joint), joint.flank_gap)
        if tool.passes > 1 and (owned is None or socket(joint) < 2 * owned.outer):
            wide.append((joint, tool))
    for (width, blade, passes), group in alike(
        wide, lambda item: (item[1].socket, item[1].width, item[1].passes)
    ):
        names = listed([joint.id for joint, _ in group])
        yield finding(
            "saw-passes",
            Severity.NOTE,
            names,
            f"{names}: sockets of {subject.say(width)} take {passes:.0f} passes of the "
            f"{subject.say(blade) if owned else subject.tool} blade{'' if owned else ' set'}"
            f"{_other_size(subject, group[0][0], blade)}.",
            numbers={"socket_mm": width, "blade_mm": blade, "passes": passes},
            mend=_one_pass(subject, width),
        )


def _other_size(subject: Subject, joint: Joint, blade: float) -> str:
    """Which nearby corner comes out in single passes, in words."""
    plan, gap = joint.plan, joint.flank_gap
    if blade <= gap:
        return ""
    count = max(3, round(plan.length / (blade - gap)))
    count += (count + plan.count) % 2
    if count == plan.count:  # a finding of its own says which sizes come out whole
        return ""
    return (
        f"; a corner of {subject.say(count * (blade - gap))} would divide into {count} of one pass"
    )


def _one_pass(subject: Subject, width: float) -> Mend | None:
    """A blade set as wide as the socket, where it is no wider than any other socket."""
    narrowest = min(socket(joint) for joint in subject.corners)
    if width > narrowest + SPARE or subject.cutter.owned is not None:
        return None
    return Mend(
        f"Make the blade set up to {subject.say(width)}.",
        (Edit(("cutter", "blade"), subject.value(width)),),
        value=round(width, 4),
    )


def _set_misses(subject: Subject, joints: Sequence[Joint]) -> Iterator[Finding]:
    owned = subject.cutter.owned
    if owned is None:
        return
    # One outer blade alone goes through a narrow socket several times: a note says so.
    wide = [joint for joint in joints if socket(joint) >= 2 * owned.outer]
    for (width, gap), group in alike(wide, lambda joint: (socket(joint), joint.flank_gap)):
        best = nearest(owned, width)
        miss = best.width - width
        if abs(miss) <= slack(gap):
            continue
        names, side = listed([joint.id for joint in group]), "wide" if miss > 0 else "narrow"
        yield finding(
            "set-misses",
            Severity.LOOK,
            names,
            f"{names}: your blades come to {subject.fine(best.width)} at the nearest, "
            f"{subject.fine(abs(miss))} too {side} for sockets of {subject.fine(width)}.",
            numbers={"socket_mm": width, "nearest_mm": best.width, "miss_mm": miss},
            mend=_shim(subject, width),
        )


def _shim(subject: Subject, width: float) -> Mend | None:
    """One more shim, as thick as the widest narrower make-up lacks."""
    owned = subject.cutter.owned
    under = widest_under(owned, width) if owned else None
    if owned is None or under is None or len(under.outers) < 2 or len(owned.shims) >= _MOST_SHIMS:
        return None
    thick = width - under.width
    if thick <= SPARE:
        return None
    shims: list[JobValue] = [subject.value(each) for each in (*owned.shims, thick)]
    return Mend(
        f"Add a shim of {subject.fine(thick)}.",
        (Edit(("cutter", "shims"), shims),),
        value=round(thick, 4),
    )


def _not_whole(subject: Subject, joints: Sequence[Joint]) -> Iterator[Finding]:
    """Corners that all but divide into fingers of one pass, so that a nearby size would."""
    flush = subject.job.wanted.flush
    found = []
    for joint in joints:
        setting = setting_of(joint, subject.mates(joint), subject.cutter, 0.0)
        width = setting.tool.width
        near = whole_lengths(setting, width)
        off = joint.plan.count * (width - joint.flank_gap) - joint.plan.length
        meant = any(each.count == joint.plan.count for each in near)
        if meant and abs(off) > flush:
            found.append((joint, setting, near))
    for (length, width, _), group in alike(
        found, lambda item: (item[1].whole, item[1].tool.width, item[0].plan.length)
    ):
        names = listed([joint.id for joint, _, _ in group])
        joint, setting, near = group[0]
        say = subject.say
        heights = " or ".join(f"{say(each.length)} ({each.count})" for each in near)
        yield finding(
            "fingers-not-whole",
            Severity.LOOK,
            names,
            f"{names}: {joint.plan.count} fingers and sockets of one pass each do not come out "
            f"whole in {say(length)}; they do in {heights}.",
            numbers={
                "corner_mm": length, "pass_mm": width,
                **{f"whole_{k}_mm": each.length for k, each in enumerate(near, 1)},
            },
            mend=_resize(subject, setting, near) or _fill(subject, setting.tool.socket),
        )  # fmt: skip


def _fill(subject: Subject, width: float) -> Mend | None:
    """A set as wide as the socket, with what there is or as a wish."""
    return _shim(subject, width) or _one_pass(subject, width)


def _resize(subject: Subject, setting: Setting, near: Sequence[Whole]) -> Mend | None:
    """The piece as high as the nearest whole corner, where its corners stand upright."""
    panels = subject.job.piece.panels
    lead, follow = (subject.panel(each.panel) for each in (setting.lead, setting.follow))
    upright = all(abs(panel.frame.n[2]) < SPARE for panel in (lead, follow))
    if subject.job.form not in _BOXES or not upright or not near:
        return None
    best = min(near, key=lambda each: (abs(each.length - setting.whole), each.count))
    sizes = []
    for axis in range(3):
        ends = [
            panel.frame.origin[axis] + size * vector[axis]
            for panel in panels
            for vector, size in (
                (panel.frame.u, 0.0), (panel.frame.u, panel.width), (panel.frame.v, panel.height),
                (panel.frame.n, panel.thickness),
            )
        ]  # fmt: skip
        sizes.append(max(ends) - min(ends))
    sizes[2] += best.length - setting.whole
    outside: list[JobValue] = [subject.value(size) for size in sizes]
    narrower = setting.tool.width < subject.cutter.size
    blade = Edit(("cutter", "blade"), subject.value(setting.tool.width))
    return Mend(
        f"Make it {subject.say(sizes[2])} high.",
        (
            Edit(("piece", "inside"), None), Edit(("piece", "outside"), outside),
            *((blade,) if narrower else ()),
        ),
        value=round(sizes[2], 4),
    )  # fmt: skip


def _stand(subject: Subject) -> Iterator[Finding]:
    """Boards that stand on end too tall."""
    tallest: dict[str, float] = {}
    for joint in subject.corners:
        lead, follow = subject.mates(joint)
        for own, mate in ((lead, follow), (follow, lead)):
            tallest[own.name] = max(tallest.get(own.name, 0.0), sizes_at(own, mate)[1])
    tall = [name for name, height in tallest.items() if height > TALL]
    for (height,), names in alike(tall, lambda name: (tallest[name],)):
        who, stops = listed(names), height > TOO_TALL
        yield finding(
            "stands-tall",
            Severity.STOP if stops else Severity.LOOK,
            who,
            f"{who}: stands {subject.say(height)} over the saw, and {subject.say(TALL)} is as much "
            + ("as a jig can carry with a tall backing." if stops else "as it carries by itself."),
            numbers={"stands_mm": height, "tall_mm": TALL, "too_tall_mm": TOO_TALL},
            mend=_by_hand("Cut it by hand.", TOO_TALL if stops else TALL),
        )


def _hold(subject: Subject) -> Iterator[Finding]:
    """Boards too small to hold beside a blade."""
    jointed = {name for joint in subject.corners for name in (joint.lead, joint.follow)}
    longer = {name: max(subject.panel(name).width, subject.panel(name).height) for name in jointed}
    small = sorted(name for name, length in longer.items() if length < SMALL)
    for (length,), names in alike(small, lambda name: (longer[name],)):
        who, stops = listed(names), length < TOO_SMALL
        yield finding(
            "small-to-hold",
            Severity.STOP if stops else Severity.LOOK,
            who,
            f"{who}: {subject.say(length)} at the longer side is too small to hold on the saw"
            + ("." if stops else f" by hand: under {subject.say(SMALL)}, clamp it to the jig."),
            numbers={"longer_mm": length, "small_mm": SMALL, "too_small_mm": TOO_SMALL},
            mend=_by_hand("Cut it by hand.", TOO_SMALL if stops else SMALL),
        )


def _by_hand(sentence: str, limit: float) -> Mend:
    """The job given to hand tools; the saw's own keys go."""
    gone = tuple(Edit(("cutter", key), None) for key in ("blade", "outer", "chippers", "shims"))
    return Mend(sentence, (Edit(("cutter", "kind"), Route.HAND.value), *gone), value=limit)
