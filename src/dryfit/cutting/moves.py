"""What a machine does, as rows of numbers: where each move begins and ends, and how.

Vocabulary
----------
move
    A straight line, an arc or a helix of the cutter's tip, from one point to another.
rapid
    A move through the air, as fast as the machine goes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc

if TYPE_CHECKING:
    from collections.abc import Mapping

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

FLAT = [0, 1, 3, 4, 6]
"""Columns of a row of moves that make a flat edge of it."""


@dataclass(frozen=True, eq=False)
class Moves:
    """Moves in order.

    Parameters
    ----------
    path : array, shape (k, 7)
        x, y, z of the begin, x, y, z of the end, and the bulge in plan. [mm, -]
    rapid : array, shape (k,)
        Whether it is a rapid.
    feed : array, shape (k,)
        How fast it is; 0 for rapids. [mm/min]
    line : array, shape (k,)
        The line of the program it stands on, from 1.
    """

    path: FloatArray
    rapid: BoolArray
    feed: FloatArray
    line: IntArray

    def __len__(self) -> int:
        return len(self.path)

    @property
    def flat(self) -> FloatArray:
        """The moves in plan, as edges x0, y0, x1, y1, bulge; shape (k, 5). [mm]"""
        return self.path[:, FLAT]

    @property
    def lengths(self) -> FloatArray:
        """Length of each move. [mm]"""
        rise = self.path[:, 5] - self.path[:, 2]
        return np.hypot(arc.length(self.flat), rise)

    @property
    def low(self) -> FloatArray:
        """The lower end of each move. [mm]"""
        return np.minimum(self.path[:, 2], self.path[:, 5])

    @property
    def high(self) -> FloatArray:
        """The higher end of each move. [mm]"""
        return np.maximum(self.path[:, 2], self.path[:, 5])

    def lifted(self, height: float) -> Moves:
        """The same moves, all of them higher by a `height` [mm]."""
        shift = np.array([0.0, 0.0, height, 0.0, 0.0, height, 0.0])
        return Moves(self.path + shift, self.rapid, self.feed, self.line)


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something in a program that forbids running it, or has to be looked at.

    Parameters
    ----------
    kind : str
        What it is, a code of the catalogue of findings.
    line : int
        The line of the program, 0 where no single line is to blame.
    words : str
        What was found, as part of a sentence.
    numbers : mapping
        Figures of the words, under names that carry their unit.
    place : str
        The part it happens to; empty where none.
    """

    kind: str
    line: int
    words: str
    numbers: Mapping[str, float]
    place: str = ""


@dataclass(frozen=True, eq=False)
class Program:
    """What an interpreter understood of a program.

    Parameters
    ----------
    moves : Moves
        Every move.
    troubles : tuple of Trouble
        What no controller should run.
    unit : str
        ``mm`` or ``in``, as the program has it at its end.
    rpm : float
        The highest speed of the spindle. [1/min]
    dwell : float
        How long it stands still in all. [s]
    """

    moves: Moves
    troubles: tuple[Trouble, ...]
    unit: str
    rpm: float
    dwell: float
