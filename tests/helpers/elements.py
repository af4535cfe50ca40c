"""An independent referee for beams and plates: finite elements by a general library."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from skfem import (
    Basis,
    BilinearForm,
    ElementLineHermite,
    ElementQuad2,
    ElementQuadBFS,
    ElementVector,
    LinearForm,
    MeshLine,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import dd, ddot

if TYPE_CHECKING:
    from typing import Any

    from dryfit.materials.plates import Stiffness


def slender(load: str, ends: str, *, cells: int = 16) -> tuple[float, float]:
    """A beam of span, load and E I of 1: deflection in the middle, and the greatest.

    `load` is spread, middle or end; `ends` simple, clamped, hung or propped.
    """
    basis = Basis(MeshLine(np.linspace(0.0, 1.0, cells + 1)), ElementLineHermite())

    def bends(u: Any, v: Any, _: Any) -> Any:
        return ddot(dd(u), dd(v))

    def spread(v: Any, _: Any) -> Any:
        return v

    stiff = BilinearForm(bends).assemble(basis)
    force = LinearForm(spread).assemble(basis) if load == "spread" else np.zeros(basis.N)
    values, slopes = basis.nodal_dofs
    if load != "spread":
        force[values[{"middle": cells // 2, "end": cells}[load]]] = 1.0
    held = {
        "simple": [values[0], values[-1]],
        "clamped": [values[0], values[-1], slopes[0], slopes[-1]],
        "hung": [values[0], slopes[0]],
        "propped": [values[0], slopes[0], values[-1]],
    }[ends]
    found = solve(*condense(stiff, force, D=np.array(held)))
    fine = np.abs(basis.refinterp(found, 4)[1])
    return float(abs(found[values[cells // 2]])), float(fine.max())


def deep(span: float, thickness: float, modulus: float, rigidity: float, load: float) -> float:
    """A beam 1 wide as a solid strip in its plane, `load` spread over it: its axis in the middle.

    The ends are held up and down over their whole height.
    """
    mesh = MeshQuad.init_tensor(np.linspace(0, span, 121), np.linspace(0, thickness, 13))
    basis = Basis(mesh, ElementVector(ElementQuad2()))

    def strains(u: Any, v: Any, _: Any) -> Any:
        du, dv = u.grad, v.grad
        return (
            modulus * du[0, 0] * dv[0, 0]
            # The height is kept: a beam theory knows no crushing across.
            + 100 * modulus * du[1, 1] * dv[1, 1]
            + rigidity * (du[0, 1] + du[1, 0]) * (dv[0, 1] + dv[1, 0])
        )

    def spread(v: Any, _: Any) -> Any:
        return load / (span * thickness) * v[1]

    stiff, force = BilinearForm(strains).assemble(basis), LinearForm(spread).assemble(basis)
    ends = basis.get_dofs(lambda x: (x[0] < 1e-9) | (x[0] > span - 1e-9)).all("u^2")
    along, across = _middle(basis, span, thickness)
    found = solve(*condense(stiff, force, D=np.append(ends, along)))
    return float(abs(found[across]))


def _middle(basis: Any, span: float, thickness: float) -> Any:
    """The two unknowns of the point in the middle of the strip."""
    x, y = basis.doflocs
    return np.flatnonzero((np.abs(x - span / 2) < 1e-6) & (np.abs(y - thickness / 2) < 1e-6))


def plate(
    stiffness: Stiffness, sides: tuple[float, float], edges: tuple[str, str], cells: int = 12
) -> float:
    """Greatest deflection of a plate under a load of 1, carried at x = 0 and a, else as `edges`."""
    a, b = sides
    mesh = MeshQuad.init_tensor(np.linspace(0, a, cells + 1), np.linspace(0, b, cells + 1))
    basis = Basis(mesh, ElementQuadBFS(), intorder=7)

    def bends(u: Any, v: Any, _: Any) -> Any:
        hu, hv = dd(u), dd(v)
        return (
            stiffness.along * hu[0, 0] * hv[0, 0]
            + stiffness.across * hu[1, 1] * hv[1, 1]
            + stiffness.coupling * (hu[0, 0] * hv[1, 1] + hu[1, 1] * hv[0, 0])
            + 4 * stiffness.twist * hu[0, 1] * hv[0, 1]
        )

    def spread(v: Any, _: Any) -> Any:
        return v

    names = dict(zip(("u", "u_x", "u_y", "u_xy"), basis.nodal_dofs, strict=True))
    x, y = mesh.p
    held = [names["u"][(x < 1e-9) | (x > a - 1e-9)], names["u_y"][(x < 1e-9) | (x > a - 1e-9)]]
    for place, edge in zip((0.0, b), edges, strict=True):
        on = np.abs(y - place) < 1e-9
        if edge != "free":
            held += [names["u"][on], names["u_x"][on]]
        if edge == "clamped":
            held += [names["u_y"][on], names["u_xy"][on]]
    stiff, force = BilinearForm(bends).assemble(basis), LinearForm(spread).assemble(basis)
    found = solve(*condense(stiff, force, D=np.unique(np.concatenate(held))))
    return float(np.abs(found[names["u"]]).max())
