"""Templates at full size, on as many sheets as they need.

Vocabulary
----------
window
    The part of a sheet that shows the template; the rest tells which it is.
tile
    What one window shows; neighbours share `OVERLAP`.
register mark
    A cross that two neighbours share: laid over one another, both fit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from dryfit.drafting.traveller.flow import Draft
from dryfit.drafting.traveller.partsheets import names
from dryfit.drafting.traveller.titleblock import HEIGHT
from dryfit.pages.letters import shortened, shown
from dryfit.pages.page import Path, Role, Stroke, Text, Voice
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.parts.part import Part

OVERLAP = 10.0
"""What neighbouring tiles share. [mm]"""

CHECK = 100.0
"""Length of a check line. [mm]"""

ALLOWED = 0.2
"""How far a check line may be off (common practice, no source). [mm]"""

_FOOT = HEIGHT + 22.0
_SIDE = 8.0
_CROSS = 3.0
_FINE = 0.13


@dataclass(frozen=True, slots=True)
class Tile:
    """A tile: its column and row from the datum, and its lower left corner on the part. [mm]"""

    column: int
    row: int
    u: float
    v: float


def window_of(flow: Flow) -> tuple[float, float, float, float]:
    """Where a sheet shows its tile (x0, y0, x1, y1). [mm]"""
    x0, y0, x1, y1 = flow.look.paper.frame
    return x0 + _SIDE, y0 + _FOOT, x1, y1


def tiles_of(size: tuple[float, float], window: tuple[float, float]) -> tuple[Tile, ...]:
    """The tiles of a part with room of half an overlap round it, row by row from the datum.

    Parameters
    ----------
    size, window : pair of float
        Width and height of the part and of what a sheet shows. [mm]

    Examples
    --------
    >>> [tile.u for tile in tiles_of((300.0, 50.0), (170.0, 240.0))]
    [-5.0, 155.0]
    """
    counts = [
        max(math.ceil(length / (room - OVERLAP) - 1e-9), 1)
        for length, room in zip(size, window, strict=True)
    ]
    return tuple(
        Tile(
            column, row,
            column * (window[0] - OVERLAP) - OVERLAP / 2, row * (window[1] - OVERLAP) - OVERLAP / 2,
        )
        for row, column in product(range(counts[1]), range(counts[0]))
    )  # fmt: skip


def templates(packet: Packet, flow: Flow) -> None:
    """Every distinct part at full size."""
    if not packet.templates:
        return
    window = window_of(flow)
    room = window[2] - window[0], window[3] - window[1]
    for number, parts in enumerate(packet.drawings, 1):
        part = parts[0]
        x0, y0, x1, y1 = part.profile.bounds
        tiles = tiles_of((x1 - x0, y1 - y0), room)
        for count, tile in enumerate(tiles, 1):
            said = f"Part {number}, {names(parts)}: template, tile {count} of {len(tiles)}"
            draft = Draft("template", "1 : 1")
            draft.strokes += _part_lines(part, tile, window)
            draft.strokes += _crosses(tile, tiles, window)
            draft.strokes += _checks(window, flow)
            draft.texts += _words(said, tile, flow)
            flow.drafts.append(draft)
            flow.y = flow.foot


def _part_lines(
    part: Part, tile: Tile, window: tuple[float, float, float, float]
) -> Iterator[Stroke]:
    """Everything that is cut, at full size."""
    x0, y0, _, _ = part.profile.bounds
    dx, dy = window[0] - tile.u - x0, window[1] - tile.v - y0
    for cut in part.cuts:
        dashes = (3.0, 0.75) if cut.purpose is Purpose.TRENCH and cut.face == "a" else ()
        for loop in cut.profile.loops:
            path = Path(tuple((x + dx, y + dy, b) for x, y, b in loop.vertices.tolist()))
            yield Stroke(Role.EDGE, path, dashes=dashes, weight=_FINE, window=window)


def _crosses(
    tile: Tile, tiles: tuple[Tile, ...], window: tuple[float, float, float, float]
) -> Iterator[Stroke]:
    """Register marks in the middle of each overlap, near both its ends."""
    x0, y0, x1, y1 = window
    half = OVERLAP / 2
    columns = max(each.column for each in tiles)
    rows = max(each.row for each in tiles)
    xs = ([x0 + half] if tile.column else []) + ([x1 - half] if tile.column < columns else [])
    ys = ([y0 + half] if tile.row else []) + ([y1 - half] if tile.row < rows else [])
    low_y, high_y = y0 + 2 * OVERLAP, y1 - 2 * OVERLAP
    low_x, high_x = x0 + 2 * OVERLAP, x1 - 2 * OVERLAP
    spots = [(x, y) for x in xs for y in (low_y, high_y)]
    spots += [(x, y) for y in ys for x in (low_x, high_x)]
    for x, y in spots:
        yield _fine((x - _CROSS, y), (x + _CROSS, y))
        yield _fine((x, y - _CROSS), (x, y + _CROSS))
        yield Stroke(Role.DIMENSION, Path(((x - 1.5, y, 1.0), (x + 1.5, y, 1.0))), weight=_FINE)


def _checks(window: tuple[float, float, float, float], flow: Flow) -> Iterator[Stroke]:
    """Lines of 100 mm along both sides of the paper, and the ends of a diagonal between them."""
    x, y = _corner(flow)
    yield _fine((x, y), (x + CHECK, y))
    yield _fine((x, y), (x, y + CHECK))
    for at in (0.0, CHECK):
        yield _fine((x + at, y - 1.5), (x + at, y + 1.5))
        yield _fine((x - 1.5, y + at), (x + 1.5, y + at))
    border = Path.polygon(
        (window[0], window[1]), (window[2], window[1]), (window[2], window[3]),
        (window[0], window[3]),
    )  # fmt: skip
    yield Stroke(Role.DIMENSION, border, dashes=(1.0, 1.0), weight=_FINE)


def _corner(flow: Flow) -> tuple[float, float]:
    """Where the check lines meet. [mm]"""
    x0, y0, _, _ = flow.look.paper.frame
    return x0 + 4.0, y0 + _FOOT - 3.0


def _words(said: str, tile: Tile, flow: Flow) -> Iterator[Text]:
    x0, y0, x1, _ = flow.look.paper.frame
    height = 2.5
    title = shortened(shown(said), x1 - x0 - 4, height, Voice.STRONG)
    yield Text(Role.LABEL, x0 + 2, y0 + HEIGHT + 12.5, height, title, voice=Voice.STRONG)
    diagonal = math.hypot(CHECK, CHECK)
    lines = (
        f"Print at 100 %. Check lines: {CHECK:.2f} mm each, {diagonal:.2f} mm from end to end;",
        f"{ALLOWED:g} mm off or more, do not use it. Paper moves with the damp: check on the day.",
        f"Window from {tile.u:.2f} mm left to right and {tile.v:.2f} mm foot to head.",
    )
    for number, line in enumerate(lines):
        said_line = shortened(line, x1 - x0 - 4, 2.2)
        yield Text(Role.LABEL, x0 + 2, y0 + HEIGHT + 8.5 - 3.4 * number, 2.2, said_line)


def _fine(*points: tuple[float, float]) -> Stroke:
    return Stroke(Role.DIMENSION, Path.line(*points), weight=_FINE)
