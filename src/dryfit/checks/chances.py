"""Does it close, how likely? Findings on the odds, and on what they rest on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import alike, listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.scatter import Source
from dryfit.units import in_100

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.odds import JointOdds

RARE = 0.05
"""Odds of an uneven finger from which on it is told of (common practice, no source). [-]"""

APART = 0.05
"""Growth of one mate against the other along their joint that is told of. [mm]"""


def check_chances(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on the odds."""
    if not subject.plans.joints:
        return
    yield from _odds(subject)
    yield from _found(subject)
    yield from _source(subject)
    yield from _tips(subject)
    yield from _moisture(subject)
    yield from _cups(subject)


def _odds(subject: Subject) -> Iterator[Finding]:
    odds, wanted = subject.odds, subject.job.wanted.odds
    limiting = odds.limiting
    if odds.whole >= wanted or limiting is None:
        return
    numbers = {"odds": odds.whole, "wanted": wanted, "tightest": limiting.odds}
    said = (
        f"The odds that everything goes together at once are {in_100(odds.whole)}, and you want "
        f"{in_100(wanted)}; {limiting.joint} is the tightest, {in_100(limiting.odds)} by itself."
    )
    gap = None if subject.job.auto else odds.least_gap(wanted)
    if gap is not None:
        yield finding(
            "odds-low",
            Severity.LOOK,
            "piece",
            said,
            numbers=numbers | {"gap_mm": gap},
            mend=Mend(
                f"Let the flank gap be found from the odds; as things are, {subject.fine(gap)} "
                "reaches them.",
                (Edit(("fingers", "flank_gap"), "auto"),),
                value=round(gap, 4),
            ),
        )
        return
    best = odds.best
    yield finding(
        "odds-out-of-reach",
        Severity.LOOK,
        "piece",
        f"{said} No flank gap reaches that: {in_100(best)} are the most. Cut with less scatter, "
        "divide into fewer fingers, or want less.",
        numbers=numbers | {"best": best},
        mend=_want_less(best),
    )


def _want_less(best: float) -> Mend | None:
    """Want what can be had, where that is worth wanting."""
    reach = int(100 * best)
    if reach < 50:
        return None
    edit = Edit(("odds", "wanted"), reach)
    return Mend(f"Want {reach} in 100.", (edit,), value=reach)


def _found(subject: Subject) -> Iterator[Finding]:
    """A flank gap that was found rather than typed."""
    odds, wanted = subject.odds, subject.job.wanted.odds
    if subject.job.auto and odds.whole >= wanted:
        yield finding(
            "gap-found",
            Severity.NOTE,
            "fingers",
            f"{subject.fine(odds.gap)} of air at a flank is the least that brings the odds to "
            f"{in_100(wanted)}.",
            numbers={"gap_mm": odds.gap, "odds": odds.whole},
            mend=Mend(
                "Write it down, so that it stays.",
                (Edit(("fingers", "flank_gap"), subject.value(odds.gap)),),
                value=round(odds.gap, 4),
            ),
        )


def _source(subject: Subject) -> Iterator[Finding]:
    scatter = subject.odds.scatter
    fine = subject.fine
    if scatter.source is Source.ROUTE:
        yield finding(
            "scatter-assumed",
            Severity.NOTE,
            "cutter",
            f"The scatter of your shop is not measured: an edge is taken to lie "
            f"{fine(scatter.edge)} off, as is usual on a {subject.cutter.route.value}."
            if subject.cutter.size
            else f"Your hand is not measured: a knifed line is taken to lie {fine(scatter.edge)} "
            "off, as is usual.",
            numbers={"edge_mm": scatter.edge, "doubt_mm": scatter.misfit_sd},
            mend=Mend(
                "Cut a fit comb (dryfit comb), and enter how it goes (dryfit book add comb).",
                measure=("scatter", "misfit"),
                value=1,
            ),
        )
    elif scatter.source is Source.BOOK:
        yield finding(
            "scatter-from-book",
            Severity.NOTE,
            "cutter",
            "Your shop book knows this cutter in this material: every flank has "
            f"{fine(scatter.misfit)} less air than drawn, and an edge lies "
            f"{fine(scatter.edge)} off.",
            numbers={"misfit_mm": scatter.misfit, "edge_mm": scatter.edge},
        )
    if scatter.doubt:
        yield finding("book-contradicts", Severity.LOOK, "shop book", scatter.doubt)


def _tips(subject: Subject) -> Iterator[Finding]:
    most = subject.job.wanted.sanding

    def figures(each: JointOdds) -> tuple[float, float]:
        return round(each.sunk, 3), round(each.proud, 3)

    uneven = [each for each in subject.odds.joints if max(each.sunk, each.proud) > RARE]
    for (sunk, proud), group in alike(uneven, figures):
        names = listed([each.joint for each in group])
        how = "deeper" if sunk >= proud else "farther out"
        yield finding(
            "fingers-uneven",
            Severity.LOOK,
            names,
            f"{names}: the odds that some finger ends {how} than the {subject.say(most)} that you "
            f"sand off are {in_100(max(sunk, proud), least=True)}. Take stock that is more even, "
            "or sand more off.",
            numbers={"sunk": sunk, "proud": proud, "sanding_mm": most},
        )


def _moisture(subject: Subject) -> Iterator[Finding]:
    slopes = subject.odds.setting.slopes
    for joint in subject.divided:
        grown = abs(slopes.get(joint.id, 0.0)) * sum(plan.length for plan in joint.segments)
        if grown < APART:
            continue
        lead, follow = subject.mates(joint)
        wet = lead.stock.moisture or 0.0, follow.stock.moisture or 0.0
        yield finding(
            "moisture-apart",
            Severity.LOOK,
            joint.id,
            f"{joint.id}: {lead.name} is cut at {wet[0]:g} % moisture and {follow.name} at "
            f"{wet[1]:g} %; once they are equally dry they differ by {subject.say(grown)} along "
            "their joint.",
            numbers={"grown_mm": grown, "points": abs(wet[0] - wet[1])},
            mend=Mend(
                "Let both lie in the shop until they read the same, and cut them in one session.",
                measure=("panel", lead.name, "moisture"),
                value=wet[1],
            ),
        )


def _cups(subject: Subject) -> Iterator[Finding]:
    for name, left in subject.odds.setting.cups.items():
        if left > 0:
            cup = subject.panel(name).stock.cup
            yield finding(
                "cup-stays",
                Severity.LOOK,
                name,
                f"{name} is {subject.say(cup)} out of flat, and {subject.say(left)} of that stay "
                "where a joiner's force has pressed it; it takes that much air in every slot.",
                numbers={"cup_mm": cup, "left_mm": left},
            )
