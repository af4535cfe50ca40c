"""Solids in space: slabs of profiles put in their places, what two have in common, and its extent.

The door to manifold3d. A solid is built from triangulated profiles at full precision; the
library's own extrusion rounds its coordinates to single precision. Faces that only touch may leave
bodies of no thickness, so a volume decides whether anything is there, not an empty mesh.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes.tolerances import CHORD

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]

_NOTHING = 1e-12
"""A body smaller than this is none. [mm³]"""

_FINE = 1e-5
"""How finely lengths are found by halving. [mm]"""


@dataclass(frozen=True, eq=False)
class Place:
    """Where a slab lies: an origin [mm] and rows u, v, n, right-handed unit vectors."""

    origin: FloatArray
    axes: FloatArray

    def put(self, points: FloatArray, height: float) -> FloatArray:
        """Points (m, 2) at a `height` [mm] along n, in space; shape (m, 3). [mm]"""
        return np.asarray(self.origin + points @ self.axes[:2] + height * self.axes[2])


@dataclass(frozen=True, eq=False)
class Solid:
    """A body in space, which may be in several pieces or have no volume."""

    body: Any

    @classmethod
    def slab(cls, loops: Sequence[Loop], low: float, high: float, place: Place) -> Solid:
        """What loops fill between two heights.

        Parameters
        ----------
        loops : sequence of Loop
            Counter-clockwise round wood, clockwise round holes; arcs become chords.
        low, high : float
            Heights along n. [mm]
        place : Place
            Where it lies.

        Raises
        ------
        ShapeError
            If the loops run into each other or themselves.
        """
        from manifold3d import Manifold, Mesh64, triangulate

        rings = [loop.dense(CHORD) for loop in loops]
        flat, lids = np.concatenate(rings), np.asarray(triangulate(rings))
        count = len(flat)
        first = np.cumsum([0] + [len(ring) for ring in rings[:-1]])
        walls = [_walls(int(at), len(ring), count) for at, ring in zip(first, rings, strict=True)]
        triangles = np.concatenate((lids[:, ::-1], lids + count, *walls))
        points = np.concatenate((place.put(flat, low), place.put(flat, high)))
        body = Manifold(Mesh64(points, triangles.astype(np.uint64)))
        if body.volume() <= 0:
            raise ShapeError(
                f"An outline of {count} points encloses no volume or crosses itself; "
                "widen the narrowest finger"
            )
        return cls(body)

    @classmethod
    def hull(cls, points: FloatArray) -> Solid:
        """The convex body round points (m, 3). [mm]"""
        from manifold3d import Manifold

        return cls(Manifold.hull_points(np.ascontiguousarray(points)))

    @classmethod
    def union(cls, solids: Iterable[Solid]) -> Solid:
        """Everything that any of the solids fills."""
        from manifold3d import Manifold, OpType

        return cls(Manifold.batch_boolean([solid.body for solid in solids], OpType.Add))

    def common(self, other: Solid) -> Solid:
        """What both fill."""
        return Solid(self.body ^ other.body)

    @cached_property
    def volume(self) -> float:
        """Volume. [mm³]"""
        return float(self.body.volume())

    def pieces(self) -> tuple[Solid, ...]:
        """Its connected pieces."""
        return tuple(Solid(piece) for piece in self.body.decompose())

    def moved(self, step: FloatArray) -> Solid:
        """The same body, shifted by a `step` [mm]."""
        return Solid(self.body.translate(step))

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


def _walls(first: int, length: int, count: int) -> npt.NDArray[np.intp]:
    """Two triangles for each edge of a ring of points that begins at `first`. [-]"""
    here = np.arange(length) + first
    after = np.roll(here, -1)
    return np.concatenate((
        np.column_stack((here, after, after + count)),
        np.column_stack((here, after + count, here + count)),
    ))  # fmt: skip
