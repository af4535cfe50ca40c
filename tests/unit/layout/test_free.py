from __future__ import annotations

import random

import numpy as np
import pytest

from dryfit.layout.free import FreeSpace, Slices, area_of


def grid(taken: list[tuple[int, int, int, int]], size: int) -> np.ndarray:
    cells = np.zeros((size, size), dtype=bool)
    for x0, y0, x1, y1 in taken:
        cells[x0:x1, y0:y1] = True
    return cells


def largest_by_counting(cells: np.ndarray) -> int:
    size, best = len(cells), 0
    for x0 in range(size):
        for x1 in range(x0 + 1, size + 1):
            free, run = ~cells[x0:x1].any(axis=0), 0
            for cell in free.tolist():
                run = run + 1 if cell else 0
                best = max(best, run * (x1 - x0))
    return best


@pytest.mark.parametrize("seed", range(30))
def test_the_largest_empty_rectangle_agrees_with_counting_cells(seed: int) -> None:
    rng, size = random.Random(seed), 14  # noqa: S311
    taken = []
    for _ in range(rng.randint(0, 9)):
        x, y = rng.randrange(size - 1), rng.randrange(size - 1)
        taken.append((x, y, min(x + rng.randint(1, 5), size), min(y + rng.randint(1, 5), size)))
    space, cells = FreeSpace(size, size, taken), grid(taken, size)
    assert area_of(space.largest) == largest_by_counting(cells)
    for x0, y0, x1, y1 in space.free.tolist():
        assert not cells[x0:x1, y0:y1].any()


@pytest.mark.parametrize("seed", range(30))
def test_slices_share_the_empty_area_without_overlap(seed: int) -> None:
    rng, size = random.Random(seed), 20  # noqa: S311
    taken = [(k * 5, y, k * 5 + 4, y + 3) for k, y in enumerate(rng.sample(range(16), 4))]
    space, cells = Slices(size, size, taken), grid(taken, size)
    for x0, y0, x1, y1 in space.free.tolist():
        assert not cells[x0:x1, y0:y1].any()
        cells[x0:x1, y0:y1] = True
    assert cells.all()


def test_a_line_between_two_settings_parts_the_space() -> None:
    space = FreeSpace(10, 6, [(4, 0, 5, 6)])
    assert sorted(space.free.tolist()) == [[0, 0, 4, 6], [5, 0, 10, 6]]
    assert area_of(FreeSpace(3, 3, [(0, 0, 3, 3)]).largest) == 0
