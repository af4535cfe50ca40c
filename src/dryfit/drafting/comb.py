"""A fit comb on paper: its sockets numbered, a kerf strip, and the card that goes with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.drafting.parts import MARGIN, part_page
from dryfit.model.cutter import Route
from dryfit.pages.hand import PAPER
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Page, Path, Role, Stroke, Text
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.model.comb import Comb
    from dryfit.parts.part import Part

STRIPS = 10
"""Strips of a kerf strip. [-]"""

STRIP = (10.0, 40.0)
"""Width and length of one of them. [mm]"""

GRADES = (
    ("loose", "falls through, or rattles"),
    ("by hand", "goes in and out by the thumbs"),
    ("mallet", "goes by light taps"),
    ("no", "does not go, or only by force"),
)
"""What each grade means, the loosest first."""

_SMALL, _TALL = 2.2, 3.0
_WIDTH = 190.0
_ROW, _TOP, _SIDE = 7.0, 30.0, 12.0
_COLUMNS = (12.0, 30.0, 62.0, 90.0, 118.0, 146.0)
_LINE = 5.2
_WRAP = 78


def comb_page(comb: Comb, part: Part, unit: str, *, widths: bool = False) -> Page:
    """The comb at full size, a number and the gap under each socket.

    Parameters
    ----------
    comb : Comb
        Its sizes.
    part : Part
        The comb as a part.
    unit : str
        The unit to print lengths in.
    widths : bool
        Whether the whole width of the socket is lettered instead of the gap.
    """
    page = part_page(part, unit)
    level = comb.height - comb.stock.thickness
    letter = min(_SMALL, (comb.width + comb.web) / 5)
    marks = []
    for number, (start, gap) in enumerate(zip(comb.starts, comb.gaps, strict=True), start=1):
        middle = start + comb.width / 2
        said = comb.width + 2 * gap if widths else gap
        for row, words in enumerate((str(number), f"{said:.2f}")):
            y = level - 2.5 - (row + 1) * 1.5 * letter
            marks.append(Text(Role.LABEL, middle, y, letter, words, Anchor.MIDDLE, owner=part.name))
    # The part's own lettering keeps below the numbers.
    own = [replace(text, x=comb.length / 2, y=4.0 + 3.2 * (2 - k), height=_SMALL, angle=0.0)
           for k, text in enumerate(page.texts[:3])]  # fmt: skip
    return replace(page, texts=(*own, *marks))


def kerf_page(unit: str) -> Page:
    """Strips side by side, each line cut once: what is missing from them is the kerf."""
    width, length = STRIPS * STRIP[0], STRIP[1]
    lines = [
        Stroke(Role.CUT_INSIDE, Path.line((k * STRIP[0], 0.0), (k * STRIP[0], length)))
        for k in range(1, STRIPS)
    ]
    frame = Path.polygon((0.0, 0.0), (width, 0.0), (width, length), (0.0, length))
    return Page(
        title="kerf strip",
        description=(
            f"{STRIPS} strips of {show_length(STRIP[0], unit)} by {show_length(length, unit)}, cut "
            "side by side along single lines."
        ),
        width=width + 2 * MARGIN,
        height=length + 2 * MARGIN,
        x=-MARGIN,
        y=-MARGIN,
        strokes=(*lines, Stroke(Role.CUT_OUTSIDE, frame)),
    )


@dataclass(frozen=True, slots=True)
class Card:
    """What a card says.

    Parameters
    ----------
    title, subject : str
        What it is, and of which cutter and stock.
    rows : tuple of pair of str
        What each line of the table is about: a number and a gap.
    steps : tuple of str
        What to do, sentence by sentence.
    command : str
        What to type afterwards.
    cautions : tuple of str
        What can hurt.
    """

    title: str
    subject: str
    rows: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]
    command: str
    cautions: tuple[str, ...]


def card_page(card: Card) -> Page:
    """The card: a table to tick, what the grades mean, what to do and what to mind."""
    blocks = [f"{name}: {meaning}" for name, meaning in GRADES]
    below = [
        *(("Grades", block) if k == 0 else ("", block) for k, block in enumerate(blocks)),
        *(("Do", step) if k == 0 else ("", step) for k, step in enumerate(card.steps)),
        ("Then type", card.command),
        *(("Mind", each) if k == 0 else ("", each) for k, each in enumerate(card.cautions)),
    ]
    lines = [(head if k == 0 else "", words) for head, text in below
             for k, words in enumerate(_wrapped(text))]  # fmt: skip
    table = _ROW * (len(card.rows) + 1)
    height = _TOP + table + 6.0 + _LINE * len(lines) + 12.0
    return Page(
        title=card.title,
        description=f"{card.title}. {card.subject}. {' '.join(card.steps)}",
        width=_WIDTH,
        height=height,
        paper=PAPER,
        strokes=tuple(_boxes(card, height)),
        texts=(*_table(card, height), *_below(lines, height - _TOP - table - 10.0)),
    )


def _boxes(card: Card, height: float) -> Iterator[Stroke]:
    """A rule under the head and a box for each grade of each line."""
    head = height - _TOP - _ROW + 2.0
    yield Stroke(Role.DIMENSION, Path.line((_SIDE, head), (_WIDTH - _SIDE, head)))
    for row in range(len(card.rows)):
        y = height - _TOP - (row + 2) * _ROW + 3.2
        for x in _COLUMNS[2:]:
            box = Path.polygon((x, y), (x + 3.6, y), (x + 3.6, y + 3.6), (x, y + 3.6))
            yield Stroke(Role.EDGE, box)


def _table(card: Card, height: float) -> Iterator[Text]:
    yield Text(Role.LABEL, _SIDE, height - 14.0, 4.2, plain_text(card.title))
    yield Text(Role.DIMENSION, _SIDE, height - 21.0, _TALL, plain_text(card.subject))
    heads = ("socket", "air at a flank", *(name for name, _ in GRADES))
    for x, words in zip(_COLUMNS, heads, strict=True):
        yield Text(Role.DIMENSION, x, height - _TOP - 3.5, 2.5, words)
    for row, (number, gap) in enumerate(card.rows):
        y = height - _TOP - (row + 2) * _ROW + 3.6
        yield Text(Role.LABEL, _COLUMNS[0], y, _TALL, number)
        yield Text(Role.LABEL, _COLUMNS[1], y, _TALL, gap)


def _below(lines: Sequence[tuple[str, str]], top: float) -> Iterator[Text]:
    for row, (head, words) in enumerate(lines):
        y = top - row * _LINE
        yield Text(Role.DIMENSION, _SIDE, y, 2.5, head)
        yield Text(Role.LABEL, _SIDE + 22.0, y, 2.5, words)


def _wrapped(text: str) -> list[str]:
    """A sentence in lines that fit on the card."""
    lines, line = [], ""
    for word in text.split():
        if line and len(line) + 1 + len(word) > _WRAP:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def kerf_steps(unit: str) -> tuple[str, ...]:
    """How a kerf strip is read."""
    total = show_length(STRIPS * STRIP[0], unit)
    return (
        (
            f"Push the {STRIPS} kerf strips together and measure them across, once on the upper "
            f"and once on the lower face: kerf = ({total} - measured) / {STRIPS}. The two differ "
            "by the taper."
        ),
    )


def steps_of(route: Route, *, own_tongues: bool) -> tuple[str, ...]:
    """What to do with a comb, by the way it is cut."""
    if route is Route.SAW:
        return (
            (
                "Cut a trial pair from two offcuts on the jig, a few fingers each, with the blade "
                "set built up to leave each of the gaps above in turn."
            ),
            "Put the two together dry and tick how they go; the pin stays where it is.",
        )
    if route is Route.HAND:
        return (
            (
                "Saw and chop one socket for each line, marked that much wider at both flanks "
                "than the finger it is tried on; knife every line."
            ),
            "Try the finger in every socket dry and tick how it goes.",
        )
    mate = "its own tongue" if own_tongues else "the one tongue"
    return (
        (
            "Cut comb and tongue from the stock of the job, with the settings of the job, and "
            "clean off fuzz and char as you do on the job."
        ),
        f"Push {mate} square into every socket, as a finger goes into its mate, and tick how.",
    )
