"""What cuts a socket on the saw: one make-up in one pass, or a narrower one in several."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.cutting.stack import MakeUp, nearest, passes, widest_under

if TYPE_CHECKING:
    from dryfit.model.cutter import Cutter

SLACK = 0.05
"""What a make-up may miss where the flank gap is less (common practice, no source). [mm]"""


@dataclass(frozen=True, slots=True)
class Tool:
    """What cuts one socket.

    Parameters
    ----------
    width : float
        What it cuts in one pass. [mm]
    socket : float
        The width that is wanted. [mm]
    passes : int
        Passes over each socket. [-]
    step : float
        How far the board moves between two passes. [mm]
    make_up : MakeUp, optional
        What is put on the arbor; None where the job states a width and no blades.
    """

    width: float
    socket: float
    passes: int
    step: float
    make_up: MakeUp | None = None

    @property
    def cut(self) -> float:
        """Width of the socket as it is cut. [mm]"""
        return round(self.width + self.step * (self.passes - 1), 9)

    @property
    def error(self) -> float:
        """How much wider the socket comes out than wanted. [mm]"""
        return round(self.cut - self.socket, 9)


def tool_for(cutter: Cutter, socket: float, gap: float) -> Tool:
    """What cuts a socket: the nearest make-up in one pass, else a narrower one in several.

    Parameters
    ----------
    cutter : Cutter
        Blade and blades owned.
    socket : float
        Width of the socket. [mm]
    gap : float
        Air at one flank, within which a make-up may miss. [mm]

    Raises
    ------
    SizeError
        If what there is is wider than the socket.
    """
    if cutter.owned is None:
        every = passes(cutter.size, socket)
        return Tool(cutter.size, socket, every.count, every.step)
    best = nearest(cutter.owned, socket)
    if abs(best.width - socket) <= slack(gap):
        return Tool(best.width, socket, 1, 0.0, best)
    under = widest_under(cutter.owned, socket)
    width = best.width if under is None else under.width
    every = passes(width, socket)
    return Tool(width, socket, every.count, every.step, under)


def slack(gap: float) -> float:
    """What a make-up may miss the wanted width by: a flank `gap` [mm], 0.05 mm at least. [mm]"""
    return max(gap, SLACK)
