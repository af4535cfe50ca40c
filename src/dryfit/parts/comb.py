"""A fit comb and its tongue as parts: flat, loose, relieved like every other part."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.errors import SizeError
from dryfit.model.panel import Face, Frame, Grain, Panel
from dryfit.parts.ascut import cut_and_left
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.parts.relief import flank_reach
from dryfit.shapes.profile import Loop

if TYPE_CHECKING:
    from dryfit.model.comb import Blank, Comb

_FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_FLANK = 1.0  # of each flank has to be left by the relief, or the comb tells nothing [mm]
_INTO, _OUT = 1.0, -1.0  # marks of inside corners, as parts.outline gives them

Corner = tuple[float, float, float]


def comb_part(comb: Comb, name: str = "comb") -> Part:
    """The comb, its sockets in the edge at the top, numbered from the left.

    Parameters
    ----------
    comb : Comb
        Its measures.
    name : str
        What it is called.

    Raises
    ------
    SizeError
        If the relief takes the flanks away.
    """
    _refuse_bare(comb.blank)
    width, height = comb.width, comb.blank.height
    floor = height - comb.blank.stock.thickness
    corners: list[Corner] = [(0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, height, 0.0)]
    for low, high in reversed(comb.sockets):
        corners += [(high, height, 0.0), (high, floor, _INTO)]
        corners += [(low, floor, _OUT), (low, height, 0.0)]
    corners.append((0.0, height, 0.0))
    return _part(name, corners, comb.blank)


def tongue_part(blank: Blank) -> Part:
    """The tongue, its handle at the bottom.

    Parameters
    ----------
    blank : Blank
        What stock and cutter ask.
    """
    length, breadth = blank.tongue_size
    low, high = (breadth - blank.tongue) / 2, (breadth + blank.tongue) / 2
    root = length - blank.finger
    corners: list[Corner] = [(0.0, 0.0, 0.0), (breadth, 0.0, 0.0), (breadth, root, 0.0)]
    corners += [(high, root, _OUT), (high, length, 0.0)]
    corners += [(low, length, 0.0), (low, root, _INTO), (0.0, root, 0.0)]
    return _part("tongue", corners, blank)


def _refuse_bare(blank: Blank) -> None:
    """Stop where a relief eats the flank up to the socket's mouth: the gap would not be felt."""
    cutter, deep = blank.cutter, blank.stock.thickness
    reach = flank_reach(cutter.relief, cutter.radius)
    if deep - reach < _FLANK:
        raise SizeError(
            f"The {cutter.relief.value} relief of a {cutter.size:g} mm cutter takes {reach:.2f} mm "
            f"of a flank, and a socket in this stock is {deep:.2f} mm deep; take a smaller cutter "
            'or relief = "shoulder" for the comb.'
        )


def _part(name: str, corners: list[Corner], blank: Blank) -> Part:
    grid = np.array(corners)
    loop = Loop.of(grid[:, :2].tolist())
    drawn, left = cut_and_left(loop, grid[:, 2], blank.cutter)
    grain = Grain.V if blank.stock.material.solid else Grain.FREE
    width, height = (float(most) for most in grid[:, :2].max(axis=0))
    panel = Panel(name, _FLAT, width, height, blank.stock, grain=grain)
    cut = Cut(Purpose.OUTLINE, drawn, Face.B, 0.0, panel.thickness)
    return Part(panel, (cut,), left, name)
