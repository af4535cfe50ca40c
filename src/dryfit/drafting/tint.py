"""Wood in three tints by the way a face looks, end grain, and a shade of its own for each part."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.panel import Grain
from dryfit.pages.hand import END_GRAIN, WOOD

if TYPE_CHECKING:
    from dryfit.drafting.prism import Side
    from dryfit.shapes.profile import FloatArray

_SHADES = (0.0, -0.05, 0.025, -0.025, -0.075)
"""How much lighter or darker than the wood each part in turn is. [-]"""


def tint(side: Side, grain: Grain, index: int) -> str:
    """Colour of a face of the part number `index` as ``#rrggbb``.

    Walls across the grain show end grain; those of sheet without grain show their plies all round
    and stand half-way to it. Faces that look along no axis get the mean of the tints by the
    squares of their direction, which add up to one.
    """
    x, y, z = side.normal**2
    plain = z * _rgb(WOOD[0]) + x * _rgb(WOOD[1]) + y * _rgb(WOOD[2])
    share = _end_grain(side, grain)
    mixed = (1 - share) * plain + share * _rgb(END_GRAIN)
    shaded = np.clip(mixed * (1 + _SHADES[index % len(_SHADES)]), 0, 255)
    return "#" + "".join(f"{round(float(value)):02x}" for value in shaded)


def _end_grain(side: Side, grain: Grain) -> float:
    """How much of its colour a face takes from end grain, smooth round a curved wall. [-]"""
    if side.along is None:
        return 0.0
    if grain is Grain.FREE:
        return 0.5
    return float(side.along[0 if grain is Grain.U else 1] ** 2)


def _rgb(colour: str) -> FloatArray:
    """The red, green and blue of ``#rrggbb``, each from 0 to 255."""
    return np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)], dtype=np.float64)
