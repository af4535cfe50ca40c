"""How long a program takes: feeds, acceleration, and slowing at corners.

Every move speeds up, runs and slows down at the machine's acceleration: a trapezoid over time. At a
corner it keeps the speed at which a circle that touches both directions and strays from the corner
by what the machine file allows can be run at that acceleration, v = √(a δ s / (1 - s)) with s the
sine of half the angle between the two; an arc is run at √(a r) at most.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc

if TYPE_CHECKING:
    from dryfit.cutting.moves import Moves, Program
    from dryfit.model.machine import Machine

FloatArray = npt.NDArray[np.float64]


def seconds(program: Program, machine: Machine) -> float:
    """Time that a program takes, spin-up and dwells included. [s]

    Parameters
    ----------
    program : Program
        As it was understood.
    machine : Machine
        How fast it travels and speeds up.
    """
    moves = program.moves
    lengths = moves.lengths
    going = lengths > 1e-9
    if not going.any():
        return program.dwell
    lengths = lengths[going]
    feed = np.where(moves.rapid, machine.rapid, np.maximum(moves.feed, 1e-3))[going] / 60
    flat = moves.flat[going]
    bent = flat[:, 4] != 0
    if bent.any():
        feed[bent] = np.minimum(feed[bent], np.sqrt(machine.acceleration * arc.radius(flat[bent])))
    entry = _corner_speeds(moves, going, machine, feed)
    entry = _within_reach(entry, lengths, machine.acceleration)
    return program.dwell + float(_times(entry, lengths, feed, machine.acceleration).sum())


def _corner_speeds(
    moves: Moves, going: npt.NDArray[np.bool_], machine: Machine, feed: FloatArray
) -> FloatArray:
    """The speed at the begin of every move and at the end of the last. [mm/s]"""
    begin, end = _headings(moves, going)
    cos = np.clip(np.einsum("ij,ij->i", end[:-1], begin[1:]), -1.0, 1.0)
    # Half the angle between the two legs of a corner, which lie at π less the turn.
    sine = np.sqrt((1 + cos) / 2)
    keep = np.sqrt(machine.acceleration * machine.corner * sine / np.maximum(1 - sine, 1e-9))
    inner = np.minimum(keep, np.minimum(feed[:-1], feed[1:]))
    return np.concatenate(([0.0], inner, [0.0]))


def _headings(moves: Moves, going: npt.NDArray[np.bool_]) -> tuple[FloatArray, FloatArray]:
    """Unit directions in space at the begin and at the end of each move."""
    path, flat = moves.path[going], moves.flat[going]
    chord = flat[:, 2:4] - flat[:, :2]
    half = arc.included_angle(flat) / 2
    run = arc.length(flat)
    rise = path[:, 5] - path[:, 2]
    whole = np.maximum(np.hypot(run, rise), 1e-12)
    flat_size = np.maximum(np.hypot(*chord.T), 1e-12)
    found = []
    for turn in (-half, half):
        cos, sin = np.cos(turn), np.sin(turn)
        x = (chord[:, 0] * cos - chord[:, 1] * sin) / flat_size * run / whole
        y = (chord[:, 0] * sin + chord[:, 1] * cos) / flat_size * run / whole
        found.append(np.column_stack((x, y, rise / whole)))
    return found[0], found[1]


def _within_reach(entry: FloatArray, lengths: FloatArray, acceleration: float) -> FloatArray:
    """Speeds that the acceleration allows from one corner to the next. [mm/s]"""
    speeds, room = entry.tolist(), (2 * acceleration * lengths).tolist()
    for k in range(len(room) - 1, -1, -1):
        speeds[k] = min(speeds[k], (speeds[k + 1] ** 2 + room[k]) ** 0.5)
    for k, span in enumerate(room):
        speeds[k + 1] = min(speeds[k + 1], (speeds[k] ** 2 + span) ** 0.5)
    return np.array(speeds)


def _times(
    entry: FloatArray, lengths: FloatArray, feed: FloatArray, acceleration: float
) -> FloatArray:
    """Time of each move: up, along and down again. [s]"""
    first, last = entry[:-1], entry[1:]
    peak = np.sqrt(acceleration * lengths + (first**2 + last**2) / 2)
    top = np.maximum(np.minimum(peak, feed), np.maximum(first, last))
    ramps = (2 * top**2 - first**2 - last**2) / (2 * acceleration)
    level = np.maximum(lengths - ramps, 0.0)
    return np.asarray((2 * top - first - last) / acceleration + level / np.maximum(top, 1e-9))
