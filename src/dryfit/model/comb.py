"""The fit comb as a record: its measures, and what fits on an offcut.

A comb is one part whose edge has sockets of graded gaps; each is tried on a *tongue*, a strip with
a handle. Both are loose flat parts that meet nothing, so they are no form: a form makes a piece.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from dryfit.model.cutter import Cutter
    from dryfit.model.stock import Stock

LEAST, MOST = 3, 9
"""Fewest sockets that grade anything, and most that are of use. [-]"""

_HANDLE = 20.0  # a grip between finger and thumb [mm]
_SHOULDER = 6.0
_LETTERED = 11.0  # room along the edge for a socket's gap [mm]
_BACK = 12.0  # room below a socket for its number and its gap [mm]
_GRADED = 0.4  # more than any socket is drawn wider than the tongue [mm]


@dataclass(frozen=True, slots=True)
class Blank:
    """What stock and cutter ask of a comb, whatever its gaps.

    Parameters
    ----------
    stock : Stock
        What it is cut from.
    cutter : Cutter
        What cuts.
    own_tongues : bool
        Whether each socket has a tongue of its own.
    mate : float, optional
        Width of what goes into the sockets, where it is no tongue of its own. [mm]
    """

    stock: Stock
    cutter: Cutter
    own_tongues: bool = False
    mate: float | None = None

    @property
    def tongue(self) -> float:
        """Width of the tongue: a thickness, or what lets the cutter into the socket. [mm]"""
        if self.mate is not None:
            return self.mate
        if self.cutter.route is Route.SAW:
            return self.cutter.size
        return math.ceil(2 * max(self.stock.thickness, 1.6 * self.cutter.size + 0.5)) / 2

    @property
    def web(self) -> float:
        """Wood between two sockets: a thickness at least, more for reliefs and letters. [mm]"""
        least = max(self.stock.thickness, 2 * self.cutter.size + 1, _LETTERED - self.tongue)
        return math.ceil(2 * least) / 2

    @property
    def height(self) -> float:
        """Height of the comb: its sockets, and wood behind them. [mm]"""
        return self.stock.thickness + max(self.stock.thickness, _BACK)

    @property
    def finger(self) -> float:
        """Length before the handle; a relief at its root stays out of a socket. [mm]"""
        return self.stock.thickness + self.cutter.size + 3

    @property
    def tongue_size(self) -> tuple[float, float]:
        """Length and breadth of the tongue, handle included. [mm]"""
        return self.finger + _HANDLE, self.tongue + 2 * _SHOULDER

    def size_for(self, sockets: int, width: float = math.inf) -> tuple[float, float]:
        """Offcut that a comb and its tongues take, tongues in rows below the comb. [mm]

        Parameters
        ----------
        sockets : int
            How many. [-]
        width : float
            Of the offcut there is; rows are as long as it or the comb. [mm]
        """
        between = self.cutter.size + 2
        across, up = self.tongue_size
        if self.stock.material.solid:  # the grain runs along webs and tongues alike
            across, up = up, across
        comb = sockets * (self.tongue + _GRADED) + (sockets + 1) * self.web
        room = max(comb, across, width - 2 * between if width < math.inf else 0.0)
        tongues = sockets if self.own_tongues else 1
        rows = math.ceil(tongues / int((room + between) // (across + between)))
        height = self.height + rows * (up + between)
        return max(comb, across) + 2 * between, height + 2 * between

    def sockets_on(self, offcut: tuple[float, float], wanted: int | None = None) -> int:
        """How many sockets an offcut takes, or whether it takes those wanted. [-]

        Parameters
        ----------
        offcut : tuple of float
            Its width and height. [mm]
        wanted : int, optional
            How many the maker wants. [-]

        Raises
        ------
        SizeError
            If it takes too few.
        """
        if wanted is not None and not LEAST <= wanted <= MOST:
            raise SizeError(f"A comb has {LEAST} to {MOST} sockets, not {wanted}.")
        tries = (wanted,) if wanted else range(MOST, LEAST - 1, -1)
        for sockets in tries:
            if self._takes(offcut, sockets):
                return sockets
        need = self.size_for(wanted or LEAST, offcut[0])
        raise SizeError(
            f"An offcut of {offcut[0]:g}x{offcut[1]:g}mm is too small for {wanted or LEAST} "
            f"sockets in stock {self.stock.thickness:.2f} mm thick; give --offcut "
            f"{max(math.ceil(need[0]), math.ceil(offcut[0]))}x"
            f"{max(math.ceil(need[1]), math.ceil(offcut[1]))}mm."
        )

    def _takes(self, offcut: tuple[float, float], sockets: int) -> bool:
        width, height = self.size_for(sockets, offcut[0])
        return width <= offcut[0] and height <= offcut[1]


@dataclass(frozen=True, slots=True)
class KerfStrip:
    """A strip cut into equal pieces on the lines themselves: each piece loses one kerf.

    Parameters
    ----------
    pieces : int
        How many. [-]
    piece, height : float
        Drawn width of a piece, and how long its cuts are. [mm]
    """

    pieces: int = 10
    piece: float = 8.0
    height: float = 20.0

    @property
    def length(self) -> float:
        """Drawn length of the strip. [mm]"""
        return self.pieces * self.piece

    def kerf(self, measured: float) -> float:
        """The kerf, from the length of the pieces pushed together. [mm]

        Parameters
        ----------
        measured : float
            By the caliper, on one face. [mm]
        """
        return (self.length - measured) / self.pieces


SLOT_GAPS = (-0.10, -0.05, 0.0, 0.05, 0.10)
"""Gaps at either face of the slots that try the thickness (common practice, no source). [mm]"""


@dataclass(frozen=True, slots=True)
class Comb:
    """A blank with its gaps.

    Parameters
    ----------
    blank : Blank
        What stock and cutter ask.
    gaps : tuple of float
        Flank gap of every socket, as drawn. [mm]
    """

    blank: Blank
    gaps: tuple[float, ...]

    @property
    def sockets(self) -> tuple[tuple[float, float], ...]:
        """Low and high end of every socket along the edge. [mm]"""
        found: list[tuple[float, float]] = []
        place = self.blank.web
        for gap in self.gaps:
            wide = self.blank.tongue + 2 * gap
            found.append((place, place + wide))
            place += wide + self.blank.web
        return tuple(found)

    @property
    def width(self) -> float:
        """Length of the comb along its edge. [mm]"""
        return self.sockets[-1][1] + self.blank.web
