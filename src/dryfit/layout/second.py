"""The door to the packing library that stands in where the better one does not exist.

It lays upright rectangles and knows neither defects nor locked parts nor straight cuts, so it is
asked only where there are none; the greedy engine does the rest.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.layout.problem import Filled, Spot
from dryfit.layout.score import score_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.layout.problem import Problem

_LARGEST = 250
"""The most boxes it is asked to lay, since its time grows with their square. [-]"""


def second(problem: Problem) -> tuple[Filled, ...]:
    """The best of its algorithms and orders; nothing where the job is not one for it."""
    asks = problem.rules.guillotine or any(each.taken for each in problem.bins)
    mixed = len({turned for _, turned in problem.ways}) > 1 or not all(p for p, _ in problem.ways)
    if asks or mixed or problem.in_hand or len(problem.to_buy) != 1:
        return ()
    if not 0 < len(problem.items) <= _LARGEST:
        return ()
    return min(_tries(problem), key=lambda found: score_of(problem, found))


def _tries(problem: Problem) -> Iterator[tuple[Filled, ...]]:
    """One layout for each algorithm and order."""
    import rectpack

    (kind,) = problem.to_buy
    algorithms = (
        rectpack.MaxRectsBssf, rectpack.MaxRectsBaf, rectpack.MaxRectsBlsf, rectpack.MaxRectsBl,
        rectpack.SkylineBlWm, rectpack.SkylineMwflWm,
    )  # fmt: skip
    orders = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI)
    turning = problem.ways[0][1]
    for algorithm in algorithms:
        for order in orders:
            packer = rectpack.newPacker(
                rectpack.PackingMode.Offline, rectpack.PackingBin.BBF, algorithm, order, turning
            )
            for box, size in enumerate(problem.sizes):
                packer.add_rect(*size, rid=box)
            packer.add_bin(kind.length, kind.width, count=float("inf"))
            packer.pack()
            yield tuple(
                Filled(kind, tuple(_spot(problem, rect) for rect in bin_)) for bin_ in packer
            )


def _spot(problem: Problem, rect: object) -> Spot:
    box, x, y, width = (getattr(rect, name) for name in ("rid", "x", "y", "width"))
    return Spot(box, int(x), int(y), width != problem.sizes[box][0])
