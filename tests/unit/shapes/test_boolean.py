from __future__ import annotations

import math
import time

import numpy as np
import pytest

from dryfit.errors import ShapeError
from dryfit.shapes import arc, geos, trace
from dryfit.shapes.boolean import difference, intersection, union
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.trace import inside
from tests.corpus.awkward import PLATE, RING, SQUARE, disc


def comb(fingers: int, width: float, depth: float) -> Profile:
    """A board with fingers along its upper edge. [mm]"""
    length = (2 * fingers + 1) * width
    points = [(0.0, -100.0), (length, -100.0), (length, depth)]
    for k in reversed(range(fingers)):
        x = (2 * k + 1) * width
        points += [(x + width, depth), (x + width, 0.0), (x, 0.0), (x, depth)]
    return Profile(Loop.of([*points, (0.0, depth)]))


def reliefs(fingers: int, width: float, radius: float) -> list[Profile]:
    """Diagonal reliefs in every socket of the comb. [mm]"""
    reach = radius / math.sqrt(2)
    starts = [(2 * k + 1) * width for k in range(fingers)]
    return [disc(x, reach, radius) for s in starts for x in (s + reach, s + width - reach)]


def test_a_comb_keeps_true_arcs_and_is_quick() -> None:
    plain, discs = comb(200, 12.0, 18.0), reliefs(200, 12.0, 3.0)
    begun = time.process_time()
    made = difference([plain], discs)
    spent = time.process_time() - begun
    arcs = made[0].edges[made[0].edges[:, 4] != 0]
    assert len(made) == 1
    assert len(arcs) == 400
    assert arc.radius(arcs) == pytest.approx(3.0, abs=1e-9)
    assert plain.area - made[0].area == pytest.approx(400 * (math.pi / 2 - 1) * 9, abs=1e-6)
    assert spent < 1.5  # about 0.1 s; the margin is for slow and busy machines


def test_nothing_gives_nothing() -> None:
    assert union([]) == []
    assert difference([], [SQUARE]) == []
    assert intersection([SQUARE], []) == []
    assert difference([SQUARE], []) == [SQUARE]


def test_neighbours_on_one_line_become_one_edge() -> None:
    made = union([SQUARE, Profile.rectangle(10, 0, 20, 10)])
    assert made == [Profile.rectangle(0, 0, 20, 10)]


def test_halves_of_a_disc_become_a_disc() -> None:
    left = intersection([disc(2, 1, 4)], [Profile.rectangle(-9, -9, 2, 9)])
    right = intersection([disc(2, 1, 4)], [Profile.rectangle(2, -9, 9, 9)])
    made = union([*left, *right])
    assert len(made[0].outer.edges) == 2
    assert made[0].area == pytest.approx(16 * math.pi, abs=1e-9)


def test_a_hole_stays_a_hole() -> None:
    made = difference([SQUARE], [disc(5, 5, 2)])
    assert [len(one.holes) for one in made] == [1]
    assert made[0].holes[0].area == pytest.approx(-4 * math.pi)


def test_an_island_in_a_hole_is_a_profile_of_its_own() -> None:
    made = union([PLATE, disc(5, 5, 1)])
    assert sorted(len(one.holes) for one in made) == [0, 1]


def test_each_hole_goes_to_its_own_outline() -> None:
    made = union([RING, RING.moved(40, 0), disc(0, 0, 1)])
    assert sorted(round(one.area, 6) for one in made) == pytest.approx(
        [math.pi, 16 * math.pi, 16 * math.pi], abs=1e-5
    )


def test_squares_that_touch_at_a_corner_stay_two() -> None:
    made = union([SQUARE, Profile.rectangle(10, 10, 20, 20)])
    assert made == [SQUARE, Profile.rectangle(10, 10, 20, 20)]


def test_a_hole_that_touches_the_outline_stays_a_hole() -> None:
    made = difference([SQUARE], [Profile(Loop.of([(0, 5), (4, 3), (4, 7)]))])
    assert [len(one.holes) for one in made] == [1]
    assert made[0].area == pytest.approx(92.0)


def test_a_wrong_area_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(geos, "overlay_area", lambda *_: 99.0)
    with pytest.raises(ShapeError, match=r"measures 91\.0000.*99\.0000"):
        difference([SQUARE], [Profile.rectangle(0, 0, 3, 3)])


def test_loose_pieces_are_refused() -> None:
    edges = np.array([[0, 0, 5, 0, 0], [5, 0, 5, 5, 0.0]])
    with pytest.raises(ShapeError, match=r"does not close at \(5\.0000, 5\.0000\) mm"):
        trace.loops(edges, np.array([[0, 1], [1, 2]]), np.full((2, 3), np.nan))


def test_a_hole_without_an_outline_is_refused() -> None:
    loops = [SQUARE.outer, disc(50, 50, 1).outer, disc(90, 0, 0.5).outer.reversed()]
    with pytest.raises(ShapeError, match="lies in no outline"):
        trace.profiles(loops)


def test_far_from_the_origin() -> None:
    made = difference([SQUARE.moved(5000, -3000)], [disc(5010, -3000, 3)])
    assert made[0].area == pytest.approx(100 - 2.25 * math.pi, abs=1e-6)


def test_points_inside_arcs_are_told_exactly() -> None:
    """A random set of points, against the distance from the centres."""
    points = np.random.default_rng(7).uniform(-6, 6, (4000, 2))
    away = np.hypot(points[:, 0], points[:, 1])
    assert np.array_equal(trace.inside(RING.edges, points), (away < 5) & (away > 3))


def test_a_point_on_the_common_chord_of_two_arcs_is_inside() -> None:
    """Seen on rings cut from rings: a hole whose first edge began on a chord had no home."""
    edges = np.array([[-3.5, 0, 6.5, 0, 1.0], [6.5, 0, -3.5, 0, 1.0]])
    points = np.array([[-3.0, 0.0], [6.4, 0.0], [-3.6, 0.0], [6.6, 0.0]])
    for turned in (edges, edges[:, [1, 0, 3, 2, 4]] * [1, 1, 1, 1, -1]):
        swapped = points if turned is edges else points[:, ::-1]
        assert inside(turned, swapped).tolist() == [True, True, False, False]
