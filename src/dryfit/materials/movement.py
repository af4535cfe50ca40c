"""How much wood and sheets move with their moisture content.

Coefficients: Wood Handbook (FPL-GTR-190), Table 13-5; the change in size for each percent of
moisture content between 6 and 14 %. Sheets move far less, along and across alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.materials.sheets import Material

ALONG = 0.00005
"""Along the grain (American Wood Council: 0.1 to 0.2 % from green to ovendry). [1/%]"""


class Follows(StrEnum):
    """What the movement of a material follows: its moisture content, the air, or nothing.

    ``wood`` and ``panel`` have a moisture content of their own, ``humidity`` is published for the
    air's humidity alone, ``still`` does not move.
    """

    WOOD = "wood"
    PANEL = "panel"
    HUMIDITY = "humidity"
    STILL = "still"


@dataclass(frozen=True, slots=True)
class Motion:
    """How a material moves.

    Parameters
    ----------
    follows : Follows
        What its movement follows.
    across : float
        Across the grain, flat-sawn; in the plane of a sheet. [1/%]
    radial : float
        Across the grain, quarter-sawn; in the plane of a sheet. [1/%]
    along : float
        Along the grain; in the plane of a sheet. [1/%]
    most : float
        The largest of the published values in the plane of a sheet; of wood, as `across`. [1/%]
    status : str
        How well it is known.
    source : str
        Where it is from.
    """

    follows: Follows
    across: float
    radial: float
    along: float
    most: float
    status: str
    source: str


def movement(material: Material, *, across: bool) -> float:
    """Change in size for each percent of moisture content. [1/%]

    Parameters
    ----------
    material : Material
        What moves; of wood, flat-sawn.
    across : bool
        Whether across the grain; sheets move alike both ways.
    """
    motion = material.motion
    # Sheets whose movement is published for the air: a point of moisture is two of humidity.
    each = 5.0 if motion.follows is Follows.HUMIDITY else 1.0
    return (motion.across if across else motion.along) * each


def cross_modulus(material: Material) -> float:
    """Modulus of elasticity across the grain, for bending a cup flat. [N/mm²]

    A board: 0.05 of some 12 000 along it (Wood Handbook, Table 5-1, from memory); sheets 3000
    (common practice, no source).
    """
    return 600.0 if material.solid else 3000.0
