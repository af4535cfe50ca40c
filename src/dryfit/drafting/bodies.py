"""The piece put together as bodies in space, one a part, one colour a stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.errors import ShapeError
from dryfit.pages.body import Body
from dryfit.pages.hand import END_GRAIN, WOOD
from dryfit.parts.solids import solid_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.parts.part import Part

_COLOURS = (WOOD[1], END_GRAIN, WOOD[0], WOOD[2])
"""Colours of the stocks, in the order in which the parts first use them; then again."""


def bodies_of(parts: Sequence[Part], chord: float) -> tuple[Body, ...]:
    """Every part as a body, in the order given; chords stray from arcs by `chord` [mm] at most.

    Raises
    ------
    ShapeError
        If there are no parts.
    """
    if not parts:
        raise ShapeError("A piece of 0 parts has no body; state a panel first")
    stocks = list(dict.fromkeys(part.panel.stock.name for part in parts))
    colours = {name: _COLOURS[k % len(_COLOURS)] for k, name in enumerate(stocks)}
    return tuple(
        Body(part.name, solid_of(part, chord), stock, colours[stock])
        for part in parts
        for stock in (part.panel.stock.name,)
    )
