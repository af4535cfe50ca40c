"""Pages as PDF 1.6: one unit of every page's content is one millimetre.

Lines keep their millimetres: each page begins with a matrix of 72/25.4, so that a line of 100 mm
is 283.4646 points, and asks for printing without scaling (``PrintScaling None``). Arcs are cubic
curves of at most a quarter turn, whose radius is off by 0.00027 of itself at most [1]_: a relief
of 6 mm by 0.002 mm, and larger arcs are cut finer so that none is off by more than `ARC_ERROR`.
Every glyph is embedded. Nothing is written that the pages do not hold: no clock, no machine.

References
----------
.. [1] The usual control points at 4/3 tan(angle/4); their error is derived in the tests.
"""

from __future__ import annotations

import math
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any, cast

from dryfit.pages.hand import CAPITAL, COLOUR, WEIGHT
from dryfit.pages.letters import UNKNOWN, font, font_for, fonts_of, width
from dryfit.pages.page import Anchor, Voice
from dryfit.writers.numbers import number

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from dryfit.pages.page import Fill, Page, Path, Stroke, Text, Vertex

POINTS = 72 / 25.4
"""Points in a millimetre."""

ARC_ERROR = 0.001
"""How far a drawn arc may lie from the true one. [mm]"""

_NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)  # what the library is told; it is taken out again
_SHAPED = 0x0590  # from Hebrew on, letters may join, stack or run to the left
_NOT_SHAPED = (0x2000, 0x2BFF)  # signs of punctuation, arrows and boxes


@dataclass(frozen=True, slots=True)
class About:
    """What a file says of itself: title, subject, who made it, and the day if one was given."""

    title: str
    subject: str = ""
    producer: str = ""
    on: date | None = None


def write_pdf(pages: Sequence[Page], about: About) -> bytes:
    """The pages as one PDF file; the same pages give the same bytes."""
    pdf = _book()(about)
    with tempfile.TemporaryDirectory() as folder:
        names = _needed(pages)
        for name in names:
            path = FilePath(folder) / f"{_family(name)}.ttf"
            path.write_bytes(font(name).data)
            pdf.add_font(_family(name), "", path)
        pdf.set_fallback_fonts([_family(name) for name in names], exact_match=False)
        for page in pages:
            pdf.add_page(format=(page.width, page.height))
            pdf.draw(page)
        return cast("bytes", pdf.whole())


def _needed(pages: Sequence[Page]) -> list[str]:
    """Every font that the texts of some pages need, in an order that follows from them."""
    signs: dict[Voice, set[str]] = {}
    for page in pages:
        for text in page.texts:
            signs.setdefault(text.voice, set()).update(text.content)
    needed: dict[str, None] = {}
    for voice in Voice:
        if voice in signs:
            needed.update(dict.fromkeys(fonts_of("".join(sorted(signs[voice])), voice)))
    return list(needed)


def _family(name: str) -> str:
    """A name of a font that is a name of a file too."""
    return "".join(sign if sign.isalnum() else "-" for sign in name).lower()


@cache
def _book() -> Any:
    """The library's document, able to draw pages; made here, since it is slow to import."""
    from fpdf import FPDF, ViewerPreferences
    from fpdf.output import OutputProducer

    class Undated(OutputProducer):
        """What ends a file, without the time of its making."""

        def _add_info(self) -> Any:
            info = super()._add_info()
            if self.fpdf.creation_date == _NO_DATE:
                del info.creation_date  # what has no value is not written
            return info

    class Book(FPDF):
        """A document of our pages."""

        def __init__(self, about: About) -> None:
            super().__init__(unit="mm")
            day = about.on
            self.creation_date = (
                datetime(day.year, day.month, day.day, tzinfo=UTC) if day else _NO_DATE
            )
            self.set_title(about.title)
            self.set_subject(about.subject)
            self.set_producer(about.producer)
            self.set_creator(about.producer)
            self.set_lang("en")
            self.set_margin(0)
            self.c_margin = 0
            self.set_auto_page_break(False)
            self.viewer_preferences = ViewerPreferences(
                print_scaling="None", display_doc_title=True
            )

        def whole(self) -> bytes:
            """The file."""
            return bytes(self.output(output_producer_class=Undated))

        def draw(self, page: Page) -> None:
            """Everything on a page."""
            self._out("\n".join(_lines(page)))
            for text in page.texts:
                self._letter(page, text)

        def _letter(self, page: Page, text: Text) -> None:
            content = "".join(s if font_for(s, text.voice) or _joins(s) else UNKNOWN
                              for s in text.content)  # fmt: skip
            size = text.height / CAPITAL
            self.set_font(_family(fonts_of("", text.voice)[0]), "", size * POINTS)
            self.set_text_shaping(any(map(_is_shaped, content)))
            self.set_text_color(COLOUR[text.role])
            wide = width(content, text.height, text.voice)
            if any(map(_is_shaped, content)):
                wide = self.get_string_width(content)
            shift = {Anchor.START: 0.0, Anchor.MIDDLE: -wide / 2, Anchor.END: -wide}[text.anchor]
            x, y = text.x - page.x, page.height - (text.y - page.y)
            # The library sets a line of no height with its foot 0.3 sizes under where it is asked.
            at = (x + shift, y - 0.3 * size)
            if text.angle:
                with self.rotation(math.degrees(text.angle), x, y):
                    self.set_xy(*at)
                    self.cell(w=wide, h=0, text=content)
            else:
                self.set_xy(*at)
                self.cell(w=wide, h=0, text=content)

    return Book


def _joins(sign: str) -> bool:
    return sign in "\u200c\u200d"


def _is_shaped(sign: str) -> bool:
    code = ord(sign)
    return code >= _SHAPED and not _NOT_SHAPED[0] <= code <= _NOT_SHAPED[1]


def _lines(page: Page) -> Iterator[str]:
    """Paper, fills and strokes as operators of a content stream."""
    k = f"{POINTS:.10g}"
    yield f"q {k} 0 0 {k} {-page.x * POINTS:.6f} {-page.y * POINTS:.6f} cm 1 J 1 j"
    if page.paper:
        yield _colour(page.paper, "rg")
        yield f"{_box((page.x, page.y, page.x + page.width, page.y + page.height))} re f"
    for role in page.roles:
        for fill in page.fills:
            if fill.role is role:
                yield from _fill(fill)
        for stroke in page.strokes:
            if stroke.role is role:
                yield from _stroke(stroke)
    yield "Q"


def _box(bounds: tuple[float, float, float, float]) -> str:
    x0, y0, x1, y1 = bounds
    return " ".join(number(value) for value in (x0, y0, x1 - x0, y1 - y0))


def _fill(fill: Fill) -> Iterator[str]:
    yield _colour(fill.tint, "rg")
    for path in fill.paths:
        yield from _path(path)
    yield "f*"


def _stroke(stroke: Stroke) -> Iterator[str]:
    yield _colour(COLOUR[stroke.role], "RG")
    dashes = " ".join(number(length) for length in stroke.dashes)
    yield f"{number(stroke.weight or WEIGHT[stroke.role])} w [{dashes}] 0 d"
    if stroke.window:
        yield f"q {_box(stroke.window)} re W n"
    yield from _path(stroke.path)
    yield "S Q" if stroke.window else "S"


def _path(path: Path) -> Iterator[str]:
    x, y, _ = path.vertices[0]
    yield f"{number(x)} {number(y)} m"
    for begin, end in path.edges:
        if begin[2]:
            yield from _arc(begin, end)
        else:
            yield f"{number(end[0])} {number(end[1])} l"
    if path.closed:
        yield "h"


def _arc(begin: Vertex, end: Vertex) -> Iterator[str]:
    """Cubic curves along an arc, each at most a quarter turn and near enough to it."""
    x0, y0, bulge = begin
    x1, y1, _ = end
    angle = 4 * math.atan(bulge)
    # The centre lies on the middle line of the chord, (1 - b²) / 4b of the chord to its left.
    off = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x0 + x1) / 2 - off * (y1 - y0), (y0 + y1) / 2 + off * (x1 - x0)
    radius = math.hypot(x0 - cx, y0 - cy)
    # The error of a cubic falls with the sixth power of its angle.
    quarters = abs(angle) / (math.pi / 2)
    finer = max(1.0, (radius * 2.8e-4 / ARC_ERROR) ** (1 / 6))
    count = max(1, math.ceil(quarters * finer - 1e-9))
    step, start = angle / count, math.atan2(y0 - cy, x0 - cx)
    reach = radius * 4 / 3 * math.tan(step / 4)
    for k in range(count):
        a, b = start + k * step, start + (k + 1) * step
        ax, ay = cx + radius * math.cos(a), cy + radius * math.sin(a)
        bx, by = (x1, y1) if k == count - 1 else (
            cx + radius * math.cos(b), cy + radius * math.sin(b)
        )  # fmt: skip
        points = (
            ax - reach * math.sin(a), ay + reach * math.cos(a),
            bx + reach * math.sin(b), by - reach * math.cos(b), bx, by,
        )  # fmt: skip
        yield " ".join(number(value) for value in points) + " c"


def _colour(tint: str, operator: str) -> str:
    shares = (int(tint[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return " ".join(f"{share:.4f}" for share in shares) + f" {operator}"
