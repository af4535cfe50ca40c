"""The picture against a brute-force look along single rays, and its letters on their faces."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely

from dryfit.drafting.picture import AZIMUTH, ELEVATION, HEIGHT, WIDTH, picture_page
from dryfit.drafting.prism import sides
from dryfit.drafting.tint import tint
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.panel import Frame, Grain
from dryfit.model.piece import Piece, Wish
from dryfit.pages.hand import END_GRAIN, WOOD, text_width
from dryfit.pages.page import Anchor, Page, Path, Role, Text
from dryfit.shapes.profile import Loop
from dryfit.shapes.view import View
from dryfit.workflow import read
from tests.helpers.boxes import HAND, build, slab
from tests.unit.drafting.samples import T, ring, wall

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.parts.part import Part

EXAMPLES = FilePath(__file__).parents[3] / "examples"
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
ROUTER = Cutter(Route.ROUTER, 3.175, Relief.FLANK)
VIEW = View.axonometric(AZIMUTH, ELEVATION)


def board(name: str, frame: Frame, width: float, height: float) -> Part:
    return wall(name, frame, Loop.of([(0, 0), (width, 0), (width, height), (0, height)]))


def case() -> tuple[Part, ...]:
    """An open case of thin boards, butted: top, base, two sides, a back and three shelves."""
    w, d, h = 300.0, 200.0, 240.0
    shelves = [
        board(f"shelf {k}", Frame((T, 0.0, 50.0 * k), X, Y, Z), w - 2 * T, d - T) for k in (1, 2, 3)
    ]
    return (
        board("top", Frame((0.0, 0.0, h - T), X, Y, Z), w, d),
        board("base", Frame((0.0, 0.0, 0.0), X, Y, Z), w, d),
        board("left", Frame((0.0, 0.0, T), Y, Z, X), d, h - 2 * T),
        board("right", Frame((w - T, 0.0, T), Y, Z, X), d, h - 2 * T),
        board("back", Frame((T, d, T), X, Z, (0.0, -1.0, 0.0)), w - 2 * T, h - 2 * T),
        *shelves,
    )


def housed(gap: float = 0.0, cutter: Cutter = HAND) -> tuple[Part, ...]:
    """An open case with housed shelves, an upright between two of them and a stopped one."""
    w, d, h = 300.0, 120.0, 360.0
    panels = [
        slab("left", (0, 0, 0), (12, d, h), 0),
        slab("right", (w - 12, 0, 0), (w, d, h), 0),
        slab("top", (0, 0, h - 12), (w, d, h), 2, rank=2),
        slab("base", (0, 0, 0), (w, d, 12), 2, rank=2),
        *(slab(f"shelf {k}", (8, 0, 90 * k), (w - 8, d, 90 * k + 9), 2, rank=3) for k in (1, 2)),
        slab("short shelf", (8, 30, 270), (w - 8, d, 279), 2, rank=3),
        slab("upright", (150, 0, 96), (158, d, 183), 0, rank=4),
    ]
    return build(Piece(tuple(panels), Wish(flank_gap=gap, proud=0.0)), cutter).parts


def hexagon() -> tuple[Part, ...]:
    """Six boards whose normals are no axes, with air between them."""
    return tuple(_stave(math.pi * k / 3) for k in range(6))


def _stave(angle: float) -> Part:
    n, u = (math.cos(angle), math.sin(angle), 0.0), (-math.sin(angle), math.cos(angle), 0.0)
    origin = tuple(90.0 * a - 48.0 * b for a, b in zip(n, u, strict=True))
    return board(f"stave {angle:.0f}", Frame((origin[0], origin[1], 0.0), u, Z, n), 96.0, 80.0)


def ring_of(path: Path) -> list[tuple[float, float]]:
    return [(x, y) for x, y, _ in path.vertices]


def regions(page: Page, owner: str | None = None) -> list[tuple[str, shapely.Polygon]]:
    faces = [fill for fill in page.fills if fill.role is Role.FACE and owner in (None, fill.owner)]
    return [
        (fill.owner, shapely.Polygon(ring_of(fill.paths[0]), [*map(ring_of, fill.paths[1:])]))
        for fill in faces
    ]


def scale_of(parts: Sequence[Part]) -> tuple[np.ndarray, float]:
    """Lower left corner [mm] and scale [-] of a picture, from the parts' corners alone."""
    corners = [_corners(part) for part in parts]
    points = VIEW.page(np.concatenate(corners))
    size = np.ptp(points, axis=0)
    return points.min(axis=0), float(min(WIDTH / size[0], HEIGHT / size[1]))


def _corners(part: Part) -> np.ndarray:
    frame, rows = part.panel.frame, part.as_cut.outer.vertices[:, :2]
    flat = frame.origin + rows @ np.array((frame.u, frame.v))
    return np.concatenate((flat, flat + part.thickness * np.array(frame.n)))


def first_hit(parts: Sequence[Part], at: np.ndarray) -> str:
    """The part that a ray from the viewer meets first; empty where it meets none."""
    hits = [(_nearest(part, at), part.name) for part in parts]
    depth, name = max(hits)
    return name if depth > -math.inf else ""


def _nearest(part: Part, at: np.ndarray) -> float:
    """Nearest depth of a part under a point of the page [mm]: layer by layer the ray is cut to
    the slab, then laid on what stands there."""
    frame = part.panel.frame
    axes = np.array((frame.u, frame.v, frame.n))
    start = axes @ (at[0] * VIEW.right + at[1] * VIEW.up - np.array(frame.origin))
    way = axes @ VIEW.toward
    return max(
        _nearest_in(layer.low, layer.high, _shape(part, layer.trenches), start, way)
        for layer in part.layers
    )


def _nearest_in(
    bottom: float, top: float, shape: shapely.Geometry, start: np.ndarray, way: np.ndarray
) -> float:
    if abs(way[2]) < 1e-12:
        low, high = (-1e4, 1e4) if bottom < start[2] < top else (0.0, 0.0)
    else:
        low, high = sorted(((bottom - start[2]) / way[2], (top - start[2]) / way[2]))
    line = shapely.LineString([(start + s * way)[:2] for s in (low, high)])
    inside = line & shape
    if inside.is_empty or inside.length < 1e-9:
        return -math.inf
    flat = way[:2] / (way[:2] @ way[:2])
    points = shapely.get_coordinates(inside)
    return float(((points - start[:2]) @ flat).max())


@lru_cache(maxsize=200)
def _shape(part: Part, trenches: tuple[Loop, ...] = ()) -> shapely.Geometry:
    loops = [loop.dense(0.02) for loop in part.as_cut.loops]
    gone = [shapely.Polygon(trench.dense(0.02)) for trench in trenches]
    return shapely.Polygon(loops[0], loops[1:]) - shapely.union_all(gone)


@pytest.mark.parametrize(
    "parts",
    [ring(relief=0.0), ring(), case(), hexagon(), housed(), housed(0.05, ROUTER)],
    ids=["ring", "bitten", "case", "hexagon", "housed", "housed with air"],
)
def test_every_point_shows_the_part_that_a_ray_meets_first(parts: tuple[Part, ...]) -> None:
    page = picture_page("", parts)
    shown = regions(page)
    corner, scale = scale_of(parts)
    rng = np.random.default_rng(7)
    compared = 0
    for point in rng.uniform((-2, -2), (WIDTH + 2, HEIGHT + 2), (400, 2)):
        spot = shapely.Point(point)
        if any(shape.exterior.distance(spot) < 0.1 for _, shape in shown):
            continue
        owners = [name for name, shape in shown if shape.contains(spot)]
        expected = first_hit(parts, point / scale + corner)
        assert owners == ([expected] if expected else [])
        compared += 1
    assert compared > 250


def _inside_corners(
    parts: Sequence[Part], scale: float, corner: np.ndarray, rng: np.random.Generator
) -> np.ndarray:
    """Points of the page near the line where the back's inside meets what lies under it."""
    back = next(part for part in parts if part.name == "back")
    base = next((part for part in parts if part.name == "base"), None)
    z = base.thickness if base is not None else 0.0
    frame, width = back.panel.frame, back.panel.width
    along = rng.uniform(20, width - 20, (400, 1))
    off = rng.uniform(-0.8, 0.8, (400, 1)) * max(z, 4.0)
    spots = frame.origin + along * np.array(frame.u) + (z + off) * np.array(frame.v)
    return np.asarray((VIEW.page(spots) - corner) * scale)


@pytest.mark.parametrize("name", ["type-tray", "board-crate", "tool-chest-ring"])
def test_example_pieces_show_what_rays_meet_first(name: str) -> None:
    """Mates that meet in an edge once hid each other's fingers: looked at there most closely."""
    parts = read(EXAMPLES / f"{name}.toml").parts
    page = picture_page("", parts)
    shown = regions(page)
    corner, scale = scale_of(parts)
    compared = 0
    rng = np.random.default_rng(3)
    points = rng.uniform((0, 0), (WIDTH, HEIGHT), (400, 2))
    for point in np.concatenate((points, _inside_corners(parts, scale, corner, rng))):
        spot = shapely.Point(point)
        if any(shape.exterior.distance(spot) < 0.05 for _, shape in shown):
            continue
        owners = [name for name, shape in shown if shape.contains(spot)]
        expected = first_hit(parts, point / scale + corner)
        assert owners == ([expected] if expected else [])
        compared += 1
    assert compared > 400


def test_the_drawing_fills_the_room_on_the_page() -> None:
    box = shapely.union_all([shape for _, shape in regions(picture_page("", ring()))]).bounds
    assert box[:2] == pytest.approx((0.0, 0.0), abs=2e-3)
    assert max(box[2] / WIDTH, box[3] / HEIGHT) == pytest.approx(1.0, abs=1e-4)


def box_of(text: Text) -> shapely.Polygon:
    width = text_width(text.content, text.height)
    left = text.x - {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[text.anchor] * width
    return shapely.box(left, text.y, left + width, text.y + text.height)


@pytest.mark.parametrize("parts", [ring(), case(), ring(120.0, 80.0, 20.0, 0.5)])
def test_every_name_stands_on_its_part_or_has_a_leader_to_it(parts: tuple[Part, ...]) -> None:
    page = picture_page("", parts)
    dots = {fill.owner: fill for fill in page.fills if fill.role is Role.LEADER}
    drawing = shapely.union_all([shape for _, shape in regions(page)])
    for text in page.texts:
        if not text.owner:
            continue
        own = shapely.union_all([shape for _, shape in regions(page, text.owner)])
        if text.owner in dots:
            (left, y, _), (right, _, _) = dots[text.owner].paths[0].vertices
            assert own.contains(shapely.Point((left + right) / 2, y))
            assert not box_of(text).intersects(drawing.envelope)
        else:
            assert own.contains(box_of(text))


@pytest.mark.parametrize("parts", [ring(), case(), ring(600.0, 400.0, 30.0)])
def test_names_do_not_run_into_one_another_and_stay_on_the_paper(parts: tuple[Part, ...]) -> None:
    page = picture_page("", parts)
    boxes = [box_of(text) for text in page.texts]
    paper = shapely.box(page.x, page.y, page.x + page.width, page.y + page.height)
    assert all(paper.contains(box) for box in boxes)
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_what_is_not_seen_is_said() -> None:
    page = picture_page("Paper case", case())
    assert page.texts[-1].content == "not seen from here: back"
    assert page.description.endswith("Not seen from here: back.")
    assert "back" not in {text.owner for text in page.texts}
    assert not any("not seen" in text.content for text in picture_page("", ring()).texts)


def test_a_long_list_of_hidden_parts_is_cut_short() -> None:
    hidden = [
        board(f"inner board {k}", Frame((T, T, T + 12.0 * k), X, Y, Z), 200.0, 100.0)
        for k in range(15)
    ]
    frame = Frame((T, T, T), X, Z, (0.0, -1.0, 0.0))
    front = board("front", frame, 300.0 - 2 * T, 240.0 - 2 * T)
    closed = (*case()[:5], *hidden, front)
    note = picture_page("", closed).texts[-1].content
    assert note.startswith("not seen from here: back, inner board 0, ")
    assert note.endswith(" more")
    assert len(note) < 110


def test_seams_of_round_walls_are_not_inked() -> None:
    """The slot's walls run on smoothly from line to arc; only the fingers have upright edges."""
    slotted = ring(relief=0.0)[3]
    upright = [
        side.face.inked[0][[1, 3]].tolist() for side in sides(slotted, 0) if side.along is not None
    ]
    outline = len(slotted.profile.outer.vertices)
    assert upright[:outline] == [
        [_turns(slotted.profile.outer, k + 1), _turns(slotted.profile.outer, k)]
        for k in range(outline)
    ]
    assert len(upright) > outline + 20
    assert not any(any(pair) for pair in upright[outline:])


def _turns(loop: Loop, k: int) -> bool:
    rows = loop.vertices[:, :2]
    before, here, after = rows[k - 1], rows[k % len(rows)], rows[(k + 1) % len(rows)]
    (a, b), (c, d) = here - before, after - here
    return bool(abs(a * d - b * c) > 1e-9)


def test_faces_turn_their_outside_out() -> None:
    """The volume by the divergence theorem over all faces is the part's own, and positive."""
    part = ring(relief=0.0)[3]
    solid = list(sides(part, 0))
    volume = sum(
        float(loop[0] @ side.face.normal()) / 6 for side in solid for loop in side.face.loops[:1]
    )
    hole = sum(_signed(loop) for side in solid for loop in side.face.loops[1:])
    dense = sum(shapely.Polygon(loop.dense(0.02)).area * sign
                for loop, sign in zip(part.as_cut.loops, (1, -1), strict=True))  # fmt: skip
    assert volume + hole == pytest.approx(dense * T, rel=1e-9)
    assert all(side.face.normal() @ side.normal > 0 for side in solid)


def _signed(loop: np.ndarray) -> float:
    corners = loop - loop[0]
    normal = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
    return float(loop[0] @ normal) / 6


def test_tints_follow_the_direction_and_end_grain_shows_across_the_grain() -> None:
    flat = Frame((0.0, 0.0, 0.0), X, Y, Z)
    face, _, front, right, back, left = sides(board("a", flat, 40.0, 30.0), 0)
    assert tint(face, Grain.U, 0) == WOOD[0]
    assert tint(front, Grain.U, 0) == tint(back, Grain.U, 0) == WOOD[2]
    assert tint(right, Grain.U, 0) == tint(left, Grain.U, 0) == END_GRAIN
    assert tint(right, Grain.V, 0) == WOOD[1]
    assert tint(front, Grain.V, 0) == END_GRAIN
    assert tint(front, Grain.FREE, 0) not in (WOOD[2], END_GRAIN)


def test_neighbouring_parts_have_their_own_shade() -> None:
    (face, *_) = sides(board("a", Frame((0.0, 0.0, 0.0), X, Y, Z), 40.0, 30.0), 0)
    assert len({tint(face, Grain.U, index) for index in range(5)}) == 5


def test_hostile_names_reach_the_picture_as_plain_text() -> None:
    parts = (board("=cmd\u202e) M3\n" + "x" * 200, Frame((0.0, 0.0, 0.0), X, Y, Z), 400.0, 300.0),)
    page = picture_page("../x%", parts)
    assert page.title == "../x"
    assert page.texts[0].content.startswith("cmd M3 xxx")
    assert len(page.texts[0].content) == 28
