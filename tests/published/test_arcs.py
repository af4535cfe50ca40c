"""Areas of figures made of arcs, against the formulas of handbooks.

Sources: circular segment, lens of two circles, Reuleaux triangle and salinon as in mathematical
handbooks, from memory; the bulge as DXF defines it, against ezdxf, a general-purpose library
that shares no code with ours. The relief formulas are derived by hand in their tests: common
practice gives the centres, no source gives the areas.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from ezdxf.math import bulge_center, bulge_radius, bulge_to_arc

from dryfit.shapes import arc
from dryfit.shapes.boolean import difference, intersection, union
from dryfit.shapes.profile import Loop, Profile
from tests.corpus.awkward import disc

RADII = pytest.mark.parametrize("radius", [0.5, 1.5875, 3.0, 3.175])


@pytest.mark.parametrize("bulge", [-2.5, -1.0, -0.3, 0.05, 0.4142, 1.0, 1.9])
def test_bulge_as_in_dxf(bulge: float) -> None:
    edge = np.array([[3.0, -2.0, 10.0, 5.5, bulge]])
    start, end = (3.0, -2.0), (10.0, 5.5)
    assert arc.radius(edge)[0] == pytest.approx(abs(bulge_radius(start, end, bulge)))
    assert arc.centre(edge)[0] == pytest.approx(tuple(bulge_center(start, end, bulge)))
    _, first, last, r = bulge_to_arc(start, end, bulge)
    turn = (last - first) % (2 * math.pi)
    assert abs(arc.included_angle(edge)[0]) == pytest.approx(turn)
    assert arc.length(edge)[0] == pytest.approx(r * turn)


@pytest.mark.parametrize("height", [0.5, 2.0, 5.0, 8.0])
def test_segment_of_a_circle(height: float) -> None:
    """R² acos((R - h) / R) - (R - h) sqrt(2 R h - h²)."""
    r = 5.0
    wanted = r**2 * math.acos((r - height) / r) - (r - height) * math.sqrt(
        2 * r * height - height**2
    )
    cut = intersection([disc(0, 0, r)], [Profile.rectangle(-9, r - height, 9, 9)])
    assert sum(one.area for one in cut) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(("r", "s", "d"), [(3, 3, 2), (5, 3, 4), (5, 3, 7.9), (5, 3, 2.1)])
def test_lens_of_two_circles(r: float, s: float, d: float) -> None:
    root = math.sqrt((-d + r + s) * (d + r - s) * (d - r + s) * (d + r + s))
    wanted = (
        r**2 * math.acos((d**2 + r**2 - s**2) / (2 * d * r))
        + s**2 * math.acos((d**2 + s**2 - r**2) / (2 * d * s))
        - root / 2
    )
    lens = intersection([disc(0, 0, r)], [disc(d, 0, s)])
    assert sum(one.area for one in lens) == pytest.approx(wanted, abs=1e-9)


def test_reuleaux_triangle() -> None:
    """Three discs of radius 1 about the corners of a triangle share (π - √3) / 2."""
    height = math.sqrt(3) / 2
    pair = intersection([disc(0, 0, 1)], [disc(1, 0, 1)])
    triangle = intersection(pair, [disc(0.5, height, 1)])
    assert [len(one.outer.edges) for one in triangle] == [3]
    assert triangle[0].area == pytest.approx((math.pi - math.sqrt(3)) / 2, abs=1e-12)


@pytest.mark.parametrize(("large", "middle"), [(4.0, 1.0), (3.0, 2.5)])
def test_salinon(large: float, middle: float) -> None:
    """Half circles on one line, radii R and m, enclose π (R + m)² / 4 (Archimedes, Lemmas)."""
    small = (large - middle) / 2
    upper = intersection([disc(0, 0, large)], [Profile.rectangle(-9, 0, 9, 9)])
    ends = [disc(x, 0, small) for x in (small - large, large - small)]
    lower = intersection([disc(0, 0, middle)], [Profile.rectangle(-9, -9, 9, 0)])
    made = union([*difference(upper, ends), *lower])
    wanted = math.pi * (large + middle) ** 2 / 4
    assert sum(one.area for one in made) == pytest.approx(wanted, abs=1e-9)


def _bite(radius: float, x: float, y: float) -> float:
    """Area that a disc takes beyond the walls of a corner at the origin. [mm²]"""
    walls = Profile(Loop.of([(-9, -9), (9, -9), (9, 0), (0, 0), (0, 9), (-9, 9)]))
    return walls.area - sum(one.area for one in difference([walls], [disc(x, y, radius)]))


@RADII
@pytest.mark.parametrize("degrees", [15, 30, 45, 60, 75])
def test_relief_through_the_corner(radius: float, degrees: int) -> None:
    """A centre (r cos a, r sin a) takes r² (π/2 - sin 2a) beyond both walls, least at 45°.

    The disc passes through the corner, and its chords on the walls, 2 r cos a and 2 r sin a,
    are at right angles: the third side of their triangle is a diameter. In the corner lie the
    triangle, r² sin 2a, and the half disc beyond it; the other half less the triangle is bitten.
    """
    angle = math.radians(degrees)
    wanted = radius**2 * (math.pi / 2 - math.sin(2 * angle))
    bite = _bite(radius, radius * math.cos(angle), radius * math.sin(angle))
    assert bite == pytest.approx(wanted, abs=1e-6)


@RADII
def test_relief_along_one_wall(radius: float) -> None:
    """A centre on a wall takes half a disc beyond it: π/2 r²."""
    assert _bite(radius, 0, radius) == pytest.approx(math.pi / 2 * radius**2, abs=1e-6)
    assert _bite(radius, radius, 0) == pytest.approx(math.pi / 2 * radius**2, abs=1e-6)


@RADII
def test_relief_against_an_unrelieved_corner(radius: float) -> None:
    """Diagonal relief takes πr²/4 more than a cutter that stops at (r, r) leaves."""
    fillet = (1 - math.pi / 4) * radius**2
    reach = radius / math.sqrt(2)
    assert _bite(radius, reach, reach) + fillet == pytest.approx(math.pi / 4 * radius**2, abs=1e-6)


def test_relief_reaches_beyond_the_wall() -> None:
    """0.2929 r beyond either wall, over a chord of √2 r."""
    reach = 3 / math.sqrt(2)
    walls = Profile(Loop.of([(-9, -9), (9, -9), (9, 0), (0, 0), (0, 9), (-9, 9)]))
    cut = difference([walls], [disc(reach, reach, 3)])[0]
    arcs = cut.edges[cut.edges[:, 4] != 0]
    reached = arc.extremes(arcs)
    assert reached[:, :2].min(axis=0) == pytest.approx(-3 * (1 - 1 / math.sqrt(2)), abs=1e-9)
    ends = sorted(float(v) for v in np.unique(np.round(arcs[:, [0, 2]], 9)) if v > 0)
    assert ends == pytest.approx([math.sqrt(2) * 3], abs=1e-9)
