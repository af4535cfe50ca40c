"""The words of a card of marks: how one batch of corners is marked out, sawn and chopped."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from dryfit.cutting.marks import HALF_MILLIMETRE, SIXTY_FOURTH, Waste
from dryfit.drafting.card import BenchCard, Grid, Strip
from dryfit.pages.names import listed, plain_text
from dryfit.units import inch_fraction, show_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.cutting.batch import MarkedBatch
    from dryfit.cutting.marks import Mark
    from dryfit.model.piece import Job

ORDER = (
    (
        "Plane the datum edges straight and mark them. Hook the rule there once, prick every "
        "mark without moving it, and square the lines over the end and both faces of the lead "
        "with a knife."
    ),
    "Run the gauges round the ends of both boards, from the end inwards.",
    (
        "Hatch the waste. Saw the lead down to the gauge line in the waste, the kerf beside the "
        "line and the line left whole."
    ),
    (
        "Saw most of the waste out, and chop to the gauge line from both faces, half way each, "
        "the chisel upright in the line last of all."
    ),
    (
        "Set the mate upright in the vice and lay the lead across its end, gauge line at the "
        "inside, datum edges flush. Knife the mate along every flank: the lead marks it, the "
        "rule no more."
    ),
    (
        "Saw the mate in its waste, beside the knife line: leave the line. Chop it as the lead. "
        "Pare to the line where it binds."
    ),
)
"""Marking, sawing and chopping in turn (common practice, no source)."""

_SIDES = {
    Waste.BEFORE: "on the datum's side",
    Waste.AFTER: "on the far side",
    Waste.NONE: "the whole",
}
_ON_THE_LINE = 1e-4
_DEEP = 14  # rows of marks in a block at the most [-]


def marks_card(batch: MarkedBatch, job: Job, cautions: tuple[str, ...]) -> BenchCard:
    """The card of one batch.

    Parameters
    ----------
    batch : MarkedBatch
        Its corners.
    job : Job
        Whose they are; lengths are said in its unit.
    cautions : tuple of str
        What can hurt someone.
    """
    first = batch.marks[0]
    corners = listed([plain_text(each.joint) for each in batch.marks])
    inches = first.grid == SIXTY_FOURTH
    step = "1/64 in" if inches else "half millimetre"
    leads = _names(each.lead for each in batch.marks)
    says = [_said(mark, inches, job.unit) for mark in first.marks]
    rows = tuple(
        (str(k), said, _SIDES[mark.waste])
        for k, (mark, said) in enumerate(zip(first.marks, says, strict=True), 1)
    )
    wood = _wood(first.marks)
    return BenchCard(
        title=f"Marks: {plain_text(job.title)}",
        about=(
            f"{corners}: {first.count} fingers and sockets, marked on {leads} from the "
            f"{batch.datum}, to the {step}."
        ),
        strip=Strip(
            f"lead: {leads}",
            f"mate: {_names(each.follow for each in batch.marks)}, knifed from the lead",
            first.whole,
            wood,
            _between(wood, first.whole),
            tuple((mark.at, said) for mark, said in zip(first.marks, says, strict=True)),
        ),
        rows=tuple(_rows(batch, job)),
        steps=ORDER,
        cautions=cautions,
        grid=Grid(("line", "from the datum", "saw"), rows, 1 + (len(rows) > _DEEP)),
    )


def _rows(batch: MarkedBatch, job: Job) -> Iterator[tuple[str, str, str]]:
    """The gauges, and how far the marks lie from the plan."""

    def say(length: float) -> str:
        return show_length(length, job.unit, 2, sixty_fourths=job.sixty_fourths)

    gauges: dict[str, list[str]] = {}
    for marks in batch.marks:
        for gauge, mate in zip(marks.gauges, (marks.follow, marks.lead), strict=True):
            gauges.setdefault(say(gauge.depth), []).append(
                f"{plain_text(gauge.panel)} for {plain_text(mate)}"
            )
    for depth, boards in gauges.items():
        yield "gauge", depth, listed(boards) if len(gauges) > 1 else "every board"
    gap = batch.marks[0].gap
    if gap > 0:
        yield "air", say(gap), "at each flank: pare it off the mate's fingers, both sides alike"
    elif gap < 0:
        yield "press", say(-gap), "at each flank: leave the mate's fingers that much fuller"
    most = max(marks.most_off for marks in batch.marks)
    yield (
        "off the plan",
        show_length(most, job.unit),
        "at the most; the mate takes it over, so the fit does not care",
    )


def _said(mark: Mark, inches: bool, unit: str) -> str:
    """A mark as the rule shows it; a whole that lies between its lines as it is."""
    grid = SIXTY_FOURTH if inches else HALF_MILLIMETRE
    if abs(mark.at / grid - round(mark.at / grid)) > _ON_THE_LINE:
        return show_length(mark.at, unit)
    return f"{inch_fraction(mark.at)} in" if inches else f"{mark.at:.1f} mm"


def _names(names: Iterator[str]) -> str:
    return listed(list(dict.fromkeys(map(plain_text, names))))


def _wood(marks: tuple[Mark, ...]) -> tuple[tuple[float, float], ...]:
    """Where the lead keeps its wood."""
    lines = [mark for mark in marks if mark.waste is not Waste.NONE]
    whole = marks[-1].at
    if not lines:
        return ((0.0, whole),)
    ends = [(0.0, Waste.BEFORE)] if lines[0].waste is Waste.AFTER else []
    ends += [(mark.at, mark.waste) for mark in lines]
    ends += [(whole, Waste.AFTER)] if lines[-1].waste is Waste.BEFORE else []
    return tuple((low, high) for (low, _), (high, _) in zip(ends[::2], ends[1::2], strict=True))


def _between(
    wood: tuple[tuple[float, float], ...], whole: float
) -> tuple[tuple[float, float], ...]:
    """What is left between, for the mate."""
    ends = (0.0, *(end for pair in wood for end in pair), whole)
    gaps = list(pairwise(ends))[::2]
    return tuple((low, high) for low, high in gaps if high > low)
