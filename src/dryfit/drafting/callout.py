"""Names on a picture: on the face where they fit, else beside it with a leader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.spot import Spot, roomiest
from dryfit.pages.hand import COLOUR, text_width
from dryfit.pages.page import Anchor, Fill, Path, Role, Stroke, Text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.shapes.profile import Bounds, FloatArray

LETTER = 2.8
"""Height of a capital in a picture. [mm]"""

_SPACING = 1.9 * LETTER
_CLEAR = 6.0
_DOT = 0.45
_SEEN = 0.4
_LOOKED_AT = 8
_FIT = 0.75
_AIR = 0.6

Point = tuple[float, float]
Region = list["FloatArray"]
"""A region on the page: outer ring, then holes. [mm]"""


@dataclass(frozen=True, slots=True)
class Callout:
    """A name and the spot it points at; `inside` when it is lettered on the face itself."""

    name: str
    owner: str
    spot: Spot
    inside: bool


def callout(
    name: str, owner: str, faces: Sequence[Region], others: Sequence[Region]
) -> Callout | None:
    """Where to letter a part's name.

    Parameters
    ----------
    name, owner : str
        What is lettered, and the part it names.
    faces, others : sequence of regions
        What is seen of the part's two faces, and of its edges. [mm]

    Returns
    -------
    Callout or None
        None where nothing is seen of the part but slivers, as through the gap of a joint.
    """
    stretch = text_width(name, 1.0)
    best = max((roomiest(region, stretch) for region in _large(faces)), key=_room, default=None)
    if best is not None and best.room >= _FIT * LETTER:
        return Callout(name, owner, best, inside=True)
    regions = _large((*faces, *others))
    best = max((roomiest(region) for region in regions), key=_room, default=None)
    if best is None or best.room < _SEEN:
        return None
    return Callout(name, owner, best, inside=False)


def _large(regions: Sequence[Region]) -> list[Region]:
    """The few largest regions by the rectangle round them: a part can show hundreds of them."""
    return sorted(regions, key=lambda rings: -float(np.prod(np.ptp(rings[0], axis=0))))[:_LOOKED_AT]


def _room(spot: Spot) -> float:
    return spot.room


@dataclass(frozen=True, slots=True)
class Lettering:
    """The leaders, the dots they end in and the names of a picture."""

    leaders: tuple[Stroke, ...]
    dots: tuple[Fill, ...]
    names: tuple[Text, ...]


def letter(callouts: Sequence[Callout], bounds: Bounds) -> Lettering:
    """Letter all names round a picture with these bounds. [mm]

    Names with a leader stand in a column on the nearer side, in the order of their spots, so
    that leaders seldom cross. A leader breaks where it would run through a name on a face.
    """
    middle = (bounds[0] + bounds[2]) / 2
    inside = [_lettered(each) for each in callouts if each.inside]
    texts = list(inside)
    leaders: list[Stroke] = []
    for right in (False, True):
        beside = [c for c in callouts if not c.inside and (c.spot.x >= middle) is right]
        x = bounds[2] + _CLEAR if right else bounds[0] - _CLEAR
        for each, y in _stacked(beside, bounds):
            lines = broken((x, y), (each.spot.x, each.spot.y), inside)
            leaders += [Stroke(Role.LEADER, line, each.owner) for line in lines]
            texts.append(_beside(each, x, y, right=right))
    dots = tuple(_dot(each) for each in callouts if not each.inside)
    return Lettering(tuple(leaders), dots, tuple(texts))


def broken(start: Point, end: Point, names: Sequence[Text]) -> Iterator[Path]:
    """A straight leader, broken where it would run through a name on a face.

    Parameters
    ----------
    start, end : tuple of float
        Its ends. [mm]
    names : sequence of Text
        The names of a picture; those beside it are left alone. [mm]
    """
    on_faces = [name for name in names if name.anchor is Anchor.MIDDLE]
    cuts = sorted(
        found for name in on_faces if (found := _through(start, end, _room_of(name))) is not None
    )
    at = 0.0
    for first, last in (*cuts, (1.0, 1.0)):
        if first > at:
            yield Path.line(_between(start, end, at), _between(start, end, first))
        at = max(at, last)


def _between(start: Point, end: Point, share: float) -> Point:
    """The point at a share of the way; the ends themselves are kept to the last digit."""
    if share in (0.0, 1.0):
        return end if share else start
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _room_of(name: Text) -> Bounds:
    """The rectangle round a name on its face, with a little air. [mm]"""
    half = text_width(name.content, name.height) / 2
    return name.x - half, name.y - _AIR, name.x + half, name.y + name.height + _AIR


def _through(start: Point, end: Point, box: Bounds) -> tuple[float, float] | None:
    """Which share of a line runs through a rectangle, from and to; None where it does not. [-]"""
    first, last = 0.0, 1.0
    for k in (0, 1):
        way = end[k] - start[k]
        if way == 0:
            if not box[k] < start[k] < box[k + 2]:
                return None
            continue
        enter, leave = sorted(((box[k] - start[k]) / way, (box[k + 2] - start[k]) / way))
        first, last = max(first, enter), min(last, leave)
    return (first, last) if first < last else None


def _lettered(each: Callout) -> Text:
    """A name on its face."""
    x, y = each.spot.x, each.spot.y - LETTER / 2
    return Text(Role.LABEL, x, y, LETTER, each.name, Anchor.MIDDLE, owner=each.owner)


def _beside(each: Callout, x: float, y: float, *, right: bool) -> Text:
    """A name in its column, half-way up at y."""
    anchor, gap = (Anchor.START, 1.0) if right else (Anchor.END, -1.0)
    return Text(Role.LABEL, x + gap, y - LETTER / 2, LETTER, each.name, anchor, owner=each.owner)


def _dot(each: Callout) -> Fill:
    """The dot on the part that its leader ends in."""
    x, y = each.spot.x, each.spot.y
    ring = Path(((x - _DOT, y, 1.0), (x + _DOT, y, 1.0)))
    return Fill(Role.LEADER, (ring,), COLOUR[Role.LEADER], each.owner)


def _stacked(beside: Sequence[Callout], bounds: Bounds) -> Iterator[tuple[Callout, float]]:
    """Names from top to bottom at the height of their spots, pushed down where they are close.

    A column that would leave the picture at the bottom begins as much higher.
    """
    ordered = sorted(beside, key=lambda each: (-each.spot.y, each.name))
    heights: list[float] = []
    for each in ordered:
        limit = heights[-1] - _SPACING if heights else each.spot.y
        heights.append(min(each.spot.y, limit))
    lift = max(0.0, bounds[1] - heights[-1]) if heights else 0.0
    for each, height in zip(ordered, heights, strict=True):
        yield each, height + lift
