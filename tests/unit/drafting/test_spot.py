from __future__ import annotations

import numpy as np
import pytest
import shapely

from dryfit.drafting.spot import roomiest

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


def test_the_middle_of_a_square_is_deepest() -> None:
    spot = roomiest([SQUARE])
    assert (spot.x, spot.y, spot.room) == pytest.approx((5.0, 5.0, 5.0))


def test_a_hole_is_avoided_and_its_edge_counts() -> None:
    spot = roomiest([SQUARE, SQUARE * [0.6, 0.98] + [0.1, 0.1]])
    assert spot.x == pytest.approx((6.1 + 10) / 2, abs=0.3)
    assert spot.room == pytest.approx((10 - 6.1) / 2, abs=0.2)


@pytest.mark.parametrize("seed", range(8))
def test_the_room_is_the_distance_to_the_edge_by_another_library(seed: int) -> None:
    rng = np.random.default_rng(seed)
    angles = np.sort(rng.uniform(0, 2 * np.pi, 12))
    ring = (rng.uniform(4, 10, 12) * [np.cos(angles), np.sin(angles)]).T
    polygon = shapely.Polygon(ring)
    spot = roomiest([ring])
    assert polygon.contains(shapely.Point(spot.x, spot.y))
    assert spot.room == pytest.approx(polygon.exterior.distance(shapely.Point(spot.x, spot.y)))
    deepest = shapely.maximum_inscribed_circle(polygon, 0.01).length
    cell = np.hypot(*(np.ptp(ring, axis=0) / 42)) / 2
    assert spot.room >= 0.98 * (deepest - cell) - 0.01


def test_a_stretched_spot_wants_more_room_along_x() -> None:
    """A tall slot and a wide one of the same size: lettering goes into the wide one."""
    tall = np.array([[0.0, 0.0], [6.0, 0.0], [6.0, 30.0], [0.0, 30.0]])
    wide = np.array([[6.0, 0.0], [36.0, 0.0], [36.0, 6.0], [6.0, 6.0]])
    both = np.array([*tall[[0]], *wide[[1, 2, 3]], *tall[[2, 3]]])
    assert roomiest([both], stretch=5.0).y < 6.0
