"""What a machine forbids, whatever is cut: where it may go, how deep, how fast and how."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.cutting.moves import Trouble
from dryfit.shapes import arc

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.cutting.moves import Moves, Program
    from dryfit.model.machine import Machine

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

_SPARE = 1e-3
"""What the rounding of words may add to a height or a place. [mm]"""

_STRAIGHT = 0.6
"""A way down by more of this, straight into the wood, is a plunge. [mm]"""


def broken(
    program: Program, machine: Machine, top: float, radius: float, *, flat: bool = False
) -> Iterator[Trouble]:
    """Every rule that a program breaks, the first line of each.

    Parameters
    ----------
    program : Program
        Heights above the bed.
    machine : Machine
        Its clearance, travel, spoil board, clamps and limits.
    top : float
        Height of the sheet. [mm]
    radius : float
        Of the cutter. [mm]
    flat : bool
        Whether it is a laser, which has no heights.
    """
    yield from program.troubles
    moves = program.moves
    yield from _travel(moves, machine)
    yield from _clamps(moves, machine, top, radius)
    yield from _speeds(program, machine)
    if flat:
        return
    yield from _rapids(moves, top + machine.clearance)
    yield from _depth(moves, machine)
    if not machine.plunges:
        yield from _plunges(moves, top)


def _first(
    moves: Moves, wrong: BoolArray, size: FloatArray, kind: str, words: str, limit: float
) -> Iterator[Trouble]:
    """The worst of the moves that are wrong, told with its line."""
    which = np.flatnonzero(wrong)
    if not len(which):
        return
    worst = which[np.argmax(np.abs(size[which] - limit))]
    numbers = {"found_mm": float(size[worst]), "limit_mm": limit, "moves": float(len(which))}
    said = words.format(found=f"{size[worst]:.2f} mm", limit=f"{limit:.2f} mm")
    yield Trouble(kind, int(moves.line[worst]), said, numbers)


def _rapids(moves: Moves, plane: float) -> Iterator[Trouble]:
    across = np.abs(moves.path[:, :2] - moves.path[:, 3:5]).max(axis=1, initial=0.0) > 0
    down = moves.path[:, 5] < moves.path[:, 2]
    low = moves.rapid & (moves.low < plane - _SPARE) & (across | down)
    words = "a rapid goes to {found} above the bed, lower than the clearance plane at {limit}"
    yield from _first(moves, low, moves.low, "rapid-low", words, plane)


def _travel(moves: Moves, machine: Machine) -> Iterator[Trouble]:
    if not len(moves):
        return
    box = _boxes(moves)
    for axis, letter in enumerate("XY"):
        low, high = box[:, axis], box[:, axis + 2]
        span = machine.travel[axis]
        # The sheet's corner is zero; what is left of it is there as long as the sum fits.
        short = np.full(len(moves), float(high.max() - min(low.min(), 0.0)))
        words = f"the program needs {{found}} along {letter}, and the machine reaches {{limit}}"
        beyond = short > span + _SPARE
        yield from _first(moves, beyond & (high >= high.max()), short, "beyond-travel", words, span)
    rise = np.full(len(moves), float(moves.high.max() - moves.low.min()))
    words = "the program needs {found} along Z, and the machine reaches {limit}"
    tall = (rise > machine.travel[2] + _SPARE) & (moves.high >= moves.high.max())
    yield from _first(moves, tall, rise, "beyond-travel", words, machine.travel[2])


def _boxes(moves: Moves) -> FloatArray:
    """Low x, low y, high x, high y of each move, arcs included. [mm]"""
    flat = moves.flat
    box = np.column_stack(
        (
            np.minimum(flat[:, 0], flat[:, 2]), np.minimum(flat[:, 1], flat[:, 3]),
            np.maximum(flat[:, 0], flat[:, 2]), np.maximum(flat[:, 1], flat[:, 3]),
        )
    )  # fmt: skip
    bent = flat[:, 4] != 0
    if bent.any():
        box[bent] = arc.extremes(flat[bent])
    return box


def _depth(moves: Moves, machine: Machine) -> Iterator[Trouble]:
    depth = -moves.low
    words = "the cutter goes {found} into the spoil board, which may be cut {limit} deep"
    deep = depth > machine.spoil + _SPARE
    yield from _first(moves, deep, depth, "too-deep", words, machine.spoil)


def _clamps(moves: Moves, machine: Machine, top: float, radius: float) -> Iterator[Trouble]:
    if not machine.clamps:
        return
    box = _boxes(moves)
    low = moves.low < top + machine.clearance - _SPARE
    for x0, y0, x1, y1 in machine.clamps:
        gap_x = np.maximum(np.maximum(x0 - box[:, 2], box[:, 0] - x1), 0.0)
        gap_y = np.maximum(np.maximum(y0 - box[:, 3], box[:, 1] - y1), 0.0)
        near = np.hypot(gap_x, gap_y)
        words = "the cutter's middle comes within {found} of a clamp; {limit} is its radius"
        yield from _first(moves, low & (near < radius), near, "into-clamp", words, radius)


def _speeds(program: Program, machine: Machine) -> Iterator[Trouble]:
    moves = program.moves
    fast = ~moves.rapid & (moves.feed > machine.feed_most * (1 + 1e-3))
    if fast.any():
        worst = int(np.argmax(np.where(fast, moves.feed, 0.0)))
        feed = float(moves.feed[worst])
        words = f"a feed of {feed:.0f} mm/min, and the machine cuts at {machine.feed_most:.0f}"
        numbers = {"feed_mm_min": feed, "most_mm_min": machine.feed_most}
        yield Trouble("feed-high", int(moves.line[worst]), words, numbers)
    if program.rpm > machine.rpm_most * (1 + 1e-9):
        words = f"a spindle at {program.rpm:.0f} rpm, and it turns {machine.rpm_most:.0f} at most"
        numbers = {"rpm": program.rpm, "most_rpm": machine.rpm_most}
        yield Trouble("feed-high", 0, words, numbers)


def _plunges(moves: Moves, top: float) -> Iterator[Trouble]:
    """Straight down into wood: by a step into what no move before has opened there."""
    path = moves.path
    upright = np.abs(path[:, :2] - path[:, 3:5]).max(axis=1, initial=0.0) < 1e-6
    down = upright & (path[:, 5] < path[:, 2])
    begin = np.minimum(path[:, 2], top)
    step = begin - path[:, 5]
    suspects = np.flatnonzero(down & (step > _STRAIGHT))
    for k in suspects.tolist():
        before = path[:k]
        gone = np.hypot(before[:, 3] - path[k, 3], before[:, 4] - path[k, 4]) < 1e-3
        open_to = float(before[gone, 5].min(initial=top))
        depth = min(begin[k], open_to) - float(path[k, 5])
        if depth > _STRAIGHT:
            words = f"the cutter goes straight down {depth:.2f} mm into the wood"
            numbers = {"found_mm": depth, "limit_mm": _STRAIGHT}
            yield Trouble("plunges", int(moves.line[k]), words, numbers)
            return
