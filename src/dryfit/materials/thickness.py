"""How thick a sheet may be: the limits of the standards, and what they allow inside one sheet.

Limits: ``thickness.csv``, after EN 315, PS 1, EN 622-1, EN 312 and ISO 7823; what is from memory
has the status MV or M there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from dryfit.materials.data import rows

if TYPE_CHECKING:
    from dryfit.materials.data import Row

_INCH = 25.4
_SIXTY_FOURTH = _INCH / 64
_NEAR = 0.006

FINISHES = ("sanded", "unsanded", "cast", "extruded")
"""How sheets come from the mill, as far as the standards part them."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a standard allows a sheet of one nominal thickness.

    Parameters
    ----------
    standard : str
        The standard.
    finish : str
        How the sheet comes from the mill.
    least, most : float
        Between which every sheet lies. [mm]
    within : float
        Variation allowed inside one sheet. [mm]
    status : str
        How well the limits are known.
    """

    standard: str
    finish: str
    least: float
    most: float
    within: float
    status: str

    def admit(self, thickness: float) -> bool:
        """Whether a sheet of this mean `thickness` [mm] keeps to the standard."""
        return self.least - _NEAR <= thickness <= self.most + _NEAR


def is_inch_size(nominal: float) -> bool:
    """Whether a nominal thickness [mm] is a fraction of an inch rather than a metric size.

    Examples
    --------
    >>> is_inch_size(19.05), is_inch_size(18.0), is_inch_size(18.26)
    (True, False, True)
    """
    parts = nominal / _SIXTY_FOURTH
    metric = abs(nominal * 2 - round(nominal * 2)) < 1e-6
    return not metric and abs(parts - round(parts)) * _SIXTY_FOURTH < _NEAR


@lru_cache(maxsize=1024)
def limits(family: str, nominal: float) -> tuple[Limits, ...]:
    """Limits of the standards for sheets of one family, the usual finish first.

    Plywood sold in fractions of an inch is judged by PS 1, else by EN 315. Empty where no standard
    is known, as for boards, which a maker planes to any thickness.

    Parameters
    ----------
    family : str
        Kind of sheet, as in ``thickness.csv``.
    nominal : float
        Thickness it is sold as. [mm]
    """
    found = [
        row
        for row in rows("thickness")
        if row["material"] == family
        and float(row["over"]) < nominal <= float(row["to"])
        and (row["standard"] == "PS 1") <= is_inch_size(nominal)
    ]
    inch = any(row["standard"] == "PS 1" for row in found)
    return tuple(_limits(row, nominal) for row in found if not inch or row["standard"] == "PS 1")


def _limits(row: Row, nominal: float) -> Limits:
    least = nominal - float(row["minus"]) - float(row["minus_share"]) * nominal
    most = nominal + float(row["plus"]) + float(row["plus_share"]) * nominal
    return Limits(row["standard"], row["finish"], least, most, float(row["within"]), row["status"])
