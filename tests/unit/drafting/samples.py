"""A small tray's walls, made by hand: no joint is planned here, so the drawings stand alone."""

from __future__ import annotations

import math

from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Route
from dryfit.model.panel import Face, Frame, Grain, Panel
from dryfit.model.piece import Job, Piece
from dryfit.model.stock import Stock
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.shapes.profile import Loop, Profile

STOCK = Stock("birch 9", MATERIALS["birch plywood"], 9.0, (8.8, 8.76))
T = STOCK.thickness
SLOT_LENGTH, SLOT_WIDTH = 40.0, 16.0
SLOT_AREA = (SLOT_LENGTH - SLOT_WIDTH) * SLOT_WIDTH + math.pi * SLOT_WIDTH**2 / 4
SLOT_PERIMETER = 2 * (SLOT_LENGTH - SLOT_WIDTH) + math.pi * SLOT_WIDTH

Row = tuple[float, float, float]


def comb(width: float, height: float, count: int, first: bool, relief: float = 0.0) -> Loop:
    """A wall with `count` divisions at either end; with `relief` [mm] its flanks are bitten."""
    right: list[Row] = []
    for k in range(count):
        low, high = height * k / count, height * (k + 1) / count
        if (k % 2 == 0) == first:
            right += [(width, low, 0.0), (width, high, 0.0)]
            continue
        right += _socket(width - T, low, high, relief, below=k > 0, above=k < count - 1)
    left = [(width - x, height - y, bulge) for x, y, bulge in right]
    return Loop.of(right + left)


def _socket(x: float, low: float, high: float, r: float, below: bool, above: bool) -> list[Row]:
    """The shoulder of a socket at x, with half circles of radius r bitten into its flanks."""
    rows: list[Row] = [(x + 2 * r, low, -1.0)] if below and r else []
    rows += [(x, low, 0.0), (x, high, -1.0 if above and r else 0.0)]
    return [*rows, (x + 2 * r, high, 0.0)] if above and r else rows


def slot(x: float, y: float) -> Loop:
    """A hand hold with round ends, clockwise, its middle at (x, y). [mm]"""
    half, r = (SLOT_LENGTH - SLOT_WIDTH) / 2, SLOT_WIDTH / 2
    return Loop.of(
        [(x - half, y - r, -1.0), (x - half, y + r), (x + half, y + r, -1.0), (x + half, y - r)]
    )


def wall(
    name: str,
    frame: Frame,
    outline: Loop,
    holes: tuple[Loop, ...] = (),
    good_face: Face | None = Face.B,
) -> Part:
    profile = Profile(outline, holes)
    x0, y0, x1, y1 = profile.bounds
    panel = Panel(name, frame, x1 - x0, y1 - y0, STOCK, good_face, Grain.U)
    return Part(panel, (Cut(Purpose.OUTLINE, profile, Face.B, 0.0, T),), profile, name)


def ring(
    width: float = 120.0, depth: float = 80.0, height: float = 60.0, relief: float = 1.5
) -> tuple[Part, ...]:
    """Four walls, x to the right, y to the back, z up; face b of each looks outward."""
    up = (0.0, 0.0, 1.0)
    lead, follow = comb(width, height, 5, True, relief), comb(depth, height, 5, False, relief)
    hold = (slot(depth / 2, height / 2),)
    front = Frame((0.0, T, 0.0), (1.0, 0.0, 0.0), up, (0.0, -1.0, 0.0))
    back = Frame((width, depth - T, 0.0), (-1.0, 0.0, 0.0), up, (0.0, 1.0, 0.0))
    left = Frame((T, depth, 0.0), (0.0, -1.0, 0.0), up, (-1.0, 0.0, 0.0))
    right = Frame((width - T, 0.0, 0.0), (0.0, 1.0, 0.0), up, (1.0, 0.0, 0.0))
    return (
        wall("front", front, lead),
        wall("back", back, lead),
        wall("left", left, follow, hold),
        wall("right", right, follow, hold),
    )


def job(parts: tuple[Part, ...], unit: str = "mm", sixty_fourths: bool = False) -> Job:
    piece = Piece(tuple(part.panel for part in parts))
    return Job("Type tray", piece, Cutter(Route.ROUTER, 3.0), "ring", 2, unit, sixty_fourths)
