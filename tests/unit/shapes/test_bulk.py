"""What bodies fill against closed forms of boxes, prisms and rounds."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pytest

from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.solid import Bulk, Slice, Stack, solid_of
from dryfit.shapes.tolerances import CHORD
from tests.helpers.motion import rotation

if TYPE_CHECKING:
    from collections.abc import Sequence


class Place(NamedTuple):
    """Where a slab lies: an origin and the rows u, v, n."""

    origin: np.ndarray
    axes: np.ndarray


HERE = Place(np.zeros(3), np.eye(3))
ASLANT = Place(np.array([31.0, -7.0, 123.456789012]), rotation((0.3, -0.5, 0.7, 0.2)))


def slab(loops: Sequence[Loop], low: float, high: float, place: Place) -> Bulk:
    profile = Profile(loops[0], tuple(loops[1:]))
    return Bulk.of(solid_of(Stack((Slice(low, high, (profile,)),), *place), CHORD))


def box(x: float, y: float, z: float, place: Place = HERE) -> Bulk:
    return slab(Profile.rectangle(0, 0, x, y).loops, 0.0, z, place)


@pytest.mark.parametrize("place", [HERE, ASLANT])
def test_volume_and_extents_of_a_slab_with_a_hole(place: Place) -> None:
    hole = Loop.of([(2, 2), (2, 5), (6, 5), (6, 2)])
    made = slab((Profile.rectangle(0, 0, 10, 8).outer, hole), 1.0, 4.0, place)
    assert made.volume == pytest.approx((80 - 12) * 3, abs=1e-6)
    assert made.extents(place.axes) == pytest.approx([10, 8, 3], abs=1e-8)


def test_coordinates_keep_their_precision() -> None:
    """Single precision would be off by 1e-5 here."""
    made = box(100.0, 0.1, 7.123456789, ASLANT)
    assert made.volume == pytest.approx(71.23456789, abs=1e-6)


def test_a_round_is_as_good_as_its_chords() -> None:
    disc = slab((Loop.of([(-5, 0, 1.0), (5, 0, 1.0)]),), 0.0, 2.0, HERE)
    assert disc.volume == pytest.approx(2 * math.pi * 25, rel=3e-4)


def test_what_two_boxes_share() -> None:
    other = box(10, 10, 10).moved(np.array([7.0, 8.0, 9.0]))
    both = box(10, 10, 10).common(other)
    assert both.volume == pytest.approx(3 * 2 * 1, abs=1e-9)
    assert both.extents(np.eye(3)) == pytest.approx([3, 2, 1])
    assert len(both.pieces()) == 1


def test_boxes_that_touch_share_nothing() -> None:
    other = box(10, 10, 10, ASLANT).moved(10 * ASLANT.axes[0])
    assert box(10, 10, 10, ASLANT).common(other).volume < 1e-5


def test_a_union_is_counted_once_and_falls_into_pieces() -> None:
    parts = [box(10, 10, 10).moved(np.array([x, 0.0, 0.0])) for x in (0.0, 5.0, 30.0)]
    whole = Bulk.union(parts)
    assert whole.volume == pytest.approx(2500.0, abs=1e-9)
    assert sorted(round(piece.volume) for piece in whole.pieces()) == [1000, 1500]


def test_a_hull_of_eight_points_is_their_box() -> None:
    corners = np.array([(x, y, z) for x in (0, 2) for y in (0, 3) for z in (0, 4)], dtype=float)
    assert Bulk.hull(corners @ ASLANT.axes).volume == pytest.approx(24.0, abs=1e-9)


def test_the_spread_of_a_slab_is_its_thickness() -> None:
    assert box(10, 0.2, 5).spread(np.eye(3)[:2], 10.0) == pytest.approx(0.2, abs=2e-3)


def test_the_spread_of_a_corner_in_a_round() -> None:
    """r (1 - 1/√2): the way from a square corner along both walls to a fillet of radius r."""
    radius = 2.0
    corner = Loop.of([(0, 0), (radius, 0, -math.tan(math.pi / 8)), (0, radius)])
    body = slab((corner,), 0.0, 5.0, HERE)
    assert body.spread(np.eye(3)[:2], 5.0) == pytest.approx(
        radius * (1 - 1 / math.sqrt(2)), abs=2e-3
    )
