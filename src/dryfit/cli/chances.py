"""The odds of a rehearsal as a page of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from dryfit import workflow
from dryfit.cli.say import Wide, listed, plain
from dryfit.cli.show import alike, findings, head, heading, indented, table
from dryfit.units import in_100

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType

    from dryfit.workflow import Rehearsal

BAR = 40
"""Length of a full bar. [characters]"""

_EVERY = 2
"""Of the points of the curve, each second has a line of its own."""


def whole(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Everything that `odds` says."""
    yield from head(rehearsal)
    yield from _verdict(rehearsal)
    yield from _curve(rehearsal)
    yield from _joints(rehearsal)
    yield from _what_if(rehearsal)


def _verdict(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """The odds, what is wanted, and the findings that bear on them."""
    odds, fine = rehearsal.odds, rehearsal.subject.fine
    yield heading("Odds that everything goes together at once")
    yield indented(Text(f"{in_100(odds.whole)}, with {fine(odds.gap)} of air at a flank."))
    bound = in_100(odds.product)
    if bound != in_100(odds.whole):
        words = f"If every joint could shift by itself, it would be {bound}."
        yield indented(Text(words))
    own = [f for f in rehearsal.findings if f.code in workflow.CHANCES]
    if own:
        yield ""
        yield indented(findings(own))


def _curve(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """A line for each flank gap, with a bar."""
    fine, odds = rehearsal.subject.fine, rehearsal.odds
    wanted = rehearsal.job.wanted.odds
    rows, reached = [], False
    for gap, chance in workflow.odds_curve(rehearsal)[::_EVERY]:
        note = ""
        if chance >= wanted and not reached:
            reached, note = True, "enough"
        rows.append((fine(gap), str(int(100 * chance)), f"{_bar(chance)} {note}".rstrip()))
    yield heading("Air at a flank, and the odds in 100")
    yield Wide(indented(table(("air", "odds", ""), rows, (0, 1))))
    if not odds.closing.links:
        yield indented(Text("No joint asks for air."))


def _bar(chance: float) -> str:
    return "=" * round(BAR * chance)


def _joints(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Each joint by itself, those alike in one row, the tightest first."""
    fine = rehearsal.subject.fine
    rows = []
    ordered = sorted(rehearsal.odds.joints, key=lambda each: each.odds)
    for same in alike(
        ordered, lambda j: (round(j.odds, 3), round(j.gap_median, 3), round(j.gap_most, 3))
    ):
        names = listed([plain(each.joint) for each in same])
        first = same[0]
        rows.append((names, in_100(first.odds), fine(first.gap_median), fine(first.gap_most)))
    yield heading("Joints by themselves, and the widest gap that shows at the best shift")
    heads = ("joint", "odds", "as a rule", "95 in 100 at most")
    yield Wide(indented(table(heads, rows, (2, 3))))


def _what_if(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    yield heading("What if")
    for each in workflow.what_if(rehearsal):
        yield indented(Text(f"{each.what}: {in_100(each.odds)}."))
