from __future__ import annotations

import math
import time
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import pytest
import shapely

from dryfit.errors import ShapeError
from dryfit.shapes.view import View
from dryfit.shapes.visible import Face, Patch, hidden, visible
from tests.unit.shapes.solids import box, prism

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

Scene: TypeAlias = "Callable[[int], tuple[np.ndarray, np.ndarray, np.ndarray, list[Face]]]"
VIEW = View.axonometric(math.radians(-35), math.radians(30))
FRONT = View.axonometric(math.radians(-90), 0.0)


def region(patch: Patch) -> shapely.Geometry:
    return shapely.union_all([shapely.Polygon(r[0], r[1:]) for r in patch.polygons])


def areas(patches: Sequence[Patch]) -> dict[int, float]:
    """Seen area of each tag. [mm²]"""
    total: dict[int, float] = {}
    for patch in patches:
        total[patch.tag] = total.get(patch.tag, 0.0) + float(shapely.area(region(patch)))
    return total


def strokes(patches: Sequence[Patch]) -> list[tuple[np.ndarray, np.ndarray]]:
    return [(a, b) for p in patches for line in p.ink for a, b in pairwise(line)]


def ink_length(patches: Sequence[Patch]) -> float:
    return sum(math.dist(a, b) for a, b in strokes(patches))


def test_a_cube_shows_three_faces_and_nine_edges() -> None:
    patches = visible(box((0, 0, 0), (10, 10, 10)), VIEW)
    seen = sorted(float(shapely.area(region(patch))) for patch in patches)
    assert seen == pytest.approx(sorted(100 * np.abs(VIEW.toward)), abs=1e-9)
    assert len(strokes(patches)) == 9
    lengths = 10 * np.hypot(VIEW.right, VIEW.up)
    assert ink_length(patches) == pytest.approx(3 * lengths.sum(), abs=1e-9)


def test_isometric_axes_are_alike() -> None:
    """In an isometric view all three edges are shortened to √(2/3) (ISO 5456-3, from memory)."""
    view = View.axonometric(math.pi / 4, math.atan(1 / math.sqrt(2)))
    assert np.hypot(view.right, view.up) == pytest.approx([math.sqrt(2 / 3)] * 3)


def test_a_cube_seen_square_on_shows_one_face() -> None:
    patches = visible(box((0, 0, 0), (10, 20, 30)), FRONT)
    assert areas(patches) == {0: pytest.approx(300.0)}
    assert len(strokes(patches)) == 4


def test_one_box_hides_another() -> None:
    near, far = box((2, -9, 2), (8, -5, 8), 1), box((0, 0, 0), (10, 5, 10), 2)
    for faces in (near + far, far + near):
        patches = visible(faces, FRONT)
        assert areas(patches) == {1: pytest.approx(36.0), 2: pytest.approx(64.0)}
        assert ink_length(patches) == pytest.approx(24.0 + 40.0)
    hidden = visible(near + box((3, 0, 3), (7, 5, 7), 3), FRONT)
    assert areas(hidden) == {1: pytest.approx(36.0)}


def test_a_line_is_cut_where_a_box_stands_before_it() -> None:
    patches = visible(box((4, -9, -5), (6, -5, 15), 1) + box((0, 0, 0), (10, 5, 10), 2), FRONT)
    far = [patch for patch in patches if patch.tag == 2]
    assert ink_length(far) == pytest.approx(2 * 10 + 4 * 4.0, abs=1e-4)


def test_touching_boxes_hide_nothing_of_each_other_beside() -> None:
    patches = visible(box((0, 0, 0), (10, 5, 10), 1) + box((10, 0, 0), (20, 5, 10), 2), FRONT)
    assert areas(patches) == {1: pytest.approx(100.0), 2: pytest.approx(100.0)}


def test_a_box_on_a_box_hides_what_it_covers() -> None:
    above = View.axonometric(0.3, math.pi / 2)
    patches = visible(box((0, 0, 0), (10, 10, 5), 1) + box((2, 2, 5), (5, 5, 9), 2), above)
    assert areas(patches) == {1: pytest.approx(91.0), 2: pytest.approx(9.0)}


def test_three_bars_that_overlap_in_a_circle() -> None:
    """No order of painting is right: each bar lies over the next and under the one before."""
    bars = []
    view = View.axonometric(0.0, math.pi / 2)
    spin = np.array([[-0.5, math.sqrt(3) / 2, 0], [-math.sqrt(3) / 2, -0.5, 0], [0, 0, 1.0]])
    tilt = math.radians(12)
    lean = np.array([[math.cos(tilt), 0, math.sin(tilt)], [0, 1, 0], [-math.sin(tilt), 0,
                    math.cos(tilt)]])  # fmt: skip
    frame = np.eye(3)
    for tag in range(3):
        bars += prism([(-20, -8), (20, -8), (20, -5), (-20, -5)], 0, 0.5, tag, lean @ frame)
        frame = frame @ spin
    seen = areas(visible(bars, view))
    alone = areas(visible(bars[:6], view))[0]
    assert list(seen) == [0, 1, 2]
    assert seen[0] == pytest.approx(seen[1], abs=1e-6)
    assert seen[1] == pytest.approx(seen[2], abs=1e-6)
    assert 0.5 * alone < seen[0] < alone - 5


def test_a_hole_lets_through() -> None:
    square = np.array([(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)], dtype=float)
    hole = np.array([(3, 3, 0), (3, 7, 0), (7, 7, 0), (7, 3, 0)], dtype=float)
    above = View.axonometric(-math.pi / 2, math.pi / 2)
    floor = Face((square + np.array([0, 0, -5.0]),), 2)
    patches = visible([Face((square, hole), 1), floor], above)
    assert areas(patches) == {1: pytest.approx(84.0), 2: pytest.approx(16.0)}
    assert ink_length([p for p in patches if p.tag == 1]) == pytest.approx(56.0)
    assert ink_length([p for p in patches if p.tag == 2]) == pytest.approx(0.0)


def test_seams_are_not_drawn() -> None:
    square = np.array([(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)], dtype=float)
    inked = np.array([True, False, True, False])
    above = View.axonometric(-math.pi / 2, math.pi / 2)
    patches = visible([Face((square,), 0, (inked,))], above)
    assert len(strokes(patches)) == 2


def test_nothing_to_see() -> None:
    assert visible([], VIEW) == []
    back = Face((np.array([(0, 0, 0), (0, 1, 0), (1, 0, 0.0)]),))
    assert visible([back], View.axonometric(0, math.pi / 2)) == []


@pytest.mark.parametrize("seed", range(4))
def test_points_are_hidden_by_what_their_ray_meets(seed: int) -> None:
    """Brute force, as below: a point in the open is hidden when a box stands before it."""
    frame, low, high, faces = _scene(seed)
    rng = np.random.default_rng(seed)
    points = rng.uniform(-5, 35, (400, 3))
    inside = ((points[:, None] > low - 0.01) & (points[:, None] < high + 0.01)).all(axis=2)
    points = points[~inside.any(axis=1)] @ frame
    start, way = points @ frame.T, frame @ VIEW.toward
    one, other = (low[None] - start[:, None]) / way, (high[None] - start[:, None]) / way
    enter, leave = np.minimum(one, other).max(axis=2), np.maximum(one, other).min(axis=2)
    wanted = ((enter < leave) & (leave > 0)).any(axis=1)
    assert 0.1 < wanted.mean() < 0.9
    assert (hidden(points, faces, VIEW) == wanted).all()


def test_bad_input() -> None:
    with pytest.raises(ShapeError, match="3 or more corners"):
        visible([Face((np.zeros((2, 3)),))], VIEW)
    with pytest.raises(ShapeError, match="not a finite number"):
        visible([Face((np.full((3, 3), math.nan),))], VIEW)
    with pytest.raises(ShapeError, match="unit vectors"):
        View(np.array([1.0, 0, 0]), np.array([0, 2.0, 0]), np.array([0, 0, 1.0]))


def _slanted(rng: np.random.Generator) -> np.ndarray:
    turned, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    return turned if np.linalg.det(turned) > 0 else turned[::-1]


def _scene(seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, list[Face]]:
    """Boxes in cells of a grid, some as large as their cell so that they touch, all turned."""
    rng = np.random.default_rng(seed)
    frame = _slanted(rng)
    cells = np.array([(x, y, z) for x in range(3) for y in range(3) for z in range(3)])
    cells = cells[rng.random(len(cells)) < 0.6] * 10.0
    full = rng.random((len(cells), 1)) < 0.4
    low = cells + np.where(full, 0.0, rng.uniform(0, 4, cells.shape))
    high = cells + np.where(full, 10.0, rng.uniform(6, 10, cells.shape))
    faces = [
        Face(tuple(loop @ frame for loop in face.loops), tag)
        for tag, (a, b) in enumerate(zip(low, high, strict=True))
        for face in box(tuple(a), tuple(b))
    ]
    return frame, low, high, faces


def _nearest(
    point: np.ndarray, view: View, frame: np.ndarray, low: np.ndarray, high: np.ndarray
) -> int:
    """The box that a ray meets first, by slabs; -1 for none."""
    start = frame @ (point[0] * view.right + point[1] * view.up + 500 * view.toward)
    way = frame @ -view.toward
    with np.errstate(divide="ignore"):
        one, other = (low - start) / way, (high - start) / way
    enter, leave = np.minimum(one, other).max(axis=1), np.maximum(one, other).min(axis=1)
    met = np.where(enter < leave, enter, np.inf)
    return int(np.argmin(met)) if np.isfinite(met).any() else -1


def _crossing(seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, list[Face]]:
    """Boxes at random, many of them through one another, all turned."""
    rng = np.random.default_rng(seed)
    frame = _slanted(rng)
    low = rng.uniform(0, 20, (9, 3))
    high = low + rng.uniform(2, 15, (9, 3))
    faces = [
        Face(tuple(loop @ frame for loop in face.loops), tag)
        for tag, (a, b) in enumerate(zip(low, high, strict=True))
        for face in box(tuple(a), tuple(b))
    ]
    return frame, low, high, faces


@pytest.mark.parametrize("seed", range(6))
def test_slivers_that_join_overlaps_change_nothing(seed: int) -> None:
    """A shelf's top and a side's inner face that interlock, corners off by less than is seen.

    On the page their overlaps lie on either side of the line where they meet, and hang together
    along it by slivers. The shelf's fingers are hidden by the side. The side's are hidden by the
    shelf, but for what shows before the shelf's front edge: a point s under the shelf does that
    is nearer the edge than s tan(60°) sin(45°).
    """
    view = View.axonometric(math.radians(-45), math.radians(30))
    stops = np.repeat(np.arange(10.0) * 40 / 3, 2)[1:-1]
    back = np.tile([0.0, 0.0, 10.0, 10.0], 5)[: len(stops)]
    shift = np.random.default_rng(seed).uniform(-1e-6, 1e-6, (2, len(stops)))
    shelf = np.column_stack((10 - back, stops + shift[0], np.full(len(stops), 10.0)))[::-1]
    side = np.column_stack((np.full(len(stops), 10.0), stops + shift[1], back))
    faces = [
        Face((np.vstack(([(60, 0, 10), (60, 120, 10)], shelf)),), 0),
        Face((np.vstack(([(10, 120, 50), (10, 0, 50)], side)),), 1),
    ]
    shown = 10**2 / 2 * math.tan(math.radians(60)) * math.sin(math.radians(45))
    seen = areas(visible(faces, view))
    assert seen[0] == pytest.approx(120 * 50 * view.toward[2], abs=1e-3)
    assert seen[1] == pytest.approx((120 * 40 + shown) * view.toward[0], abs=1e-3)


@pytest.mark.parametrize("scene", [_scene, _crossing], ids=["touching", "crossing"])
@pytest.mark.parametrize("seed", range(12))
def test_rays_meet_what_is_seen(seed: int, scene: Scene) -> None:
    """Brute force: every page point shows the box that its ray meets first."""
    frame, low, high, faces = scene(seed)
    view = VIEW if seed % 2 else View.axonometric(seed * 0.7, 0.4 - seed * 0.1)
    patches = visible(faces, view)
    corners = np.concatenate([view.page(face.loops[0]) for face in faces])
    rng = np.random.default_rng(seed + 100)
    points = rng.uniform(corners.min(axis=0), corners.max(axis=0), (600, 2))
    shapes = [region(patch) for patch in patches]
    found: dict[int, set[int]] = {k: set() for k in range(len(points))}
    for m, shape in enumerate(shapes):
        for k in np.nonzero(shapely.contains_xy(shape, points[:, 0], points[:, 1]))[0].tolist():
            found[k].add(patches[m].tag)
    near_border = shapely.union_all([shapely.boundary(shape) for shape in shapes])
    clear = shapely.distance(shapely.points(points), near_border) > 1e-3
    wanted = [_nearest(p, view, frame, low, high) for p in points]
    wrong = [
        k for k in np.nonzero(clear)[0].tolist()
        if found[k] != ({wanted[k]} if wanted[k] >= 0 else set())
    ]  # fmt: skip
    assert clear.sum() > 500
    assert len({w for w in wanted if w >= 0}) > 3
    assert wrong == []


def test_many_boxes_are_quick() -> None:
    faces = [
        face
        for tag in range(216)
        for face in box(
            tuple(11.0 * (tag // 6**k % 6) for k in range(3)),
            tuple(11.0 * (tag // 6**k % 6) + 10 for k in range(3)),
            tag,
        )
    ]
    begun = time.process_time()
    patches = visible(faces, VIEW)
    assert len({patch.tag for patch in patches}) == 216 - 125
    assert time.process_time() - begun < 5
