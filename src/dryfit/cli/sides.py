"""What a comparison says: a row for each job, then what changes in the answers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from dryfit import workflow
from dryfit.cli.say import Wide, plain
from dryfit.cli.show import findings, heading, indented, table
from dryfit.units import in_100

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import RenderableType

    from dryfit.workflow import Side

_UNKNOWN = "-"
_LEGEND = (
    "Odds in 100. Sag of the panel that goes farthest, and what it may. Corner: bending in N·m "
    "that the weakest one bears, an order of magnitude. Weight in kg."
)


def whole(sides: Sequence[Side]) -> Iterator[RenderableType]:
    """Everything that `compare` says."""
    yield Text(plain(sides[0].rehearsal.job.title), style="bold")
    yield from _figures(sides)
    for number, side in enumerate(sides[1:], start=1):
        yield from _changes(sides[0], side, number)


def _figures(sides: Sequence[Side]) -> Iterator[RenderableType]:
    yield heading("Compared with the job as it is")
    for number, side in enumerate(sides[1:], start=1):
        yield indented(Text(f"{number}  {plain(side.name)}"))
    priced = any(side.cost is not None for side in sides)
    heads = ["", "stop", "look", "odds", "sag", "corner", "weight"]
    heads += ["sheets", "cost"] if priced else []
    rows = [_row(side, number, priced) for number, side in enumerate(sides)]
    yield heading("Side by side")
    yield Wide(indented(table(heads, rows, tuple(range(1, len(heads))))))
    yield indented(Text(_LEGEND, style="dim"))


def _row(side: Side, number: int, priced: bool) -> tuple[str, ...]:
    say = side.rehearsal.subject.say
    sag = corner = _UNKNOWN
    if side.sag is not None:
        sag = f"{_bare(say(side.sag[1]))} of {say(side.sag[2])}"
    if side.corner is not None:
        corner = " to ".join(f"{value:g}" for value in side.corner)
    weight = _UNKNOWN if side.weight is None else f"{side.weight:.2f}"
    odds = in_100(side.odds).removesuffix(" in 100")
    name = str(number or "now")
    return (name, *_counts(side), odds, sag, corner, weight, *_cost(side, priced))


def _bare(length: str) -> str:
    """A length without its unit."""
    return length.rpartition(" ")[0]


def _cost(side: Side, priced: bool) -> tuple[str, ...]:
    """Sheets to buy and the cost, where some of the jobs have any."""
    if not priced:
        return ()
    if side.cost is None:
        return _UNKNOWN, _UNKNOWN
    bought, total = side.cost
    return str(bought), _UNKNOWN if total is None else f"{total:.2f}"


def _counts(side: Side) -> tuple[str, str]:
    answers = side.rehearsal.report.answers
    counts = [side.count(answer.question) for answer in answers]
    stops, looks = (sum(each.get(word, 0) for each in counts) for word in ("stop", "look"))
    return str(stops), str(looks)


def _changes(first: Side, side: Side, number: int) -> Iterator[RenderableType]:
    yield heading(f"{number}  {plain(side.name)}: what changes")
    changes = workflow.changes(first, side)
    if not changes:
        yield indented(Text("No finding comes and none goes."))
    for place, change in enumerate(changes):
        if place:
            yield ""
        yield indented(Text(change.question.words, style="bold"))
        for finding in change.goes:
            yield indented(Text(plain(f"No longer: {finding.sentence} ({finding.code})")))
        if change.comes:
            yield indented(findings(change.comes))
