"""A sheet as a page: the parts as they lie on it, what is taken, and what is left over."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.spot import roomiest
from dryfit.pages.hand import HIDDEN, text_width
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Page, Path, Role, Stroke, Text
from dryfit.parts.part import Purpose
from dryfit.shapes.tolerances import PICTURE_CHORD
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from dryfit.layout.data import LaidSheet, Placed
    from dryfit.model.panel import Face
    from dryfit.model.sheets import Rectangle, Rules
    from dryfit.parts.part import Cut, Part

_PAPER = 10.0
"""Bare paper round a sheet. [mm]"""

_FOOT = 28.0
"""Room for the words under a sheet. [mm]"""

_LETTER, _SMALLEST = 9.0, 2.0
_TITLE = 12.0


def sheet_page(
    laid: LaidSheet,
    parts: Mapping[tuple[int, str], Part],
    rules: Rules,
    left: tuple[float, float],
    unit: str = "mm",
) -> Page:
    """One sheet at full size, its lower left corner at (0, 0).

    Parameters
    ----------
    laid : LaidSheet
        The sheet and what lies on it.
    parts : mapping
        Parts by the number of their job and their name.
    rules : Rules
        Where clamps stand.
    left : pair of float
        Length and width of the largest piece left over. [mm]
    unit : str
        The unit that sizes are lettered in.

    Returns
    -------
    Page
        Cuts on the layers that they have in the drawing of a part; the edge of the sheet, clamps
        and defects as ``dimension``, which is not cut.
    """
    sheet = laid.sheet
    strokes, texts = [], []
    for placed in laid.placed:
        part = parts[placed.key.job, placed.part]
        strokes += list(_part_strokes(placed, part))
        texts.append(_name(placed, part))
    strokes = sorted(strokes, key=lambda stroke: list(Role).index(stroke.role))
    places = [*sheet.defects, *rules.clamps]
    strokes += [Stroke(Role.DIMENSION, _rectangle(place), "", "", HIDDEN) for place in places]
    strokes.append(Stroke(Role.DIMENSION, _rectangle((0.0, 0.0, sheet.length, sheet.width))))
    return Page(
        title=plain_text(f"{laid.sheet.stock} {laid.name}"),
        description=describe_sheet(laid, left, unit),
        width=sheet.length + 2 * _PAPER,
        height=sheet.width + 2 * _PAPER + _FOOT,
        x=-_PAPER,
        y=-_PAPER - _FOOT,
        strokes=tuple(strokes),
        texts=(*texts, *_foot(laid, left, unit)),
    )


def describe_sheet(laid: LaidSheet, left: tuple[float, float], unit: str = "mm") -> str:
    """The text twin of a sheet's drawing; `left` is the largest piece left over. [mm]"""
    sheet, names = laid.sheet, ", ".join(plain_text(_words(placed)) for placed in laid.placed)
    over = f"; the largest piece left over is {_by(left, unit)}" if min(left) > 0 else "; none left"
    where = "to buy" if sheet.to_buy else "in hand"
    size = _by((sheet.length, sheet.width), unit)
    return f"Sheet {plain_text(laid.name)}, {where}, {size}: {names}{over}."


def _by(size: tuple[float, float], unit: str) -> str:
    return f"{show_length(size[0], unit)} by {show_length(size[1], unit)}"


def _words(placed: Placed) -> str:
    """A part's name, with the number of its piece after the first."""
    key = placed.key
    job = f" of job {key.job}" if key.job > 1 else ""
    return f"{key.part} {key.piece}{job}" if key.piece > 1 else f"{key.part}{job}"


def _part_strokes(placed: Placed, part: Part) -> Iterator[Stroke]:
    matrix, shift = placed.motion(part.profile.bounds)
    owner = _words(placed)
    for cut in part.cuts:
        profile = cut.profile.transformed(np.array(matrix), shift)
        if cut.purpose is Purpose.TRENCH:
            dashes = () if cut.face is placed.up else HIDDEN
            yield Stroke(
                Role.TRENCH, Path.of_loop(profile.outer), owner, _depth(cut, placed.up), dashes
            )
            continue
        outline = cut.purpose is Purpose.OUTLINE
        inside = profile.holes if outline else profile.loops
        for loop in inside:
            yield Stroke(Role.CUT_INSIDE, Path.of_loop(loop), owner)
        if outline:
            yield Stroke(Role.CUT_OUTSIDE, Path.of_loop(profile.outer), owner)


def _depth(cut: Cut, up: Face) -> str:
    """Which face a trench is in and how deep, as the drawing of a part notes it."""
    side = "UP" if cut.face is up else "DOWN"
    return f"{side}_{cut.depth_to:.2f}"


def _name(placed: Placed, part: Part) -> Text:
    """The part's name where it has most room."""
    matrix, shift = placed.motion(part.profile.bounds)
    rings = [
        loop.dense(PICTURE_CHORD)
        for cut in part.cuts
        for loop in cut.profile.transformed(np.array(matrix), shift).loops
    ]
    words = plain_text(_words(placed))
    upright = placed.height > placed.width
    wide = text_width(words, 1.0)
    turned = [ring[:, ::-1] for ring in rings] if upright else rings
    x, y, room = roomiest(turned, stretch=max(wide, 1.0))
    height = max(min(_LETTER, 1.25 * max(room, 0.0)), _SMALLEST)
    angle = np.pi / 2 if upright else 0.0
    at = (y, x) if upright else (x, y)
    shiftx, shifty = (height / 2, 0.0) if upright else (0.0, -height / 2)
    return Text(
        Role.LABEL, at[0] + shiftx, at[1] + shifty, height, words, Anchor.MIDDLE, float(angle),
        _words(placed),
    )  # fmt: skip


def _foot(laid: LaidSheet, left: tuple[float, float], unit: str) -> Iterator[Text]:
    """What the sheet is, under it."""
    sheet = laid.sheet
    where = "to buy" if sheet.to_buy else "in hand"
    size = _by((sheet.length, sheet.width), unit)
    rows = [f"{sheet.stock}: {laid.name}, {where}, {size}"]
    if min(left) > 0:
        rows.append(f"largest piece left over {_by(left, unit)}")
    for number, row in enumerate(rows):
        yield Text(
            Role.DIMENSION, 0.0, -_PAPER - (number + 0.6) * _TITLE, _TITLE * 0.7, plain_text(row)
        )


def _rectangle(box: Rectangle) -> Path:
    x0, y0, x1, y1 = box
    return Path.polygon((x0, y0), (x1, y0), (x1, y1), (x0, y1))
