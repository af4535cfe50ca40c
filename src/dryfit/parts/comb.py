"""The parts of a fit comb: sockets in an edge, and the tongue that is tried in them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.panel import Face, Frame, Panel
from dryfit.parts.ascut import cut_and_left
from dryfit.parts.outline import PLAIN, Stretch, laid_out, outline
from dryfit.parts.part import Cut, Part, Purpose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.comb import Comb
    from dryfit.parts.outline import Side

_FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def comb_parts(comb: Comb, name: str = "comb") -> tuple[Part, Part]:
    """The comb, its sockets in the upper edge as deep as the stock is thick, and its tongue."""
    depth = comb.stock.thickness
    stretches = [
        Stretch(start, start + comb.width, -depth, (gap, gap))
        for start, gap in zip(comb.starts, comb.gaps, strict=True)
    ]
    top = laid_out(stretches, comb.length, backward=True)
    toothed = _part(comb, name, comb.length, (PLAIN, PLAIN, top, PLAIN))
    return toothed, _part(comb, "tongue", comb.width, (PLAIN,) * 4)


def _part(comb: Comb, name: str, width: float, sides: Sequence[Side]) -> Part:
    panel = Panel(name, _FRAME, width, comb.height, comb.stock)
    loop, inside = outline(panel, sides)
    drawn, left = cut_and_left(loop, inside, comb.cutter)
    cut = Cut(Purpose.OUTLINE, drawn, Face.B, 0.0, comb.stock.thickness)
    return Part(panel, (cut,), left, name)
