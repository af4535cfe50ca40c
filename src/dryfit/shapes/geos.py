"""The door to GEOS: the only module of ours that imports shapely.

Regions are arrays of opaque polygon objects; everything else goes in and out as numbers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
import shapely

from dryfit.errors import ShapeError

if TYPE_CHECKING:
    from collections.abc import Sequence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
Regions = npt.NDArray[np.object_]
"""Polygons of the engine, to be handed back to this module only."""


def box_pairs(boxes: FloatArray, spare: float) -> tuple[IntArray, IntArray]:
    """Pairs i < j of boxes (xmin, ymin, xmax, ymax) that touch within `spare` [mm]."""
    grown = boxes + np.array([-spare, -spare, spare, spare])
    shapes = shapely.box(*grown.T)
    first, second = shapely.STRtree(shapes).query(shapes)
    keep = first < second
    return first[keep], second[keep]


def close_pairs(points: FloatArray, distance: float) -> tuple[IntArray, IntArray]:
    """Pairs i < j of points no farther apart than `distance` [mm]."""
    shapes = _points(points)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=distance)
    keep = first < second
    return first[keep], second[keep]


def _points(points: FloatArray) -> Regions:
    return np.asarray(shapely.points(points), dtype=object)


def point_box_pairs(
    points: FloatArray, boxes: FloatArray, spare: float
) -> tuple[IntArray, IntArray]:
    """Pairs (point, box) where the point is in the box grown by `spare` [mm]."""
    grown = shapely.box(*(boxes + np.array([-spare, -spare, spare, spare])).T)
    which, where = shapely.STRtree(grown).query(_points(points), predicate="intersects")
    return which, where


def regions(parts: Sequence[Sequence[FloatArray]]) -> Regions:
    """One polygon for each sequence of rings (outer first, then holes); rings (m, 2). [mm]"""
    made = np.empty(len(parts), dtype=object)
    plain = [k for k, rings in enumerate(parts) if len(rings) == 1]
    if plain:
        count = [len(parts[k][0]) for k in plain]
        corners = np.concatenate([parts[k][0] for k in plain])
        rings = shapely.linearrings(corners, indices=np.repeat(np.arange(len(plain)), count))
        made[plain] = shapely.polygons(rings)
    for k, rings_of in enumerate(parts):
        if len(rings_of) > 1:
            made[k] = shapely.Polygon(rings_of[0], list(rings_of[1:]))
    return made


def inside_pairs(shapes: Regions, points: FloatArray) -> tuple[IntArray, IntArray]:
    """Pairs (region, point) where the point is inside the region."""
    shapely.prepare(shapes)
    region, point = shapely.STRtree(_points(points)).query(shapes, predicate="contains")
    return region, point


def overlay_area(kind: str, first: Regions, second: Regions) -> float:
    """Area of union, difference or intersection of two groups of regions. [mm²]"""
    one, other = _merged(first), _merged(second)
    operation = {
        "union": shapely.union,
        "difference": shapely.difference,
        "intersection": shapely.intersection,
    }[kind]
    return float(shapely.area(operation(one, other)))


def _merged(group: Regions) -> Any:
    """The union of a group; one that crosses itself is mended first."""
    valid = shapely.is_valid(group)
    if not valid.all():
        group = np.where(valid, group, shapely.make_valid(group))
    if len(group) == 1:
        return group[0]
    return shapely.union_all(group)


def areas(shapes: Regions) -> FloatArray:
    """Area of each region. [mm²]"""
    return np.asarray(shapely.area(shapes))


def rings_of(shape: Any) -> list[list[FloatArray]]:
    """The rings (outer first, closed, (m, 2)) of each polygon in a region. [mm]"""
    found = []
    for polygon in shapely.get_parts(shape):
        if shapely.get_type_id(polygon) == 3 and not polygon.is_empty:
            rings = [polygon.exterior, *polygon.interiors]
            found.append([shapely.get_coordinates(ring) for ring in rings])
    return found


def touching_pairs(shapes: Regions) -> tuple[IntArray, IntArray]:
    """Pairs i < j of regions whose boxes touch."""
    first, second = shapely.STRtree(shapes).query(shapes)
    keep = first < second
    return first[keep], second[keep]


def distances(shapes: Regions, points: FloatArray) -> FloatArray:
    """Distance of each point from the nearest of the regions. [mm]"""
    if not len(points):
        return np.zeros(0)
    return np.asarray(shapely.distance(shapely.multipolygons(shapes), _points(points)))


def covered(inner: Regions, outer: Regions) -> npt.NDArray[np.bool_]:
    """Whether each outer region covers its inner one, pair by pair."""
    shapely.prepare(outer)
    return np.asarray(shapely.covers(outer, inner))


def overlaps(first: Regions, second: Regions, grid: float) -> tuple[Regions, IntArray]:
    """Polygons of the overlap of each pair, and the pair each belongs to; grid in [mm].

    Corners are put on a grid: where two faces meet in an edge, rounding would otherwise string
    separate overlaps together by slivers of no width along it.
    """
    meets = np.nonzero(shapely.intersects(first, second))[0]
    parts, index = shapely.get_parts(
        shapely.intersection(first[meets], second[meets], grid_size=grid), return_index=True
    )
    flat = shapely.get_type_id(parts) == 3
    return parts[flat], meets[index[flat]]


def corners(shapes: Regions) -> tuple[FloatArray, IntArray]:
    """Every vertex of the regions, (m, 2) [mm], and the region each belongs to."""
    return shapely.get_coordinates(shapes, return_index=True)


def widths(shapes: Regions) -> FloatArray:
    """Area over half the perimeter: the width of a sliver. [mm]"""
    around = np.asarray(shapely.length(shapes))
    return np.asarray(2 * shapely.area(shapes) / np.where(around > 0, around, 1.0))


def without(shape: Any, others: Regions, grid: float) -> Any:
    """A region less the union of others, corners on a grid of `grid` [mm]."""
    x0, y0, x1, y1 = shapely.bounds(shape)
    # A small face behind a large one needs only what lies before it, not the whole outline.
    room = 10 * grid
    near = shapely.clip_by_rect(others, x0 - room, y0 - room, x1 + room, y1 + room)
    others = near[~shapely.is_empty(near)]
    try:
        return shapely.difference(shape, shapely.union_all(others, grid_size=grid), grid_size=grid)
    except shapely.GEOSException as trouble:
        raise ShapeError(
            f"{len(others)} overlapping faces could not be sorted: {trouble}"
        ) from None


def lines(rows: FloatArray) -> Regions:
    """Straight lines from rows x0, y0, x1, y1. [mm]"""
    return np.asarray(shapely.linestrings(rows.reshape(-1, 2, 2)), dtype=object)


def spots(points: FloatArray) -> Regions:
    """Points from rows x, y, for :func:`nearest` and :func:`within`. [mm]"""
    return _points(points)


def nearest(shapes: Regions, others: Regions, reach: float = np.inf) -> tuple[IntArray, FloatArray]:
    """For each shape the nearest of the others, and how far it is [mm].

    Most shapes should have another within `reach` [mm]; those that have none take longer.
    """
    which = np.zeros(len(shapes), dtype=np.intp)
    far = np.full(len(shapes), np.inf)
    if not len(shapes) or not len(others):
        return which, far
    tree = shapely.STRtree(others)
    if np.isfinite(reach):
        first, second = tree.query(shapes, predicate="dwithin", distance=reach)
        apart = shapely.distance(shapes[first], others[second])
        order = np.lexsort((apart, first))
        first, second, apart = first[order], second[order], apart[order]
        best = np.concatenate(([True], first[1:] != first[:-1])) if len(first) else first
        which[first[best]], far[first[best]] = second[best], apart[best]
    rest = np.flatnonzero(np.isinf(far))
    if len(rest):
        pairs, apart = tree.query_nearest(shapes[rest], return_distance=True, all_matches=False)
        which[rest[pairs[0]]], far[rest[pairs[0]]] = pairs[1], apart
    return which, far


def closest(
    shapes: Regions, others: Regions, reach: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Pairs of a shape and another within `reach`, and how far apart they are [mm]."""
    first, second = within(shapes, others, reach)
    return first, second, np.asarray(shapely.distance(shapes[first], others[second]))


def within(shapes: Regions, others: Regions, distance: float) -> tuple[IntArray, IntArray]:
    """Every pair of a shape and another that are no farther apart than a `distance` [mm]."""
    first, second = shapely.STRtree(others).query(shapes, predicate="dwithin", distance=distance)
    return first, second


def less(shape: Any, others: Regions) -> Any:
    """A region less the union of others."""
    return shapely.difference(shape, shapely.union_all(others))


def swept(runs: Sequence[FloatArray], radius: float) -> Any:
    """What a disc of a `radius` [mm] covers along runs of points; good to a hundredth of it."""
    lines_of = np.array([shapely.linestrings(run) for run in runs], dtype=object)
    return shapely.union_all(shapely.buffer(lines_of, radius, quad_segs=16))


def left_of(size: tuple[float, float], taken: Any) -> Regions:
    """The pieces of a sheet of some `size` [mm] that something taken out leaves."""
    pieces = shapely.get_parts(shapely.difference(shapely.box(0, 0, *size), taken))
    return np.asarray(pieces, dtype=object)


def clear_of_edge(shapes: Regions, size: tuple[float, float]) -> npt.NDArray[np.bool_]:
    """Whether each region stays off the edge of a sheet of some `size` [mm], corner at (0, 0)."""
    edge = shapely.box(0, 0, *size).exterior
    return np.asarray(shapely.distance(shapes, edge) > 1e-6)
