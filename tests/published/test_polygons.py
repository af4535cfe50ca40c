"""Angled corners against the classical formulas of regular polygons.

With n sides of length a: inradius r = a / (2 tan(π/n)), circumradius R = a / (2 sin(π/n)), inside
angle π - 2π/n, area n a r / 2 (Bronshtein, Semendyayev: Handbook of Mathematics, regular convex
polygons; from memory).
"""

from __future__ import annotations

import math

import pytest

from dryfit.joints.dihedral import Dihedral
from tests.helpers.angled import edge_of, polygon_tray

SIDES = range(3, 13)


def inside_angle(sides: int) -> float:
    return math.pi - 2 * math.pi / sides


@pytest.mark.parametrize("sides", SIDES)
@pytest.mark.parametrize("thick", [3.0, 9.0, 18.0])
def test_the_inner_side_is_the_outer_less_both_inner_edges(sides: int, thick: float) -> None:
    """An inner polygon has the inradius less the thickness."""
    inradius = 150.0
    outer, inner = (2 * r * math.tan(math.pi / sides) for r in (inradius, inradius - thick))
    share = Dihedral(inside_angle(sides), thick, thick)
    assert outer + 2 * share.inner_edge == pytest.approx(inner, abs=1e-9)


@pytest.mark.parametrize("sides", SIDES)
def test_walls_have_the_sizes_of_the_polygon(sides: int) -> None:
    across = 300.0
    length = across * math.tan(math.pi / sides)
    walls = [panel for panel in polygon_tray(sides, across).panels if panel.name != "base"]
    corners = [edge_of(wall, 0)[0] for wall in walls]
    middle = sum(corners) / sides
    for wall, corner in zip(walls, corners, strict=True):
        assert wall.width == pytest.approx(length, abs=1e-9)
        away = corner - middle
        assert math.hypot(*away) == pytest.approx(length / 2 / math.sin(math.pi / sides), abs=1e-9)
        assert abs(away @ wall.frame.n) == pytest.approx(across / 2, abs=1e-9)


@pytest.mark.parametrize("sides", SIDES)
def test_bevelled_ends_share_the_mitre(sides: int) -> None:
    """Both inner edges and the outer edge lie on the half of the angle: that is a mitre."""
    share = Dihedral(inside_angle(sides), 9.0, 9.0)
    mitre = 9.0 * math.tan(math.pi / sides)
    assert -share.inner_edge == pytest.approx(mitre, abs=1e-9)


@pytest.mark.parametrize("degrees", range(30, 151, 10))
@pytest.mark.parametrize(("own", "mate"), [(9.0, 9.0), (6.0, 12.0), (18.0, 3.0)])
def test_finger_length_against_angle(degrees: int, own: float, mate: float) -> None:
    """By the lines of both faces alone, sampled through the thickness, in a frame of coordinates.

    The mate's inner face runs from the inner edge at the angle; its outer face lies a thickness
    farther out.
    """
    angle = math.radians(degrees)
    share = Dihedral(angle, own, mate)
    out = math.sin(angle), -math.cos(angle)
    inner = [(h * -out[1]) / out[0] for h in (0.0, own / 3, own)]
    outer = [(mate + h * -out[1]) / out[0] for h in (0.0, own / 3, own)]
    edge = outer[-1]
    assert share.shoulder == pytest.approx(min(0.0, *inner) - edge, abs=1e-9)
    assert share.tip == pytest.approx(min(outer) - edge, abs=1e-9)
    assert share.finger == pytest.approx(min(outer) - min(inner), abs=1e-9)
    assert share.finger == pytest.approx(mate / math.sin(angle), abs=1e-9)
    assert share.wedge == pytest.approx(own**2 * abs(1 / math.tan(angle)) / 2, abs=1e-9)
    assert share.bevel == pytest.approx(abs(math.radians(90 - degrees)), abs=1e-12)


@pytest.mark.parametrize(
    ("degrees", "length"), [(30, 2.0), (45, math.sqrt(2)), (60, 2 / math.sqrt(3)), (90, 1.0),
                            (120, 2 / math.sqrt(3)), (135, math.sqrt(2)), (150, 2.0)],
)  # fmt: skip
def test_finger_lengths_by_known_sines(degrees: int, length: float) -> None:
    assert Dihedral(math.radians(degrees), 9.0, 10.0).finger == pytest.approx(10 * length)


def test_a_square_corner_is_the_special_case() -> None:
    share = Dihedral(math.radians(90), 9.0, 12.0)
    assert (share.tip, share.shoulder, share.wedge, share.bevel) == (0.0, -12.0, 0.0, 0.0)
    assert (share.inner_edge, share.to_plane) == (-12.0, 0.0)


@pytest.mark.parametrize("degrees", [40.0, 75.0, 110.0, 150.0])
def test_a_finger_made_longer_stands_out_by_the_wedge(degrees: float) -> None:
    """Of a finger longer by what is to be planed off, the part beyond the mate's outer face."""
    angle = math.radians(degrees)
    share = Dihedral(angle, 9.0, 7.0)
    steps = [9.0 * (k + 0.5) / 4000 for k in range(4000)]
    tip = share.tip + share.to_plane
    beyond = [max(0.0, tip - (h - 9.0) / math.tan(angle)) for h in steps]
    assert min(beyond) == pytest.approx(0.0, abs=0.01)
    assert sum(beyond) * 9.0 / 4000 == pytest.approx(share.wedge, rel=1e-6)
