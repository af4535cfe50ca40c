"""Draw the figures of docs/theory anew: corners of 120° and 60°, seen square to their edge."""

from __future__ import annotations

import math
from pathlib import Path

from dryfit.joints.dihedral import Dihedral
from dryfit.pages.hand import END_GRAIN, PAPER, WOOD
from dryfit.pages.page import Anchor, Fill, Page, Role, Stroke, Text
from dryfit.pages.page import Path as Line
from dryfit.writers.svg import write_svg

FOLDER = Path(__file__).parents[1] / "docs" / "theory"
THICK, REACH, LETTER = 18.0, 60.0, 4.0
OPEN = "#7fb2c9"
CORNERS = (("blunt, 120°", 120, 70.0), ("sharp, 60°", 60, 190.0))

Point = tuple[float, float]


def figures() -> dict[str, str]:
    """The figures, by file name."""
    return {"angled-corners.svg": write_svg(_page()).decode()}


def _page() -> Page:
    drawn = [_corner(words, math.radians(degrees), x) for words, degrees, x in CORNERS]
    return Page(
        title="Square-cut corners",
        description=(
            "Two corners seen square to their edge where panel A has a finger: at 120° and at 60°. "
            "Blue is what stays open beside A's tip and beside B's shoulder."
        ),
        width=230.0,
        height=120.0,
        paper=PAPER,
        fills=tuple(fill for fills, _, _ in drawn for fill in fills),
        strokes=tuple(stroke for _, strokes, _ in drawn for stroke in strokes),
        texts=tuple(text for _, _, texts in drawn for text in texts),
    )


def _corner(
    words: str, angle: float, x: float
) -> tuple[list[Fill], list[Stroke], list[Text]]:  # fmt: skip
    share = Dihedral(angle, THICK, THICK)
    edge = -share.inner_edge  # the outer edge, from the inner edge along either panel
    tip, shoulder = edge + share.tip, edge + share.shoulder
    cot = share.lean / THICK

    def of_a(s: float, h: float) -> Point:
        return x + s, 50.0 - h

    def of_b(s: float, h: float) -> Point:
        return of_a(
            s * math.cos(angle) + h * math.sin(angle), s * math.sin(angle) - h * math.cos(angle)
        )

    panels = [
        [of_a(s, h) for s, h in ((-REACH, 0), (-REACH, THICK), (tip, THICK), (tip, 0))],
        [of_b(s, h) for s, h in ((-REACH, 0), (shoulder, 0), (shoulder, THICK), (-REACH, THICK))],
    ]
    length = share.finger
    wedges = [
        [of_a(tip, 0), of_a(tip, THICK), of_a(length + THICK * cot, THICK), of_a(length, 0)],
        [of_b(shoulder, 0), of_b(shoulder, THICK), of_b(THICK * cot, THICK), of_b(0, 0)],
    ]
    fills = [
        Fill(Role.FACE, (Line.polygon(*points),), tint)
        for points, tint in zip((*panels, *wedges), (WOOD[0], END_GRAIN, OPEN, OPEN), strict=True)
    ]
    strokes = [Stroke(Role.EDGE, Line.polygon(*points)) for points in panels]
    # Where B's slab would be: its faces, met by A's finger.
    faces = [(of_b(-REACH, h), of_b(THICK / math.sin(angle) + h * cot, h)) for h in (0.0, THICK)]
    strokes += [Stroke(Role.DIMENSION, Line.line(*face)) for face in faces]
    spots = [("A", of_a(-REACH * 0.7, THICK * 0.65)), ("B", of_b(-REACH * 0.7, THICK / 2))]
    texts = [Text(Role.LABEL, *spot, LETTER, name, Anchor.MIDDLE) for name, spot in spots]
    texts.append(Text(Role.LABEL, x - 20.0, 12.0, LETTER, words, Anchor.MIDDLE))
    return fills, strokes, texts


def main() -> None:
    """Write the figures."""
    for name, svg in figures().items():
        (FOLDER / name).write_text(svg, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
