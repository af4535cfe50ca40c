"""A piece drawn apart: where each part goes, and the dotted leaders from where it belongs."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes.cells import overlapping_pairs
from dryfit.shapes.tolerances import PARALLEL, TOUCH
from dryfit.shapes.visible import hidden

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.parts.part import Part
    from dryfit.shapes.profile import FloatArray
    from dryfit.shapes.view import View
    from dryfit.shapes.visible import Face

IntArray = npt.NDArray[np.intp]


def moves(parts: Sequence[Part], apart: float) -> FloatArray:
    """How far each part is moved; shape (k, 3). [mm]

    Parameters
    ----------
    parts : sequence of Part
        The parts of a piece, each where its panel's frame puts it.
    apart : float
        How far the outermost parts move, as a share of the longest side of the box round the
        piece. [-]

    Returns
    -------
    array
        A part moves along its own normal away from the middle of the piece, an inner one in
        proportion to how far out it stands, so that order is kept. Parts that would then run into
        one another move outwards along all three axes; those that still would, such as panels
        that are halved across each other, keep together.

    Raises
    ------
    ShapeError
        If the share is negative or not a finite number.
    """
    if not 0 <= apart < np.inf:
        raise ShapeError(f"A piece is drawn apart by 0 or more of its size, not {apart:g}")
    boxes = np.array([corners(part) for part in parts])
    low, high = boxes.min(axis=(0, 1)), boxes.max(axis=(0, 1))
    half = np.maximum((high - low) / 2, TOUCH)
    out = (boxes.mean(axis=1) - (low + high) / 2) / half
    freely = apart * float(2 * half.max()) * out
    normals = np.array([part.panel.frame.n for part in parts])
    own = np.einsum("ij,ij->i", freely, normals)[:, None] * normals
    return _kept_clear(parts, boxes, np.round(own, 9), np.round(freely, 9))


def corners(part: Part) -> FloatArray:
    """The eight corners of the box round a part, in the piece; shape (8, 3). [mm]"""
    frame, (x0, y0, x1, y1) = part.panel.frame, part.as_cut.bounds
    axes = np.array((frame.u, frame.v, frame.n))
    spots = np.array(list(product((x0, x1), (y0, y1), (0.0, part.thickness))))
    return np.asarray(frame.origin + spots @ axes)


def moved(parts: Sequence[Part], by: FloatArray) -> list[Part]:
    """The parts in their new places. [mm]"""
    return [_shifted(part, move) for part, move in zip(parts, by, strict=True)]


def _shifted(part: Part, move: FloatArray) -> Part:
    x, y, z = (np.array(part.panel.frame.origin) + move).tolist()
    frame = replace(part.panel.frame, origin=(x, y, z))
    return replace(part, panel=replace(part.panel, frame=frame))


def trails(
    parts: Sequence[Part], by: FloatArray, faces: Sequence[Face], view: View, step: float
) -> Iterator[tuple[int, FloatArray]]:
    """What can be seen of the lines along which parts were moved, from four corners of each.

    Parameters
    ----------
    parts : sequence of Part
        The parts in their new places.
    by : array, shape (k, 3)
        How far each was moved. [mm]
    faces : sequence of Face
        All faces in their new places.
    view : View
        Where the viewer stands.
    step : float
        How finely each line is looked at. [mm]

    Yields
    ------
    int
        The part.
    array, shape (2, 2)
        Both ends of a stretch on the page. [mm]
    """
    lines = [
        (k, corner - move, corner)
        for k, (part, move) in enumerate(zip(parts, by, strict=True))
        if np.abs(move).max() > TOUCH
        for corner in _tips(part, move)
    ]
    counts = [max(2, math.ceil(math.dist(home, place) / step)) for _, home, place in lines]
    dots = [np.linspace(*line[1:], count) for line, count in zip(lines, counts, strict=True)]
    if not dots:
        return
    behind = np.split(hidden(np.concatenate(dots), faces, view), np.cumsum(counts)[:-1])
    for (k, _, _), points, gone in zip(lines, dots, behind, strict=True):
        turns = np.nonzero(np.diff(np.concatenate(([True], gone, [True])).astype(np.int8)))[0]
        for first, last in turns.reshape(-1, 2).tolist():
            if last - first > 1:
                yield k, view.page(points[[first, last - 1]])


def _tips(part: Part, move: FloatArray) -> FloatArray:
    """The four points of a part nearest to its corners, on the face that looks home. [mm]"""
    frame, outline = part.panel.frame, part.as_cut.outer.vertices[:, :2]
    x0, y0, x1, y1 = part.as_cut.bounds
    nearest = [
        outline[np.argmin(np.hypot(*(outline - corner).T))]
        for corner in product((x0, x1), (y0, y1))
    ]
    away = move @ np.array(frame.n) > 0
    face = frame.origin + (0.0 if away else part.thickness) * np.array(frame.n)
    return np.asarray(face + np.array(nearest) @ np.array((frame.u, frame.v)))


def _kept_clear(
    parts: Sequence[Part], boxes: FloatArray, own: FloatArray, freely: FloatArray
) -> FloatArray:
    """Moves after which no part is in another's way; parts of one group share theirs."""
    axes = np.array([(p.panel.frame.u, p.panel.frame.v, p.panel.frame.n) for p in parts])
    free = np.zeros(len(parts), dtype=bool)
    group = np.arange(len(parts))
    chosen = own.copy()
    while len(pairs := _clashes(boxes + chosen[:, None], axes, chosen)):
        stiff = np.zeros(len(parts), dtype=bool)
        stiff[pairs.ravel()] = True
        stiff &= ~free
        free |= stiff
        if not stiff.any():
            for one, other in pairs.tolist():
                group[group == group[other]] = group[one]
        chosen = np.where(free[:, None], freely, own)
        for each in np.unique(group[free]).tolist():
            chosen[group == each] = chosen[group == each].mean(axis=0)
    return chosen


def _clashes(boxes: FloatArray, axes: FloatArray, by: FloatArray) -> IntArray:
    """Pairs (m, 2) of parts with moves of their own whose boxes share space."""
    pairs = overlapping_pairs(boxes.min(axis=1), boxes.max(axis=1), TOUCH)
    i, j = pairs[np.abs(by[pairs[:, 0]] - by[pairs[:, 1]]).max(axis=1) > TOUCH].T
    # Two boxes are clear of one another if they are along a normal of either or a cross product.
    crossed = np.cross(axes[i][:, :, None], axes[j][:, None]).reshape(-1, 9, 3)
    ways = np.concatenate((axes[i], axes[j], crossed), axis=1)
    length = np.linalg.norm(ways, axis=2)
    ways = ways / np.maximum(length, PARALLEL)[..., None]
    one, other = (np.einsum("pkc,pwc->pwk", boxes[k], ways) for k in (i, j))
    shared = np.minimum(one.max(axis=2), other.max(axis=2)) - np.maximum(
        one.min(axis=2), other.min(axis=2)
    )
    clear = ((shared < TOUCH) & (length > PARALLEL)).any(axis=1)
    return np.asarray(np.column_stack((i, j))[~clear])
