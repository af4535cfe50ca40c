"""Real edges that are seen: the border of a patch where it runs along its face's own edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.tolerances import PAGE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.view import View

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]
Span = tuple[float, float]
Key = tuple[int, ...]

NEAR = 4 * PAGE
"""How far the border of a patch may stray from the edge it came from. [mm]"""


class Strokes:
    """What has been drawn of every line in space, so that no stretch of it is drawn twice.

    Two faces share their edge, and edges of parts that meet flush lie on one line.
    """

    def __init__(self) -> None:
        self._drawn: dict[Key, list[Span]] = {}

    def fresh(self, key: Key, spans: Sequence[Span]) -> list[Span]:
        """The parts of `spans` (distances along the line [mm]) not drawn before; they are now."""
        drawn = self._drawn.setdefault(key, [])
        new = list(spans)
        first, last = min(span[0] for span in new), max(span[1] for span in new)
        for low, high in [span for span in drawn if span[1] > first and span[0] < last]:
            new = [part for span in new for part in _less(span, low, high)]
        drawn += new
        return new


def _less(span: Span, low: float, high: float) -> list[Span]:
    parts = [(span[0], min(span[1], low)), (max(span[0], high), span[1])]
    return [part for part in parts if part[1] - part[0] > NEAR]


def seen(
    loops: Sequence[FloatArray],
    inked: Sequence[BoolArray],
    view: View,
    polygons: Sequence[Sequence[FloatArray]],
    strokes: Strokes,
) -> list[FloatArray]:
    """Polylines along the real edges of a face that border its visible polygons. [mm]

    Parameters
    ----------
    loops, inked
        As in :class:`dryfit.shapes.visible.Face`. [mm]
    view : View
        Where the viewer stands.
    polygons : sequence
        Closed rings (m, 2) of the visible region. [mm]
    strokes : Strokes
        What other faces have drawn.
    """
    border = np.concatenate(
        [np.column_stack((ring[:-1], ring[1:])) for rings in polygons for ring in rings]
    )
    lines: list[FloatArray] = []
    for k, corners in enumerate(loops):
        real = inked[k] if inked else np.ones(len(corners), dtype=bool)
        lines += _along(corners, np.nonzero(real)[0], view, border, strokes)
    return lines


def _along(
    corners: FloatArray, real: IntArray, view: View, border: FloatArray, strokes: Strokes
) -> list[FloatArray]:
    ends = np.roll(corners, -1, axis=0)
    page, page_end = view.page(corners), view.page(ends)
    keys, sign, begin = _lines(corners, ends, view)
    segments: list[FloatArray] = []
    for k, spans in zip(real.tolist(), _spans(page[real], page_end[real], border), strict=True):
        if not spans:
            continue
        new = strokes.fresh(keys[k], [_shifted(span, sign[k], begin[k]) for span in spans])
        back = sorted(_shifted(span, sign[k], -sign[k] * begin[k]) for span in new)
        way = page_end[k] - page[k]
        way = way / np.hypot(*way)
        segments += [np.array([page[k] + a * way, page[k] + b * way]) for a, b in back]
    return _chained(segments)


def _lines(
    corners: FloatArray, ends: FloatArray, view: View
) -> tuple[list[Key], list[float], list[float]]:
    """The line in space that each edge lies on.

    Its key (direction, and the point nearest to the origin), whether the edge runs along it (1) or
    against it (-1), and how far along it on the page the edge begins [mm].
    """
    way = ends - corners
    way = way / np.maximum(np.linalg.norm(way, axis=1), 1e-300)[:, None]
    rounded = np.round(way, 6)
    leading = np.take_along_axis(rounded, np.argmax(rounded != 0, axis=1)[:, None], axis=1)[:, 0]
    sign = np.where(leading < 0, -1.0, 1.0)
    line = way * sign[:, None]
    place = np.einsum("ij,ij->i", corners, line)
    foot = corners - place[:, None] * line
    keys = np.hstack((np.round(line * 1e6), np.round(foot / (10 * PAGE)))).astype(np.int64)
    begin = place * np.hypot(*view.page(line).T)
    return [tuple(key) for key in keys.tolist()], sign.tolist(), begin.tolist()


def _shifted(span: Span, sign: float, begin: float) -> Span:
    """A span seen from another point of its line, along it (1) or against it (-1). [mm]"""
    one, other = begin + sign * span[0], begin + sign * span[1]
    return min(one, other), max(one, other)


def _spans(start: FloatArray, end: FloatArray, border: FloatArray) -> list[list[Span]]:
    """For each edge on the page, where the border runs along it, as distances from its start."""
    way = end - start
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-300)
    way = way / length[:, None]
    found: list[list[Span]] = [[] for _ in range(len(start))]
    places = []
    off = np.zeros((len(start), len(border)))
    for column in (0, 2):
        x = border[None, :, column] - start[:, None, 0]
        y = border[None, :, column + 1] - start[:, None, 1]
        places.append(x * way[:, None, 0] + y * way[:, None, 1])
        off = np.maximum(off, np.abs(way[:, None, 0] * y - way[:, None, 1] * x))
    low = np.maximum(np.minimum(*places), 0.0)
    high = np.minimum(np.maximum(*places), length[:, None])
    for k, m in zip(*np.nonzero((off < NEAR) & (high - low > NEAR)), strict=True):
        found[k].append((float(low[k, m]), float(high[k, m])))
    return [_merged(spans, size) for spans, size in zip(found, length.tolist(), strict=True)]


def _merged(spans: list[Span], length: float) -> list[Span]:
    """Spans that touch made one; ends that nearly reach the edge's ends made to reach them."""
    merged: list[Span] = []
    for low, high in sorted(spans):
        if merged and low <= merged[-1][1] + NEAR:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return [(0.0 if a < NEAR else a, length if length - b < NEAR else b) for a, b in merged]


def _chained(segments: Sequence[FloatArray]) -> list[FloatArray]:
    """Polylines of segments that follow one another."""
    lines: list[list[FloatArray]] = []
    for one in segments:
        if lines and np.abs(lines[-1][-1] - one[0]).max() < NEAR:
            lines[-1].append(one[1])
        else:
            lines.append([one[0], one[1]])
    if len(lines) > 1 and np.abs(lines[-1][-1] - lines[0][0]).max() < NEAR:
        lines[0] = lines.pop() + lines[0][1:]
    return [np.array(line) for line in lines]
