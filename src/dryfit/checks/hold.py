"""Does it hold? Sag, corners, racking and tipping, as far as published evidence goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.corners import figures, two_figures
from dryfit.checks.standing import PUSH
from dryfit.checks.stiffen import brace, house, spell_out, stiffen
from dryfit.checks.subject import alike, listed
from dryfit.findings import Mend, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.corners import Corner
    from dryfit.checks.sag import Sag
    from dryfit.checks.standing import Ring
    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding


def check_hold(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on whether the piece holds."""
    yield from _tipping(subject)
    yield from _sagging(subject)
    yield from _creeping(subject)
    yield from _on_glue(subject)
    yield from _racking(subject)
    yield from _assumed(subject)
    yield from _corners(subject)
    yield from _bracing(subject)
    yield from _unknown(subject)


def holds(subject: Subject, findings: tuple[Finding, ...]) -> str:
    """The answer in a sentence or two."""
    holding = subject.holding
    looks = sum(each.severity is Severity.LOOK for each in findings)
    sag = holding.fullest
    if looks:
        first = f"{looks} thing{'s' if looks > 1 else ''} to look at before it bears a load."
    elif sag is None:
        first = "No panel of it bears a load that can be reckoned."
    else:
        first = "Nothing sags too far under the loads below."
    if sag is not None:
        say = subject.say
        first += f" {sag.name} goes farthest: {say(sag.first)} of the {say(sag.limit)} allowed."
    return f"{first} No certificate, and not for standing, sitting or lifting."


def _sagging(subject: Subject) -> Iterator[Finding]:
    over = [sag for sag in subject.holding.sags if sag.first > sag.limit]
    for group in _together(over):
        sag = group[0]
        yield finding(
            "panel-sags",
            Severity.LOOK,
            _names(group),
            f"{_names(group)}: {_under(subject, sag)} over {subject.say(sag.bay.span, 0)} "
            f"{'each sags' if len(group) > 1 else 'it sags'} {subject.say(sag.first)} at first, "
            f"{subject.say(sag.limit)} is the most ({_limit(sag)}).{_stretched(sag)}",
            numbers=_numbers(sag),
            mend=stiffen(subject, group, 1.0),
        )


def _creeping(subject: Subject) -> Iterator[Finding]:
    over = [sag for sag in subject.holding.sags if sag.first <= sag.limit < sag.later[1]]
    for group in _together(over):
        sag = group[0]
        yield finding(
            "panel-creeps",
            Severity.NOTE,
            _names(group),
            f"{_names(group)}: {_under(subject, sag)} the sag grows in years from "
            f"{subject.say(sag.first)} to {_grown(subject, sag)}; {subject.say(sag.limit)} is the "
            f"most at first ({_limit(sag)}).",
            numbers=_numbers(sag),
            mend=stiffen(subject, group, sag.later[1] / sag.first),
        )


def _grown(subject: Subject, sag: Sag) -> str:
    low, high = (subject.say(each, 1) for each in sag.later)
    return f"{low.rpartition(' ')[0]} to {high}"


def _together(sags: Sequence[Sag]) -> Iterator[list[Sag]]:
    """Panels that sag alike, the worst first."""
    for _, group in alike(sags, lambda sag: (-sag.full, sag.limit, sag.weight)):
        yield group


def _names(group: Sequence[Sag]) -> str:
    return listed([sag.name for sag in group])


def _under(subject: Subject, sag: Sag) -> str:
    load = subject.job.service.on(sag.name)
    what = sag.use.meaning if load.weight is None else "your load"
    where = " in the middle" if load.middle else ""
    return f"under {subject.weigh(sag.weight)}{where} ({what})"


def _limit(sag: Sag) -> str:
    if sag.stated:
        return "your limit"
    return f"1/{1 / sag.use.share:.0f} of its span, {sag.use.judge}"


def _stretched(sag: Sag) -> str:
    """Said where the panel bends so far that it also stretches."""
    if sag.first <= sag.panel.thickness:
        return ""
    return " It bends by more than its thickness; held all round, it bends less than said."


def _numbers(sag: Sag) -> dict[str, float]:
    return {
        "weight_kg": sag.weight, "span_mm": sag.bay.span, "sag_mm": sag.first,
        "later_least_mm": sag.later[0], "later_most_mm": sag.later[1], "limit_mm": sag.limit,
    }  # fmt: skip


def _on_glue(subject: Subject) -> Iterator[Finding]:
    """Panels that bear a load on butt joints."""
    loaded = {sag.name for sag in subject.holding.sags if sag.weight}
    pairs = [pair for pair in subject.holding.butted if pair[0] in loaded]
    if pairs:
        names = listed(["+".join(pair) for pair in pairs])
        yield finding(
            "butt-carries",
            Severity.LOOK,
            names,
            f"{names}: {len(pairs)} butt joint{'s carry' if len(pairs) > 1 else ' carries'} "
            "a load on glue alone, much of it on end grain.",
            numbers={"joints": len(pairs)},
            mend=house(subject, pairs),
        )


def _racking(subject: Subject) -> Iterator[Finding]:
    for ring in subject.holding.rings:
        if not (ring.racks or ring.may_rack):
            continue
        names = listed(list(ring.panels))
        yield finding(
            "ring-racks",
            Severity.LOOK if ring.racks else Severity.NOTE,
            names,
            f"{names}: nothing braces them along {ring.axis}. A push of {PUSH:.0f} N at the top "
            f"asks {two_figures(ring.moment / 1e3):g} N·m of each corner{_borne(ring)}, and takes "
            f"the top {subject.say(ring.open_sway, 1)} over even if no corner gives.",
            numbers={
                "push_n": PUSH, "moment_nm": two_figures(ring.moment / 1e3),
                "sway_mm": ring.open_sway, "allowed_mm": ring.allowed,
            },
            mend=brace(subject, ring),
        )  # fmt: skip


def _borne(ring: Ring) -> str:
    if not ring.corner[1]:
        return ""
    return f", which bears {figures((ring.corner[0] / 1e3, ring.corner[1] / 1e3))} N·m"


def _bracing(subject: Subject) -> Iterator[Finding]:
    """What the back of an open case does for it."""
    for ring in subject.holding.rings:
        if len(ring.braces) != 1:
            continue
        times = two_figures(ring.open_sway / ring.braced_sway)
        yield finding(
            "back-braces",
            Severity.NOTE,
            ring.braces[0],
            f"{ring.braces[0]} keeps the case square: pushed with {PUSH:.0f} N at the top it goes "
            f"over {subject.say(ring.open_sway, 2)} without it even if no corner gives, and at "
            f"least {times:g} times less with it.",
            numbers={
                "push_n": PUSH, "sway_mm": ring.open_sway, "braced_mm": ring.braced_sway,
            },
        )  # fmt: skip


def _tipping(subject: Subject) -> Iterator[Finding]:
    stance = subject.holding.stance
    if not stance.tall or subject.job.service.fixed:
        return
    pull = f" Empty, a level pull of {two_figures(stance.pull):g} N at its top tips it." * bool(
        stance.weight
    )
    yield finding(
        "fix-to-wall",
        Severity.LOOK,
        "piece",
        f"It stands {subject.say(stance.height, 0)} high on a depth of "
        f"{subject.say(stance.depth, 0)}: fix it to the wall, whatever it holds.{pull}",
        numbers={
            "height_mm": stance.height, "depth_mm": stance.depth,
            "pull_n": two_figures(stance.pull),
        },
        mend=Mend(
            "Fix it to the wall, and say so.", measure=("piece", "fixed"), value=1
        ),
    )  # fmt: skip


def _assumed(subject: Subject) -> Iterator[Finding]:
    taken = [sag for sag in subject.holding.sags if sag.assumed]
    if not taken:
        return
    use = taken[0].use
    names = listed([sag.name for sag in taken])
    yield finding(
        "load-assumed",
        Severity.NOTE,
        names,
        f"{names}: nobody says what stands on {'them' if len(taken) > 1 else 'it'}; "
        f"{use.area:.0f} kg to the square metre is taken, {use.meaning}.",
        numbers={"kg_m2": use.area},
        mend=spell_out(use.name, use.area),
    )


def _corners(subject: Subject) -> Iterator[Finding]:
    corner = subject.holding.weakest
    if corner is None:
        return
    count = len(subject.holding.corners)
    place = corner.joint
    which = f"{place}, the weakest of {count} corners," if count > 1 else place
    yield finding(
        "corner-bears",
        Severity.NOTE,
        place,
        f"{which} has {two_figures(corner.flanks / 100):g} cm² of glue on its flanks and "
        f"{two_figures(corner.shoulders / 100):g} cm² on its shoulders, which are end grain. It "
        f"bears some {_newton_metres(corner)} N·m of bending and "
        f"{figures((corner.pull[0] / 1e3, corner.pull[1] / 1e3))} kN of straight pull; "
        f"{_gives(corner)}.",
        numbers={
            "flanks_mm2": two_figures(corner.flanks),
            "shoulders_mm2": two_figures(corner.shoulders),
            "bending_least_nm": two_figures(corner.moment[0] / 1e3),
            "bending_most_nm": two_figures(corner.moment[1] / 1e3),
            "pull_least_n": two_figures(corner.pull[0]),
            "pull_most_n": two_figures(corner.pull[1]),
        },
    )


def _newton_metres(corner: Corner) -> str:
    return figures((corner.moment[0] / 1e3, corner.moment[1] / 1e3))


def _gives(corner: Corner) -> str:
    low, high = corner.weakest
    return f"{low} gives first" if low == high else f"{low} gives first at worst, {high} at best"


def _unknown(subject: Subject) -> Iterator[Finding]:
    holding = subject.holding
    if holding.unknown:
        names = listed(list(holding.unknown))
        yield finding(
            "strength-unknown",
            Severity.NOTE,
            names,
            f"{names}: no strength is printed for {listed(list(holding.materials))}, so that "
            f"{len(holding.unknown)} panel{'s are' if len(holding.unknown) > 1 else ' is'} left "
            "out of this answer.",
            numbers={"panels": len(holding.unknown)},
        )
    if holding.hanging:
        names = listed(list(holding.hanging))
        yield finding(
            "sag-unreckoned",
            Severity.NOTE,
            names,
            f"{names}: carried along one edge or two neighbouring ones, for which 0 published "
            "figures say what a glued joint bears; the sag is not reckoned.",
            numbers={"panels": len(holding.hanging)},
        )
