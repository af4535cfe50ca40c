"""A fit comb: sockets of graded widths, tried on a tongue, to learn what a cutter really leaves."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.model.cutter import Cutter
    from dryfit.model.stock import Stock

LEAST_SOCKETS, MOST_SOCKETS = 3, 12
WIDEST = 0.4
"""Room that the widest socket may take beyond its tongue. [mm]"""

_LETTERS = 16.0
_SPARE = 8.0


@dataclass(frozen=True, slots=True)
class Comb:
    """One comb and its tongue.

    Parameters
    ----------
    stock : Stock
        What it is cut from.
    cutter : Cutter
        What cuts it.
    width : float
        Of the tongue, and of a socket without its gaps. [mm]
    web : float
        Wood between two sockets, before gaps. [mm]
    gaps : tuple of float
        Air at each flank of each socket, from the tightest. [mm]
    height : float
        Of the comb and of its tongue. [mm]
    """

    stock: Stock
    cutter: Cutter
    width: float
    web: float
    gaps: tuple[float, ...]
    height: float

    @property
    def length(self) -> float:
        """Length of the comb. [mm]"""
        return len(self.gaps) * (self.width + self.web) + self.web

    @property
    def starts(self) -> tuple[float, ...]:
        """Where each socket begins, before gaps. [mm]"""
        return tuple(self.web + k * (self.width + self.web) for k in range(len(self.gaps)))


def sizes(stock: Stock, cutter: Cutter) -> tuple[float, float, float]:
    """Width of the tongue, web between sockets and height of a comb. [mm]"""
    thick = stock.thickness
    width = float(ceil(max(1.25 * thick, 2 * cutter.size, 8.0)))
    return width, float(ceil(max(thick, 5.0) + WIDEST)), float(ceil(thick + _LETTERS + _SPARE))


def sockets_on(
    offcut: tuple[float, float], stock: Stock, cutter: Cutter, wanted: int | None
) -> int:
    """How many sockets a comb on an offcut has, its tongue beside it. [-]

    Parameters
    ----------
    offcut : pair of float
        Length and width. [mm]
    stock : Stock
        What it is cut from.
    cutter : Cutter
        What cuts it.
    wanted : int, optional
        How many are wanted.

    Raises
    ------
    SizeError
        If fewer than three, or fewer than wanted, fit.
    """
    width, web, height = sizes(stock, cutter)
    spare = cutter.size + _SPARE
    length = max(offcut) - width - spare
    fits = int((length - web) / (width + web) + 1e-9)
    least = LEAST_SOCKETS if wanted is None else wanted
    if fits < least or min(offcut) < height:
        need = least * (width + web) + web + width + spare
        raise SizeError(
            f"{least} sockets need {show_length(need, 'mm')} by {show_length(height, 'mm')}, and "
            f"the offcut is {show_length(max(offcut), 'mm')} by {show_length(min(offcut), 'mm')}; "
            "take a larger one or ask for fewer sockets",
            ("offcut",),
        )
    return min(fits, MOST_SOCKETS) if wanted is None else wanted
