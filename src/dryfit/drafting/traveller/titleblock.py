"""Frame and title block of a sheet.

Its fields are those that ISO 7200:2004 demands (owner, number, date of issue, sheet, title,
approval, creator, kind of document) and scale, paper and projection beside them; it stands at the
foot, at most 180 mm wide, inside the frame of ISO 5457.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.pages.letters import shortened, shown
from dryfit.pages.page import Page, Path, Role, Stroke, Text, Voice
from dryfit.pages.paper import FRAME, NARROW, WIDE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.drafting.traveller.flow import Draft
    from dryfit.pages.paper import Paper

HEIGHT = 22.0
"""Height of the block. [mm]"""

_MOST_WIDE = 180.0
_LABEL, _VALUE = 1.8, 2.5
_MARK = 5.0  # how long a centring mark is
_ROWS = (
    (("title", 0.44), ("kind of document", 0.30), ("number", 0.14), ("sheet", 0.12)),
    (
        ("owner", 0.18), ("made by", 0.16), ("approved by", 0.16), ("date", 0.16),
        ("scale", 0.12), ("paper", 0.10), ("projection", 0.12),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Block:
    """What stands in every title block; what is empty is filled in with a pen."""

    title: str
    number: str
    creator: str
    date: str = ""
    unit: str = "mm"


def framed(drafts: Sequence[Draft], block: Block, paper: Paper) -> tuple[Page, ...]:
    """The sheets as pages, each with its frame, its title block and its number."""
    return tuple(
        _framed(draft, block, paper, f"{number} / {len(drafts)}")
        for number, draft in enumerate(drafts, 1)
    )


def _framed(draft: Draft, block: Block, paper: Paper, sheet: str) -> Page:
    values = {
        "title": block.title,
        "kind of document": draft.kind,
        "number": block.number,
        "sheet": sheet,
        "made by": block.creator,
        "date": block.date,
        "scale": draft.scale or "-",
        "paper": paper.name,
    }
    strokes = list(_frame(paper))
    texts: list[Text] = []
    x1, y0 = paper.frame[2], paper.frame[1]
    wide = min(_MOST_WIDE, x1 - paper.frame[0])
    x0, half = x1 - wide, HEIGHT / 2
    strokes.append(_line(WIDE, (x0, y0), (x0, y0 + HEIGHT), (x1, y0 + HEIGHT)))
    strokes.append(_line(NARROW, (x0, y0 + half), (x1, y0 + half)))
    for row, low in zip(_ROWS, (y0 + half, y0), strict=True):
        x = x0
        for name, share in row:
            if x > x0:
                strokes.append(_line(NARROW, (x, low), (x, low + half)))
            texts += _field(name, values.get(name, ""), x, low, wide * share)
            if name == "projection":
                strokes += _symbol(x + wide * share / 2, low + 3.6, first=paper.first_angle)
            x += wide * share
    return Page(
        title=f"{block.title}: {draft.kind}",
        description=draft.description,
        width=paper.width,
        height=paper.height,
        fills=tuple(draft.fills),
        strokes=(*draft.strokes, *strokes),
        texts=(*draft.texts, *texts),
    )


def _field(name: str, value: str, x: float, low: float, wide: float) -> Iterator[Text]:
    """A field: what it is, small, over what stands in it."""
    top = low + HEIGHT / 2 - 1.3 - _LABEL
    yield Text(Role.DIMENSION, x + 1.5, top, _LABEL, name)
    voice = Voice.STRONG if name == "title" else Voice.TECHNICAL
    said = shortened(shown(value), wide - 3.0, _VALUE, voice)
    if said:
        yield Text(Role.LABEL, x + 1.5, low + 2.2, _VALUE, said, voice=voice)


def _frame(paper: Paper) -> Iterator[Stroke]:
    """The frame and the four centring marks."""
    x0, y0, x1, y1 = paper.frame
    border = Path.polygon((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    yield Stroke(Role.EDGE, border, weight=FRAME)
    x, y = paper.width / 2, paper.height / 2
    for begin, end in (
        ((x, y1 + _MARK), (x, y1)), ((x, y0 - _MARK), (x, y0)),
        ((x0 - _MARK, y), (x0, y)), ((x1 + _MARK, y), (x1, y)),
    ):  # fmt: skip
        yield _line(FRAME, begin, end)


def _line(weight: float, *points: tuple[float, float]) -> Stroke:
    return Stroke(Role.EDGE, Path.line(*points), weight=weight)


def _symbol(x: float, y: float, *, first: bool) -> Iterator[Stroke]:
    """The sign of projection: a cone cut short, from the side and from its narrow end on the left.

    In first angle that view stands to the right of the cone, in third angle to its left.
    """
    small, large, long = 1.0, 2.0, 5.0
    cone, round_ = (x - 4.2, x + 4.2) if first else (x + 0.8, x - 4.2)
    for radius in (small, large):
        circle = Path(((round_ - radius, y, 1.0), (round_ + radius, y, 1.0)))
        yield Stroke(Role.EDGE, circle, weight=NARROW)
    left = cone - (0.8 if first else 0.0)
    yield Stroke(
        Role.EDGE,
        Path.polygon(
            (left, y - small), (left + long, y - large), (left + long, y + large), (left, y + small)
        ),
        weight=NARROW,
    )
    dash = (1.2, 0.4, 0.2, 0.4)
    for low, high in (
        (left - 0.8, left + long + 0.8),
        (round_ - large - 0.8, round_ + large + 0.8),
    ):
        yield Stroke(Role.DIMENSION, Path.line((low, y), (high, y)), dashes=dash)
