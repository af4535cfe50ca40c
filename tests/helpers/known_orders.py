"""Small pieces whose free moves, orders and partitions are known, and what the program finds.

The answers come from brute force over voxels along the six axes; every piece is built anew here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from dryfit import workflow
from dryfit.assembly.blocking import blocking_of
from dryfit.assembly.bodies import bodies_of
from dryfit.assembly.parting import locked_in, orders, partings, two_handed
from tests.helpers.boxes import CASE, PAIR, RING, TRAY, box, build
from tests.helpers.locked import woven
from tests.helpers.voxels import Cubes

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from dryfit.assembly.blocking import Blocking
    from dryfit.assembly.bodies import Bodies
    from tests.helpers.voxels import Cell


@dataclass(frozen=True)
class Answer:
    """What is known of a piece.

    Free moves of single parts, orders of single parts, partitions with two hands, ways along which
    nothing leaves, and whether all of it comes apart.
    """

    moves: int
    orders: int
    partitions: int
    shut: int
    apart: bool


SIZES = (60.0, 50.0, 40.0)


def panels(walls: tuple[str, ...]) -> Bodies:
    return bodies_of(build(box(SIZES, walls)).parts, np.eye(3))


def job(text: str) -> Bodies:
    return bodies_of(workflow.read_text(text).parts, np.eye(3))


def block(low: Cell, high: Cell) -> set[Cell]:
    (x0, y0, z0), (x1, y1, z1) = low, high
    return {(x, y, z) for x in range(x0, x1) for y in range(y0, y1) for z in range(z0, z1)}


def captured_bottom() -> Bodies:
    """A ring and a bottom in its grooves; those of left and right run out, so it slides in them."""
    text = (
        'format = 1\n[piece]\nform = "chest"\noutside = [200, 150, 80]\nlid = "lip"\n'
        '[stock.ply]\nmaterial = "birch plywood"\nnominal = 12\nreadings = [12.0, 12.0]\n'
        '[cutter]\nkind = "hand"\n'
        '[joint."left+base"]\nends = "through"\n[joint."right+base"]\nends = "through"\n'
    )
    parts = workflow.read_text(text).parts
    return bodies_of([part for part in parts if part.name in TRAY], np.eye(3))


def dovetailed(leads: dict[str, str]) -> Cubes:
    """Four walls two cells thick round a square; at each corner one wall has the tails.

    Tails are wider outside than at their root, so the wall that has them leaves only along its own
    normal, away from the pins.
    """
    size, high = 12, 9
    where = {"left": (0, 0), "right": (0, 1), "front": (1, 0), "back": (1, 1)}
    walls = {
        name: {
            cell
            for cell in block((0, 0, 0), (size, size, high))
            if (cell[axis] >= size - 2 if at_high else cell[axis] < 2)
        }
        for name, (axis, at_high) in where.items()
    }
    for one, other in product(("left", "right"), ("front", "back")):
        corner = walls[one] & walls[other]
        tail = leads[f"{one}+{other}"]
        pins = other if tail == one else one
        axis, at_high = where[pins]
        # The tail's root lies at the inside of the wall with the pins, its wide end outside.
        own = set()
        for cell in corner:
            depth = size - 1 - cell[axis] if at_high else cell[axis]
            slope = 0 if depth == 0 else 1
            if any(start + slope <= cell[2] < start + 3 - slope for start in (1, 5)):
                own.add(cell)
        walls[tail] = (walls[tail] - corner) | own
        walls[pins] = (walls[pins] - corner) | (corner - own)
    return Cubes(list(walls.values()))


LEFT_RIGHT = {"left+front": "left", "left+back": "left",
              "right+front": "right", "right+back": "right"}  # fmt: skip
PINWHEEL = {"left+front": "left", "left+back": "back",
            "right+front": "front", "right+back": "right"}  # fmt: skip


def dumbbell() -> Cubes:
    """A bar with a head at either end, through a ring."""
    bar = block((3, 3, 0), (4, 4, 7)) | block((1, 1, 0), (6, 6, 1)) | block((1, 1, 6), (6, 6, 7))
    ring = block((0, 0, 3), (7, 7, 4)) - block((3, 3, 3), (4, 4, 4))
    return Cubes([bar, ring])


def strong(blocking: Blocking) -> int:
    """Ways along which no set leaves: their graph of hits is one ring."""
    everything = np.ones(blocking.count, dtype=bool)
    open_ = {parting.way for parting in partings(blocking, everything)}
    return len(blocking.ways) - len(open_)


KNOWN: Mapping[str, tuple[Callable[[], Bodies], Answer]] = {
    "two boards, a finger corner": (lambda: panels(PAIR), Answer(4, 2, 1, 2, True)),
    "a ring of four walls": (lambda: panels(RING), Answer(4, 24, 6, 2, True)),
    "a tray: ring and fingered bottom": (lambda: panels(TRAY), Answer(5, 120, 5, 0, True)),
    "a closed box of six": (lambda: panels(CASE), Answer(6, 720, 6, 0, True)),
    "a ring and a bottom in four grooves": (captured_bottom, Answer(4, 80, 10, 2, True)),
    "two and two dividers, halved": (lambda: job(woven("")), Answer(4, 24, 5, 4, True)),
    "a ring on a dumbbell": (lambda: dumbbell().bodies(), Answer(0, 0, 0, 6, False)),
    "a dovetailed ring, tails left and right": (
        lambda: dovetailed(LEFT_RIGHT).bodies(), Answer(2, 12, 4, 4, True),
    ),
    "a pinwheel of dovetails": (lambda: dovetailed(PINWHEEL).bodies(), Answer(0, 0, 2, 2, True)),
}  # fmt: skip
"""Each row of the table of known answers."""


@cache
def found(name: str) -> Answer:
    """What the program finds of a piece."""
    blocking = blocking_of(KNOWN[name][0]())
    everything = np.ones(blocking.count, dtype=bool)
    return Answer(
        int(blocking.free(everything).sum()),
        orders(blocking),
        two_handed(blocking),
        strong(blocking),
        locked_in(blocking, everything) is None,
    )
