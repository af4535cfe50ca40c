"""Plates: how far a rectangular panel carried on several edges bends under an even load.

Two opposite edges, at x = 0 and x = a, are carried and free to turn; each of the others, at y = 0
and y = b, is carried, clamped or free. The deflection is a sum over odd m of Y_m(y) sin(m π x / a)
in which every Y_m solves D2 Y'''' - 2 H α² Y'' + D1 α⁴ Y = 4 q / (m π), with α = m π / a. That is
Lévy's solution for isotropic and orthotropic plates: Timoshenko and Woinowsky-Krieger, *Theory of
Plates and Shells*, articles 30 and 85 (from memory; its printed coefficients are in the tests).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.complex128]

_TERMS = 24
_STATIONS = 81
_APART = (
    1e-8  # where H² - D1 D2 is a smaller share of H², it counts as this one: no two roots alike
)


class Edge(StrEnum):
    """How an edge of a plate is carried."""

    CARRIED = "carried"
    CLAMPED = "clamped"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Stiffness:
    """Bending stiffness of a plate, for a strip 1 mm wide. [N mm]

    Parameters
    ----------
    along, across : float
        D1 along x and D2 along y, the other way held straight. [N mm]
    coupling : float
        D12: what bending one way takes from the other. [N mm]
    twist : float
        D66. [N mm]
    """

    along: float
    across: float
    coupling: float
    twist: float

    @property
    def turned(self) -> Stiffness:
        """The same plate with x and y exchanged."""
        return Stiffness(self.across, self.along, self.coupling, self.twist)


def isotropic(modulus: float, poisson: float, thickness: float) -> Stiffness:
    """Stiffness of a plate that is alike both ways.

    Parameters
    ----------
    modulus : float
        Modulus of elasticity. [N/mm²]
    poisson : float
        Poisson's ratio. [-]
    thickness : float
        Of the plate. [mm]
    """
    whole = modulus * thickness**3 / (12 * (1 - poisson**2))
    return Stiffness(whole, whole, poisson * whole, (1 - poisson) / 2 * whole)


def orthotropic(
    along: float, across: float, twist: float, poisson: float, thickness: float
) -> Stiffness:
    """Stiffness of a plate with a grain.

    Parameters
    ----------
    along, across : float
        Modulus of elasticity along x and along y. [N/mm²]
    twist : float
        Modulus of rigidity in its plane. [N/mm²]
    poisson : float
        How much it narrows along y for each stretch along x. [-]
    thickness : float
        Of the plate. [mm]
    """
    cube = thickness**3 / 12
    back = poisson * across / along
    whole = cube / (1 - poisson * back)
    return Stiffness(along * whole, across * whole, back * along * whole, twist * cube)


@lru_cache(maxsize=4096)
def deflection(
    stiffness: Stiffness,
    sides: tuple[float, float],
    edges: tuple[Edge, Edge] = (Edge.CARRIED, Edge.CARRIED),
    pressure: float = 1.0,
) -> float:
    """Greatest deflection. [mm]

    Parameters
    ----------
    stiffness : Stiffness
        Of the plate.
    sides : pair of float
        Its sides a along x and b along y. [mm]
    edges : pair of Edge
        How the edges at y = 0 and y = b are carried; the other two are carried.
    pressure : float
        Load on its face. [N/mm²]

    Examples
    --------
    A square of unit stiffness carried all round, against the printed 0.00406:

    >>> deflection(isotropic(12 * 0.91, 0.3, 1.0), (1.0, 1.0))
    0.00406
    """
    import numpy as np

    a, b = sides
    m = np.arange(1, 2 * _TERMS, 2)
    alpha = m * np.pi / a
    roots = alpha[:, None] * _roots(stiffness)
    flat = 4 * pressure / (m * np.pi) / (stiffness.along * alpha**4)
    factors = _factors(stiffness, alpha, roots, flat, b, edges)
    y = np.linspace(0.0, b, _STATIONS)
    waves = np.einsum("ymk,mk->my", _waves(roots, y, b, 0), factors)
    shapes = flat[:, None] + waves.real
    signs = np.where(m % 4 == 1, 1.0, -1.0)
    return float(np.abs(signs @ shapes).max())


def _roots(stiffness: Stiffness) -> Array:
    """The two roots, for α = 1, with a real part above 0."""
    import numpy as np

    both = stiffness.coupling + 2 * stiffness.twist
    inside = complex(both**2 - stiffness.along * stiffness.across)
    if abs(inside) < _APART * both**2:
        inside = complex(_APART * both**2)
    root = np.sqrt(inside)
    return np.sqrt(np.array([both + root, both - root]) / stiffness.across)


def _waves(roots: Array, y: npt.NDArray[np.float64], b: float, order: int) -> Array:
    """The four waves, or a derivative of them, at places y [mm]; shape (y, m, 4)."""
    import numpy as np

    falls = (-roots) ** order * np.exp(-roots * y[:, None, None])
    rises = roots**order * np.exp(-roots * (b - y)[:, None, None])
    return np.concatenate([falls, rises], axis=2)


def _factors(
    stiffness: Stiffness,
    alpha: npt.NDArray[np.floating],
    roots: Array,
    flat: npt.NDArray[np.floating],
    b: float,
    edges: tuple[Edge, Edge],
) -> Array:
    """How much of each wave meets what the edges at y = 0 and b ask; shape (m, 4)."""
    import numpy as np

    lines, ends = [], np.array([0.0, b])
    wave = [_waves(roots, ends, b, order) for order in range(4)]
    square = alpha[:, None] ** 2
    moment = stiffness.across * wave[2] - stiffness.coupling * square * wave[0]
    force = (
        stiffness.across * wave[3] - (stiffness.coupling + 4 * stiffness.twist) * square * wave[1]
    )
    for end, edge in enumerate(edges):
        if edge is Edge.FREE:
            lines.append((moment[end], stiffness.coupling * alpha**2 * flat))
            lines.append((force[end], np.zeros_like(flat)))
            continue
        lines.append((wave[0][end], -flat))
        second = wave[1] if edge is Edge.CLAMPED else wave[2]
        lines.append((second[end], np.zeros_like(flat)))
    left = np.stack([row for row, _ in lines], axis=1).astype(complex)
    right = np.stack([value for _, value in lines], axis=1).astype(complex)
    # Lines of force and of deflection differ by many powers of ten.
    scale = np.abs(left).max(axis=2, keepdims=True)
    found = np.linalg.solve(left / scale, (right / scale[..., 0])[..., None])
    return np.asarray(found[..., 0], dtype=complex)
