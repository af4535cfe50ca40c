"""Small changes that save a sheet or make a part fit, each tried before it is proposed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.panel import Grain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Sheets, Subject
    from dryfit.findings import Finding
    from dryfit.layout.data import Item
    from dryfit.layout.plan import Plan, StockPlan

_STEPS = (0.01, 0.02, 0.03)
"""By what shares a size is reduced in trials, the least first. [-]"""

_NEARLY = 0.25
"""A last sheet that is fuller than this is not tried to be saved. [-]"""

_AXES = ("length", "depth", "height")


def free_grain(subject: Subject, sheets: Sheets, item: Item, stock: str) -> Mend | None:
    """Free the grain of a part that is too large, or give up a sequence; None if in vain."""
    if sheets.trial is None:
        return None
    if len(item.members) > 1:
        edits = (Edit(("layout", "matched"), None),)
        sentence = "Do not cut them in sequence."
    elif subject.panel(item.name).grain is not Grain.FREE:
        edits = (Edit(("panel", item.name, "grain"), "free"),)
        sentence = f"Let the grain of {item.name} run either way."
    else:
        return None
    plan = sheets.trial.plan(edits)
    if plan is None or any(
        large.name == item.name
        for own in plan.stocks
        if own.stock == stock
        for large in own.too_large
    ):
        return None
    return Mend(sentence, edits, value=0)


def savings(subject: Subject, sheets: Sheets) -> Iterator[Finding]:
    """A finding for each stock of which a small change saves a sheet."""
    if sheets.trial is None:
        return
    for plan in sheets.plan.stocks:
        if plan.layout.unplaced or plan.too_large or not _worth_trying(plan):
            continue
        mend = _by_grain(subject, sheets, plan) or _by_size(subject, sheets, plan)
        if mend is not None:
            count = plan.layout.bought
            yield finding(
                "sheet-saved",
                Severity.NOTE,
                plan.stock,
                f"A small change brings {count} sheet{'s' if count > 1 else ''} of {plan.stock} "
                f"down to {count - 1}.",
                numbers={"sheets": count},
                mend=mend,
            )


def _worth_trying(plan: StockPlan) -> bool:
    """Whether so little lies on the emptiest bought sheet that it may be saved."""
    bought = [each for each in plan.layout.sheets if each.sheet.to_buy]
    filled = [sum(p.width * p.height for p in each.placed) / each.sheet.area for each in bought]
    return bool(filled) and min(filled) < _NEARLY and not plan.problem.rules.locks


def _saves(plan: Plan | None, stock: str, count: int) -> bool:
    """Whether a plan places everything and buys fewer sheets of a stock."""
    if plan is None or plan.bare:
        return False
    whole = all(not own.layout.unplaced and not own.too_large for own in plan.stocks)
    return whole and any(p.stock == stock and p.layout.bought < count for p in plan.stocks)


def _by_grain(subject: Subject, sheets: Sheets, plan: StockPlan) -> Mend | None:
    """Free the grain of one panel after the other, the largest first."""
    assert sheets.trial is not None
    bound = [
        part
        for part in subject.parts
        if part.panel.stock.name == plan.stock
        and part.panel.grain is not Grain.FREE
        and not part.panel.stock.material.solid
    ]
    for part in sorted(bound, key=lambda part: -part.area)[:3]:
        edits = (Edit(("panel", part.name, "grain"), "free"),)
        if _saves(sheets.trial.plan(edits), plan.stock, plan.layout.bought):
            return Mend(f"Turn the grain of {part.name}: let it run either way.", edits, value=1)
    return None


def _by_size(subject: Subject, sheets: Sheets, plan: StockPlan) -> Mend | None:
    """Reduce one outside size of a form by a little, in whole millimetres."""
    assert sheets.trial is not None
    outside = sheets.trial.value("piece", "outside")
    if not isinstance(outside, list) or subject.job.unit != "mm":
        return None
    sizes = [float(size) for size in outside if isinstance(size, int | float)]
    for share in _STEPS if len(sizes) == len(_AXES) else ():
        for axis, name in enumerate(_AXES):
            less = max(round(sizes[axis] * share), 1)
            changed = [size - less if k == axis else size for k, size in enumerate(sizes)]
            edits = (Edit(("piece", "outside"), [round(size, 4) for size in changed]),)
            if _saves(sheets.trial.plan(edits), plan.stock, plan.layout.bought):
                sentence = f"Reduce the {name} by {subject.say(less)}."
                return Mend(sentence, edits, value=changed[axis])
    return None
