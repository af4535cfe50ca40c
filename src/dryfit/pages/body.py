"""A body in space to be handed on: a solid, what it is called and what it looks like."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.shapes.solid import Solid


@dataclass(frozen=True, eq=False)
class Body:
    """A named solid in the colour of its stock.

    Parameters
    ----------
    name : str
        What the maker calls it.
    solid : Solid
        Its shape, in its place. [mm]
    stock : str
        What it is cut from.
    colour : str
        Colour of that stock, as ``#rrggbb``.
    """

    name: str
    solid: Solid
    stock: str
    colour: str
