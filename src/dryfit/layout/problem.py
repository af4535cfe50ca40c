"""A layout as a problem of boxes in bins, in whole steps.

Each part's box is grown by the spacing and each sheet by as much, less its margins; then two parts
keep their distance exactly if their grown boxes do not overlap. Combs that face each other gain
nothing by interlocking: a finger is as wide as the gap before it, and no spacing is left over.

A bin lies with its grain along x. One whose sheet has it along y is turned, and turned back when
its parts are placed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, floor
from typing import TYPE_CHECKING

from dryfit.layout.data import LaidSheet, Layout, placed_members
from dryfit.model.sheets import SheetGrain

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.data import Item, Placed
    from dryfit.model.sheets import Rectangle, Rules, Sheet

STEP = 0.01
"""The step in which layouts are reckoned; boxes are rounded up to it, sheets down. [mm]"""

_ROUND = 1e-6
"""What rounding in binary numbers may add to a size, in steps. [-]"""

Box = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Bin:
    """A sheet to fill, in steps, its grain along x.

    Parameters
    ----------
    sheet : Sheet
        What it stands for.
    number : int
        Which of that kind, from 1; 0 where there are as many as needed.
    length, width : int
        Its size, grown by the spacing and less its margins, in steps. [-]
    taken : tuple of Box
        What may not be used: defects, clamps, the cutter's way between two settings, locked parts.
    locked : tuple of Placed
        Parts that lie on it already.
    """

    sheet: Sheet
    number: int
    length: int
    width: int
    taken: tuple[Box, ...] = ()
    locked: tuple[Placed, ...] = ()

    @property
    def turned(self) -> bool:
        """Whether it is turned so that the grain of its sheet runs along x."""
        return _is_turned(self.sheet)


@dataclass(frozen=True, slots=True)
class Spot:
    """A box in a bin: which one, its lower left corner in steps, and whether it lies turned.

    `turn` counts its quarter turns where it was laid by its outline, for which a half turn counts.
    """

    box: int
    x: int
    y: int
    turned: bool
    turn: int | None = None


@dataclass(frozen=True, slots=True)
class Filled:
    """A bin and what is in it."""

    bin: Bin
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """Boxes to be laid in bins.

    Parameters
    ----------
    stock : str
        Name of the stock.
    items : tuple of Item
        What is laid.
    sizes : tuple
        Width and height of each as drawn, grown, in steps. [-]
    ways : tuple
        For each, whether it may lie as drawn and whether turned.
    bins : tuple of Bin
        Those in hand, in the order in which they are to be used; then those that can be bought.
    """

    stock: str
    items: tuple[Item, ...]
    sizes: tuple[tuple[int, int], ...]
    ways: tuple[tuple[bool, bool], ...]
    bins: tuple[Bin, ...]
    rules: Rules = field(repr=False)

    @property
    def in_hand(self) -> tuple[Bin, ...]:
        """Single bins: sheets in hand, and bought ones that hold locked parts."""
        return tuple(each for each in self.bins if each.number)

    @property
    def to_buy(self) -> tuple[Bin, ...]:
        """Kinds of bins of which there are as many as needed."""
        return tuple(each for each in self.bins if not each.number)

    def lying(self, box: int, *, turned: bool) -> tuple[int, int]:
        """Size of a box as it lies, in steps."""
        width, height = self.sizes[box]
        return (height, width) if turned else (width, height)

    def area(self, box: int) -> int:
        """Area of a box, in steps squared."""
        return self.sizes[box][0] * self.sizes[box][1]


def state(stock: str, items: Sequence[Item], sheets: Sequence[Sheet], rules: Rules) -> Problem:
    """The problem of laying items on sheets of one stock, locked parts in their places."""
    locks = {(lock.part, lock.piece, lock.job): lock for lock in rules.locks}
    free: list[Item] = []
    held: dict[tuple[str, int], list[Placed]] = {}
    for item in items:
        key = item.members[0].key
        lock = locks.get((key.part, key.piece, key.job)) if len(item.members) == 1 else None
        if lock is None:
            free.append(item)
        else:
            own = held.setdefault((lock.sheet, lock.number), [])
            own += placed_members(item, lock.x, lock.y, lock.turned)
    bins: list[Bin] = []
    for sheet in sorted(sheets, key=lambda each: each.to_buy):
        last = max((number for name, number in held if name == sheet.name), default=0)
        numbers = range(1, 1 + (last if sheet.count is None else sheet.count))
        bins += [_bin(sheet, n, rules, held.get((sheet.name, n), [])) for n in numbers]
    bins += [_bin(sheet, 0, rules, ()) for sheet in sheets if sheet.to_buy]
    sizes = tuple((_up(i.width + rules.spacing), _up(i.height + rules.spacing)) for i in free)
    ways = tuple(_ways(item, size, bins) for item, size in zip(free, sizes, strict=True))
    return Problem(stock, tuple(free), sizes, ways, tuple(bins), rules)


def _ways(item: Item, size: tuple[int, int], bins: Sequence[Bin]) -> tuple[bool, bool]:
    """Whether a box may lie as drawn and turned; a way that no bin has room for is none."""

    def may(width: int, height: int, *, odd: bool) -> bool:
        return any(turn % 2 == odd for turn in item.turns) and any(
            width <= each.length and height <= each.width for each in bins
        )

    width, height = size
    return may(width, height, odd=False), may(height, width, odd=True)


def _bin(sheet: Sheet, number: int, rules: Rules, locked: Sequence[Placed]) -> Bin:
    margin, spacing = rules.margin, rules.spacing
    size = (sheet.width, sheet.length) if _is_turned(sheet) else (sheet.length, sheet.width)
    length, width = (max(_down(side - 2 * margin + spacing), 0) for side in size)
    kept = [_kept(_in_bin(sheet, each), rules) for each in (*sheet.defects, *rules.clamps)]
    kept += [_grown(_in_bin(sheet, placed.box), rules) for placed in locked]
    kept += [_kept(_in_bin(sheet, line), rules, line=True) for line in _settings(sheet, rules)]
    inside = [_clipped(box, length, width) for box in kept]
    taken = tuple(box for box in inside if box[0] < box[2] and box[1] < box[3])
    return Bin(sheet, number, length, width, taken, tuple(locked))


def _settings(sheet: Sheet, rules: Rules) -> Sequence[Rectangle]:
    """The lines between two settings of a sheet that is larger than the cutter's travel. [mm]"""
    if rules.travel is None:
        return ()
    reach_x, reach_y = rules.travel
    upright = [
        (n * reach_x, 0.0, n * reach_x, sheet.width)
        for n in range(1, ceil(sheet.length / reach_x - _ROUND))
    ]
    level = [
        (0.0, n * reach_y, sheet.length, n * reach_y)
        for n in range(1, ceil(sheet.width / reach_y - _ROUND))
    ]
    return (*upright, *level)


def _is_turned(sheet: Sheet) -> bool:
    return sheet.grain is SheetGrain.ACROSS


def _in_bin(sheet: Sheet, box: Rectangle) -> Rectangle:
    """A rectangle of a sheet as it lies in the bin. [mm]"""
    x0, y0, x1, y1 = box
    if not _is_turned(sheet):
        return box
    return y0, sheet.length - x1, y1, sheet.length - x0


def _kept(box: Rectangle, rules: Rules, *, line: bool = False) -> Box:
    """Where no grown box may lie so that parts keep the margin from a place, in steps.

    From a line between two settings they keep half the spacing, which holds the cutter's radius.
    """
    away = rules.spacing / 2 if line else rules.margin
    low = [_down(at - away - rules.margin + rules.spacing) for at in box[:2]]
    high = [_up(at + away - rules.margin) for at in box[2:]]
    # Where the spacing is wider than the place and its margins, its far edge stands for it.
    return min(low[0], high[0] - 1), min(low[1], high[1] - 1), high[0], high[1]


def _grown(box: Rectangle, rules: Rules) -> Box:
    """The grown box of a part that is locked, in steps."""
    low = [_down(at - rules.margin) for at in box[:2]]
    high = [_up(at - rules.margin + rules.spacing) for at in box[2:]]
    return low[0], low[1], high[0], high[1]


def _clipped(box: Box, length: int, width: int) -> Box:
    return max(box[0], 0), max(box[1], 0), min(box[2], length), min(box[3], width)


def _up(mm: float) -> int:
    return ceil(mm / STEP - _ROUND)


def _down(mm: float) -> int:
    return floor(mm / STEP + _ROUND)


def in_use(problem: Problem, filled: Sequence[Filled]) -> tuple[Filled, ...]:
    """The bins that hold anything: those with nothing but locked parts first, empty ones not."""
    used = {(each.bin.sheet.name, each.bin.number) for each in filled if each.spots}
    bare = (
        Filled(each, ())
        for each in problem.in_hand
        if each.locked and (each.sheet.name, each.number) not in used
    )
    return (*bare, *(each for each in filled if each.spots))


def laid(problem: Problem, filled: Sequence[Filled], engine: str) -> Layout:
    """The layout that filled bins stand for, its sheets in the order of :func:`in_use`.

    Parameters
    ----------
    problem : Problem
        What was to be laid.
    filled : sequence of Filled
        Bins and what is in them.
    engine : str
        What found it.
    """
    counts: dict[str, int] = {}
    for single in problem.in_hand:
        counts[single.sheet.name] = max(counts.get(single.sheet.name, 0), single.number)
    sheets = []
    for each in in_use(problem, filled):
        placed = [part for spot in each.spots for part in _placed(problem, each.bin, spot)]
        number = each.bin.number
        if number == 0:
            number = counts[each.bin.sheet.name] = counts.get(each.bin.sheet.name, 0) + 1
        sheets.append(LaidSheet(each.bin.sheet, number, (*each.bin.locked, *placed)))
    done = {spot.box for each in filled for spot in each.spots}
    left = tuple(item for box, item in enumerate(problem.items) if box not in done)
    return Layout(problem.stock, tuple(sheets), left, engine)


def _placed(problem: Problem, where: Bin, spot: Spot) -> Sequence[Placed]:
    """The parts of a box in their places on the sheet."""
    item, margin = problem.items[spot.box], problem.rules.margin
    turned = next(turn for turn in item.turns if turn % 2 == spot.turned)
    turned = turned if spot.turn is None else spot.turn
    x, y = margin + spot.x * STEP, margin + spot.y * STEP
    if where.turned:
        x, y = where.sheet.length - y - item.size(turned)[1], x
        turned += 1
    return placed_members(item, x, y, turned % 4)
