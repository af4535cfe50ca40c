"""Solid bodies as triangle meshes; the door to manifold3d.

A body is stated as a *stack*: slices of profiles between two heights, placed by a frame. Each slice
is built here from its triangulated profiles. The kernel's own extrusion is left alone: it moves
coordinates, and so invents contacts of 1e-5 mm³ where two bodies only touch. The kernel joins the
slices of a stack in the stack's own axes, where their common planes are exactly one, and the body
is put in its place afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes.arc import dense_many
from dryfit.shapes.tolerances import CONTACT, DECIMALS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import manifold3d

    from dryfit.shapes.profile import Profile

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]

_NOTHING = 1e-12
"""A body smaller than this is none. [mm³]"""

_FINE = 1e-5
"""How finely lengths are found by halving. [mm]"""


@dataclass(frozen=True, slots=True)
class Slice:
    """Profiles, clear of one another, that stand between two heights. [mm]"""

    low: float
    high: float
    profiles: tuple[Profile, ...]


@dataclass(frozen=True, eq=False)
class Stack:
    """A body as slices one on the other, and where it stands.

    Parameters
    ----------
    slices : tuple of Slice
        From the lowest up, in the stack's own axes. [mm]
    origin : array, shape (3,)
        Where the origin of those axes lies. [mm]
    axes : array, shape (3, 3)
        The unit vectors u, v and n as rows, right-handed; heights run along n. [-]
    """

    slices: tuple[Slice, ...]
    origin: FloatArray
    axes: FloatArray

    def placed(self, points: FloatArray) -> FloatArray:
        """Points (k, 3) of the stack's own axes in their place. [mm]

        They are rounded like all coordinates in a common frame, so that equal planes are equal.
        """
        return np.asarray(np.round(self.origin + points @ self.axes, DECIMALS) + 0.0)


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body of triangles.

    Parameters
    ----------
    vertices : array, shape (k, 3)
        Corners; each is listed once for all triangles that share it. [mm]
    triangles : array, shape (m, 3)
        Three corners each, counter-clockwise when seen from outside.
    """

    vertices: FloatArray
    triangles: IntArray

    @cached_property
    def volume(self) -> float:
        """Volume, by the divergence theorem. [mm³]"""
        if not len(self.triangles):
            return 0.0
        a, b, c = (self.vertices[self.triangles] - self.vertices.mean(axis=0)).transpose(1, 0, 2)
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6

    @cached_property
    def kernel(self) -> manifold3d.Manifold:
        """The body in the kernel, to be handed back to this module only."""
        return _closed(self.vertices, self.triangles)


@dataclass(frozen=True, eq=False)
class Bulk:
    """What bodies fill of space, to be joined and compared; may be in pieces, or nothing."""

    body: Any

    @classmethod
    def of(cls, solid: Solid) -> Bulk:
        """What a solid fills."""
        return cls(solid.kernel)

    @classmethod
    def hull(cls, points: FloatArray) -> Bulk:
        """The convex body round points (m, 3). [mm]"""
        from manifold3d import Manifold

        return cls(Manifold.hull_points(np.ascontiguousarray(points)))

    @classmethod
    def union(cls, solids: Iterable[Bulk]) -> Bulk:
        """Everything that any of the solids fills."""
        from manifold3d import Manifold, OpType

        return cls(Manifold.batch_boolean([solid.body for solid in solids], OpType.Add))

    def common(self, other: Bulk) -> Bulk:
        """What both fill."""
        return Bulk(self.body ^ other.body)

    @cached_property
    def volume(self) -> float:
        """Volume. [mm³]"""
        return float(self.body.volume())

    def pieces(self) -> tuple[Bulk, ...]:
        """Its connected pieces."""
        return tuple(Bulk(piece) for piece in self.body.decompose())

    def moved(self, step: FloatArray) -> Bulk:
        """The same body, shifted by a `step` [mm]."""
        return Bulk(self.body.translate(step))

    def spread(self, axes: FloatArray, most: float) -> float:
        """The longest d such that somewhere points d apart along every one of the axes lie in it.

        Of a slab it is the thickness; of a square corner in a round fillet of radius r, along both
        walls, r (1 - 1/√2). Found by halving, to a hundred-thousandth of a millimetre.

        Parameters
        ----------
        axes : array, shape (k, 3)
            Unit vectors. [-]
        most : float
            What it cannot be more than. [mm]
        """
        low, high = 0.0, most
        while high - low > _FINE:
            middle = (low + high) / 2
            left = self
            for axis in axes:
                left = left.common(left.moved(middle * axis))
            if left.volume > _NOTHING:
                low = middle
            else:
                high = middle
        return high

    def extents(self, axes: FloatArray) -> FloatArray:
        """How far it reaches along directions.

        Parameters
        ----------
        axes : array, shape (k, 3)
            Unit vectors. [-]

        Returns
        -------
        array, shape (k,)
            From the lowest to the highest of its points along each. [mm]
        """
        points = np.asarray(self.body.to_mesh64().vert_properties)[:, :3]
        return np.asarray(np.ptp(points @ np.asarray(axes).T, axis=0))


@dataclass(frozen=True, eq=False)
class Overlap:
    """What two solids share.

    Parameters
    ----------
    volumes : array, shape (k,)
        Of each connected piece that both fill; mere contacts are left out. [mm³]
    extents : array, shape (k, a)
        How far each piece reaches along each of the axes that were asked for. No piece is thicker
        than its least extent; where slivers run round a finger in one chain, it may be much
        thinner. [mm]
    """

    volumes: FloatArray
    extents: FloatArray

    @property
    def volume(self) -> float:
        """Of all pieces. [mm³]"""
        return float(self.volumes.sum())


def solid_of(stack: Stack, chord: float) -> Solid:
    """The body of a stack; arcs become chords that stray from them by `chord` [mm] at most.

    Raises
    ------
    ShapeError
        If nothing stands in any slice.

    Notes
    -----
    Outlines are taken to be simple, as every profile is; what crosses itself is not noticed here.
    """
    import manifold3d

    standing = [each for each in _joined(stack.slices) if each.profiles]
    if not standing:
        raise ShapeError("A body of 0 slices cannot be built; state a profile with some height")
    bodies = [_closed(*_upright(each, chord)) for each in standing]
    whole = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    mesh = whole.to_mesh64()
    points = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    return Solid(stack.placed(points), np.asarray(mesh.tri_verts, dtype=np.intp))


def triangles_of(rings: Sequence[FloatArray]) -> IntArray:
    """Flat polygons cut into triangles.

    Parameters
    ----------
    rings : sequence of array, shape (k, 2)
        Corners counter-clockwise round what there is, clockwise round what there is not. [mm]

    Returns
    -------
    array, shape (m, 3)
        Three corners each, counter-clockwise, counted through all rings.
    """
    import manifold3d

    rings = [np.ascontiguousarray(ring) for ring in rings]
    return np.asarray(manifold3d.triangulate(rings), dtype=np.intp)


def overlap(one: Solid, other: Solid, axes: FloatArray) -> Overlap:
    """What two solids share, piece by piece, the largest first.

    Parameters
    ----------
    one, other : Solid
        In the same space.
    axes : array, shape (a, 3)
        Unit vectors along which to measure the pieces. [-]

    Notes
    -----
    Pieces under :data:`~dryfit.shapes.tolerances.CONTACT` are contact. The kernel's own word on
    whether anything is shared is not asked for: it calls a film of no thickness a body.
    """
    pieces = [(piece.volume(), piece) for piece in (one.kernel ^ other.kernel).decompose()]
    found = sorted((each for each in pieces if each[0] >= CONTACT), key=lambda each: -each[0])
    extents = np.zeros((len(found), len(axes)))
    for row, (_, piece) in enumerate(found):
        points = np.asarray(piece.to_mesh64().vert_properties, dtype=np.float64)[:, :3]
        extents[row] = np.ptp(points @ np.asarray(axes).T, axis=0)
    return Overlap(np.array([volume for volume, _ in found]), extents)


def _joined(slices: Sequence[Slice]) -> list[Slice]:
    """The slices, heights rounded so that one ends where the next begins, empty ones left out."""
    rounded = [
        Slice(round(each.low, DECIMALS), round(each.high, DECIMALS), each.profiles)
        for each in slices
    ]
    return [each for each in rounded if each.high > each.low]


def _upright(each: Slice, chord: float) -> tuple[FloatArray, IntArray]:
    """Corners and triangles of one slice, faces and walls on the same corners. [mm]"""
    loops = [loop.edges for profile in each.profiles for loop in profile.loops]
    flat, first = dense_many(loops, chord)
    faces = triangles_of(np.split(flat, first[1:]))
    count = len(flat)
    here = np.arange(count)
    after = here + 1
    after[np.append(first[1:], count) - 1] = first
    walls = np.concatenate(
        (
            np.column_stack((here, after, after + count)),
            np.column_stack((here, after + count, here + count)),
        )
    )
    points = np.column_stack((np.tile(flat, (2, 1)), np.repeat((each.low, each.high), count)))
    return points, np.concatenate((faces[:, ::-1], faces + count, walls)).astype(np.intp)


def _closed(points: FloatArray, triangles: IntArray) -> manifold3d.Manifold:
    """A mesh in the kernel, which must find it closed."""
    # A large library that only solid bodies need.
    import manifold3d

    mesh = manifold3d.Mesh64(np.ascontiguousarray(points), triangles.astype(np.uint64))
    body = manifold3d.Manifold(mesh)
    if body.status() != manifold3d.Error.NoError:
        raise ShapeError(
            f"A body of {len(triangles)} triangles does not close ({body.status().name}); "
            "look for a triangle that is missing or runs the wrong way round"
        )
    return body
