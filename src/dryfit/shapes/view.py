"""Parallel projection: where the viewer stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class View:
    """A parallel view: unit vectors of the page and towards the viewer.

    Parameters
    ----------
    right, up, toward : array, shape (3,)
        Right-handed and at right angles: right x up = toward. [-]

    Raises
    ------
    ShapeError
        If the three are not unit vectors at right angles.
    """

    right: FloatArray
    up: FloatArray
    toward: FloatArray

    def __post_init__(self) -> None:
        frame = np.array((self.right, self.up, self.toward), dtype=np.float64)
        off = float(np.abs(frame @ frame.T - np.eye(3)).max()) if frame.shape == (3, 3) else 1.0
        if not off < 1e-9 or np.linalg.det(frame) < 0:
            raise ShapeError(f"A view needs three unit vectors at right angles: {off:.3g} off")

    @classmethod
    def axonometric(cls, azimuth: float, elevation: float) -> View:
        """A view from a direction, z upright on the page.

        Parameters
        ----------
        azimuth : float
            Of the viewer about z, from x towards y. [rad]
        elevation : float
            Of the viewer above the xy plane. [rad]

        Notes
        -----
        Isometric where azimuth is a quarter turn's half and tan(elevation) = 1/√2.
        """
        ca, sa = math.cos(azimuth), math.sin(azimuth)
        ce, se = math.cos(elevation), math.sin(elevation)
        return cls(
            np.array([-sa, ca, 0.0]),
            np.array([-se * ca, -se * sa, ce]),
            np.array([ce * ca, ce * sa, se]),
        )

    def page(self, points: FloatArray) -> FloatArray:
        """Points (m, 3) on the page, (m, 2). [mm]"""
        return np.asarray(points @ np.column_stack((self.right, self.up)))

    def depth(self, points: FloatArray) -> FloatArray:
        """How near the viewer points (m, 3) are; shape (m,). [mm]"""
        return np.asarray(points @ self.toward)
