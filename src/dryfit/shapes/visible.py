"""What of a heap of solids can be seen: hidden surfaces and hidden lines removed.

Where two faces overlap on the page, one of them is nearer all over each connected part of the
overlap, as long as their solids touch but do not cross; where they cross, the overlap is cut along
the line at which they do. What is seen of a face is the face less every nearer one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes import geos
from dryfit.shapes.ink import Strokes, seen
from dryfit.shapes.tolerances import PAGE, PARALLEL

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from dryfit.shapes.view import View

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]


_ROOM = 1.0
"""How far beyond two faces the line is drawn out that parts what is near from what is far. [mm]"""


@dataclass(frozen=True, eq=False)
class Face:
    """A flat face of a solid, seen from outside.

    Parameters
    ----------
    loops : tuple of arrays, shape (m, 3)
        Corners of the outer loop, then of the holes; the outer one runs counter-clockwise seen
        from outside the solid. [mm]
    tag : int
        Handed on to the patch.
    inked : tuple of arrays of bool, shape (m,)
        For each loop, whether the edge that leaves a corner is a real edge and not a seam
        between the facets of a curved wall; all real when empty.
    """

    loops: tuple[FloatArray, ...]
    tag: int = 0
    inked: tuple[BoolArray, ...] = ()

    def normal(self) -> FloatArray:
        """Normal of the outer loop, as long as twice its area; shape (3,). [mm²]"""
        corners = self.loops[0] - self.loops[0][0]
        return np.asarray(np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0))


@dataclass(frozen=True, eq=False)
class Patch:
    """What is seen of one face.

    Parameters
    ----------
    tag : int
        The face's own.
    face : int
        Place of the face in what was given.
    polygons : list of lists of arrays, shape (m, 2)
        Regions on the page: outer ring, then holes, each closed. [mm]
    ink : list of arrays, shape (m, 2)
        Polylines along the real edges seen; an edge of two faces is drawn by the first. [mm]
    """

    tag: int
    face: int
    polygons: list[list[FloatArray]]
    ink: list[FloatArray]


@dataclass(frozen=True, eq=False)
class _Scene:
    """Faces turned to the viewer: regions, boxes on the page and depth planes.

    The depth of row k is planes[k] @ (x, y, 1).
    """

    which: IntArray
    shapes: geos.Regions
    boxes: FloatArray
    planes: FloatArray

    def only(self, keep: BoolArray) -> _Scene:
        return _Scene(self.which[keep], self.shapes[keep], self.boxes[keep], self.planes[keep])


def visible(faces: Sequence[Face], view: View) -> list[Patch]:
    """Patches that the viewer sees, in the order of the faces.

    Parameters
    ----------
    faces : sequence of Face
        Faces of solids; they may touch. Where they cross, no line is drawn.
    view : View
        Where the viewer stands.

    Raises
    ------
    ShapeError
        If a face has fewer than 3 corners or a coordinate that is not finite.
    """
    for face in faces:
        _check(face)
    scene = _scene(faces, view)
    if not len(scene.which):
        return []
    scene = _uncovered(scene)
    hiders = _hiders(scene)
    strokes = Strokes()
    patches = []
    for k, face in enumerate(scene.which.tolist()):
        seen_part = scene.shapes[k]
        if hiders[k]:
            seen_part = geos.without(seen_part, _array(hiders[k]), PAGE / 10)
        polygons = [rings for rings in geos.rings_of(seen_part) if _wide(rings[0])]
        if polygons:
            ink = seen(faces[face].loops, faces[face].inked, view, polygons, strokes)
            patches.append(Patch(faces[face].tag, face, polygons, ink))
    return patches


def hidden(points: FloatArray, faces: Sequence[Face], view: View) -> BoolArray:
    """Whether each point in space lies behind one of the faces; shape (k,).

    Parameters
    ----------
    points : array, shape (k, 3)
        The points. [mm]
    faces : sequence of Face
        Faces of solids.
    view : View
        Where the viewer stands.
    """
    scene = _scene(faces, view)
    page = view.page(points)
    face, point = geos.inside_pairs(scene.shapes, page)
    ahead = np.einsum("ij,ij->i", scene.planes[face, :2], page[point]) + scene.planes[face, 2]
    behind = np.zeros(len(points), dtype=bool)
    behind[point[ahead - view.depth(points)[point] > PAGE]] = True
    return behind


def _check(face: Face) -> None:
    for loop in face.loops:
        if loop.ndim != 2 or loop.shape[1] != 3 or len(loop) < 3:
            raise ShapeError(f"A face needs 3 or more corners of (x, y, z), not {loop.shape}")
        if not np.isfinite(loop).all():
            raise ShapeError("A face has a coordinate that is not a finite number")


def _array(shapes: Iterable[Any]) -> geos.Regions:
    listed = list(shapes)
    made = np.empty(len(listed), dtype=object)
    made[:] = listed
    return made


def _wide(ring: FloatArray) -> bool:
    """Whether a closed ring is more than a sliver."""
    d = np.diff(ring, axis=0)
    x, y = (ring - ring[0]).T
    area = abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2
    return 2 * area > 10 * PAGE * float(np.hypot(d[:, 0], d[:, 1]).sum())


def _scene(faces: Sequence[Face], view: View) -> _Scene:
    normals = np.array([face.normal() for face in faces]).reshape(-1, 3)
    size = np.maximum(np.linalg.norm(normals, axis=1), 1e-300)
    tilt = (normals / size[:, None]) @ np.column_stack((view.right, view.up, view.toward))
    front = np.nonzero(tilt[:, 2] > 1e3 * PARALLEL)[0]
    pages = [[view.page(loop) for loop in faces[k].loops] for k in front.tolist()]
    slope = -tilt[front, :2] / tilt[front, 2:]
    at = np.array([faces[k].loops[0].mean(axis=0) for k in front.tolist()]).reshape(-1, 3)
    level = view.depth(at) - np.einsum("ij,ij->i", slope, view.page(at))
    boxes = [(*rings[0].min(axis=0), *rings[0].max(axis=0)) for rings in pages]
    return _Scene(
        front,
        geos.regions(pages),
        np.array(boxes).reshape(-1, 4),
        np.column_stack((slope, level)),
    )


def _sides(scene: _Scene, i: IntArray, j: IntArray) -> tuple[BoolArray, BoolArray]:
    """For pairs of faces: whether i may be nearer somewhere in the shared box, whether j."""
    a, b = scene.boxes[i], scene.boxes[j]
    low, high = np.maximum(a[:, :2], b[:, :2]), np.minimum(a[:, 2:], b[:, 2:])
    lead = scene.planes[i] - scene.planes[j]
    middle = np.einsum("ij,ij->i", lead[:, :2], (low + high) / 2) + lead[:, 2]
    sway = np.einsum("ij,ij->i", np.abs(lead[:, :2]), np.maximum(high - low, 0.0) / 2)
    return middle + sway > PAGE, middle - sway < -PAGE


def _ordered(scene: _Scene) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Pairs (nearer, farther) that the boxes decide, then pairs that they do not."""
    i, j = geos.touching_pairs(scene.shapes)
    ahead, behind = _sides(scene, i, j)
    one, other, both = ahead & ~behind, behind & ~ahead, ahead & behind
    near = np.concatenate((i[one], j[other]))
    far = np.concatenate((j[one], i[other]))
    return near, far, i[both], j[both]


def _uncovered(scene: _Scene) -> _Scene:
    """The scene without faces that lie wholly behind one other face."""
    near, far, _, _ = _ordered(scene)
    a, b = scene.boxes[near], scene.boxes[far]
    room = ((a[:, :2] <= b[:, :2] + PAGE) & (a[:, 2:] >= b[:, 2:] - PAGE)).all(axis=1)
    near, far = near[room], far[room]
    hidden = geos.covered(scene.shapes[far], scene.shapes[near])
    keep = np.ones(len(scene.which), dtype=bool)
    keep[far[hidden]] = False
    return scene.only(keep)


def _hiders(scene: _Scene) -> list[list[Any]]:
    """For each face, the regions that lie before it.

    Where two faces meet in a line, their overlaps on either side of it may hang together by a
    sliver; where solids cross, their faces change places inside one overlap. Then the nearer
    region is cut along the line on which both are equally near.
    """
    near, far, i, j = _ordered(scene)
    hiders: list[list[Any]] = [[] for _ in scene.which]
    for a, b in zip(near.tolist(), far.tolist(), strict=True):
        hiders[b].append(scene.shapes[a])
    parts, pair = geos.overlaps(scene.shapes[i], scene.shapes[j], PAGE / 10)
    lead = scene.planes[i] - scene.planes[j]
    most, least = _leads(lead[pair], parts)
    mixed = np.zeros(len(i), dtype=bool)
    mixed[pair[(most > PAGE) & (least < -PAGE)]] = True
    plain = ~mixed[pair] & (geos.widths(parts) > PAGE) & (np.maximum(most, -least) > PAGE)
    for k in np.nonzero(plain)[0].tolist():
        hiders[(j if most[k] > -least[k] else i)[pair[k]]].append(parts[k])
    both = np.nonzero(mixed)[0]
    for k, box in zip(both.tolist(), _shared_boxes(scene, i[both], j[both]), strict=True):
        for near, far, ahead in ((i[k], j[k], lead[k]), (j[k], i[k], -lead[k])):
            side = geos.regions([[_side(box, ahead)]])
            hiders[far] += geos.overlaps(scene.shapes[[near]], side, PAGE / 10)[0].tolist()
    return hiders


def _shared_boxes(scene: _Scene, i: IntArray, j: IntArray) -> FloatArray:
    """The rectangle on the page that each pair of faces shares, with room round it. [mm]"""
    low = np.maximum(scene.boxes[i, :2], scene.boxes[j, :2]) - _ROOM
    high = np.minimum(scene.boxes[i, 2:], scene.boxes[j, 2:]) + _ROOM
    return np.hstack((low, high))


def _side(box: FloatArray, lead: FloatArray) -> FloatArray:
    """The ring of what lies in a rectangle where the lead, (x, y, 1) times it, is positive. [mm]"""
    x0, y0, x1, y1 = box.tolist()
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    level = corners @ lead[:2] + lead[2]
    ring = []
    for k in range(4):
        after = (k + 1) % 4
        if level[k] > 0:
            ring.append(corners[k])
        if (level[k] > 0) != (level[after] > 0):
            share = level[k] / (level[k] - level[after])
            ring.append(corners[k] + share * (corners[after] - corners[k]))
    return np.array(ring)


def _leads(lead: FloatArray, parts: geos.Regions) -> tuple[FloatArray, FloatArray]:
    """The most and the least of each lead, (x, y, 1) times its row, at its part's corners. [mm]"""
    if not len(parts):
        return np.zeros(0), np.zeros(0)
    points, part = geos.corners(parts)
    ahead = np.einsum("ij,ij->i", lead[part, :2], points) + lead[part, 2]
    first = np.searchsorted(part, np.arange(len(parts)))
    return np.maximum.reduceat(ahead, first), np.minimum.reduceat(ahead, first)
