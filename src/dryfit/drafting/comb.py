"""A fit comb as pages: the comb with its numbers, and the card to grade it on."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.drafting.parts import MARGIN, part_page
from dryfit.pages.hand import PAPER, WOOD
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.model.comb import Comb, KerfStrip
    from dryfit.parts.part import Part

_NUMBER, _GAP = 3.5, 2.0
_A4 = (210.0, 297.0)
_EDGE = 18.0
_TEXT, _TITLE, _LINE = 2.4, 5.0, 5.2
_LETTERS = 92  # on a line of the card
_COLUMNS = (0.0, 18.0, 50.0, 80.0, 110.0, 140.0, 174.0)
_HEADS = ("socket", "drawn gap", "loose", "by hand", "mallet", "no")
_ROW, _BOX = 8.0, 4.0

GRADING = (
    "Begin with the loosest socket. Try the tongue dry, and square to the comb.",
    "Loose: it rattles or falls out.",
    "By hand: it goes home by hand and stays.",
    "Mallet: it goes home with light taps.",
    "No: light taps do not seat it; never force it. A socket you did not try gets no result.",
)
"""How to grade, a line each (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Card:
    """What is printed on the card beside the table.

    Parameters
    ----------
    title, about : str
        What the comb is for, and of what and by what it is cut.
    command : str
        What is typed when it has been graded.
    notes, cautions : tuple of str
        What else there is to do, and where the work can hurt someone.
    """

    title: str
    about: str
    command: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


def comb_page(part: Part, comb: Comb) -> Page:
    """The comb at full size, the number and the gap of each socket engraved below it.

    Parameters
    ----------
    part : Part
        The comb as a part.
    comb : Comb
        Its measures.
    """
    page = part_page(part)
    gaps = ", ".join(f"{k} {gap:+.2f}" for k, gap in enumerate(comb.gaps, 1))
    return replace(
        page,
        texts=tuple(_marks(comb, part.name)),
        description=f"{page.description} Sockets and their flank gaps in mm: {gaps}.",
    )


def _marks(comb: Comb, owner: str) -> Iterator[Text]:
    """Numbers and gaps, clear of any relief in the bottom of a socket."""
    floor = comb.blank.height - comb.blank.stock.thickness
    top = floor - comb.blank.cutter.radius - 1 - _NUMBER
    for number, ((low, high), gap) in enumerate(zip(comb.sockets, comb.gaps, strict=True), 1):
        x = (low + high) / 2
        yield Text(Role.MARK, x, top, _NUMBER, str(number), Anchor.MIDDLE, owner=owner)
        yield Text(Role.MARK, x, top - 1.5 - _GAP, _GAP, f"{gap:+.2f}", Anchor.MIDDLE, owner=owner)


def kerf_page(strip: KerfStrip) -> Page:
    """The kerf strip: its cuts between the pieces, then its outline, all on the line.

    Parameters
    ----------
    strip : KerfStrip
        Its measures.
    """
    length, height = strip.length, strip.height
    cuts = [
        Path.line((k * strip.piece, 0.0), (k * strip.piece, height)) for k in range(1, strip.pieces)
    ]
    edge = Path.polygon((0.0, 0.0), (length, 0.0), (length, height), (0.0, height))
    said = f"Kerf strip, {length:g} by {height:g} mm, {strip.pieces} pieces. Cut on the line."
    return Page(
        title="kerf strip",
        description=said,
        width=length + 2 * MARGIN,
        height=height + 2 * MARGIN,
        x=-MARGIN,
        y=-MARGIN,
        strokes=(
            *(Stroke(Role.CUT_INSIDE, path, "kerf strip") for path in cuts),
            Stroke(Role.CUT_OUTSIDE, edge, "kerf strip"),
        ),
    )


def card_page(card: Card, gaps: tuple[float, ...], comb: Page | None) -> Page:
    """The card: what to do, the table to tick, and what to type afterwards.

    Parameters
    ----------
    card : Card
        Its words.
    gaps : tuple of float
        Drawn flank gap of every socket, none where there is no comb. [mm]
    comb : Page, optional
        The comb's page, shown over the table.
    """
    width, height = _A4
    y = height - _EDGE - _TITLE
    texts = [Text(Role.LABEL, _EDGE, y, _TITLE, card.title)]
    y = _sentences((card.about,), y - 8, texts)
    strokes: list[Stroke] = []
    if comb is not None:
        y = _picture(comb, y, strokes, texts)
    if gaps:
        # Of one socket there is none to begin with.
        y = _sentences(GRADING[len(gaps) == 1 :], y - 4, texts)
        y = _table(gaps, y - 2, strokes, texts)
    y = _sentences(card.notes, y - 7, texts)
    y = _sentences(("Then type, with what you ticked in place of GRADE:",), y - 4, texts)
    for line in _shell_lines(card.command):
        texts.append(Text(Role.LABEL, _EDGE + 4, y, _TEXT, line))
        y -= _LINE
    strokes.append(Stroke(Role.DIMENSION, Path.line((_EDGE, y), (width - _EDGE, y))))
    _sentences(card.cautions, y - 6, texts, Role.DIMENSION)
    spoken = " ".join((card.about, *card.notes, card.command))
    return Page(
        title=card.title,
        width=width,
        height=height,
        description=spoken,
        paper=PAPER,
        fills=tuple(Fill(Role.FACE, (s.path,), WOOD[0], s.owner) for s in strokes if s.owner),
        strokes=tuple(strokes),
        texts=tuple(texts),
    )


def _sentences(
    said: tuple[str, ...], y: float, texts: list[Text], role: Role = Role.LABEL
) -> float:
    """Sentences from y down, each on lines of its own; where the next may stand. [mm]"""
    for sentence in said:
        for line in textwrap.wrap(sentence, _LETTERS):
            texts.append(Text(role, _EDGE, y, _TEXT, line))
            y -= _LINE
    return y


def _shell_lines(command: str) -> list[str]:
    """A command on several lines that a shell takes as one."""
    # An option stays with its value: a break inside quotes would change the name.
    words = command.replace(" --", "\n--").split("\n")
    lines: list[str] = []
    for word in words:
        if lines and len(lines[-1]) + len(word) < _LETTERS - 8:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return [f"{line} \\" for line in lines[:-1]] + lines[-1:]


def _picture(comb: Page, y: float, strokes: list[Stroke], texts: list[Text]) -> float:
    """The comb at full size where the card is wide enough, else smaller."""
    room = _A4[0] - 2 * _EDGE
    scale = min(1.0, room / (comb.width - 2 * MARGIN))
    left, top = _EDGE - scale * (comb.x + MARGIN), y - scale * (comb.y + comb.height - MARGIN)
    for stroke in comb.strokes:
        vertices = tuple((left + scale * u, top + scale * v, b) for u, v, b in stroke.path.vertices)
        strokes.append(Stroke(Role.EDGE, Path(vertices), stroke.owner))
    texts += [
        replace(
            text, x=left + scale * text.x, y=top + scale * text.y, height=scale * text.height,
            role=Role.LABEL,
        )
        for text in comb.texts
    ]  # fmt: skip
    return y - scale * (comb.height - 2 * MARGIN) - 6


def _table(gaps: tuple[float, ...], y: float, strokes: list[Stroke], texts: list[Text]) -> float:
    """A row a socket, a box a grade."""
    columns = [_EDGE + column for column in _COLUMNS]
    for x, head in zip(columns, _HEADS, strict=False):
        texts.append(Text(Role.DIMENSION, x, y - _TEXT, _TEXT, head))
    y -= _TEXT + 2.5
    for number, gap in enumerate(gaps, 1):
        strokes.append(Stroke(Role.DIMENSION, Path.line((columns[0], y), (columns[-1], y))))
        base = y - (_ROW + _TEXT) / 2
        texts.append(Text(Role.LABEL, columns[0], base, _TEXT, str(number)))
        texts.append(Text(Role.LABEL, columns[1], base, _TEXT, f"{gap:+.2f} mm"))
        low = y - (_ROW + _BOX) / 2
        for x in columns[2:-1]:
            corners = ((x, low), (x + _BOX, low), (x + _BOX, low + _BOX), (x, low + _BOX))
            strokes.append(Stroke(Role.EDGE, Path.polygon(*corners)))
        y -= _ROW
    strokes.append(Stroke(Role.DIMENSION, Path.line((columns[0], y), (columns[-1], y))))
    return y
