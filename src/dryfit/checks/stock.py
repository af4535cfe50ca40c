"""Is there enough stock? What the layout needs, what it lacks, and what would save a sheet."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.savings import free_grain, savings
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from dryfit.checks.subject import Sheets, Subject
    from dryfit.findings import Finding, JobValue
    from dryfit.layout.data import Item
    from dryfit.layout.plan import StockPlan

USUAL_SHEETS = (
    (1220.0, 610.0), (1525.0, 1525.0), (2440.0, 1220.0), (3050.0, 1525.0), (6000.0, 2500.0),
)  # fmt: skip
"""Sheets as they are sold (common practice, no source). [mm]"""


def check_stock(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on whether there is enough to cut from."""
    sheets = subject.sheets
    if sheets is None:
        return
    for stock in sheets.plan.bare:
        yield _no_sheet(subject, stock)
    for plan in sheets.plan.stocks:
        yield from _clashes(plan)
        yield from _too_large(subject, sheets, plan)
        yield from _short(subject, plan)
        yield from _price(plan)
        yield from _engine(sheets, plan)
    yield from savings(subject, sheets)
    if sheets.stale:
        yield finding(
            "layout-stale",
            Severity.LOOK,
            "layout",
            "The layout that was accepted belongs to another state of this job, so another was "
            "made; accept that one or take the file away.",
            numbers={"count": 1},
        )


def say_stock(subject: Subject, findings: tuple[Finding, ...]) -> str:
    """The verdict in words: for each stock how many sheets, and whether fewer could do."""
    stops = sum(each.severity is Severity.STOP for each in findings)
    if stops:
        return (
            f"No: {stops} thing{'s' if stops > 1 else ''} must change before the stock is enough."
        )
    assert subject.sheets is not None
    return " ".join(say_plan(plan) for plan in subject.sheets.plan.stocks)


def say_plan(plan: StockPlan) -> str:
    """How many sheets one stock takes, and the bound in words."""
    layout = plan.layout
    own = [laid for laid in layout.sheets if not laid.sheet.to_buy]
    if not layout.bought:
        names = listed([laid.name for laid in own])
        return f"{plan.stock}: nothing to buy; {names} will do."
    count = layout.bought
    taken = f" beside {listed([laid.name for laid in own])}" if own else ""
    sheets = f"{count} sheet{'s' if count > 1 else ''} to buy{taken}"
    if plan.is_least:
        return f"{plan.stock}: {sheets}; no layout can use fewer."
    least = plan.bound.bought
    ruled = f"{least} {'is' if least == 1 else 'are'} not ruled out"
    if least == 0:
        ruled = "that none is needed is not ruled out"
    return f"{plan.stock}: {sheets}; {ruled}."


def _names(items: Iterable[Item]) -> str:
    """Names of items, how many of each."""
    counts = Counter(item.name for item in items)
    return listed([f"{n} × {name}" if n > 1 else name for name, n in counts.items()])


def _enough(subject: Subject, stock: str, sides: Sequence[tuple[float, float]]) -> Mend:
    """State the smallest usual sheet that holds boxes of some sides [mm]."""
    rules = subject.job.supply.rules if subject.job.supply else None
    away = 2 * rules.margin if rules else 0.0
    length = max((side[0] for side in sides), default=0.0) + away
    width = max((side[1] for side in sides), default=0.0) + away
    usual = (s for s in USUAL_SHEETS if s[0] >= length and s[1] >= width)
    size = next(usual, (length, width))
    value: JobValue = [subject.value(side) for side in size]
    across = f"{subject.say(size[0])} by {subject.say(size[1])}"
    return Mend(
        f"State the sheet as it is bought; one of {across} would do.",
        (Edit(("stock", stock, "sheet"), value),),
        value=size[0],
    )


def _sides(items: Iterable[Item]) -> list[tuple[float, float]]:
    """Boxes of items as they may lie, along the sheet and across it. [mm]"""
    return [min((item.size(turn) for turn in item.turns), key=lambda s: s[1]) for item in items]


def _no_sheet(subject: Subject, stock: str) -> Finding:
    parts = [part for part in subject.parts if part.panel.stock.name == stock]
    sides = []
    for part in parts:
        x0, y0, x1, y1 = part.profile.bounds
        sides.append((max(x1 - x0, y1 - y0),) * 2)
    return finding(
        "no-sheet",
        Severity.STOP,
        stock,
        f"There is no sheet of {stock}, and {len(parts)} part{'s' if len(parts) > 1 else ''} "
        f"of each piece {'are' if len(parts) > 1 else 'is'} cut from it.",
        numbers={"parts": len(parts)},
        mend=_enough(subject, stock, sides),
    )


def _too_large(subject: Subject, sheets: Sheets, plan: StockPlan) -> Iterator[Finding]:
    for item in {item.name: item for item in plan.too_large}.values():
        lacking = [_lacks(item, plan, turn) for turn in item.turns]
        length, width = min(lacking, key=lambda lack: (lack[0] > 0) + (lack[1] > 0) or sum(lack))
        over = [
            f"{subject.say(by)} too {how}"
            for by, how in ((length, "long"), (width, "wide"))
            if by > 0
        ]
        box = f"{subject.say(item.width)} by {subject.say(item.height)}"
        mend = free_grain(subject, sheets, item, plan.stock) or _enough(
            subject, plan.stock, _sides([item])
        )
        whole = "together, are" if len(item.members) > 1 else "is"
        yield finding(
            "part-too-large",
            Severity.STOP,
            item.name,
            f"{item.name}, {box}, {whole} {' and '.join(over)} for every sheet of {plan.stock}, "
            "margins taken off.",
            numbers={"length_over_mm": length, "width_over_mm": width},
            mend=mend,
        )


def _lacks(item: Item, plan: StockPlan, turn: int) -> tuple[float, float]:
    """How much longer and wider a turned box is than the sheet that suits it best. [mm]"""
    rules, size = plan.problem.rules, item.size(turn)
    found = []
    for each in plan.problem.bins:
        sheet = each.sheet
        sides = (sheet.width, sheet.length) if each.turned else (sheet.length, sheet.width)
        room = [side - 2 * rules.margin for side in sides]
        found.append((max(size[0] - room[0], 0.0), max(size[1] - room[1], 0.0)))
    return min(found, key=sum)


def _short(subject: Subject, plan: StockPlan) -> Iterator[Finding]:
    left = plan.layout.unplaced
    if not left:
        return
    count = sum(len(item.members) for item in left)
    sure = "cannot hold" if plan.bound.short else "were not found to hold"
    yield finding(
        "stock-short",
        Severity.STOP,
        plan.stock,
        f"The sheets of {plan.stock} {sure} everything: {_names(left)}, "
        f"{count} part{'s' if count > 1 else ''} in all, found no room.",
        numbers={"parts": count},
        mend=_enough(subject, plan.stock, _sides(left)),
    )


def _clashes(plan: StockPlan) -> Iterator[Finding]:
    for name in plan.clashes:
        yield finding(
            "lock-clashes",
            Severity.STOP,
            name,
            f"{name} is locked in a place where it leaves its sheet, or comes nearer than "
            f"{plan.problem.rules.spacing:g} mm to another part or than "
            f"{plan.problem.rules.margin:g} mm to an edge, a clamp or a defect.",
            numbers={"spacing_mm": plan.problem.rules.spacing},
            mend=Mend("Take the lock out.", (Edit(("lock", name), None),), value=0),
        )


def _price(plan: StockPlan) -> Iterator[Finding]:
    bare = [laid for laid in plan.layout.sheets if laid.sheet.to_buy and laid.sheet.price is None]
    if not bare:
        return
    count = len(bare)
    yield finding(
        "price-missing",
        Severity.NOTE,
        plan.stock,
        f"{count} sheet{'s' if count > 1 else ''} of {plan.stock} must be bought, and no price is "
        "stated, so costs leave the stock out.",
        numbers={"sheets": count},
        mend=Mend("State what a sheet costs.", measure=("stock", plan.stock, "price"), value=1),
    )


def _engine(sheets: Sheets, plan: StockPlan) -> Iterator[Finding]:
    if plan.outcome.trouble:
        yield finding(
            "engine-ended",
            Severity.NOTE,
            plan.stock,
            f"{plan.stock}: {plan.outcome.trouble}",
            numbers={"sheets": len(plan.layout.sheets)},
        )
    if sheets.second:
        yield finding(
            "second-engine",
            Severity.NOTE,
            plan.stock,
            "There is no better engine for this Python; layouts come out some 7 % longer than on "
            "Python 3.12 or newer, which is about 1 sheet in 14.",
            numbers={"longer": 0.07},
        )
