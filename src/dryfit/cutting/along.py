"""A closed path by its length: places along it, parts of it, and heights run along it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc
from dryfit.shapes.profile import Loop

FloatArray = npt.NDArray[np.float64]

NEAR = 1e-7
"""Two places along a path that are nearer are one. [mm]"""


class Along:
    """A closed path measured from its first vertex. [mm]"""

    def __init__(self, loop: Loop) -> None:
        self.loop = loop
        self.edges = loop.edges
        self.lengths = arc.length(self.edges)
        self.ends = np.cumsum(self.lengths)
        self.begins = self.ends - self.lengths
        self.whole = float(self.ends[-1])

    def at(self, places: FloatArray) -> FloatArray:
        """Points at lengths along the path, which may go round and round; shape (k, 2). [mm]"""
        around = np.mod(places, self.whole)
        which = np.minimum(np.searchsorted(self.ends, around, side="right"), len(self.ends) - 1)
        share = (around - self.begins[which]) / np.maximum(self.lengths[which], 1e-300)
        return self._points(which, share)

    def _points(self, which: npt.NDArray[np.intp], share: FloatArray) -> FloatArray:
        edges = self.edges[which]
        points = edges[:, :2] + share[:, None] * (edges[:, 2:4] - edges[:, :2])
        bent = (edges[:, 4] != 0) & (share > 0) & (share < 1)
        if bent.any():
            points[bent] = arc.along(edges[bent], share[bent])
        # Both ends of an edge are exact, so that a path closes and passes repeat one another.
        points[share >= 1] = edges[share >= 1, 2:4]
        return np.asarray(points)

    def between(self, places: FloatArray) -> FloatArray:
        """Edges x0, y0, x1, y1, bulge from each place [mm] to the next; no vertex lies between."""
        middle = np.mod((places[:-1] + places[1:]) / 2, self.whole)
        which = np.minimum(np.searchsorted(self.ends, middle, side="right"), len(self.ends) - 1)
        lengths = np.maximum(self.lengths[which], 1e-300)
        half = (places[1:] - places[:-1]) / 2
        low = (middle - half - self.begins[which]) / lengths
        high = (middle + half - self.begins[which]) / lengths
        low = np.where(low < NEAR / lengths, 0.0, low)
        high = np.where(high > 1 - NEAR / lengths, 1.0, high)
        turn = arc.included_angle(self.edges[which]) * (high - low)
        return np.column_stack(
            (self._points(which, low), self._points(which, high), np.tan(turn / 4))
        )

    def vertices(self, begin: float, end: float) -> FloatArray:
        """Lengths of every vertex from begin to end [mm], round and round."""
        rounds = np.arange(int(begin // self.whole) - 1, int(end // self.whole) + 2)
        every = (rounds[:, None] * self.whole + self.begins[None, :]).ravel()
        return every[(every > begin) & (every < end)]

    def begun(self, at: float) -> Loop:
        """The same path begun elsewhere. [mm]"""
        places = np.concatenate(([at], self.vertices(at, at + self.whole), [at + self.whole]))
        places = apart(places)
        edges = self.between(places)
        return Loop(edges[:, [0, 1, 4]])


def apart(places: FloatArray) -> FloatArray:
    """Places in order, without those that all but repeat the one before. [mm]"""
    ordered = np.sort(places)
    keep = np.concatenate(([True], np.diff(ordered) > NEAR))
    return ordered[keep]
