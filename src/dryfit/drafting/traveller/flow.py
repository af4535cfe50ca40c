"""Sheets that are filled from top to bottom: headings, sentences, tables and pictures.

Nothing is set over anything else: each block asks for its room, and begins a new sheet where there
is too little left. Texts are measured with the fonts they are printed in.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import cos, sin
from typing import TYPE_CHECKING

from dryfit.drafting.traveller.titleblock import HEIGHT as BLOCK
from dryfit.pages.letters import shortened, shown, text_box, width, wrapped
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text, Voice
from dryfit.pages.paper import NARROW

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.drafting.traveller.look import Look

INSIDE = 5.0
"""Bare paper between the frame and what stands in it. [mm]"""

LEADING = 1.75
"""From line to line, in heights of a capital. [-]"""

_CELL = 1.5
_ROW = 0.95  # over and under the letters of a row, in heights of a capital, together
_ORPHAN = 3  # rows that a table has at least under its heading


@dataclass
class Draft:
    """A sheet that is being filled; `kind` is what its title block calls it."""

    kind: str
    scale: str = ""
    description: str = ""
    fills: list[Fill] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)


class Flow:
    """Sheets, filled from top to bottom.

    Attributes
    ----------
    look : Look
        Paper, letters and units.
    drafts : list of Draft
        The sheets so far.
    y : float
        The top of what is free on the last one. [mm]
    """

    def __init__(self, look: Look) -> None:
        self.look = look
        self.drafts: list[Draft] = []
        self.y = 0.0
        x0, y0, x1, y1 = look.paper.frame
        self.left, self.right = x0 + INSIDE, x1 - INSIDE
        self.top, self.foot = y1 - INSIDE, y0 + BLOCK + INSIDE

    @property
    def wide(self) -> float:
        """Width of what can be filled. [mm]"""
        return self.right - self.left

    @property
    def free(self) -> float:
        """Height that is left on this sheet. [mm]"""
        return self.y - self.foot

    @property
    def sheet(self) -> Draft:
        """The last sheet."""
        return self.drafts[-1]

    def begin(self, kind: str, title: str = "", scale: str = "") -> None:
        """A new sheet, with a title over it."""
        self.drafts.append(Draft(kind, scale))
        self.y = self.top
        if title:
            self.line(title, self.look.title, Voice.HEADING)
            self.skip(2.0)

    def need(self, height: float) -> None:
        """Go on a new sheet of the same kind where less than `height` [mm] is left."""
        if self.free < height and self.y < self.top:
            self.begin(self.sheet.kind, scale=self.sheet.scale)

    def skip(self, height: float) -> None:
        """Leave `height` [mm] bare."""
        self.y -= height

    def line(self, content: str, height: float, voice: Voice = Voice.TECHNICAL) -> None:
        """One line of text, shortened where it is too long; `height` [mm] is a capital's."""
        self.need(LEADING * height)
        said = shortened(shown(content), self.wide, height, voice)
        self.sheet.texts.append(
            Text(Role.LABEL, self.left, self.y - height, height, said, voice=voice)
        )
        self.y -= LEADING * height

    def heading(self, content: str, room: float = 25.0) -> None:
        """A heading, together with `room` [mm] of what follows it."""
        if self.y < self.top:
            self.skip(3.0)
        self.need(self.look.head * LEADING + room * self.look.scale)
        self.line(content, self.look.head, Voice.HEADING)
        self.skip(0.6 * self.look.head)

    def say(self, *sentences: str, voice: Voice = Voice.SENTENCE, indent: float = 0.0) -> None:
        """Sentences, each beginning on a line of its own, `indent` [mm] from the left."""
        height = self.look.text
        for sentence in sentences:
            for line in wrapped(shown(sentence), self.wide - indent, height, voice):
                self.need(LEADING * height)
                self.sheet.texts.append(
                    Text(Role.LABEL, self.left + indent, self.y - height, height, line, voice=voice)
                )
                self.y -= LEADING * height
            self.y -= 0.35 * height

    def points(self, sentences: Sequence[str], first: int = 1) -> None:
        """Numbered sentences."""
        room = width(f"{first + len(sentences)}  ", self.look.text)
        for number, sentence in enumerate(sentences, first):
            height = self.look.text
            lines = wrapped(shown(sentence), self.wide - room, height, Voice.SENTENCE)
            self.need(LEADING * height * min(len(lines), 3))
            self.sheet.texts.append(
                Text(Role.LABEL, self.left, self.y - height, height, str(number))
            )
            self.say(sentence, indent=room)

    def points_line(self, number: int, line: str) -> None:
        """A line of a file under its number; what goes on is set in."""
        height, room = self.look.small, width("0000  ", self.look.small)
        lines = wrapped(shown(line), self.wide - room - 4.0, height)
        for row, part in enumerate(lines):
            self.need(LEADING * height)
            y = self.y - height
            if not row:
                self.sheet.texts.append(Text(Role.DIMENSION, self.left, y, height, str(number)))
            x = self.left + room + (4.0 if row else 0.0)
            self.sheet.texts.append(Text(Role.LABEL, x, y, height, part))
            self.y -= LEADING * height

    def table(self, header: Sequence[str], rows: Sequence[Sequence[str]], title: str = "") -> None:
        """A table over the whole width or less, with a heading; long cells are broken."""
        height = self.look.small
        cells = [[shown(cell) for cell in row] for row in rows]
        columns = _columns([list(header), *cells], height, self.wide)
        head = _lines(header, columns, height, Voice.STRONG)
        bodies = [_lines(row, columns, height, Voice.TECHNICAL) for row in cells]
        heights = [_row_height(lines, height) for lines in bodies]
        first = _row_height(head, height) + sum(heights[:_ORPHAN])
        over = 3.0 + (LEADING + 0.6) * self.look.head if title else 0.0
        self.need(min(first + over, self.top - self.foot))
        if title:
            self.heading(title, 0.0)
        self._row(head, columns, Voice.STRONG)
        for lines, tall in zip(bodies, heights, strict=True):
            if self.free < tall:
                if tall > self.top - self.foot - _row_height(head, height):
                    self._long_row(lines, columns, head)
                    continue
                self.begin(self.sheet.kind, scale=self.sheet.scale)
                self._row(head, columns, Voice.STRONG)
            self._row(lines, columns, Voice.TECHNICAL)
        self.skip(2.5)

    def _long_row(
        self, lines: list[tuple[str, ...]], columns: list[float], head: list[tuple[str, ...]]
    ) -> None:
        """A row that is higher than a sheet, in pieces."""
        rest = lines
        while any(rest):
            leading = LEADING * self.look.small
            fits = max(int((self.free - _ROW * self.look.small) / leading), 0)
            if not fits:
                self.begin(self.sheet.kind, scale=self.sheet.scale)
                self._row(head, columns, Voice.STRONG)
                continue
            self._row([cell[:fits] for cell in rest], columns, Voice.TECHNICAL)
            rest = [cell[fits:] for cell in rest]

    def _row(self, lines: list[tuple[str, ...]], columns: list[float], voice: Voice) -> None:
        height = self.look.small
        tall = _row_height(lines, height)
        top = self.y - _ROW / 2 * height - height
        x = self.left
        for cell, wide in zip(lines, columns, strict=True):
            for number, line in enumerate(cell):
                self.sheet.texts.append(
                    Text(Role.LABEL, x, top - number * LEADING * height, height, line, voice=voice)
                )
            x += wide
        self.y -= tall
        rule = Path.line((self.left, self.y), (self.left + sum(columns) - _CELL, self.y))
        weight = 2 * NARROW if voice is Voice.STRONG else NARROW / 2
        self.sheet.strokes.append(Stroke(Role.DIMENSION, rule, weight=weight))

    def picture(self, page: Page, most_wide: float, most_high: float, most: float = 1.0) -> None:
        """A page as a picture, in the middle and no larger than asked; `most` is its scale."""
        scale = min(most, most_wide / page.width, most_high / page.height)
        self.need(page.height * scale)
        scale = min(scale, self.free / page.height)
        x = self.left + (self.wide - page.width * scale) / 2
        self.y -= page.height * scale
        place(self.sheet, page, x, self.y, scale)
        self.skip(2.0)


def place(sheet: Draft, page: Page, x: float, y: float, scale: float = 1.0) -> None:
    """Put what is on a page on a sheet, its lower left corner at (x, y) [mm]."""
    dx, dy = x - scale * page.x, y - scale * page.y

    def moved(path: Path) -> Path:
        return Path(
            tuple((dx + scale * u, dy + scale * v, b) for u, v, b in path.vertices), path.closed
        )

    sheet.fills += [replace(f, paths=tuple(map(moved, f.paths))) for f in page.fills]
    sheet.strokes += [
        replace(s, path=moved(s.path), dashes=tuple(scale * d for d in s.dashes))
        for s in page.strokes
    ]
    sheet.texts += [
        replace(t, x=dx + scale * t.x, y=dy + scale * t.y, height=scale * t.height)
        for t in page.texts
        if t.content
    ]


def middle(x: float, y: float, height: float, content: str, angle: float = 0.0) -> Text:
    """A label centred on a point.

    Parameters
    ----------
    x, y : float
        The point. [mm]
    height : float
        Height of a capital letter. [mm]
    content : str
        The text.
    angle : float
        Turn from the x axis, counter-clockwise. [rad]
    """
    return Text(
        Role.LABEL,
        x + sin(angle) * height / 2, y - cos(angle) * height / 2, height, content, Anchor.MIDDLE,
        angle,
    )  # fmt: skip


def overlaps(texts: Sequence[Text], spare: float = 0.0) -> list[tuple[Text, Text]]:
    """Pairs of texts whose boxes, `spare` [mm] smaller all round, share paper."""
    boxes = sorted(
        ((*text_box(text), number) for number, text in enumerate(texts) if text.content.strip()),
        key=lambda box: box[0],
    )
    found: list[tuple[Text, Text]] = []
    near: list[tuple[float, float, float, float, int]] = []
    for box in boxes:
        near = [other for other in near if other[2] - spare > box[0] + spare]
        found += [
            (texts[other[4]], texts[box[4]])
            for other in near
            if other[1] + spare < box[3] - spare and box[1] + spare < other[3] - spare
        ]
        near.append(box)
    return found


def _columns(rows: Sequence[Sequence[str]], height: float, room: float) -> list[float]:
    """Widths of columns [mm]: their own where they fit, else the widest are cut to one width.

    None is narrower than its longest word, as long as all of these fit.
    """
    gap = 2 * _CELL
    own = [
        max(
            width(cell, height, Voice.STRONG if number == 0 else Voice.TECHNICAL)
            for number, cell in enumerate(column)
        )
        + gap
        for column in zip(*rows, strict=True)
    ]
    least = [
        max(
            width(word, height, Voice.STRONG)
            for cell in column
            for word in (cell.replace("+", "+ ").split() or [""])
        )
        + gap
        for column in zip(*rows, strict=True)
    ]
    if sum(least) > room:
        least = [0.0 for _ in least]
    low, high = 0.0, max(room, *own)
    for _ in range(40):
        cap = (low + high) / 2
        fits = sum(max(min(o, cap), m) for o, m in zip(own, least, strict=True)) <= room
        low, high = (cap, high) if fits else (low, cap)
    return [max(min(o, low), m) for o, m in zip(own, least, strict=True)]


def _lines(
    row: Sequence[str], columns: Sequence[float], height: float, voice: Voice
) -> list[tuple[str, ...]]:
    return [
        wrapped(cell, wide - 2 * _CELL + 1e-6, height, voice)
        for cell, wide in zip(row, columns, strict=True)
    ]


def _row_height(lines: Sequence[Sequence[str]], height: float) -> float:
    most = max(len(cell) for cell in lines)
    return (_ROW + 1 + (most - 1) * LEADING) * height + 0.4


def spread(places: Sequence[float], pitch: float, low: float, high: float) -> list[float] | None:
    """Places for labels, in order and at least `pitch` apart, as near to theirs as can be.

    Parameters
    ----------
    places : sequence of float
        Where labels would stand, rising. [mm]
    pitch : float
        From one to the next. [mm]
    low, high : float
        The first and the last place that may be taken. [mm]

    Returns
    -------
    list of float, optional
        None where there is no room for all.

    Examples
    --------
    >>> spread([0.0, 1.0, 20.0], 3.0, 0.0, 20.0)
    [0.0, 3.0, 20.0]
    """
    if (len(places) - 1) * pitch > high - low + 1e-9:
        return None
    # Labels that are too near make a group, which stands around the mean of its places.
    groups: list[tuple[float, int]] = []  # sum of (place - k pitch), how many
    for number, at in enumerate(places):
        total, count = at - number * pitch, 1
        while groups and groups[-1][0] / groups[-1][1] >= total / count:
            more, others = groups.pop()
            total, count = total + more, count + others
        groups.append((total, count))
    free = [total / count for total, count in groups for _ in range(count)]
    last = (len(places) - 1) * pitch
    kept = [min(max(at, low), high - last) for at in free]
    found = [at + number * pitch for number, at in enumerate(kept)]
    assert all(b - a > pitch - 1e-6 for a, b in pairwise(found))
    return found
