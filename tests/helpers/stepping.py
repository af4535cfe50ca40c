"""A jig that is stepped as its card says, cut by cut, knowing nothing of sockets or pitches.

The jig's zero is the face of the pin. A board bears on it with its datum edge, and from then on
with the far flank of its last socket; the blade takes what stands over it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

NEAR = 1e-7
"""Cuts nearer than this run into one another. [mm]"""


@dataclass
class Stepped:
    """One board and what has been cut of it, from its datum edge. [mm]"""

    cuts: list[tuple[float, float]] = field(default_factory=list)

    def cut(self, edge: float, reach: float, blade: float) -> None:
        """Cut with the datum edge so far right of the pin's face. [mm]"""
        self.cuts.append((reach - edge, reach - edge + blade))

    @property
    def sockets(self) -> list[tuple[float, float]]:
        """What is gone, runs of cuts as one."""
        found: list[tuple[float, float]] = []
        for low, high in sorted(self.cuts):
            if found and low <= found[-1][1] + NEAR:
                found[-1] = found[-1][0], max(found[-1][1], high)
            else:
                found.append((low, high))
        return found


def step_through(
    reaches: Sequence[float], blade: float, edge: float, sockets: int
) -> list[tuple[float, float]]:
    """The sockets of a board whose datum edge first stands `edge` right of the pin's face. [mm]

    Each series is cut with another reach from pin to blade; the far flanks come with the first.
    """
    board = Stepped()
    for reach in reaches:
        place = edge
        for number in range(sockets):
            board.cut(place, reach, blade)
            # The far flank of this socket bears on the pin next.
            place = -sorted(board.sockets)[number][1]
    return board.sockets
