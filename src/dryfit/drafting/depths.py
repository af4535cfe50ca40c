"""Which face each trench of a part is in and how deep it is, lettered in it or beside it."""

from __future__ import annotations

import math
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from dryfit.pages.hand import text_width
from dryfit.pages.page import Anchor, Role, Text
from dryfit.parts.part import Purpose
from dryfit.shapes.tolerances import PICTURE_CHORD
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.parts.part import Cut, Part
    from dryfit.shapes.profile import Bounds, FloatArray

_HEIGHTS = (2.5, 2.0, 1.5, 1.0)
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)
"""Places along a trench at which its lettering may stand, the best first. [-]"""

_ROOM = 0.6
"""Bare wood round a line of lettering, in heights of its capitals. [-]"""


def face_and_depth(cut: Cut, unit: str) -> str:
    """Which face a trench is in and how deep it is, in words.

    Examples
    --------
    >>> from dryfit.model.panel import Face
    >>> from dryfit.parts.part import Cut
    >>> from dryfit.shapes.profile import Profile
    >>> housing = Profile.rectangle(0, 0, 80, 9)
    >>> face_and_depth(Cut(Purpose.TRENCH, housing, Face.A, 0.0, 4.0), "mm")
    'face a, 4.00 mm deep'
    """
    return f"face {cut.face.value}, {show_length(cut.depth_to, unit)} deep"


def depth_texts(part: Part, others: Sequence[Text], unit: str, margin: float) -> tuple[Text, ...]:
    """A line of lettering for every trench, clear of all cuts and of one another.

    Parameters
    ----------
    part : Part
        What is cut.
    others : sequence of Text
        What is lettered already; each is centred where it stands. [mm]
    unit : str
        The unit that depths are printed in.
    margin : float
        How far beyond the part's outline lettering may stand. [mm]

    Returns
    -------
    tuple of Text
        One for each trench, along its longer side: in it where it is wide enough, else beside it.
        Where there is no room, in its middle and small.
    """
    trenches = part.cuts_for(Purpose.TRENCH)
    if not trenches:
        return ()
    rings = [loop.dense(PICTURE_CHORD) for cut in part.cuts for loop in cut.profile.loops]
    lines = np.concatenate([np.hstack((ring, np.roll(ring, -1, axis=0))) for ring in rings])
    taken = [_box(text) for text in others]
    x0, y0, x1, y1 = part.profile.bounds
    paper = x0 - margin, y0 - margin, x1 + margin, y1 + margin
    made = []
    for cut in trenches:
        tries = list(_places(cut, face_and_depth(cut, unit), part.name))
        text = next((t for t in tries if _is_clear(_box(t), lines, taken, paper)), tries[-1])
        taken.append(_box(text))
        made.append(text)
    return tuple(made)


def _places(cut: Cut, words: str, owner: str) -> Iterator[Text]:
    """Where the lettering of a trench may stand, the best place first."""
    x0, y0, x1, y1 = cut.profile.bounds
    upright = y1 - y0 > x1 - x0
    along, across = ((y0, y1), (x0, x1)) if upright else ((x0, x1), (y0, y1))
    for height in _HEIGHTS:
        beside = (0.5 + _ROOM) * height
        middles = (sum(across) / 2, across[1] + beside, across[0] - beside)
        for middle, share in product(middles, _SHARES):
            place = along[0] + share * (along[1] - along[0])
            yield _lettered(words, owner, height, (place, middle), upright=upright)
    place, middle = sum(along) / 2, sum(across) / 2
    yield _lettered(words, owner, _HEIGHTS[-1], (place, middle), upright=upright)


def _lettered(
    words: str, owner: str, height: float, at: tuple[float, float], *, upright: bool
) -> Text:
    """A line centred at a place along and across a trench, reading along it."""
    place, middle = at
    if upright:
        x, y, angle = middle + height / 2, place, math.pi / 2
    else:
        x, y, angle = place, middle - height / 2, 0.0
    return Text(Role.LABEL, x, y, height, words, Anchor.MIDDLE, angle, owner)


def _box(text: Text) -> Bounds:
    """The rectangle round a centred line of text, level or upright, with bare wood round it."""
    half, spare = text_width(text.content, text.height) / 2, _ROOM * text.height / 2
    low, high = -spare, text.height + spare
    if text.angle:
        return text.x - high, text.y - half - spare, text.x - low, text.y + half + spare
    return text.x - half - spare, text.y + low, text.x + half + spare, text.y + high


def _is_clear(box: Bounds, lines: FloatArray, taken: Sequence[Bounds], paper: Bounds) -> bool:
    """Whether a rectangle lies on the paper, off all lines and off what is taken."""
    x0, y0, x1, y1 = box
    if x0 < paper[0] or y0 < paper[1] or x1 > paper[2] or y1 > paper[3]:
        return False
    if any(x0 < c and a < x1 and y0 < d and b < y1 for a, b, c, d in taken):
        return False
    a, b, c, d = lines.T
    near = (np.minimum(a, c) < x1) & (np.maximum(a, c) > x0)
    near &= (np.minimum(b, d) < y1) & (np.maximum(b, d) > y0)
    # A line through the rectangle has corners on both sides of it.
    sides = np.array([(c - a) * (y - b) - (d - b) * (x - a) for x in (x0, x1) for y in (y0, y1)])
    return not bool((near & (sides.min(axis=0) < 0) & (sides.max(axis=0) > 0)).any())
