"""The assembled piece as a page: parallel projection, hidden lines gone, parts named."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.apart import corners, moved, moves, trails
from dryfit.drafting.callout import LETTER, Callout, broken, callout, letter
from dryfit.drafting.prism import Side, sides
from dryfit.drafting.tint import tint
from dryfit.errors import ShapeError
from dryfit.pages.hand import DOTTED, PAPER, text_width
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text
from dryfit.shapes.tolerances import PICTURE_CHORD
from dryfit.shapes.view import View
from dryfit.shapes.visible import Patch, visible

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Bounds, FloatArray

AZIMUTH = math.radians(-55)
"""Where the viewer stands about z: to the right of the front. [rad]"""

ELEVATION = math.radians(30)
"""How far above. [rad]"""

WIDTH, HEIGHT = 150.0, 120.0
"""Room for the drawing itself; it fills one of the two. [mm]"""

_MARGIN = 8.0
_STEP = 0.25
"""How finely a dotted leader is looked at for where it goes behind a part. [mm]"""

_PLACES = 3  # a thousandth of a millimetre is finer than any printer
_LONGEST_NAME = 28
_LONGEST_NOTE = 70


def picture_page(title: str, parts: Sequence[Part], apart: float = 0.0) -> Page:
    """The piece put together or drawn apart, seen from the front, the right and above.

    Parameters
    ----------
    title : str
        What the piece is called.
    parts : sequence of Part
        Parts with their as-cut profiles; each stands where its panel's frame puts it.
    apart : float
        How far the outermost parts are moved away from the middle along their normals, as a share
        of the longest side of the piece; see :func:`dryfit.drafting.apart.moves`. [-]

    Returns
    -------
    Page
        What is seen of every part as ``face`` in tints by direction, real edges as ``edge``, and
        every name that can be seen on its part or beside it with a ``leader``. Drawn apart, dotted
        leaders run to each part from where it belongs.

    Raises
    ------
    ShapeError
        If there are no parts, or `apart` is negative.
    """
    if not parts:
        raise ShapeError("A piece of 0 parts cannot be drawn; state a panel first")
    said = f"{plain_text(title)}, {'drawn apart' if apart else 'put together'}"
    return moved_page(title, parts, moves(parts, apart), said)


def moved_page(
    title: str, parts: Sequence[Part], by: FloatArray, said: str, named: Sequence[str] | None = None
) -> Page:
    """Parts moved from their places, with dotted leaders from there.

    Parameters
    ----------
    title : str
        What is shown.
    parts : sequence of Part
        One or more, in their places.
    by : array, shape (k, 3)
        How far each is moved. [mm]
    said : str
        What is shown, in words, for those who listen.
    named : sequence of str, optional
        The parts that are named; all of them where not given.
    """
    view = View.axonometric(AZIMUTH, ELEVATION)
    parts = moved(parts, by)
    scale = _scale(*_size(parts, view))
    chord = PICTURE_CHORD / scale
    solid = [side for index, part in enumerate(parts) for side in sides(part, index, chord)]
    faces = [side.face for side in solid]
    seen = visible(faces, view)
    fit = _fitting(_bounds(seen))
    patches = [_fitted(patch, fit) for patch in seen]
    told = [part for part in parts if named is None or part.name in named]
    callouts = list(_callouts(patches, solid, parts, {part.name for part in told}))
    bounds = _bounds(patches)
    lettering = letter(callouts, bounds)
    dotted = _dotted(trails(parts, by, faces, view, _STEP / scale), parts, fit, lettering.names)
    unseen = _unseen(told, callouts)
    notes = [Text(Role.LABEL, bounds[0], bounds[1] - 4 * LETTER, LETTER, unseen)] if unseen else []
    texts = (*lettering.names, *notes)
    x0, y0, x1, y1 = _paper(bounds, texts)
    return Page(
        title=plain_text(title),
        description=_describe(said, parts, unseen),
        width=x1 - x0,
        height=y1 - y0,
        x=x0,
        y=y0,
        paper=PAPER,
        fills=(*_fills(patches, solid, parts), *lettering.dots),
        strokes=(*_inks(patches, parts), *dotted, *lettering.leaders),
        texts=texts,
    )


def _size(parts: Sequence[Part], view: View) -> tuple[float, float]:
    """Width and height of the piece as it is seen, reliefs and gaps left out. [mm]"""
    reaches = np.concatenate([corners(part) for part in parts])
    width, height = np.ptp(view.page(reaches), axis=0).tolist()
    return width, height


def _scale(width: float, height: float) -> float:
    """How much larger than life something of that size [mm] is drawn. [-]"""
    return min(WIDTH / max(width, 1e-9), HEIGHT / max(height, 1e-9))


def _fitting(bounds: Bounds) -> Callable[[FloatArray], FloatArray]:
    """What scales points to the room on the page, the lower left corner at the origin."""
    x0, y0, x1, y1 = bounds
    scale = _scale(x1 - x0, y1 - y0)

    def fit(points: FloatArray) -> FloatArray:
        return np.asarray(np.round((points - (x0, y0)) * scale, _PLACES) + 0.0)

    return fit


def _fitted(patch: Patch, fit: Callable[[FloatArray], FloatArray]) -> Patch:
    polygons = [[fit(ring) for ring in rings] for rings in patch.polygons]
    return Patch(patch.tag, patch.face, polygons, [fit(line) for line in patch.ink])


def _bounds(patches: Sequence[Patch]) -> Bounds:
    """The rectangle round all that is seen. [mm]"""
    rings = [ring for patch in patches for rings in patch.polygons for ring in rings]
    points = np.concatenate(rings) if rings else np.zeros((1, 2))
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return x0, y0, x1, y1


def _fills(
    patches: Sequence[Patch], solid: Sequence[Side], parts: Sequence[Part]
) -> Iterator[Fill]:
    for patch in patches:
        part = parts[patch.tag]
        colour = tint(solid[patch.face], part.panel.grain, patch.tag)
        for rings in patch.polygons:
            paths = tuple(Path(_vertices(ring[:-1])) for ring in rings)
            yield Fill(Role.FACE, paths, colour, part.name)


def _inks(patches: Sequence[Patch], parts: Sequence[Part]) -> Iterator[Stroke]:
    for patch in patches:
        for line in patch.ink:
            path = Path(_vertices(line), closed=False)
            yield Stroke(Role.EDGE, path, parts[patch.tag].name)


def _dotted(
    lines: Iterable[tuple[int, FloatArray]],
    parts: Sequence[Part],
    fit: Callable[[FloatArray], FloatArray],
    names: Sequence[Text],
) -> Iterator[Stroke]:
    """Leaders from where parts belong to where they are drawn."""
    for part, line in lines:
        (x0, y0), (x1, y1) = fit(line).tolist()
        for path in broken((x0, y0), (x1, y1), names):
            yield Stroke(Role.LEADER, path, parts[part].name, dashes=DOTTED)


def _vertices(points: FloatArray) -> tuple[tuple[float, float, float], ...]:
    return tuple((x, y, 0.0) for x, y in points.tolist())


def _callouts(
    patches: Sequence[Patch], solid: Sequence[Side], parts: Sequence[Part], named: set[str]
) -> Iterator[Callout]:
    """A name for every part that is to be named and of which something is seen."""
    for index, part in enumerate(parts):
        if part.name not in named:
            continue
        own = [patch for patch in patches if patch.tag == index]
        faces = [r for patch in own if solid[patch.face].along is None for r in patch.polygons]
        edges = [r for patch in own if solid[patch.face].along is not None for r in patch.polygons]
        found = callout(plain_text(part.name, _LONGEST_NAME), part.name, faces, edges)
        if found is not None:
            yield found


def _unseen(parts: Sequence[Part], callouts: Sequence[Callout]) -> str:
    """The parts that stand behind others, in a line that fits under the picture."""
    seen = {each.owner for each in callouts}
    hidden = [plain_text(part.name, _LONGEST_NAME) for part in parts if part.name not in seen]
    if not hidden:
        return ""
    shown = list(hidden)
    while len(shown) > 1 and len(", ".join(shown)) > _LONGEST_NOTE:
        shown.pop()
    more = f" and {len(hidden) - len(shown)} more" if len(shown) < len(hidden) else ""
    return f"not seen from here: {', '.join(shown)}{more}"


def _paper(bounds: Bounds, texts: Sequence[Text]) -> Bounds:
    """The rectangle round the drawing and its texts, with a margin. [mm]"""
    boxes = [bounds, *(_text_box(text) for text in texts)]
    low = [min(box[k] for box in boxes) - _MARGIN for k in (0, 1)]
    high = [max(box[k] for box in boxes) + _MARGIN for k in (2, 3)]
    return math.floor(low[0]), math.floor(low[1]), math.ceil(high[0]), math.ceil(high[1])


def _text_box(text: Text) -> Bounds:
    """The rectangle a level line of text needs at most. [mm]"""
    width = text_width(text.content, text.height)
    share = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[text.anchor]
    left = text.x - share * width
    return left, text.y, left + width, text.y + text.height


def _describe(said: str, parts: Sequence[Part], unseen: str) -> str:
    """The text twin of the picture."""
    names = ", ".join(plain_text(part.name) for part in parts)
    return f"{said.rstrip('.')}, seen from the front, the right and above. Parts: {names}." + (
        f" {unseen.capitalize()}." if unseen else ""
    )
