"""One part as a page that a cutter follows: its cuts by operation, and a label."""

from __future__ import annotations

import math
from collections import Counter
from typing import TYPE_CHECKING

from dryfit.drafting.depths import depth_texts, face_and_depth
from dryfit.drafting.spot import roomiest
from dryfit.model.panel import Face
from dryfit.pages.hand import HIDDEN, text_width
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Page, Path, Role, Stroke, Text
from dryfit.parts.part import Purpose
from dryfit.shapes.tolerances import PICTURE_CHORD
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.parts.part import Cut, Part
    from dryfit.shapes.profile import Loop

MARGIN = 5.0
"""Bare paper round a part. [mm]"""

BAR = 100.0
"""Length of the scale bar. [mm]"""

_BAR_ROOM = 12.0
_TICK = 2.0
_BAR_TEXT = 2.5
_LETTER = 5.0
_LEADING = 1.7


def part_page(part: Part, unit: str = "mm", *, scale_bar: bool = False) -> Page:
    """The part at full size, face b up, in its panel's own (u, v).

    Parameters
    ----------
    part : Part
        What is cut.
    unit : str
        The unit that the label and the text twin print lengths in.
    scale_bar : bool
        Whether a bar of 100 mm stands under the part, to check a print; it is not on a layer
        that is cut.

    Returns
    -------
    Page
        Outlines as ``cut outside``, openings as ``cut inside``, the label as ``label``. Trenches
        as ``trench``, dashed in face a, which looks away; which face and how deep is lettered
        beside each as ``label``.
    """
    x0, y0, x1, y1 = part.profile.bounds
    foot = _BAR_ROOM if scale_bar else 0.0
    width = max(x1 - x0, BAR if scale_bar else 0.0)
    strokes = tuple(_cut_strokes(part))
    bar_strokes, bar_texts = _bar(x0, y0 - MARGIN) if scale_bar else ((), ())
    labels = tuple(_labels(part, unit))
    depths = depth_texts(part, labels, unit, MARGIN)
    return Page(
        title=plain_text(part.name),
        description=describe(part, unit),
        width=width + 2 * MARGIN,
        height=y1 - y0 + 2 * MARGIN + foot,
        x=x0 - MARGIN,
        y=y0 - MARGIN - foot,
        strokes=strokes + bar_strokes,
        texts=(*labels, *depths, *bar_texts),
    )


def describe(part: Part, unit: str = "mm") -> str:
    """The text twin of a part's drawing, lengths in one of the units."""
    x0, y0, x1, y1 = part.profile.bounds
    inside = sum(stroke.role is Role.CUT_INSIDE for stroke in _cut_strokes(part))
    openings = f"{inside} opening{'' if inside == 1 else 's'}" if inside else "no openings"
    return (
        f"{plain_text(part.name)}, {show_length(x1 - x0, unit)} by {show_length(y1 - y0, unit)}, "
        f"of {_stock_words(part, unit)}, "
        f"{_face_words(part)}, {openings}{_trench_words(part, unit)}."
    )


def _trench_words(part: Part, unit: str) -> str:
    """How many trenches of each kind, for the text twin."""
    kinds = Counter(face_and_depth(cut, unit) for cut in part.cuts_for(Purpose.TRENCH))
    return "".join(
        f", {count} trench{'' if count == 1 else 'es'} in {kind}" for kind, count in kinds.items()
    )


def _cut_strokes(part: Part) -> Iterator[Stroke]:
    """Trenches, then openings, then outlines: what is cut loose first can move."""
    for cut in part.cuts_for(Purpose.TRENCH):
        note = f"{cut.face.value.upper()}_{cut.depth_to:.2f}"
        dashes = () if cut.face is Face.B else HIDDEN
        yield Stroke(Role.TRENCH, Path.of_loop(cut.profile.outer), part.name, note, dashes)
    through = [cut for cut in part.cuts if cut.purpose is not Purpose.TRENCH]
    inside = [path for cut in through for path in _inside_paths(cut)]
    outside = [cut.profile.outer for cut in part.cuts if cut.purpose is Purpose.OUTLINE]
    for loop in inside:
        yield Stroke(Role.CUT_INSIDE, Path.of_loop(loop), part.name)
    for loop in outside:
        yield Stroke(Role.CUT_OUTSIDE, Path.of_loop(loop), part.name)


def _inside_paths(cut: Cut) -> tuple[Loop, ...]:
    """What the cutter follows inside: the holes of an outline, all of an opening."""
    return cut.profile.holes if cut.purpose is Purpose.OUTLINE else cut.profile.loops


def _labels(part: Part, unit: str) -> Iterator[Text]:
    """Name, stock and face where the part has most room, along its longer side."""
    lines = (plain_text(part.label or part.name), _stock_words(part, unit), _face_words(part))
    height, spot_x, spot_y, angle = _label_place(part, lines)
    for row, line in enumerate(lines):
        drop = (1 - row) * _LEADING * height - height / 2
        yield Text(
            Role.LABEL,
            spot_x - math.sin(angle) * drop,
            spot_y + math.cos(angle) * drop,
            height,
            line,
            Anchor.MIDDLE,
            angle,
            part.name,
        )


def _label_place(part: Part, lines: tuple[str, ...]) -> tuple[float, float, float, float]:
    """Height of the letters [mm], middle of the label [mm] and its turn [rad]."""
    x0, y0, x1, y1 = part.profile.bounds
    upright = y1 - y0 > x1 - x0
    wide = max(text_width(line, 1.0) for line in lines)
    tall = (len(lines) - 1) * _LEADING + 1.0
    rings = [loop.dense(PICTURE_CHORD) for cut in part.cuts for loop in cut.profile.loops]
    x, y, room = roomiest(
        [ring[:, ::-1] if upright else ring for ring in rings], stretch=wide / tall
    )
    height = min(_LETTER, 1.25 * max(room, 0.0) / tall)
    if upright:
        return height, y, x, math.pi / 2
    return height, x, y, 0.0


def _stock_words(part: Part, unit: str) -> str:
    """The stock and its measured thickness."""
    return f"{plain_text(part.panel.stock.name)}, {show_length(part.thickness, unit)} thick"


def _face_words(part: Part) -> str:
    """Which face looks at whoever reads the drawing."""
    good = part.panel.good_face
    if good is None:
        return "face b up, both faces alike"
    return f"face b up, good face {'up' if good is Face.B else 'down'}"


def _bar(x: float, y: float) -> tuple[tuple[Stroke, ...], tuple[Text, ...]]:
    """A line of 100 mm with a tick at either end, and its length under it."""
    line = Path.line((x, y), (x + BAR, y))
    ticks = tuple(Path.line((at, y - _TICK / 2), (at, y + _TICK / 2)) for at in (x, x + BAR))
    words = Text(Role.DIMENSION, x + BAR / 2, y - 2 * _BAR_TEXT, _BAR_TEXT, "100 mm", Anchor.MIDDLE)
    return tuple(Stroke(Role.DIMENSION, path) for path in (line, *ticks)), (words,)
