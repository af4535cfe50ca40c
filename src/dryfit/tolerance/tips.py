"""How far the tips of fingers stand out of the face they pass through."""

from __future__ import annotations

import numpy as np

from dryfit.tolerance.normal import below, nodes

_PLACES = 120


def outside(
    proud: float, count: int, *, edge: float, thickness: float, most: float
) -> tuple[float, float]:
    """Odds that some tip lies too deep, and that some tip stands too far out. [-]

    A tip stands out by proud + ε - τ, with ε its own and τ the error of the mate's thickness, one
    for all tips: 1 - ∫ φ(t) Φ(...)^n dt each.

    Parameters
    ----------
    proud : float
        What is drawn. [mm]
    count : int
        Number of fingers. [-]
    edge, thickness : float
        Standard deviations of ε and τ. [mm]
    most : float
        What may be taken off, of the fingers or of the face. [mm]
    """
    t, weight = nodes(_PLACES)
    level = proud - thickness * t
    spread = max(edge, 1e-12)
    deep = below((level + most) / spread) ** count @ weight
    far = below((most - level) / spread) ** count @ weight
    return float(np.clip(1 - deep, 0.0, 1.0)), float(np.clip(1 - far, 0.0, 1.0))
