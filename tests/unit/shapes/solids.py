"""Faces of boxes and prisms for the tests of hidden lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.shapes.visible import Face

if TYPE_CHECKING:
    from collections.abc import Sequence

Point = tuple[float, float, float]


def prism(
    outline: Sequence[tuple[float, float]], low: float, high: float, tag: int, frame: np.ndarray
) -> list[Face]:
    """Faces of an upright prism under a frame; the outline runs counter-clockwise. [mm]"""
    flat = np.array(outline)

    def placed(points: np.ndarray, z: float) -> np.ndarray:
        return np.asarray(np.column_stack((points, np.full(len(points), z))) @ frame)

    sides = [
        np.concatenate((placed(pair, low), placed(pair[::-1], high)))
        for pair in np.stack((flat, np.roll(flat, -1, axis=0)), axis=1)
    ]
    loops = [placed(flat, high), placed(flat[::-1], low), *sides]
    return [Face((loop,), tag) for loop in loops]


def box(low: Point, high: Point, tag: int = 0) -> list[Face]:
    """Faces of an upright box. [mm]"""
    (x, y, z), (u, v, w) = low, high
    return prism([(x, y), (u, y), (u, v), (x, v)], z, w, tag, np.eye(3))
