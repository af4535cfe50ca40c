"""How much wood moves across its grain with its moisture content.

Change in size for each percent of moisture content between 6 and 14 %, tangential (flat-sawn):
Wood Handbook (FPL-GTR-190), Table 13-5. Values for imported woods rest on older data and are from
memory. Sheets move far less; their values are trade figures for the plane of the sheet.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.materials.sheets import Material

_ACROSS: Mapping[str, float] = MappingProxyType(
    {
        "alder": 0.00256, "ash": 0.00274, "basswood": 0.00330, "beech": 0.00431,
        "birch": 0.00338, "cherry": 0.00248, "chestnut": 0.00234, "Douglas-fir": 0.00267,
        "elm": 0.00338, "fir": 0.00245, "hemlock": 0.00274, "larch": 0.00323,
        "lime": 0.00330, "mahogany": 0.00238, "maple": 0.00353, "oak": 0.00365, "pine": 0.00259,
        "poplar": 0.00289, "redwood": 0.00229, "red oak": 0.00369, "spruce": 0.00263,
        "sycamore": 0.00296, "teak": 0.00186, "walnut": 0.00274, "western redcedar": 0.00234,
        "white oak": 0.00365, "yellow birch": 0.00338, "yellow-poplar": 0.00289,
        "MDF": 0.0005, "particleboard": 0.0003, "hardboard": 0.0005, "plywood": 0.0001,
        "birch plywood": 0.0001,
    }
)  # fmt: skip
"""Hickory is left out: its species differ too much; it takes the largest of those above. [1/%]"""

ALONG = 0.00005
"""Along the grain (American Wood Council: 0.1 to 0.2 % from green to ovendry). [1/%]"""


def movement(material: Material, *, across: bool) -> float:
    """Change in size for each percent of moisture content. [1/%]

    Parameters
    ----------
    material : Material
        What moves.
    across : bool
        Whether across the grain; sheets move alike both ways.
    """
    if material.name == "acrylic":
        return 0.0
    if material.solid and not across:
        return ALONG
    return _ACROSS.get(material.name, max(_ACROSS.values()))


def cross_modulus(material: Material) -> float:
    """Modulus of elasticity across the grain, for bending a cup flat. [N/mm²]

    A board: 0.05 of some 12 000 along it (Wood Handbook, Table 5-1, from memory); sheets 3000
    (common practice, no source).
    """
    return 600.0 if material.solid else 3000.0
