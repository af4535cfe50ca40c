"""A rehearsal as a page of text: sentences first, then tables without lines."""

from __future__ import annotations

from collections import defaultdict
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dryfit import workflow
from dryfit.cli.say import Wide, listed, plain
from dryfit.findings import Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence

    from rich.console import RenderableType

    from dryfit.findings import Answer, Finding
    from dryfit.workflow import Rehearsal

T = TypeVar("T")

_STYLES = MappingProxyType(
    {Severity.STOP: "bold red", Severity.LOOK: "bold yellow", Severity.NOTE: "bold"}
)
_WORDS = MappingProxyType({Severity.STOP: "STOP", Severity.LOOK: "look", Severity.NOTE: "note"})
_ROUTES = MappingProxyType(
    {
        "router": "Cut on the router with a {} cutter{}.",
        "laser": "Cut on the laser with a kerf of {}{}.",
        "saw": "Cut on the saw with a blade set of {}{}.",
        "hand": "Sawn and chopped by hand.",
    }
)


def whole(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Everything that `check` says."""
    yield from head(rehearsal)
    yield from answers(rehearsal)
    yield from joints(rehearsal)
    yield from parts(rehearsal)
    yield from cautions(rehearsal)


def head(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Name, form, how many, and what cuts it."""
    job, count = rehearsal.job, len(rehearsal.piece.panels)
    times = f", to be made {job.times} times" if job.times > 1 else ""
    relief = "" if job.cutter.relief == "none" else f" and {job.cutter.relief} relief"
    cut = _ROUTES[job.cutter.route].format(rehearsal.subject.tool, relief)
    yield Text(plain(job.title), style="bold")
    what = "piece" if job.form == "panels" else job.form
    yield Text(f"A {what} of {count} parts{times}. {cut}")


def answers(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Each question that is answered, its verdict and its findings."""
    for answer in rehearsal.report.answers:
        yield from _answer(answer)


def _answer(answer: Answer) -> Iterator[RenderableType]:
    yield _heading(answer.question.words)
    yield _in(Text(plain(answer.verdict)))
    if answer.findings:
        yield ""
        yield _in(findings(answer.findings))


def findings(found: Iterable[Finding]) -> Table:
    """Findings one under the other: the severity's word, the sentence and the mend."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(no_wrap=True)
    grid.add_column()
    for index, finding in enumerate(found):
        if index:
            grid.add_row()
        grid.add_row(
            Text(_WORDS[finding.severity], style=_STYLES[finding.severity]),
            Text(plain(finding.sentence)),
        )
        mend = f"Mend: {finding.mend.sentence} " if finding.mend else ""
        grid.add_row("", Text(plain(mend)) + Text(f"({finding.code})", style="dim"))
    return grid


def joints(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """The joints, those with the same plan in one row; only fingers and tenons are divided."""
    say, rows = rehearsal.subject.say, []
    for same in _alike(
        rehearsal.joints,
        lambda joint: (
            joint.kind,
            joint.id.startswith(f"{joint.lead}+"),
            joint.plan.count,
            round(joint.plan.width, 6),
            round(joint.flank_gap, 6),
        ),
    ):
        names, kind = listed([plain(joint.id) for joint in same]), same[0].kind.value
        divided = (
            listed(_once(plain(joint.lead) for joint in same)),
            str(same[0].plan.count),
            say(same[0].plan.width),
            " + ".join(str(count) for count in same[0].fingers.values()),
        )
        rows.append((names, kind, *(divided if same[0].is_divided else ("", "", "", ""))))
    yield _heading("Joints")
    heads = ("meeting", "joint", "leads", "divisions", "width", "fingers")
    yield Wide(_in(table(heads, rows, (3, 4, 5))))


def parts(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """The parts, those of the same stock and size in one row."""
    say, unit, rows = rehearsal.subject.say, rehearsal.job.unit, []
    sized = [(part, *_size(part.profile.bounds)) for part in rehearsal.parts]
    for same in _alike(
        sized, lambda item: (item[0].panel.stock, round(item[0].thickness, 6), *item[1:])
    ):
        part, *sides = same[0]
        names = listed([plain(item[0].name) for item in same])
        lengths = [say(mm).replace(f" {unit}", "", 1) for mm in (part.thickness, *sides)]
        rows.append((names, plain(part.panel.stock.name), *lengths))
    yield _heading("Parts, as they are cut")
    heads = (f"{what} [{unit}]" for what in ("thickness", "length", "width"))
    yield Wide(_in(table(("part", "stock", *heads), rows, (2, 3, 4))))


def cautions(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """What to mind at the machine."""
    yield _heading("Before you cut")
    for caution in workflow.cautions(rehearsal):
        yield _in(Text(caution))


def _heading(words: str) -> RenderableType:
    return Padding(Text(words, style="bold"), (1, 0, 0, 0))


def _in(block: RenderableType) -> RenderableType:
    return Padding(block, (0, 0, 0, 2))


def _size(bounds: tuple[float, float, float, float]) -> tuple[float, float]:
    """The longer and the shorter side of a rectangle. [mm]"""
    x0, y0, x1, y1 = bounds
    sides = sorted((round(x1 - x0, 6), round(y1 - y0, 6)))
    return sides[1], sides[0]


def _once(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _alike(items: Iterable[T], key: Callable[[T], Hashable]) -> Iterator[list[T]]:
    """Items with the same key together, in the order in which the first of each came."""
    groups: dict[Hashable, list[T]] = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    yield from groups.values()


def table(
    head: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()
) -> RenderableType:
    """Rows under their heads, without lines; the columns in `right` hold numbers."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="dim")
    for index, words in enumerate(head):
        numbers = index in right
        table.add_column(
            Text(words), justify="right" if numbers else "left", no_wrap=numbers, overflow="fold"
        )
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    return table
