"""Small assemblies of unit cubes, and what takes them apart, tried one move and one set at a time.

Nothing here is shared with the program: a part is a set of whole cells, a move is replayed cell by
cell, and every set of parts is tried.
"""

from __future__ import annotations

from functools import cache, cached_property
from itertools import product
from random import Random
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from dryfit.assembly.bodies import Bodies

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Cell: TypeAlias = tuple[int, int, int]

WAYS: tuple[Cell, ...] = (
    (1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1),
)  # fmt: skip


class Cubes:
    """Parts as sets of cells; sets of parts are bits of a whole number."""

    def __init__(self, parts: Sequence[Iterable[Cell]]) -> None:
        self.parts = [frozenset(part) for part in parts]
        cells = [cell for part in self.parts for cell in part]
        self.far = 1 + max(max(c[k] for c in cells) - min(c[k] for c in cells) for k in range(3))
        self.whole = (1 << len(self.parts)) - 1

    def clear(self, leave: int, stay: int, way: Cell) -> bool:
        """Whether one set of parts moves away from another, one cell after the other."""
        standing = {cell for k, part in enumerate(self.parts) if stay >> k & 1 for cell in part}
        moving = [cell for k, part in enumerate(self.parts) if leave >> k & 1 for cell in part]
        return not any(
            (x + t * way[0], y + t * way[1], z + t * way[2]) in standing
            for t in range(1, self.far + 1)
            for x, y, z in moving
        )

    @cached_property
    def _in_the_way(self) -> dict[tuple[int, int, Cell], bool]:
        count = len(self.parts)
        return {
            (i, j, way): not self.clear(1 << i, 1 << j, way)
            for i, j, way in product(range(count), range(count), WAYS)
            if i != j
        }

    def leaves(self, leave: int, stay: int, way: Cell) -> bool:
        """The same by pairs of parts: as a set moves as one, it is hit where any of it is."""
        one = [k for k in range(len(self.parts)) if leave >> k & 1]
        other = [k for k in range(len(self.parts)) if stay >> k & 1]
        return not any(self._in_the_way[i, j, way] for i in one for j in other)

    def partings(self, members: int) -> list[int]:
        """Every set that leaves the rest of some parts along any way."""
        found = []
        leave = (members - 1) & members
        while leave:
            if any(self.leaves(leave, members & ~leave, way) for way in WAYS):
                found.append(leave)
            leave = (leave - 1) & members
        return found

    def comes_apart(self, members: int, known: dict[int, bool] | None = None) -> bool:
        """Whether some parts come apart, with two hands, down to the last one; all is tried."""
        known = {} if known is None else known
        if members & (members - 1) == 0:
            return True
        if members not in known:
            known[members] = any(
                self.comes_apart(leave, known) and self.comes_apart(members & ~leave, known)
                for leave in self.partings(members)
            )
        return known[members]

    def orders(self, members: int) -> int:
        """In how many orders single parts leave until one is left that the others come to."""
        if members & (members - 1) == 0:
            return 1
        return sum(
            self.orders(members & ~(1 << part))
            for part in range(len(self.parts))
            if members >> part & 1
            and any(self.leaves(1 << part, members & ~(1 << part), way) for way in WAYS)
        )

    def bodies(self) -> Bodies:
        """The same parts for the program, every cell a box."""
        owner = np.repeat(np.arange(len(self.parts)), [len(part) for part in self.parts])
        low = np.array([cell for part in self.parts for cell in sorted(part)], dtype=float)
        return Bodies(np.eye(3), owner, low, low + 1.0, len(self.parts))


def all_cells(side: int) -> list[Cell]:
    """Every cell of a cube."""
    return [(x, y, z) for x in range(side) for y in range(side) for z in range(side)]


def grown(random: Random, count: int, side: int) -> Cubes:
    """Parts that grew into one another in a cube of some side, until nothing is left of it."""
    cells = set(all_cells(side))
    parts: list[set[Cell]] = [{cell} for cell in random.sample(sorted(cells), count)]
    free = cells - set().union(*parts)
    while free:
        part = random.choice(parts)
        edge = sorted(
            near for x, y, z in part for dx, dy, dz in WAYS
            if (near := (x + dx, y + dy, z + dz)) in free
        )  # fmt: skip
        if edge:
            run = random.choice(edge)
            part.add(run)
            free.discard(run)
    return Cubes(parts)


def fingered(random: Random, count: int, side: int) -> Cubes:
    """Slabs across a cube of some side that reach into one another with bars and pegs."""
    parts: list[set[Cell]] = [set() for _ in range(count)]
    owner = {cell: cell[0] * count // side for cell in all_cells(side)}
    for _ in range(3 * count):
        axis = random.randrange(3)
        start = [random.randrange(side) for _ in range(3)]
        part = random.randrange(count)
        for step in range(random.randint(1, side)):
            place = list(start)
            place[axis] = (start[axis] + step) % side
            owner[place[0], place[1], place[2]] = part
    for cell, part in owner.items():
        parts[part].add(cell)
    return Cubes([part for part in parts if part])


@cache
def assemblies(many: int = 500) -> tuple[Cubes, ...]:
    """Small assemblies of 2 to 7 parts, some of which come apart and some of which do not."""
    found = []
    for seed in range(many):
        random = Random(seed)  # noqa: S311
        count = random.randint(2, 7)
        make = fingered if seed % 3 else grown
        cubes = make(random, count, random.choice((3, 4, 5)))
        if len(cubes.parts) > 1:
            found.append(cubes)
    return tuple(found)
