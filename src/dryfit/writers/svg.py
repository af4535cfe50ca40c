"""Pages as SVG 1.1: one user unit is one millimetre, and arcs stay arcs.

A page's y goes up and an SVG's down, so y is negated and arcs keep their look with the opposite
sweep. Every role is one group, with its line weight and colour as presentation attributes, which
more programs read than style sheets. Arcs are elliptical-arc commands of the path grammar in
[1]_, Sec. 8.3.8; longer ones are split into quarters, because a centre that a reader rebuilds
from two ends and a radius is well placed only when the arc is short of a half circle.

References
----------
.. [1] W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 16 August 2011.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from dryfit.pages.hand import CAPITAL, COLOUR, FONT, WEIGHT
from dryfit.pages.page import Anchor, Role
from dryfit.writers.numbers import number

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from dryfit.pages.page import Fill, Page, Path, Stroke, Text, Vertex

_NOT_XML = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
"""Not characters of XML 1.0 (Sec. 2.2), or control characters discouraged there."""


def write_svg(page: Page) -> bytes:
    """The page as an SVG file, UTF-8; the same page gives the same bytes."""
    return "\n".join((*_head(page), *_body(page), "</svg>", "")).encode("utf-8")


def _head(page: Page) -> Iterator[str]:
    """The opening tag with the physical size, the title, the text twin and the paper."""
    box = (page.x, -page.y - page.height, page.width, page.height)
    x, y, width, height = (number(value) for value in box)
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" '
        f'height="{height}mm" viewBox="{x} {y} {width} {height}">'
    )
    yield f"<title>{_xml(page.title)}</title>"
    if page.description:
        yield f"<desc>{_xml(page.description)}</desc>"
    if page.paper:
        yield (
            f'<rect class="paper" x="{x}" y="{y}" width="{width}" height="{height}" '
            f'fill="{page.paper}"/>'
        )


def _body(page: Page) -> Iterator[str]:
    """One group a role, in drawing order."""
    for role in page.roles:
        yield _group_tag(role)
        yield from (_fill(fill) for fill in page.fills if fill.role is role)
        yield from (_stroke(stroke) for stroke in page.strokes if stroke.role is role)
        yield from (_text(text) for text in page.texts if text.role is role)
        yield "</g>"


def _group_tag(role: Role) -> str:
    """The opening tag of a role's group."""
    name = role.value.replace(" ", "-")
    return (
        f'<g id="{name}" class="{name}" fill="none" stroke="{COLOUR[role]}" '
        f'stroke-width="{number(WEIGHT[role])}" stroke-linecap="round" stroke-linejoin="round">'
    )


def _owner(owner: str) -> str:
    """The attribute that says which part an item belongs to."""
    return f' data-part="{_xml(owner)}"' if owner else ""


def _xml(text: str) -> str:
    """Text as XML takes it: control characters and half surrogates left out, the rest escaped."""
    return escape(_NOT_XML.sub("", text), {'"': "&quot;"})


def _fill(fill: Fill) -> str:
    """An area with a hair of its own tint round it, which closes the seam to its neighbour."""
    data = "\n".join(_path(path) for path in fill.paths)
    return (
        f'<path{_owner(fill.owner)} fill="{fill.tint}" fill-rule="evenodd" '
        f'stroke="{fill.tint}" d="{data}"/>'
    )


def _stroke(stroke: Stroke) -> str:
    note = f' data-note="{_xml(stroke.note)}"' if stroke.note else ""
    lengths = " ".join(number(length) for length in stroke.dashes)
    dashes = f' stroke-dasharray="{lengths}"' if lengths else ""
    return f'<path{_owner(stroke.owner)}{note}{dashes} d="{_path(stroke.path)}"/>'


def _text(text: Text) -> str:
    """A line of text, painted and not outlined."""
    x, y = number(text.x), number(-text.y)
    turn = f' transform="rotate({number(-math.degrees(text.angle))} {x} {y})"' if text.angle else ""
    anchor = "" if text.anchor is Anchor.START else f' text-anchor="{text.anchor.value}"'
    return (
        f'<text{_owner(text.owner)} x="{x}" y="{y}"{turn}{anchor} font-family="{FONT}" '
        f'font-size="{number(text.height / CAPITAL)}" fill="{COLOUR[text.role]}" stroke="none">'
        f"{_xml(text.content)}</text>"
    )


def _path(path: Path) -> str:
    """Path data: absolute moves, lines and arcs, one a line so that files can be compared."""
    commands = [f"M{_point(path.vertices[0][:2])}"]
    edges = path.edges
    for index, (start, end) in enumerate(edges):
        closes = path.closed and index == len(edges) - 1
        commands += _edge(start, end, closes=closes)
    return "\n".join(commands)


def _edge(start: Vertex, end: Vertex, *, closes: bool) -> list[str]:
    """The commands of one edge; a straight one that closes the path is the closing itself."""
    last = ["Z"] if closes else []
    if start[2] == 0:
        return last or [f"L{_point(end[:2])}"]
    return [*_arc(start, end), *last]


def _arc(start: Vertex, end: Vertex) -> Iterable[str]:
    """Arc commands of a quarter turn at most; bulge b on chord c has r = c (1 + b²) / (4 |b|)."""
    x0, y0, bulge = start
    radius = number(math.dist(start[:2], end[:2]) * (1 + bulge**2) / (4 * abs(bulge)))
    sweep = 0 if bulge > 0 else 1
    for point in _stops(x0, y0, end, bulge):
        yield f"A{radius} {radius} 0 0 {sweep} {_point(point)}"


def _stops(x0: float, y0: float, end: Vertex, bulge: float) -> Iterator[tuple[float, float]]:
    """Ends of the quarters of an arc; its centre is (1 - b²) / (4 b) chords left of the middle."""
    sweep = 4 * math.atan(bulge)
    count = max(1, math.ceil(abs(sweep) / (math.pi / 2) - 1e-9))
    lean = (1 - bulge**2) / (4 * bulge)
    cx = (x0 + end[0]) / 2 - lean * (end[1] - y0)
    cy = (y0 + end[1]) / 2 + lean * (end[0] - x0)
    for k in range(1, count):
        cos, sin = math.cos(sweep * k / count), math.sin(sweep * k / count)
        dx, dy = x0 - cx, y0 - cy
        yield cx + dx * cos - dy * sin, cy + dx * sin + dy * cos
    yield end[0], end[1]


def _point(point: tuple[float, ...]) -> str:
    """A point in SVG's axes."""
    return f"{number(point[0])},{number(-point[1])}"
