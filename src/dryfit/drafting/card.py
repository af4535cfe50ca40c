"""A card for the bench, on A5 or, where it does not fit, on A4: a strip, rows, steps, cautions.

Vocabulary
----------
strip
    A corner at scale: the lead over its mate, the lead hatched, running dimensions beneath.
sketch
    The jig seen from where the maker stands, at full size where there is room.
row
    What, how much, and what for.
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil, pi

from dryfit.pages.hand import DOTTED, HIDDEN, PAPER, WOOD
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text

_A5, _A4 = (148.0, 210.0), (210.0, 297.0)
_TEXT, _SMALL, _TITLE, _LINE = 2.3, 1.9, 4.4, 4.6
_LETTER = 1.8  # a letter of running text, on the wide side [mm]
_EDGE = 13.0
_BAR = 7.0  # height of a board in the strip [mm]
_HATCH = 2.2
_CROWDED = 3.2  # running dimensions nearer than this are thinned out [mm]
_HANG = 4.2  # what follows the first line of a step is set in [mm]
_LOWEST = 6.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A corner at scale.

    Parameters
    ----------
    lead, follow : str
        What to call the two boards.
    whole : float
        Length of the corner. [mm]
    lead_wood, follow_wood : tuple of pair of float
        Where each board keeps its wood, from the datum edge. [mm]
    ticks : tuple of (float, str)
        Where a running dimension stands [mm], and what it says.
    """

    lead: str
    follow: str
    whole: float
    lead_wood: tuple[tuple[float, float], ...]
    follow_wood: tuple[tuple[float, float], ...]
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Sketch:
    """The jig: pin, blade and the first board against the pin.

    Parameters
    ----------
    pin, reach, blade, depth : float
        Thickness of the pin, from its face to the near side of the blade, width of the cut, and
        height of the blade. [mm]
    words : tuple of str
        What is written under pin, reach and blade.
    """

    pin: float
    reach: float
    blade: float
    depth: float
    words: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Grid:
    """Short rows under a head, set in blocks side by side."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    blocks: int = 2


@dataclass(frozen=True, slots=True)
class BenchCard:
    """What a card says.

    Parameters
    ----------
    title, about : str
        What it is for, and of what and by what it is cut.
    strip : Strip
        The corner.
    rows : tuple of (str, str, str)
        What, how much, what for.
    steps, cautions : tuple of str
        What to do in turn, and what can hurt someone.
    sketch : Sketch, optional
        The jig.
    grid : Grid, optional
        The marks.
    """

    title: str
    about: str
    strip: Strip
    rows: tuple[tuple[str, str, str], ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    sketch: Sketch | None = None
    grid: Grid | None = None


def card_page(card: BenchCard) -> Page:
    """The card as a page: A5 where everything fits, else A4, longer if need be."""
    sheet = _drawn(card, _A5)
    size = _A5
    if sheet.y < _LOWEST - _A5[1]:
        sheet, size = _drawn(card, _A4), _A4
    width, height = size[0], max(size[1], ceil(_LOWEST - sheet.y))
    spoken = " ".join(
        (
            card.about,
            *(f"{what}: {much}. {why}".strip() for what, much, why in card.rows),
            *((": ".join(card.grid.heads), *map(" ".join, card.grid.rows)) if card.grid else ()),
            *card.steps,
            *card.cautions,
        )
    )
    return Page(
        title=card.title,
        description=spoken,
        width=width,
        height=height,
        y=-height,
        paper=PAPER,
        fills=tuple(sheet.fills),
        strokes=tuple(sheet.strokes),
        texts=tuple(sheet.texts),
    )


def _drawn(card: BenchCard, size: tuple[float, float]) -> _Sheet:
    sheet = _Sheet(size[0])
    sheet.text(_EDGE, card.title, height=_TITLE, down=_TITLE)
    sheet.y -= 4.0
    sheet.sentences((card.about,))
    sheet.strip(card.strip)
    if card.sketch is not None:
        sheet.sketch(card.sketch)
    if card.grid is not None:
        sheet.grid(card.grid)
    sheet.rows(card.rows)
    sheet.y -= 1.5
    sheet.sentences(tuple(f"{k}. {each}" for k, each in enumerate(card.steps, 1)), hang=_HANG)
    sheet.rule()
    sheet.sentences(card.cautions)
    return sheet


@dataclass
class _Sheet:
    """A sheet that is filled from the top, y = 0, downwards. [mm]"""

    width: float
    y: float = -_EDGE
    fills: list[Fill] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    @property
    def room(self) -> float:
        """Between the margins. [mm]"""
        return self.width - 2 * _EDGE

    def text(
        self, x: float, content: str, *, height: float = _TEXT, down: float = 0.0,
        role: Role = Role.LABEL, anchor: Anchor = Anchor.START,
    ) -> None:  # fmt: skip
        """A line of text, its baseline `down` below the present place."""
        self.y -= down
        self.texts.append(Text(role, x, self.y, height, content, anchor))

    def sentences(self, said: tuple[str, ...], hang: float = 0.0) -> None:
        """Sentences, each on lines of its own, what follows the first line hung in."""
        letters = int((self.room - hang) / _LETTER)
        for sentence in said:
            for number, line in enumerate(textwrap.wrap(sentence, letters)):
                self.text(_EDGE + (hang if number else 0.0), line, down=_LINE)

    def rule(self) -> None:
        """A line across."""
        self.y -= 4.0
        self._line((_EDGE, self.y), (self.width - _EDGE, self.y), Role.DIMENSION)
        self.y -= 1.0

    def rows(self, rows: tuple[tuple[str, str, str], ...]) -> None:
        """What, how much, what for, over a line each; what for is wrapped."""
        at, why = _EDGE + 0.24 * self.room, _EDGE + 0.42 * self.room
        letters = int((self.width - _EDGE - why) / (_LETTER * _SMALL / _TEXT))
        self.y -= 2.0
        for what, much, for_what in rows:
            self._line((_EDGE, self.y - 1.3), (self.width - _EDGE, self.y - 1.3), Role.DIMENSION)
            self.text(_EDGE, what, down=_LINE)
            # A long value takes the place of what it is for, which then stands beneath.
            values = textwrap.wrap(much, int((self.width - _EDGE - at) / _LETTER)) or [""]
            top, lines = self.y, textwrap.wrap(for_what, letters)
            for number, value in enumerate(values):
                self.texts.append(Text(Role.LABEL, at, top - number * _LINE, _TEXT, value))
            long = len(values) > 1 or len(much) * _LETTER > why - at - 2
            below = len(values) if long else 0
            for number, line in enumerate(lines, below):
                self.texts.append(
                    Text(Role.DIMENSION, why, top - number * 0.85 * _LINE, _SMALL, line)
                )
            self.y = top - (max(len(values), below + len(lines), 1) - 1) * _LINE
        self.y -= 1.3

    def grid(self, grid: Grid) -> None:
        """Short rows in blocks side by side, read down each block in turn."""
        deep = ceil(len(grid.rows) / grid.blocks)
        wide = self.room / grid.blocks
        columns = [wide * share for share in (0.0, 0.12, 0.45)]
        self.y -= 2.0
        top = self.y - _LINE
        for block in range(grid.blocks):
            some = grid.rows[block * deep : (block + 1) * deep]
            left = _EDGE + block * wide
            for number, cells in enumerate((grid.heads, *some) if some else ()):
                role = Role.LABEL if number else Role.DIMENSION
                for column, cell in zip(columns, cells, strict=True):
                    place = top - number * _LINE
                    self.texts.append(Text(role, left + column, place, _TEXT, cell))
        self.y = top - deep * _LINE

    def strip(self, strip: Strip) -> None:
        """The lead over its mate, and running dimensions beneath."""
        scale = self.room / strip.whole
        self.y -= 4.0
        for name, wood, hatched in (
            (strip.lead, strip.lead_wood, True), (strip.follow, strip.follow_wood, False),
        ):  # fmt: skip
            self.text(_EDGE, name, height=_SMALL, down=_SMALL, role=Role.DIMENSION)
            self.y -= 1.5 + _BAR
            for low, high in wood:
                self._board((_EDGE + low * scale, _EDGE + high * scale), hatched=hatched)
            self.y -= 2.5
        self._ticks([(_EDGE + place * scale, said) for place, said in strip.ticks])

    def _board(self, ends: tuple[float, float], *, hatched: bool) -> None:
        left, right = ends
        low, high = self.y, self.y + _BAR
        box = Path.polygon((left, low), (right, low), (right, high), (left, high))
        self.fills.append(Fill(Role.FACE, (box,), WOOD[1] if hatched else WOOD[0]))
        self.strokes.append(Stroke(Role.EDGE, box))
        if not hatched:
            return
        # Lines of x + y = c, cut off at the box.
        c = left + low + _HATCH
        while c < right + high:
            begin, end = max(left, c - high), min(right, c - low)
            self._line((begin, c - begin), (end, c - end), Role.DIMENSION)
            c += _HATCH

    def _ticks(self, ticks: list[tuple[float, str]]) -> None:
        """Running dimensions, upright, thinned out where they would crowd."""
        gaps = [after - before for (before, _), (after, _) in pairwise(ticks)]
        every = max(1, ceil(_CROWDED / min(gaps))) if gaps and min(gaps) > 0 else 1
        kept = [tick for k, tick in enumerate(ticks[:-1]) if k % every == 0]
        kept = [tick for tick in kept if ticks[-1][0] - tick[0] >= _CROWDED] + ticks[-1:]
        longest = max((len(said) for _, said in kept), default=0)
        for x, said in kept:
            self._line((x, self.y), (x, self.y - 1.5), Role.DIMENSION)
            place = x + _SMALL / 2
            self.texts.append(
                Text(Role.DIMENSION, place, self.y - 2.2, _SMALL, said, Anchor.END, pi / 2)
            )
        self.y -= 3.0 + longest * _LETTER * _SMALL / _TEXT

    def sketch(self, sketch: Sketch) -> None:
        """Pin and blade over the floor of the jig, the first board against the pin."""
        across = sketch.pin + sketch.reach + 2.2 * sketch.blade
        # Half the width is for the words beside it.
        scale = min(1.0, 0.5 * self.room / across, 30.0 / (1.5 * sketch.depth))
        pin, reach, blade = (scale * each for each in (sketch.pin, sketch.reach, sketch.blade))
        depth = scale * sketch.depth
        self.y -= 4.0 + 1.5 * depth
        face = _EDGE + pin
        floor, right = self.y, face + reach + 2.2 * blade
        self._box((_EDGE, face), (floor, floor + 0.7 * depth), WOOD[2])
        self._box((face + reach, face + reach + blade), (floor, floor + depth), PAPER)
        self._line((_EDGE - 4, floor), (right + 4, floor), Role.EDGE)
        board = ((right, floor + 1.4 * depth), (face, floor + 1.4 * depth), (face, floor))
        self.strokes.append(Stroke(Role.DIMENSION, Path.line(*board), dashes=HIDDEN))
        middle = face + reach + blade / 2
        up = Path.line((middle, floor), (middle, floor + depth))
        self.strokes.append(Stroke(Role.DIMENSION, up, dashes=DOTTED))
        ends = (_EDGE, face, face + reach, face + reach + blade)
        for k, (low, high) in enumerate(pairwise(ends)):
            self._span(low, high, floor - 2.0)
            self.texts.append(
                Text(Role.DIMENSION, (low + high) / 2, floor - 5.2, _SMALL, "ABC"[k], Anchor.MIDDLE)
            )
        beside = right + 9
        for k, said in enumerate(sketch.words):
            place = floor + 1.2 * depth - k * _LINE
            self.texts.append(Text(Role.LABEL, beside, place, _TEXT, f"{'ABC'[k]}  {said}"))
        size = "at full size" if scale == 1.0 else f"at {scale:.2f} of its size"
        note = f"the jig as you stand before it, {size}"
        place = floor + 1.2 * depth - 3.6 * _LINE
        self.texts.append(Text(Role.DIMENSION, beside, place, _SMALL, note))
        self.y = min(floor - 6.5, place - 2.0)

    def _span(self, low: float, high: float, y: float) -> None:
        self._line((low, y), (high, y), Role.DIMENSION)
        for x in (low, high):
            self._line((x, y - 0.8), (x, y + 0.8), Role.DIMENSION)

    def _box(self, x: tuple[float, float], y: tuple[float, float], tint: str) -> None:
        box = Path.polygon((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))
        self.fills.append(Fill(Role.FACE, (box,), tint))
        self.strokes.append(Stroke(Role.EDGE, box))

    def _line(self, one: tuple[float, float], other: tuple[float, float], role: Role) -> None:
        self.strokes.append(Stroke(role, Path.line(one, other)))
