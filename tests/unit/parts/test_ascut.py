"""As-cut shapes against a polygon engine and against the program's own generic closing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Wish
from dryfit.shapes.offset import closed_by_disc
from tests.helpers.boxes import CASE, HAND, PAIR, RING, TRAY, Built, box, build

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from dryfit.shapes.profile import Profile

CHORD = 1e-4
# A disc a little smaller enters arcs that chords have made a little smaller.
SHY = 4e-4


def polygon(profile: Profile) -> shapely.Polygon:
    """A fine polygon of a profile."""
    return shapely.Polygon(
        profile.outer.dense(CHORD), [hole.dense(CHORD) for hole in profile.holes]
    )


def random_box(seed: int, relief: Relief) -> Built:
    """Any box whose fingers may be little wider than the cutter."""
    rng = np.random.default_rng(seed)
    walls = (PAIR, RING, TRAY, CASE)[seed % 4]
    radius = float(rng.choice([1.5, 1.5875, 3.0, 3.175]))
    thickness = dict(zip(CASE, rng.uniform(4.0, 19.0, 6).tolist(), strict=True))
    wish = Wish(
        width=float(rng.uniform(2.05, 8.0)) * radius,
        flank_gap=float(rng.choice([0.0, 0.05, 0.1])),
        proud=float(rng.choice([0.0, 0.2])),
    )
    piece = box(rng.uniform(50.0, 160.0, 3).tolist(), walls, thickness, wish=wish)
    return build(piece, Cutter(Route.ROUTER, 2 * radius, relief))


def admits(built: Built) -> bool:
    """Whether the cutter enters every socket of every part."""
    return all(
        joint.plan.width + joint.flank_gap >= built.cutter.size for joint in built.plans.joints
    )


def discs(square: Profile, relief: Relief, radius: float) -> BaseGeometry:
    """The bites at the right turns of a square outline, worked out from its edges alone."""
    points = square.outer.vertices[:, :2]
    back = np.roll(points, 1, axis=0) - points
    on = np.roll(points, -1, axis=0) - points
    right = back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0] > 1e-9
    back /= np.hypot(*back.T)[:, None]
    on /= np.hypot(*on.T)[:, None]
    assert relief is Relief.DIAGONAL
    centres = points[right] + (back + on)[right] * radius / np.sqrt(2)
    return shapely.union_all(shapely.buffer(shapely.points(centres), radius, quad_segs=256))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("relief", list(Relief))
def test_as_cut_is_what_a_disc_can_reach(seed: int, relief: Relief) -> None:
    """The waste opened by a disc: offset out by its radius and in again, by GEOS."""
    built = random_box(seed, relief)
    assert admits(built)
    radius = built.cutter.radius - SHY
    for part in built.parts:
        drawn, left = polygon(part.profile), polygon(part.as_cut)
        assert drawn.is_valid
        assert left.is_valid
        grown = drawn.buffer(radius, quad_segs=256)
        referee = grown.buffer(-radius, quad_segs=256)
        # A tenth of one corner's round at most, in the largest parts.
        near = 0.002 + 5e-4 * len(part.as_cut.outer.vertices)
        assert referee.symmetric_difference(left).area < near


@pytest.mark.parametrize("seed", range(0, 24, 3))
def test_the_drawn_outline_is_the_square_one_less_discs(seed: int) -> None:
    built = random_box(seed, Relief.DIAGONAL)
    plain = build(built.piece, Cutter(Route.ROUTER, built.cutter.size))
    for part, square in zip(built.parts, plain.parts, strict=True):
        bites = discs(square.profile, Relief.DIAGONAL, built.cutter.radius)
        cut = polygon(square.profile).difference(bites)
        main = max(shapely.get_parts(cut), key=lambda piece: piece.area)
        near = 0.01 * len(part.profile.outer.vertices)
        assert polygon(part.profile).symmetric_difference(main).area < near


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("relief", list(Relief))
def test_closed_forms_agree_with_the_generic_closing(seed: int, relief: Relief) -> None:
    """Both keep true arcs, so they agree to rounding and to the shyness of the generic disc."""
    built = random_box(seed, relief)
    assert admits(built)
    for part in built.parts:
        generic = max(
            closed_by_disc(part.profile, built.cutter.radius), key=lambda profile: profile.area
        )
        assert part.as_cut.area == pytest.approx(generic.area, abs=1e-4)
        assert part.as_cut.length == pytest.approx(generic.length, abs=1e-3)


@pytest.mark.parametrize("share", [0.6, 0.8, 0.95])
@pytest.mark.parametrize("count", [5, 12])
def test_a_socket_narrower_than_the_cutter_stays_full(share: float, count: int) -> None:
    """The disc dips only into its mouth, by a segment whose chord is the socket's width.

    The program leaves that dip out. Sockets at the ends of the corner are open on one side.
    """
    radius, gap = 3.0, 0.1
    width = share * 2 * radius
    wish = Wish(count=count, flank_gap=gap, proud=0.0)
    piece = box((150, 150, width * count), PAIR, 9.0, wish=wish)
    built = build(piece, Cutter(Route.ROUTER, 2 * radius))
    half = (width + gap) / 2
    assert half < radius
    segment = radius**2 * math.asin(half / radius) - half * math.sqrt(radius**2 - half**2)
    (joint,) = built.plans.joints
    for part in built.parts:
        open_ended = 1 if count % 2 == 0 else 2 * (part.name == joint.follow)
        enclosed = count - joint.fingers[part.name] - open_ended
        grown = polygon(part.profile).buffer(radius, quad_segs=256)
        referee = grown.buffer(-radius, quad_segs=256)
        dips = polygon(part.as_cut).symmetric_difference(referee).area
        assert dips == pytest.approx(enclosed * segment, abs=2e-3 * count)


@pytest.mark.parametrize("relief", [Relief.DIAGONAL, Relief.FLANK, Relief.SHOULDER])
def test_bites_that_meet_round_a_corner_of_the_panel(relief: Relief) -> None:
    """Fingers hardly wider than the wood is thick: bites from two sides run into each other."""
    wish = Wish(width=12.4, flank_gap=0.1, proud=0.0)
    piece = box((124.0, 124.0, 124.0), CASE, 12.0, wish=wish)
    built = build(piece, Cutter(Route.ROUTER, 6.35, relief))
    assert admits(built)
    for part in built.parts:
        shape = polygon(part.profile)
        assert shape.is_valid
        assert shape.area == pytest.approx(part.profile.area, rel=1e-5)


def test_by_hand_and_by_saw_corners_stay_square() -> None:
    for cutter in (HAND, Cutter(Route.SAW, 3.2)):
        for part in build(box((120, 90, 60), CASE, 9.0), cutter).parts:
            assert part.as_cut == part.profile
            assert not part.as_cut.outer.vertices[:, 2].any()


def test_a_laser_needs_no_relief() -> None:
    """Whatever relief is asked of it, the kerf's round stays."""
    for part in build(box((120, 90, 60), CASE, 9.0), Cutter(Route.LASER, 0.2, Relief.FLANK)).parts:
        assert not part.profile.outer.vertices[:, 2].any()
        rounds = np.count_nonzero(part.as_cut.outer.vertices[:, 2])
        extra = part.as_cut.area - part.profile.area
        assert rounds > 0
        assert extra == pytest.approx(rounds * (1 - np.pi / 4) * 0.1**2, abs=1e-9)
