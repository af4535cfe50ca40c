"""The dry fit against a boolean solid kernel on finely facetted parts."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import manifold3d
import numpy as np
import pytest

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.panel import Face
from dryfit.model.piece import Piece, Wish
from dryfit.parts.part import Purpose
from dryfit.shapes.profile import Loop, Profile
from tests.helpers.boxes import CASE, HAND, PAIR, RING, TRAY, Built, box, build, slab
from tests.helpers.oracle import frame_of

if TYPE_CHECKING:
    from dryfit.model.panel import Panel
    from dryfit.parts.part import Cut, Part

CHORD = 5e-4
# Where two pairs stand, and how thick their fronts are. [mm]
FRONTS = ((0, 9.0), (300, 4.5))
CUTTERS = {
    "hand": HAND,
    "laser": Cutter(Route.LASER, 0.3),
    "none": Cutter(Route.ROUTER, 6.0),
    **{
        relief.value: Cutter(Route.ROUTER, 6.0, relief)
        for relief in (Relief.DIAGONAL, Relief.FLANK, Relief.SHOULDER)
    },
}


def solid(part: Part) -> manifold3d.Manifold:
    """The as-cut part in its place: outline and mortises over its thickness, less trenches."""
    loops = [loop.dense(CHORD) for loop in part.as_cut.loops]
    origin, rows = frame_of(part.panel)
    body = manifold3d.Manifold.extrude(manifold3d.CrossSection(loops), part.thickness)
    for cut in part.cuts_for(Purpose.TRENCH):
        floor = manifold3d.CrossSection([cut.profile.outer.dense(CHORD)])
        begin = cut.depth_from if cut.face is Face.A else part.thickness - cut.depth_to
        trench = manifold3d.Manifold.extrude(floor, cut.depth_to - cut.depth_from)
        body -= trench.translate([0, 0, begin])
    return body.transform(np.column_stack((rows.T, origin)))


def prism(built: Built, one: str, other: str) -> manifold3d.Manifold:
    """The box in which two parts' own joint runs: both slabs, over the joint's span."""
    parts = [built.part(one), built.part(other)]
    normals = [int(np.abs(part.panel.frame.n).argmax()) for part in parts]
    low, high = np.zeros(3), np.zeros(3)
    for part, normal in zip(parts, normals, strict=True):
        origin, rows = frame_of(part.panel)
        faces = origin[normal], (origin + part.thickness * rows[2])[normal]
        low[normal], high[normal] = min(faces), max(faces)
    along = 3 - sum(normals)
    low[along], high[along] = built.spans[one, other]
    return manifold3d.Manifold.cube((high - low).tolist()).translate(low.tolist())


def tolerance(part: Part) -> float:
    """What chords are off by, two thirds of their height, over a part's arcs. [mm³]"""
    edges = np.concatenate([loop.edges for loop in part.as_cut.loops])
    bent = edges[edges[:, 4] != 0]
    return 1e-5 + 1.2 * CHORD * part.thickness * float(
        np.hypot(*(bent[:, 2:4] - bent[:, :2]).T).sum()
    )


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
@pytest.mark.parametrize(
    ("gap", "walls"),
    [(0.1, TRAY), (0.1, PAIR), (0.0, RING), (0.0, CASE), (-0.08, PAIR), (-0.08, CASE)],
    ids=["air tray", "air pair", "tight ring", "tight case", "press pair", "press case"],
)
def test_volumes_agree_with_a_solid_kernel(
    cutter: Cutter, gap: float, walls: tuple[str, ...]
) -> None:
    thickness = dict(zip(CASE, (9.0, 12.0, 9.0, 10.5, 12.0, 8.0), strict=True))
    ways = dict(zip(CASE, (0, 3, 5, 6, 1, 2), strict=True))
    wish = Wish(width=17.0, flank_gap=gap, proud=0.3)
    built = build(box((130, 110, 90), walls, thickness, ways=ways, wish=wish), cutter)
    solids = {part.name: solid(part) for part in built.parts}
    touches = built.fit()
    assert {(touch.a, touch.b) for touch in touches} == set(built.spans)
    for touch in touches:
        one, other = solids[touch.a], solids[touch.b]
        room = prism(built, touch.a, touch.b)
        near = tolerance(built.part(touch.a)) + tolerance(built.part(touch.b))
        assert touch.overlap == pytest.approx((one ^ other).volume(), abs=near)
        assert touch.gap == pytest.approx((room - one - other).volume(), abs=near)
        assert (touch.penetration > 0) == (touch.overlap > 1e-9)


def shelf(depth: float) -> Panel:
    """A shelf let into the ends of a tray of 240 by 180 mm, 9 mm thick, by a depth."""
    return slab("shelf", (9 - depth, 9, 50), (231 + depth, 171, 56), 2, rank=3)


def dividers(depth: float) -> tuple[Panel, Panel]:
    """Dividers that cross, let into the walls and the base of that tray by a depth."""
    low = 9 - depth
    return (
        slab("long", (low, 70, low), (231 + depth, 76, 70), 1, rank=3),
        slab("cross", (80, low, low), (85, 171 + depth, 70), 0, rank=4),
    )


INSIDE = {
    "tenons": (shelf(9.0),),
    "housings": (shelf(3.0),),
    "halvings": dividers(0.0),
    "halvings and housings": dividers(4.0),
    "halvings and tenons": dividers(9.0),
}


# With air, only rounds that nothing relieves overlap.
@pytest.mark.parametrize(
    ("cutter", "gap"),
    [(CUTTERS["none"], 0.1), *((cutter, -0.08) for cutter in CUTTERS.values())],
    ids=["none with air", *CUTTERS],
)
@pytest.mark.parametrize("inside", INSIDE.values(), ids=INSIDE)
def test_what_stands_inside_agrees_with_a_solid_kernel(
    cutter: Cutter, gap: float, inside: tuple[Panel, ...]
) -> None:
    """Overlaps of mortises, trenches and slots; a floor and a wall of a part are one solid."""
    wish = Wish(flank_gap=gap, proud=0.3)
    piece = Piece((*box((240, 180, 120), TRAY, 9.0).panels, *inside), wish)
    built = build(piece, cutter)
    solids = {part.name: solid(part) for part in built.parts}
    touches = {frozenset((touch.a, touch.b)): touch for touch in built.fit()}
    for one, other in combinations(built.parts, 2):
        if {one.name, other.name} <= set(TRAY):
            continue  # Corners are compared above.
        shared = (solids[one.name] ^ solids[other.name]).volume()
        touch = touches.get(frozenset((one.name, other.name)))
        found = touch.overlap if touch is not None else 0.0
        assert found == pytest.approx(shared, abs=tolerance(one) + tolerance(other))


@pytest.mark.parametrize("relief", list(Relief)[:3])
@pytest.mark.parametrize("inside", INSIDE.values(), ids=INSIDE)
def test_volumes_of_parts_take_nothing_off_twice(relief: Relief, inside: tuple[Panel, ...]) -> None:
    """Reliefs bite into trenches, and trenches widened by their air run into one another."""
    piece = Piece((*box((240, 180, 120), TRAY, 9.0).panels, *inside), Wish(flank_gap=0.05))
    for part in build(piece, Cutter(Route.ROUTER, 3.175, relief)).parts:
        if any(cut.profile.outer != loop.reversed() for cut, loop in _mortises(part)):
            continue
        assert part.volume == pytest.approx(solid(part).volume(), abs=tolerance(part))


def _mortises(part: Part) -> list[tuple[Cut, Loop]]:
    """Mortises as drawn and as cut; they differ where the cutter is shut out."""
    return list(zip(part.cuts_for(Purpose.MORTISE), part.as_cut.holes, strict=True))


@pytest.mark.parametrize("inside", INSIDE.values(), ids=INSIDE)
def test_cut_square_and_tight_nothing_gapes(inside: tuple[Panel, ...]) -> None:
    """Stretches that third panels fill are no gap of the two that share them."""
    wish = Wish(flank_gap=0.0, proud=0.0)
    built = build(Piece((*box((240, 180, 120), TRAY, 9.0).panels, *inside), wish))
    for touch in built.fit():
        assert touch.overlap == 0.0
        assert touch.gap == pytest.approx(0.0, abs=1e-6)


def test_a_press_fit_penetrates_by_its_interference() -> None:
    wish = Wish(count=5, flank_gap=-0.06, proud=0.0)
    (touch,) = build(box((100, 100, 100), PAIR, 9.0, wish=wish)).fit()
    assert touch.penetration == pytest.approx(0.06, abs=1e-9)
    assert touch.overlap == pytest.approx(4 * 0.06 * 81, abs=1e-9)


def test_proud_fingers_touch_nothing() -> None:
    wish = Wish(count=5, flank_gap=0.05, proud=0.7)
    (touch,) = build(box((100, 100, 100), PAIR, 9.0, wish=wish)).fit()
    assert touch.overlap == 0.0
    assert touch.gap == pytest.approx(4 * 0.05 * 81, abs=1e-9)


def test_a_corner_in_a_round_yields_by_what_geometry_says() -> None:
    """At no gap, a square corner in a round of radius r: r (1 - 1 / √2) on both walls."""
    wish = Wish(count=3, flank_gap=0.0, proud=0.0)
    piece = box((120, 120, 120), PAIR, 18.0, wish=wish)
    cut, chopped = build(piece, Cutter(Route.ROUTER, 6.0)), build(piece, HAND)
    (touch,) = cut.with_part(chopped.part("left")).fit()
    assert touch.penetration == pytest.approx(3 * (1 - 1 / math.sqrt(2)), abs=2e-2)
    rounds = np.count_nonzero(cut.part("front").as_cut.outer.vertices[:, 2])
    assert touch.overlap == pytest.approx(rounds * (1 - math.pi / 4) * 9 * 18, rel=1e-6)


def test_overlaps_of_one_volume_and_two_depths_are_told_apart() -> None:
    """Sockets too shallow by 0.008 mm under 9 mm, and by 0.016 mm under 4.5 mm: 0.072 mm² each."""
    panels = [
        *(slab(f"{thick} front", (x, 0, 0), (x + 100, thick, 60), 1) for x, thick in FRONTS),
        *(slab(f"{thick} left", (x, 0, 0), (x + 9, 100, 60), 0) for x, thick in FRONTS),
    ]
    built = build(Piece(tuple(panels), Wish(count=5, flank_gap=0.0, proud=0.0)))
    for thick, error in ((9.0, 0.008), (4.5, 0.016)):
        built = built.with_part(shallow(built.part(f"{thick} front"), 9.0, error))
    found = {touch.a: touch.penetration for touch in built.fit()}
    assert found["9.0 front"] == pytest.approx(0.008, abs=1e-9)
    assert found["4.5 front"] == pytest.approx(0.016, abs=1e-9)


def shallow(part: Part, depth: float, error: float) -> Part:
    """A part whose sockets at its low x end are too shallow by an error. [mm]"""
    _, rows = frame_of(part.panel)
    vertices = part.as_cut.outer.vertices.copy()
    inward = vertices[:, :2] @ rows[:2, 0]
    bottom = np.abs(inward - depth) < 1e-6
    assert bottom.any()
    vertices[bottom, :2] -= error * rows[:2, 0]
    return replace(part, as_cut=Profile(Loop(vertices)))
