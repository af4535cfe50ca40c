"""A sheet with its parts, and what reading a program back found, as pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.moves import FLAT
from dryfit.cutting.path import beside
from dryfit.pages.hand import PAPER, WOOD
from dryfit.pages.names import plain_text
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text
from dryfit.shapes.tolerances import TOUCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.moves import FloatArray
    from dryfit.cutting.readback import Reading

_FOOT = 14.0
_LETTER = 5.0
_RING = 6.0


def sheet_page(bed: Bed, radius: float = 0.0) -> Page:
    """The sheet with every part: nominal, or as the cutter's middle runs round it.

    Trenches as ``trench`` with their face and depth, holes as ``cut inside``, outlines as ``cut
    outside``; the sheet's own edge as ``edge``. Trenches are always nominal.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    radius : float
        Radius of the cutter or half the kerf that is taken off; 0 leaves outlines nominal. [mm]
    """
    strokes = [Stroke(Role.EDGE, _rectangle(bed))]
    for lying in bed.lying:
        for trench in lying.trenches:
            side = "FAR" if trench.far else "UP"
            note = f"{side}_{trench.high - trench.low:.2f}"
            path = Path.of_loop(trench.profile.outer)
            strokes.append(Stroke(Role.TRENCH, path, lying.name, note))
        outer, *holes = [beside(loop, radius) for loop in lying.outline.loops]
        strokes += [Stroke(Role.CUT_INSIDE, Path.of_loop(hole), lying.name) for hole in holes]
        strokes.append(Stroke(Role.CUT_OUTSIDE, Path.of_loop(outer), lying.name))
    words = (
        f"compensated: the middle of a cutter or kerf of {2 * radius:g} mm runs here"
        if radius
        else "nominal outlines: take off the cutter's radius or half the kerf yourself"
    )
    return _page(bed, strokes, [], plain_text(f"{bed.name}, {len(bed.lying)} parts"), words)


def reading_page(bed: Bed, reading: Reading, diameter: float) -> Page:
    """What a program does to a sheet: the cutter's path, the parts, and where they differ.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    reading : Reading
        What was found.
    diameter : float
        Of the cutter. [mm]
    """
    strokes = [Stroke(Role.EDGE, _rectangle(bed))]
    fills = [
        Fill(Role.FACE, tuple(_ring(ring) for ring in rings), WOOD[0]) for rings in reading.pieces
    ]
    strokes += [
        Stroke(Role.CUT_OUTSIDE, Path.of_loop(loop), lying.name)
        for lying in bed.lying
        for loop in lying.outline.loops
    ]
    for program in reading.programs:
        cutting = ~program.moves.rapid
        strokes += _paths(program.moves.path[cutting][:, FLAT])
    wrong = [miss for miss in reading.misses if miss.depth > TOUCH]
    for miss in wrong:
        centre, radius = (miss.x, miss.y), max(_RING, diameter)
        circle = ((centre[0] - radius, centre[1], 1.0), (centre[0] + radius, centre[1], 1.0))
        strokes.append(Stroke(Role.LEADER, Path(circle), bed.lying[miss.part].name))
    words = (
        f"cut inside parts {reading.inside:.3f} mm, wood left on them {reading.left:.3f} mm; "
        f"{len(wrong)} places beyond {TOUCH} mm are ringed"
    )
    title = f"read back: {len(bed.lying)} parts, {len(reading.troubles)} troubles"
    return _page(bed, strokes, fills, title, words)


def _page(bed: Bed, strokes: list[Stroke], fills: list[Fill], title: str, words: str) -> Page:
    margin = 5.0
    lines = (title, words)
    letter = min(_LETTER, (bed.length + margin) / (0.8 * max(map(len, lines))))
    texts = [
        Text(
            Role.LABEL, 0.0, bed.width + margin + (1 - k) * 1.6 * letter, letter, line, Anchor.START
        )
        for k, line in enumerate(lines)
    ]
    texts += [
        Text(Role.LABEL, *_middle(lying.outline.bounds), letter, plain_text(lying.name),
             Anchor.MIDDLE, owner=lying.name)
        for lying in bed.lying
    ]  # fmt: skip
    return Page(
        title=plain_text(title),
        description=plain_text(f"{title}. {words}.", 200),
        width=bed.length + 2 * margin,
        height=bed.width + 2 * margin + _FOOT,
        x=-margin,
        y=-margin,
        paper=PAPER,
        fills=tuple(fills),
        strokes=tuple(strokes),
        texts=tuple(texts),
    )


def _middle(bounds: tuple[float, float, float, float]) -> tuple[float, float]:
    return (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2


def _rectangle(bed: Bed) -> Path:
    return Path.polygon((0, 0), (bed.length, 0), (bed.length, bed.width), (0, bed.width))


def _ring(ring: FloatArray) -> Path:
    return Path(tuple((x, y, 0.0) for x, y in ring[:-1].tolist()))


def _paths(edges: FloatArray) -> Iterator[Stroke]:
    """Edges that follow one another as open paths, each place once."""
    _, first = np.unique(np.round(edges, 4), axis=0, return_index=True)
    edges = edges[np.sort(first)]
    if not len(edges):
        return
    breaks = np.flatnonzero(np.abs(edges[1:, :2] - edges[:-1, 2:4]).max(axis=1) > 1e-6) + 1
    for run in np.split(edges, breaks):
        vertices = [(x, y, bulge) for x, y, bulge in run[:, [0, 1, 4]].tolist()]
        vertices.append((*run[-1, 2:4].tolist(), 0.0))
        yield Stroke(Role.MARK, Path(tuple(vertices), closed=False))
