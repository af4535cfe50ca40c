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
    that leaders do not cross.
    """
    middle = (bounds[0] + bounds[2]) / 2
    texts = [_lettered(each) for each in callouts if each.inside]
    leaders: list[Stroke] = []
    for right in (False, True):
        beside = [c for c in callouts if not c.inside and (c.spot.x >= middle) is right]
        x = bounds[2] + _CLEAR if right else bounds[0] - _CLEAR
        for each, y in _stacked(beside, bounds):
            line = Path.line((x, y), (each.spot.x, each.spot.y))
            leaders.append(Stroke(Role.LEADER, line, each.owner))
            texts.append(_beside(each, x, y, right=right))
    dots = tuple(_dot(each) for each in callouts if not each.inside)
    return Lettering(tuple(leaders), dots, tuple(texts))


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
