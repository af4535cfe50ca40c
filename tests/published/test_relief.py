"""Reliefs and rounds in a square inside corner.

Source: derived; formulas for a circle of radius r in a square corner. The corner is the origin,
the pocket x > 0, y > 0; an unrelieved cutter's centre stops at (r, r).

==================  ==========================  =====================
quantity            diagonal                    one wall
==================  ==========================  =====================
centre              (r / √2, r / √2)            (0, r) or (r, 0)
bite beyond a wall  r (1 - 1 / √2) on both      r on one, 0 on other
reach along a wall  √2 r                        2 r
area beyond walls   (π / 2 - 1) r²              (π / 2) r²
total extra area    (π / 4) r²                  (1 + π / 4) r²
==================  ==========================  =====================

The round that an unrelieved corner keeps has the area (1 - π / 4) r².
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Wish
from dryfit.parts.relief import flank_bite, shoulder_bite
from tests.helpers.boxes import CASE, HAND, PAIR, Built, box, build

if TYPE_CHECKING:
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Profile

RADII = {"1/8 in": 1.5875, "6 mm": 3.0, "1/4 in": 3.175}
# Centre, bite beyond a wall, reach along a wall and extra area of a diagonal relief, as printed.
PRINTED = {
    "1/8 in": (1.1225, 0.4650, 2.2451, 1.9793),
    "6 mm": (2.1213, 0.8787, 4.2426, 7.0686),
    "1/4 in": (2.2451, 0.9299, 4.4901, 7.9173),
}
BITES = {
    Relief.DIAGONAL: (math.pi / 4, math.pi / 2 - 1),
    Relief.FLANK: (1 + math.pi / 4, math.pi / 2),
    Relief.SHOULDER: (1 + math.pi / 4, math.pi / 2),
}
EACH = pytest.mark.parametrize("radius", RADII.values(), ids=RADII)
STYLES = pytest.mark.parametrize("relief", BITES)


def made(radius: float, relief: Relief, wish: Wish | None = None) -> Built:
    """A case with fingers far wider than the cutter."""
    wish = wish or Wish(width=24.0, flank_gap=0.0, proud=0.0)
    return build(
        box((240, 180, 120), CASE, 12.0, wish=wish), Cutter(Route.ROUTER, 2 * radius, relief)
    )


def inside_corners(profile: Profile) -> np.ndarray:
    """Vertices where a square outline turns right; shape (k, 2)."""
    points = profile.outer.vertices[:, :2]
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    return np.asarray(points[before[:, 0] * after[:, 1] < before[:, 1] * after[:, 0] - 1e-9])


def arcs(profile: Profile) -> np.ndarray:
    """Begin, end and bulge of each arc; shape (k, 5)."""
    vertices = profile.outer.vertices
    edges = np.column_stack((vertices[:, :2], np.roll(vertices, -1, axis=0)[:, :2], vertices[:, 2]))
    return np.asarray(edges[edges[:, 4] != 0])


@EACH
@STYLES
def test_areas(radius: float, relief: Relief) -> None:
    bitten = made(radius, relief).parts
    rounds = made(radius, Relief.NONE).parts
    extra, beyond = BITES[relief]
    for relieved, plain in zip(bitten, rounds, strict=True):
        corners = len(inside_corners(plain.profile))
        assert corners == len(arcs(relieved.profile)) >= 8
        assert plain.profile.area - relieved.profile.area == pytest.approx(
            corners * beyond * radius**2, abs=1e-6
        )
        assert plain.as_cut.area - relieved.profile.area == pytest.approx(
            corners * extra * radius**2, abs=1e-6
        )
        assert plain.as_cut.area - plain.profile.area == pytest.approx(
            corners * (1 - math.pi / 4) * radius**2, abs=1e-6
        )
        assert relieved.as_cut.area == pytest.approx(relieved.profile.area, abs=1e-9)


@pytest.mark.parametrize("size", RADII)
def test_printed_values(size: str) -> None:
    radius = RADII[size]
    centre, bite, reach, extra = PRINTED[size]
    relieved, plain = (made(radius, relief).parts[0] for relief in (Relief.DIAGONAL, Relief.NONE))
    corners = inside_corners(plain.profile)
    found = arcs(relieved.profile)
    assert len(found) == len(corners)
    middles = (found[:, :2] + found[:, 2:4]) / 2
    for corner, arc, middle in zip(*_paired(corners, found, middles), strict=True):
        assert np.abs(middle - corner) == pytest.approx(centre, abs=5e-5)
        ends = np.abs(arc[:4].reshape(2, 2) - corner)
        assert np.sort(ends, axis=1) == pytest.approx(np.array([[0, reach]] * 2), abs=5e-5)
    assert radius - centre == pytest.approx(bite, abs=1e-4)
    assert flank_bite(Relief.DIAGONAL, radius) == pytest.approx(bite, abs=5e-5)
    assert shoulder_bite(Relief.DIAGONAL, radius) == pytest.approx(bite, abs=5e-5)
    lost = (plain.as_cut.area - relieved.profile.area) / len(corners)
    assert lost == pytest.approx(extra, abs=5e-5)


def _paired(
    corners: np.ndarray, found: np.ndarray, middles: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Each arc with the corner nearest to its centre."""
    nearest = np.hypot(*(middles[:, None, :] - corners[None, :, :]).transpose(2, 0, 1)).argmin(
        axis=1
    )
    assert len(set(nearest.tolist())) == len(corners)
    return corners[nearest], found, middles


@EACH
@pytest.mark.parametrize("relief", [Relief.FLANK, Relief.SHOULDER])
def test_one_wall(radius: float, relief: Relief) -> None:
    """Centre on the wall at r from the corner, 2 r of the wall bitten, the other wall whole."""
    relieved, plain = (made(radius, style).parts[0] for style in (relief, Relief.NONE))
    corners, found = inside_corners(plain.profile), arcs(relieved.profile)
    middles = (found[:, :2] + found[:, 2:4]) / 2
    for corner, arc, middle in zip(*_paired(corners, found, middles), strict=True):
        assert np.sort(np.abs(middle - corner)) == pytest.approx([0, radius], abs=1e-9)
        assert np.hypot(*(arc[2:4] - arc[:2])) == pytest.approx(2 * radius, abs=1e-9)
        assert min(np.hypot(*(arc[:2] - corner)), np.hypot(*(arc[2:4] - corner))) < 1e-9
    deep = flank_bite(relief, radius), shoulder_bite(relief, radius)
    assert deep == ((radius, 0.0) if relief is Relief.FLANK else (0.0, radius))


@EACH
def test_a_one_wall_relief_bites_the_wall_it_is_named_after(radius: float) -> None:
    """Along the flanks of a pair, front's shoulders stay whole with flank relief."""
    wish = Wish(count=5, flank_gap=0.0, proud=0.0)
    piece = box((150, 150, 150), PAIR, 18.0, wish=wish)
    for relief, deepest in ((Relief.FLANK, 18.0), (Relief.SHOULDER, 18.0 + radius)):
        front = build(piece, Cutter(Route.ROUTER, 2 * radius, relief)).part("front")
        swings = arcs(front.profile)
        across = 0 if abs(front.panel.frame.u[0]) > 0.5 else 1
        # Half circles reach r from their centres, in the wall across the corner's length.
        places = (swings[:, across] + swings[:, 2 + across]) / 2
        from_edge = np.minimum(places, 150 - places)
        reach = from_edge + (radius if relief is Relief.SHOULDER else 0.0)
        assert reach.max() == pytest.approx(deepest - (radius if relief is Relief.FLANK else 0.0))


def fillet(radius: float, away: float) -> float:
    """How high a round stands over the shoulder at a distance from the flank. [mm]"""
    return radius - math.sqrt(radius**2 - (radius - away) ** 2)


def unrelieved(gap: float, cutter: Cutter, square: tuple[str, ...] = ()) -> Built:
    """A pair of 18 mm, some of whose mates are cut with square corners instead."""
    wish = Wish(count=5, flank_gap=gap, proud=0.0)
    piece = box((150, 150, 150), PAIR, 18.0, wish=wish)
    built, chopped = build(piece, cutter), build(piece, HAND)
    for name in square:
        exchanged: Part = replace(built.part(name), as_cut=chopped.part(name).as_cut)
        built = built.with_part(exchanged)
    return built


@pytest.mark.parametrize("mate", PAIR)
def test_one_square_mate_stands_open(mate: str) -> None:
    """A 6 mm cutter and 0.1 mm of air: r - √(r² - (r - a)²) = 2.232 mm."""
    (touch,) = unrelieved(0.1, Cutter(Route.ROUTER, 6.0), (mate,)).fit()
    assert fillet(3.0, 0.1) == pytest.approx(2.232, abs=5e-4)
    assert touch.open == pytest.approx(fillet(3.0, 0.1), abs=1e-3)
    assert touch.penetration > 0.5


def test_two_rounds_meet_at_half_the_air() -> None:
    """The rounds of both mates face each other; they meet midway, where each has half the air."""
    (touch,) = unrelieved(0.1, Cutter(Route.ROUTER, 6.0)).fit()
    assert fillet(3.0, 0.05) == pytest.approx(2.4546, abs=5e-5)
    assert touch.open == pytest.approx(fillet(3.0, 0.05), abs=1e-3)


def test_a_square_corner_never_enters_a_round_with_a_seated_shoulder() -> None:
    """(r - a)² + (r - b)² <= r² with b = 0 holds only from a = r on."""
    for gap in (0.1, 1.0, 2.9):
        (touch,) = unrelieved(gap, Cutter(Route.ROUTER, 6.0), ("left",)).fit()
        assert touch.open == pytest.approx(fillet(3.0, gap), abs=1e-3)
    (touch,) = unrelieved(3.0, Cutter(Route.ROUTER, 6.0), ("left",)).fit()
    assert touch.penetration == pytest.approx(0.0, abs=1e-6)


def test_a_laser_crushes_a_little_in_each_corner() -> None:
    """A kerf of 0.2 mm at no gap: the corner penetrates the round by r (1 - 1 / √2)."""
    (touch,) = unrelieved(0.0, Cutter(Route.LASER, 0.2)).fit()
    assert 0.1 * (1 - 1 / math.sqrt(2)) == pytest.approx(0.0293, abs=5e-5)
    assert touch.penetration == pytest.approx(0.0293, abs=2e-4)
