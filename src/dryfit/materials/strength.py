"""How stiff and how strong wood and sheets are.

Wood: Wood Handbook, FPL-GTR-282, Tables 5-3b and 5-5b at 12 % moisture, averages of small clear
specimens and no design values. Its moduli hold some shear: 1.1 E goes with a term for shear
(footnote c), and G is about E / 16 (p. 9-5). Boards: the least that their standard or table allows.
Birch plywood: its lay-up. Across the grain wood is taken at 0.05 E (Table 5-1, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.materials.data import number, rows
from dryfit.materials.layup import birch_near
from dryfit.materials.species import SPECIES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.materials.data import Row
    from dryfit.materials.sheets import Material

PSI = 0.006894757
"""One pound to the square inch. [N/mm²]"""

WITH_SHEAR = 1.1
"""What a table's modulus is raised by where shear is reckoned apart (Table 5-3b, note c). [-]"""

RIGIDITY = 1 / 16
"""G over E of wood where nothing better is known (p. 9-5). [-]"""

ACROSS = 0.05
"""E across the grain over E along it (Table 5-1, from memory). [-]"""

ROLLING = 200.0
"""G of plywood through its thickness, where the cross plies roll (from memory). [N/mm²]"""

GLUE = 10.0
"""Shear that a glue line of PVAc must take on beech, EN 204 (from memory). [N/mm²]"""

ROLLS = 1.5
"""Least rolling shear of wood measured, J. Wood Sci. 2019, s10086-019-1810-8: 1.54. [N/mm²]"""

MDF_OF_BEECH, BEECH = 0.48, "Beech, American"
"""Corner strength of MDF over that of beech: 0.154 / 0.321, Forest Prod. J. 69(2):131-140. [-]"""

MDF_OF_PARTICLEBOARD = 1.13
"""The same over particleboard, Maleki et al. 2012, Turk J Agric For 36:636-643. [-]"""

_POISSON = MappingProxyType(
    {"acrylic": 0.37, "MDF": 0.25, "particleboard": 0.25, "hardboard": 0.25}
)
_WOOD_POISSON, _PLY_POISSON = 0.4, 0.1


@dataclass(frozen=True, slots=True)
class Strength:
    """What a panel of one thickness can do.

    Parameters
    ----------
    along, across : float
        Modulus of elasticity in bending along its grain and across, shear apart. [N/mm²]
    twist, shear : float
        Modulus of rigidity in its plane, and through its thickness. [N/mm²]
    poisson : float
        How much it narrows across for each stretch along. [-]
    rupture : float
        Bending strength along the grain. [N/mm²]
    flank : pair of float
        Shear that a glued flank takes at least and at most: rolling shear or the bond inside a
        board at the low end, glue or wood at the high one; 0 where nothing is known. [N/mm²]
    weakest : pair of str
        What gives way at either end of that range.
    density : float
        At 12 % moisture. [kg/m³]
    source, status : str
        Where stiffness and strength are from, and how well they are known.
    """

    along: float
    across: float
    twist: float
    shear: float
    poisson: float
    rupture: float
    flank: tuple[float, float]
    weakest: tuple[str, str]
    density: float
    source: str
    status: str


_WOODS: Mapping[str, Row] = MappingProxyType({row["species"]: row for row in rows("strength")})


@lru_cache(maxsize=256)
def strength(material: Material, thickness: float) -> Strength | None:
    """Stiffness and strength of a material as thick as it is; None where none is published.

    Parameters
    ----------
    material : Material
        What it is.
    thickness : float
        Mean thickness of the panel. [mm]
    """
    if not material.solid:
        return _board(material.entry, thickness)
    species = SPECIES[material.entry]
    row = _WOODS.get(species.strength)
    if row is not None:
        return _wood(row, "")
    genus = species.handbook.partition(",")[0]
    kin = [row for name, row in _WOODS.items() if name.startswith(f"{genus},")]
    weakest = min(kin, key=lambda row: float(row["modulus_mpsi"]), default=None)
    return None if weakest is None else _wood(weakest, ", the weakest of its kin that is printed")


def _wood(row: Row, said: str) -> Strength:
    along = float(row["modulus_mpsi"]) * 1e6 * PSI * WITH_SHEAR
    sheared = number(row["shear_psi"])
    wood = GLUE if sheared is None else sheared * PSI
    return Strength(
        along=along,
        across=ACROSS * along,
        twist=RIGIDITY * along,
        shear=RIGIDITY * along,
        poisson=_WOOD_POISSON,
        rupture=float(row["rupture_psi"]) * PSI,
        flank=(ROLLS, min(GLUE, wood)),
        weakest=("rolling shear", "the wood" if wood < GLUE else "glue"),
        density=float(row["gravity"]) * 1120,
        source=f"Wood Handbook, FPL-GTR-282, Table {row['table']}, {row['species']}{said}",
        status=row["status"],
    )


def _board(kind: str, thickness: float) -> Strength | None:
    row = next(
        (
            row
            for row in rows("boards")
            if row["material"] == kind and float(row["over"]) < thickness <= float(row["to"])
        ),
        None,
    )
    if row is None:
        return None
    plies = birch_near(thickness)
    modulus = number(row["modulus"])
    along = plies.along if modulus is None else modulus
    poisson = _POISSON.get(kind, _PLY_POISSON)
    plywood = kind not in _POISSON
    flank, weakest = _flank(kind, number(row["bond"]))
    return Strength(
        along=along,
        # A plywood of unknown plies is taken to differ along and across as birch does.
        across=along * plies.across / plies.along if plywood else along,
        twist=RIGIDITY * along if plywood else along / (2 + 2 * poisson),
        shear=ROLLING if plywood else along / (2 + 2 * poisson),
        poisson=poisson,
        rupture=float(row["rupture"]),
        flank=flank,
        weakest=weakest,
        density=float(row["density"]),
        source=_PLIES if modulus is None else row["source"],
        status="MV" if modulus is None else row["status"],
    )


_PLIES = "Handbook of Finnish Plywood (from memory), by a ply model that agrees"


def _flank(kind: str, bond: float | None) -> tuple[tuple[float, float], tuple[str, str]]:
    """What a glued flank of a board takes, and what gives way."""
    if kind == "acrylic":
        return (0.0, 0.0), ("", "")
    if kind in ("plywood", "birch plywood"):
        # About half of a flank is end grain, which holds no glue.
        return (ROLLS / 2, GLUE / 2), ("rolling shear", "glue")
    beech = float(_WOODS[BEECH]["shear_psi"]) * PSI
    fibres = MDF_OF_BEECH * min(GLUE, beech)
    if kind == "particleboard":
        fibres /= MDF_OF_PARTICLEBOARD
    least = fibres / 2 if bond is None else bond
    return (least, fibres), ("the bond inside the board", "the board")


@dataclass(frozen=True, slots=True)
class Creep:
    """How much farther a load that stays bends a panel in years, over its first sag. [-]"""

    least: float
    most: float
    source: str


_CREEP: Mapping[str, Creep] = MappingProxyType(
    {
        row["material"]: Creep(float(row["least"]), float(row["most"]), row["source"])
        for row in rows("creep")
    }
)


def creep(material: Material) -> Creep:
    """How a material creeps."""
    return _CREEP["solid" if material.solid else material.entry]
