from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely

from dryfit.errors import ShapeError
from dryfit.shapes import arc
from dryfit.shapes.offset import closed_by_disc, offset
from dryfit.shapes.profile import Loop, Profile
from tests.corpus.awkward import PLATE, RING, SQUARE, STADIUM, disc, slotted

if TYPE_CHECKING:
    from collections.abc import Sequence

MOON = Profile(Loop.of([(0, -5, 1), (0, 5, -0.5)]))
ELL = Profile(Loop.of([(0, 0), (20, 0), (20, 6), (8, 6), (8, 15), (0, 15)]))


def area(profiles: Sequence[Profile]) -> float:
    return sum(one.area for one in profiles)


def test_square_out_and_in() -> None:
    assert area(offset(SQUARE, 2)) == pytest.approx(100 + 80 + 4 * math.pi, abs=1e-9)
    assert offset(SQUARE, -2) == [Profile.rectangle(2, 2, 8, 8)]
    assert offset(SQUARE, -5) == []
    assert offset(SQUARE, 0) == [SQUARE]


@pytest.mark.parametrize("distance", [-2.4, -1, 0.5, 1, 2.9, 3, 3.1, 6])
def test_ring(distance: float) -> None:
    made = offset(RING, distance)
    inner = max(3 - distance, 0)
    wanted = math.pi * ((5 + distance) ** 2 - inner**2) if 5 + distance > inner else 0
    assert area(made) == pytest.approx(wanted, abs=1e-9)
    assert [len(one.holes) for one in made] == ([int(inner > 0)] if wanted else [])


@pytest.mark.parametrize("shape", [MOON, ELL, PLATE, STADIUM, slotted(7.0)])
@pytest.mark.parametrize("distance", [-4.1, -2.0, -0.7, 0.3, 2.0, 3.5, 9.0])
def test_against_a_fine_polygon(shape: Profile, distance: float) -> None:
    """GEOS's own buffer of a fine polygon, by its own algorithm."""
    rings = [loop.dense(1e-6) for loop in shape.loops]
    polygon = shapely.Polygon(rings[0], rings[1:])
    wanted = shapely.area(shapely.buffer(polygon, distance, quad_segs=800))
    assert area(offset(shape, distance)) == pytest.approx(wanted, abs=2e-3)


def test_a_dumbbell_falls_in_two() -> None:
    bar = Profile(
        Loop.of(
            [
                (0, 0), (10, 0), (10, 4), (20, 4), (20, 0), (30, 0),
                (30, 10), (20, 10), (20, 6), (10, 6), (10, 10), (0, 10),
            ]
        )
    )  # fmt: skip
    assert len(offset(bar, -1.5)) == 2


def test_not_a_length() -> None:
    with pytest.raises(ShapeError, match="An offset of nan mm"):
        offset(SQUARE, math.nan)
    with pytest.raises(ShapeError, match="A cutter radius of -1 mm"):
        closed_by_disc(SQUARE, -1)


def test_outside_corners_stay_sharp_and_inside_ones_are_filleted() -> None:
    made = closed_by_disc(ELL, 3.0)
    arcs = made[0].edges[made[0].edges[:, 4] != 0]
    assert len(made) == 1
    assert arc.radius(arcs) == pytest.approx([3.0], abs=1e-9)
    assert area(made) - ELL.area == pytest.approx((1 - math.pi / 4) * 9, abs=1e-9)


def test_holes_keep_fillets_or_stay_full() -> None:
    made = closed_by_disc(PLATE, 2.0)
    assert area(made) - PLATE.area == pytest.approx((4 - math.pi) * 4, abs=1e-9)
    assert closed_by_disc(PLATE, 3.1)[0].holes == ()


def test_a_hole_as_wide_as_the_cutter_is_cut() -> None:
    made = closed_by_disc(Profile(SQUARE.outer, (disc(5, 5, 3).outer.reversed(),)), 3.0)
    assert area(made) == pytest.approx(100 - 9 * math.pi, abs=1e-5)
    mortise = Profile.rectangle(2, 2, 6, 8).outer.reversed()
    made = closed_by_disc(Profile(SQUARE.outer, (mortise,)), 2.0)
    assert area(made) == pytest.approx(76 + (4 - math.pi) * 4, abs=1e-5)


def test_relief_makes_a_closed_shape_that_stays() -> None:
    """What a cutter left, it can leave again."""
    once = closed_by_disc(slotted(8.0), 3.0)
    assert len(once) == 1
    assert area(closed_by_disc(once[0], 3.0)) == pytest.approx(area(once), abs=1e-6)


def test_every_point_of_the_waste_taken_is_under_a_disc() -> None:
    """Brute force: centres on a grid that keep clear of the part sweep the waste taken."""
    radius, part = 2.5, ELL
    made = closed_by_disc(part, radius)[0]
    x, y = np.meshgrid(np.arange(-4, 25, 0.1), np.arange(-4, 20, 0.1))
    grid = np.column_stack((x.ravel(), y.ravel()))
    solid = shapely.Polygon(part.outer.vertices[:, :2])
    clear = grid[shapely.distance(shapely.points(grid), solid) >= radius]
    left = shapely.Polygon(made.outer.dense(1e-4))
    swept = shapely.union_all(shapely.buffer(shapely.points(clear), radius, quad_segs=16))
    assert shapely.area(shapely.intersection(swept, left)) < 1e-2
    frame = shapely.box(-2, -2, 22, 17)
    missed = shapely.area(frame.difference(left).difference(swept))
    assert missed < 0.02 * left.area
