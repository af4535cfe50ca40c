"""Profiles: closed loops of straight lines and true circular arcs.

Vocabulary
----------
vertex
    A corner of a loop: x, y and the *bulge* of the edge that leaves it.
bulge
    tan(angle / 4) of an arc's included angle; positive turns left (counter-clockwise), 0 is
    straight, 1 a half circle.
loop
    Vertices in order; the last edge returns to the first vertex. Outer loops run
    counter-clockwise, holes clockwise.
profile
    One outer loop and its holes. Lengths in mm throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes import arc

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FloatArray = npt.NDArray[np.float64]
Bounds = tuple[float, float, float, float]
Offset: TypeAlias = "Sequence[float] | FloatArray"


@dataclass(frozen=True, eq=False)
class Loop:
    """A closed loop of lines and arcs.

    Parameters
    ----------
    vertices : array, shape (k, 3)
        x [mm], y [mm] and bulge [-] of each vertex; k >= 2.

    Raises
    ------
    ShapeError
        If the array has another shape or holds a number that is not finite.
    """

    vertices: FloatArray

    def __post_init__(self) -> None:
        array = np.array(self.vertices, dtype=np.float64)
        if array.ndim != 2 or array.shape[1] != 3 or len(array) < 2:
            raise ShapeError(f"A loop needs 2 or more vertices of (x, y, bulge), not {array.shape}")
        if not np.isfinite(array).all():
            raise ShapeError("A loop has a coordinate that is not a finite number")
        array.setflags(write=False)
        object.__setattr__(self, "vertices", array)

    @classmethod
    def of(cls, points: Iterable[Sequence[float]]) -> Loop:
        """A loop through points given as (x, y) or (x, y, bulge). [mm]"""
        rows = [(p[0], p[1], p[2] if len(p) > 2 else 0.0) for p in points]
        return cls(np.array(rows, dtype=np.float64))

    @cached_property
    def key(self) -> bytes:
        """The content as bytes: equal loops have equal keys."""
        return (self.vertices + 0.0).tobytes()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Loop) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)

    @cached_property
    def edges(self) -> FloatArray:
        """Every edge as x0, y0, x1, y1, bulge; shape (k, 5). [mm]"""
        following = np.roll(self.vertices, -1, axis=0)
        return np.column_stack((self.vertices[:, :2], following[:, :2], self.vertices[:, 2]))

    @cached_property
    def area(self) -> float:
        """Signed area, arcs exact; positive when counter-clockwise. [mm²]"""
        x0, y0, x1, y1, bulge = self.edges.T
        shoelace = float(np.sum(x0 * y1 - x1 * y0)) / 2
        return shoelace + float(np.sum(arc.segment_area(self.edges)[bulge != 0]))

    @cached_property
    def length(self) -> float:
        """Length of the whole loop, along its arcs. [mm]"""
        return float(np.sum(arc.length(self.edges)))

    @cached_property
    def bounds(self) -> Bounds:
        """xmin, ymin, xmax, ymax, arcs included. [mm]"""
        x, y = self.vertices[:, 0], self.vertices[:, 1]
        xmin, ymin, xmax, ymax = float(x.min()), float(y.min()), float(x.max()), float(y.max())
        if self.vertices[:, 2].any():
            reach = arc.extremes(self.edges[self.edges[:, 4] != 0])
            xmin, ymin = min(xmin, float(reach[:, 0].min())), min(ymin, float(reach[:, 1].min()))
            xmax, ymax = max(xmax, float(reach[:, 2].max())), max(ymax, float(reach[:, 3].max()))
        return xmin, ymin, xmax, ymax

    def reversed(self) -> Loop:
        """The same loop run the other way."""
        return self._reversed

    @cached_property
    def _reversed(self) -> Loop:
        points = self.vertices[::-1, :2]
        bulges = -np.roll(self.vertices[::-1, 2], -1)
        return Loop(np.column_stack((points, bulges)))

    def transformed(self, matrix: FloatArray, offset: Offset = (0.0, 0.0)) -> Loop:
        """The loop under a turn or mirror (2 by 2 orthogonal) and a shift [mm].

        Mirroring keeps the loop's sense of turning: it is run the other way.
        """
        points = self.vertices[:, :2] @ np.asarray(matrix).T + np.asarray(offset)
        flips = float(np.linalg.det(matrix)) < 0
        bulges = -self.vertices[:, 2] if flips else self.vertices[:, 2]
        loop = Loop(np.column_stack((points, bulges)))
        return loop.reversed() if flips else loop

    def moved(self, dx: float, dy: float) -> Loop:
        """The loop shifted by (dx, dy). [mm]"""
        return Loop(self.vertices + np.array([dx, dy, 0.0]))

    def dense(self, chord: float) -> FloatArray:
        """Points of a polygon whose chords stray from the arcs by `chord` [mm] at most.

        Shape (m, 2); every vertex is kept.
        """
        return arc.dense(self.edges, chord)


@dataclass(frozen=True)
class Profile:
    """An outer loop, counter-clockwise, and its holes, clockwise."""

    outer: Loop
    holes: tuple[Loop, ...] = ()

    @classmethod
    def rectangle(cls, x0: float, y0: float, x1: float, y1: float) -> Profile:
        """An upright rectangle. [mm]"""
        return cls(Loop.of([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The outer loop, then the holes."""
        return (self.outer, *self.holes)

    @cached_property
    def area(self) -> float:
        """Area, holes taken off. [mm²]"""
        return sum(loop.area for loop in self.loops)

    @property
    def length(self) -> float:
        """Length of all loops. [mm]"""
        return sum(loop.length for loop in self.loops)

    @property
    def bounds(self) -> Bounds:
        """xmin, ymin, xmax, ymax. [mm]"""
        return self.outer.bounds

    @cached_property
    def edges(self) -> FloatArray:
        """Edges of every loop as x0, y0, x1, y1, bulge; shape (k, 5). [mm]"""
        return np.concatenate([loop.edges for loop in self.loops])

    def transformed(self, matrix: FloatArray, offset: Offset = (0.0, 0.0)) -> Profile:
        """The profile under a turn or mirror (2 by 2 orthogonal) and a shift [mm]."""
        return Profile(
            self.outer.transformed(matrix, offset),
            tuple(hole.transformed(matrix, offset) for hole in self.holes),
        )

    def moved(self, dx: float, dy: float) -> Profile:
        """The profile shifted by (dx, dy). [mm]"""
        return Profile(self.outer.moved(dx, dy), tuple(hole.moved(dx, dy) for hole in self.holes))
