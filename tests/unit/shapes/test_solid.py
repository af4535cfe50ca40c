"""Solid bodies against closed forms, and their meshes against a library of meshes."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from dryfit.errors import ShapeError
from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.solid import Slice, Solid, Stack, overlap, solid_of

AXES = np.eye(3)
CHORD = 1e-3
# A turn about (1, 2, 3) by one radian, as rows: no axis of the frame is one of the space.
ASKEW = Rotation.from_rotvec(np.array((1, 2, 3)) / math.sqrt(14)).as_matrix().T


def upright(
    *slices: Slice, origin: tuple[float, float, float] = (0, 0, 0), axes: np.ndarray = AXES
) -> Solid:
    return solid_of(Stack(slices, np.array(origin, dtype=float), axes), CHORD)


def block(
    low: tuple[float, float, float], high: tuple[float, float, float], axes: np.ndarray = AXES
) -> Solid:
    profile = Profile.rectangle(low[0], low[1], high[0], high[1])
    return upright(Slice(low[2], high[2], (profile,)), axes=axes)


def disc(radius: float, x: float = 0.0, y: float = 0.0) -> Loop:
    return Loop.of([(x - radius, y, 1.0), (x + radius, y, 1.0)])


def mesh(solid: Solid) -> trimesh.Trimesh:
    return trimesh.Trimesh(solid.vertices, solid.triangles, process=False)


def missing(radius: float, length: float) -> float:
    """Volume that chords take off a cylinder's outside at most: 2/3 of sagitta times surface."""
    return CHORD * 2 * math.pi * radius * length * 2 / 3


@pytest.mark.parametrize("axes", [AXES, ASKEW], ids=["straight", "askew"])
def test_a_box_is_exact(axes: np.ndarray) -> None:
    solid = block((1.0, 2.0, 3.0), (11.5, 22.25, 12.0), axes)
    found = mesh(solid)
    assert (len(solid.vertices), len(solid.triangles)) == (8, 12)
    assert found.is_volume
    assert solid.volume == pytest.approx(10.5 * 20.25 * 9.0, rel=1e-9)
    assert found.volume == pytest.approx(solid.volume, rel=1e-9)
    assert found.area == pytest.approx(2 * (10.5 * 20.25 + 10.5 * 9.0 + 20.25 * 9.0), rel=1e-9)


def test_a_tube_strays_by_its_chords_only() -> None:
    """π (R² - r²) h, the outside a little smaller and the bore a little too."""
    profile = Profile(disc(20.0), (disc(8.0, 3.0).reversed(),))
    solid = upright(Slice(0.0, 5.0, (profile,)), origin=(7, 8, 9), axes=ASKEW)
    found = mesh(solid)
    exact = math.pi * (20.0**2 - 8.0**2) * 5.0
    assert found.is_volume
    assert found.euler_number == 0, "one hole through it"
    assert -missing(20.0, 5.0) <= solid.volume - exact <= missing(8.0, 5.0)
    assert found.volume == pytest.approx(solid.volume, rel=1e-12)


def test_chords_stay_as_near_as_asked() -> None:
    stack = Stack((Slice(0.0, 1.0, (Profile(disc(50.0)),)),), np.zeros(3), AXES)
    for chord in (1.0, 0.1, 0.01):
        solid = solid_of(stack, chord)
        ring = solid.vertices[solid.vertices[:, 2] == 0]
        assert np.hypot(*ring[:, :2].T) == pytest.approx(50.0, abs=1e-9)
        angles = np.sort(np.arctan2(ring[:, 1], ring[:, 0]))
        widest = max(b - a for a, b in pairwise([*angles, angles[0] + 2 * math.pi]))
        assert 50.0 * (1 - math.cos(widest / 2)) <= chord * (1 + 1e-9)


@pytest.mark.parametrize("axes", [AXES, ASKEW], ids=["straight", "askew"])
def test_slices_join_into_one_body(axes: np.ndarray) -> None:
    """A step, a round boss on it, and a trench that runs out at both ends."""
    low, high = Profile.rectangle(0, 0, 60, 40), Profile.rectangle(0, 0, 30, 40)
    trenched = (Profile.rectangle(0, 0, 30, 10), Profile.rectangle(0, 16, 30, 40))
    solid = upright(
        Slice(0.0, 5.0, (low,)),
        Slice(5.0, 8.0, (high,)),
        Slice(8.0, 12.0, trenched),
        Slice(12.0, 20.0, (Profile(disc(4.0, 15.0, 28.0)),)),
        axes=axes,
    )
    found = mesh(solid)
    exact = 60 * 40 * 5 + 30 * 40 * 3 + 30 * 34 * 4 + math.pi * 4**2 * 8
    assert found.is_volume
    assert found.body_count == 1
    assert found.euler_number == 2
    assert exact - missing(4.0, 8.0) <= solid.volume <= exact
    # Nothing of the planes between the slices is left inside.
    walls = 200 * 5 + 140 * 3 + (2 * 30 + 20 + 2 * 30 + 48) * 4 + 2 * math.pi * 4 * 8
    assert found.area == pytest.approx(2 * 60 * 40 + walls, abs=0.1)


def test_a_slice_without_height_is_left_out() -> None:
    profile = Profile.rectangle(0, 0, 10, 10)
    solid = upright(Slice(0.0, 3.0, (profile,)), Slice(3.0, 3.0 + 1e-12, (profile,)))
    assert np.ptp(solid.vertices, axis=0).tolist() == [10.0, 10.0, 3.0]


def test_nothing_is_no_body() -> None:
    profile = Profile.rectangle(0, 0, 10, 10)
    for slices in ((), (Slice(0.0, 0.0, (profile,)),), (Slice(0.0, 3.0, ()),)):
        with pytest.raises(ShapeError, match="0 slices"):
            upright(*slices)


def test_an_open_mesh_is_refused() -> None:
    whole = block((0, 0, 0), (1, 1, 1))
    gaping = Solid(whole.vertices, whole.triangles[1:])
    with pytest.raises(ShapeError, match="11 triangles does not close"):
        overlap(whole, gaping, AXES)


@pytest.mark.parametrize("axes", [AXES, ASKEW], ids=["straight", "askew"])
def test_two_boxes_share_a_box(axes: np.ndarray) -> None:
    one = block((0, 0, 0), (30, 20, 10), axes)
    other = block((29.75, 5, -3), (50, 12, 6), axes)
    shared = overlap(one, other, axes)
    assert shared.volume == pytest.approx(0.25 * 7 * 6, rel=1e-6)
    assert shared.extents == pytest.approx(np.array([[0.25, 7.0, 6.0]]), abs=1e-6)


def test_every_piece_is_measured_by_itself() -> None:
    """A comb of three teeth in a wall, the largest overlap first."""
    teeth = tuple(
        Profile.rectangle(0, y, 10 + d, y + 4) for y, d in ((0, 0.1), (8, 0.3), (16, 0.2))
    )
    comb = upright(Slice(0.0, 5.0, teeth))
    shared = overlap(comb, block((10, -5, -5), (20, 30, 30)), AXES)
    assert shared.extents[:, 0] == pytest.approx([0.3, 0.2, 0.1], abs=1e-9)
    assert shared.volumes == pytest.approx([6.0, 4.0, 2.0], abs=1e-6)


@pytest.mark.parametrize("deep", [2.0, 5.0, 9.0])
def test_a_cylinder_in_a_wall_shares_a_segment(deep: float) -> None:
    """r² (θ - sin θ) / 2 times the length, with r cos(θ / 2) the wall's distance."""
    radius, length = 10.0, 25.0
    rod = upright(Slice(0.0, length, (Profile(disc(radius)),)))
    wall = block((radius - deep, -50, -50), (50, 50, 50))
    angle = 2 * math.acos((radius - deep) / radius)
    exact = radius**2 * (angle - math.sin(angle)) / 2 * length
    shared = overlap(rod, wall, AXES)
    assert exact - missing(radius, length) <= shared.volume <= exact
    width = 2 * radius * math.sin(angle / 2)
    # A chord's sagitta, seen along the wall's face, which crosses the rod aslant.
    near = 2 * CHORD / math.sin(angle / 2)
    assert shared.extents == pytest.approx(np.array([[deep, width, length]]), abs=near)


@pytest.mark.parametrize("axes", [AXES, ASKEW], ids=["straight", "askew"])
@pytest.mark.parametrize("deep", [-1.0, 0.0, 4e-8])
def test_contact_is_no_overlap(deep: float, axes: np.ndarray) -> None:
    """A face of 300 by 70 mm may be 4e-8 mm deep and stay under the 1e-3 mm³ of a contact."""
    one = block((0, 0, 0), (300, 70, 9), axes)
    shared = overlap(one, block((0, 0, 9 - deep), (300, 70, 18), axes), AXES)
    assert (shared.volume, shared.extents.shape) == (0.0, (0, 3))


def test_the_same_stack_gives_the_same_mesh() -> None:
    slices = (
        Slice(0.0, 2.0, (Profile(disc(9.0), (disc(2.0).reversed(),)),)),
        Slice(2.0, 4.0, (Profile.rectangle(-5, -5, 5, 5),)),
    )
    one, other = upright(*slices), upright(*slices)
    assert np.array_equal(one.vertices, other.vertices)
    assert np.array_equal(one.triangles, other.triangles)
