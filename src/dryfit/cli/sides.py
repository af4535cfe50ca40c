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


def whole(sides: Sequence[Side]) -> Iterator[RenderableType]:
    """Everything that `compare` says."""
    yield Text(plain(sides[0].rehearsal.job.title), style="bold")
    yield from _figures(sides)
    for number, side in enumerate(sides[1:], start=1):
        yield from _changes(sides[0], side, number)


def _figures(sides: Sequence[Side]) -> Iterator[RenderableType]:
    rows = []
    priced = any(side.cost is not None for side in sides)
    yield heading("Compared with the job as it is")
    for number, side in enumerate(sides[1:], start=1):
        yield indented(Text(f"{number}  {plain(side.name)}"))
    for number, side in enumerate(sides):
        say = side.rehearsal.subject.say
        sag = _UNKNOWN if side.sag is None else f"{say(side.sag[1])} of {say(side.sag[2])}"
        corner = _UNKNOWN
        if side.corner is not None:
            corner = " to ".join(f"{value:g}" for value in side.corner)
        weight = _UNKNOWN if side.weight is None else f"{side.weight:.2f}"
        name, odds = str(number or "now"), in_100(side.odds).removesuffix(" in 100")
        rows.append((name, *_counts(side), odds, sag, corner, weight, *_cost(side, priced)))
    heads = ["", "stop", "look", "odds in 100", "sag", "corner [N·m]", "weight [kg]"]
    heads += ["sheets", "cost"] if priced else []
    yield heading("Side by side")
    yield Wide(indented(table(heads, rows, tuple(range(1, len(heads))))))
    yield indented(
        Text("Sag: of the panel that goes farthest, and what it may. Corner: bending that the "
             "weakest one bears, an order of magnitude.", style="dim")
    )  # fmt: skip


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
