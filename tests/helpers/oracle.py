"""A voxel oracle on compressed coordinates: who fills each cell of space.

Space is cut at every coordinate at which a reach or a part begins or ends, so that each cell is
wholly inside or outside of everything. The centre of a cell stands for it, and a crossing count
says whether it lies in a polygon. No geometry of the program is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.panel import Panel
    from dryfit.parts.part import Part

MERGE = 1e-7
"""Boundaries nearer than this are one: what lies between is rounding. [mm]"""


@dataclass(frozen=True)
class Cells:
    """Which cells each reach and each part fills, shape (panels, x, y, z), and their volumes."""

    reaches: np.ndarray
    parts: np.ndarray
    volumes: np.ndarray


def frame_of(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """Origin, and the rows u, v, n."""
    return np.array(panel.frame.origin), np.array([panel.frame.u, panel.frame.v, panel.frame.n])


def in_place(part: Part) -> np.ndarray:
    """Vertices of a part's outline on face a, in the piece; shape (k, 3)."""
    origin, rows = frame_of(part.panel)
    return np.asarray(origin + part.profile.outer.vertices[:, :2] @ rows[:2])


def reach_of(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """The upright box of a panel whose frame lies along the axes."""
    origin, rows = frame_of(panel)
    far = origin + np.array([panel.width, panel.height, panel.thickness]) @ rows
    return np.minimum(origin, far), np.maximum(origin, far)


def inside(points: np.ndarray, polygon: np.ndarray) -> np.ndarray:
    """Whether points (k, 2) lie in a polygon (m, 2): odd crossings of a ray to the right."""
    x, y = points[:, :1], points[:, 1:]
    x0, y0 = polygon.T
    x1, y1 = np.roll(polygon, -1, axis=0).T
    spans = (y0 > y) != (y1 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
    return np.asarray((spans & (x < cross)).sum(axis=1) % 2 == 1)


def cells(parts: Sequence[Part]) -> Cells:
    """The oracle for parts with straight edges whose frames lie along the axes."""
    boxes = [reach_of(part.panel) for part in parts]
    cuts_in = [np.array(box) for part in parts for box in cut_boxes(part)]
    corners = np.vstack(
        [in_place(part) for part in parts] + [np.array(box) for box in boxes] + cuts_in
    )
    cuts = [_distinct(corners[:, axis]) for axis in range(3)]
    middles = [(cut[1:] + cut[:-1]) / 2 for cut in cuts]
    dx, dy, dz = (np.diff(cut) for cut in cuts)
    return Cells(
        np.array([_in_box(middles, low, high) for low, high in boxes]),
        np.array([_in_part(part, middles, box) for part, box in zip(parts, boxes, strict=True)]),
        dx[:, None, None] * dy[None, :, None] * dz[None, None, :],
    )


def _distinct(values: np.ndarray) -> np.ndarray:
    ordered = np.unique(values)
    return np.asarray(ordered[np.concatenate(([True], np.diff(ordered) > MERGE))])


def _in_box(middles: list[np.ndarray], low: np.ndarray, high: np.ndarray) -> np.ndarray:
    x, y, z = ((m > lo) & (m < hi) for m, lo, hi in zip(middles, low, high, strict=True))
    return np.asarray(x[:, None, None] & y[None, :, None] & z[None, None, :])


def _in_part(
    part: Part, middles: list[np.ndarray], box: tuple[np.ndarray, np.ndarray]
) -> np.ndarray:
    """One crossing count for each column of cells along the part's thickness."""
    origin, rows = frame_of(part.panel)
    normal = int(np.abs(rows[2]).argmax())
    one, other = (axis for axis in range(3) if axis != normal)
    grid = np.zeros((len(middles[one]), len(middles[other]), 3))
    grid[:, :, one], grid[:, :, other] = middles[one][:, None], middles[other][None, :]
    local = (grid.reshape(-1, 3) - origin) @ rows[:2].T
    face = inside(local, part.profile.outer.vertices[:, :2]).reshape(grid.shape[:2])
    deep = (middles[normal] > box[0][normal]) & (middles[normal] < box[1][normal])
    solid = np.moveaxis(face[:, :, None] & deep[None, None, :], 2, normal)
    for low, high in cut_boxes(part):
        solid = solid & ~_in_box(middles, low, high)
    return np.asarray(solid)


def cut_boxes(part: Part) -> list[tuple[np.ndarray, np.ndarray]]:
    """Square mortises and trenches as upright boxes in the piece."""
    origin, rows = frame_of(part.panel)
    found = []
    for cut in part.cuts[1:]:
        flat = cut.profile.outer.vertices[:, :2]
        heights = (
            (cut.depth_from, cut.depth_to)
            if cut.face == "a"
            else (part.thickness - cut.depth_to, part.thickness - cut.depth_from)
        )
        ends = np.array([[*flat.min(axis=0), heights[0]], [*flat.max(axis=0), heights[1]]])
        placed = origin + ends @ rows
        found.append((placed.min(axis=0), placed.max(axis=0)))
    return found


def exact_volume(part: Part) -> Fraction:
    """Volume of a straight-edged part by the shoelace formula in fractions. [mm³]"""
    points = [(Fraction(x), Fraction(y)) for x, y, _ in part.profile.outer.vertices.tolist()]
    twice = sum(
        (
            x0 * y1 - x1 * y0
            for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True)
        ),
        Fraction(0),
    )
    return twice / 2 * Fraction(part.thickness)


def polygon(vertices: np.ndarray) -> shapely.Polygon:
    """A polygon of GEOS through vertices, arcs taken as their chords."""
    return shapely.Polygon(vertices[:, :2])
