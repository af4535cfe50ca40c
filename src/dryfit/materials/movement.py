"""How much wood and sheets move with their moisture content.

Coefficients: Wood Handbook (FPL-GTR-190), Table 13-5; the change in size for each percent of
moisture content between 6 and 14 %. Sheets move far less, along and across alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from dryfit.materials.moisture import FIBRE_SATURATION, humidity_for
from dryfit.materials.species import MIDDLE

if TYPE_CHECKING:
    from dryfit.materials.moisture import Air
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


class Sawn(StrEnum):
    """How a board was sawn: its growth rings lie flat in its face, stand in it, or lean."""

    FLAT = "flat"
    RIFT = "rift"
    QUARTER = "quarter"


EVEN = 6.0, 14.0
"""The moisture contents between which the coefficients hold (Wood Handbook, p. 13-15). [%]"""


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


def coefficient(motion: Motion, sawn: Sawn) -> float:
    """Change across the grain for each percent of moisture; rift-sawn lies between. [1/%]

    Parameters
    ----------
    motion : Motion
        How the wood moves.
    sawn : Sawn
        How the board was sawn.
    """
    return {
        Sawn.FLAT: motion.across,
        Sawn.RIFT: (motion.across + motion.radial) / 2,
        Sawn.QUARTER: motion.radial,
    }[sawn]


def wood_strain(rate: float, start: float, end: float) -> float:
    """Change in size of wood as a share of its size at the start. [-]

    Between 6 and 14 % the change is the coefficient times the points of moisture, Eq. 13-2; with
    either outside, 1 / (3000 / S - 30 + start) for each point, Eq. 13-3, with the total shrinkage S
    that belongs to the coefficient. Above fibre saturation wood moves no more.

    Parameters
    ----------
    rate : float
        Coefficient of Table 13-5. [1/%]
    start, end : float
        Moisture content before and after. [%]

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-190 (2010), Eq. 13-2 and 13-3, p. 13-15 to 13-17.

    Examples
    --------
    A flat-sawn board of white fir, 232 mm wide, from 8 to 11 %:

    >>> 232 * wood_strain(0.00245, 8.0, 11.0)
    1.705
    """
    start, end = min(start, FIBRE_SATURATION), min(end, FIBRE_SATURATION)
    low, high = EVEN
    if rate == 0:
        return 0.0
    if low <= start <= high and low <= end <= high:
        return rate * (end - start)
    # The coefficient refers to the size at 10 %: C = 1 / (3000 / S - 30 + 10).
    return (end - start) / (1 / rate - MIDDLE + start)


def strain(
    material: Material, before: float | Air, after: Air, *, sawn: Sawn | None = Sawn.FLAT
) -> float:
    """How much longer something becomes, as a share of its length. [-]

    Parameters
    ----------
    material : Material
        What moves.
    before : float or Air
        Its own moisture content where measured, else the air it lay in. [%]
    after : Air
        The air it comes into.
    sawn : Sawn, optional
        How a board was sawn; None along its grain. Sheets move alike both ways.
    """
    motion = material.motion
    if motion.follows is Follows.STILL:
        return 0.0
    if motion.follows is Follows.WOOD:
        start = before if isinstance(before, float) else before.wood
        rate = motion.along if sawn is None else coefficient(motion, sawn)
        return wood_strain(rate, start, after.wood)
    if motion.follows is Follows.PANEL:
        start = before if isinstance(before, float) else before.panel
        return motion.most * (after.panel - start)
    # Plywood is made of wood, so that what a meter reads in it is told by wood's own curve.
    if isinstance(before, float):
        return motion.most * (after.humidity - humidity_for(before, after.temperature))
    return motion.most * (after.humidity - before.humidity)
