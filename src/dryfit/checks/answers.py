"""The answers: each question's findings, gravest first, under one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import CATALOGUE
from dryfit.checks.close import check_close
from dryfit.checks.cut import check_cut
from dryfit.checks.hold import check_hold, holds
from dryfit.checks.last import check_last, lasts
from dryfit.checks.stock import check_stock, say_stock
from dryfit.findings import Answer, Question, Report, Severity, by_gravity
from dryfit.units import in_100

if TYPE_CHECKING:
    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding


def answer_all(subject: Subject) -> Report:
    """Answer every question that can be answered so far."""
    found = (
        *check_close(subject),
        *check_hold(subject),
        *check_last(subject),
        *check_cut(subject),
        *check_stock(subject),
    )
    findings = by_gravity(found)
    answers = []
    asked = [
        (Question.CLOSE, _closes),
        (Question.HOLD, holds),
        (Question.LAST, lasts),
        (Question.CUT, _cuts),
    ]
    if subject.sheets is not None:
        asked.append((Question.STOCK, say_stock))
    for question, verdict in asked:
        own = tuple(f for f in findings if CATALOGUE[f.code].question is question)
        answers.append(Answer(question, verdict(subject, own), own))
    return Report(tuple(answers))


def _closes(subject: Subject, findings: tuple[Finding, ...]) -> str:
    stops = sum(finding.severity is Severity.STOP for finding in findings)
    corners = len(subject.plans.joints)
    word = "corner" if len(subject.corners) == corners else "joint"
    joints = f"The one {word}" if corners == 1 else f"All {corners} {word}s"
    if stops:
        return f"No: {stops} thing{'s' if stops > 1 else ''} must change before it goes together."
    deepest = max((touch.penetration for touch in subject.touches), default=0.0)
    close = "closes" if corners == 1 else "close"
    odds = f"The odds that everything goes together at once: {in_100(subject.odds.whole)}."
    steps = subject.assembly.steps if subject.assembly else ()
    order = f" It goes together in {len(steps)} steps." if len(steps) > 2 else ""
    if deepest > 0:
        crush = f"with {deepest:.3f} mm of crush at the tightest"
        return f"{joints} {close} as cut, {crush}.{order} {odds}"
    return f"{joints} {close} as cut: no two parts need the same space.{order} {odds}"


def _cuts(subject: Subject, findings: tuple[Finding, ...]) -> str:
    stops = sum(finding.severity is Severity.STOP for finding in findings)
    looks = sum(finding.severity is Severity.LOOK for finding in findings)
    cutter = subject.cutter
    tool = (
        "Saw and chisel" if cutter.size == 0 else f"The {subject.tool} {_TOOLS[cutter.route.value]}"
    )
    if stops:
        return f"No: {stops} thing{'s' if stops > 1 else ''} must change before it can be cut."
    if looks:
        return f"{tool} can make it; {looks} thing{'s' if looks > 1 else ''} to look at first."
    return f"{tool} can make every finger and socket."


_TOOLS = {"router": "cutter", "laser": "kerf", "saw": "blade set", "hand": "saw"}
