"""Cost and time of a layout, and the quote for several numbers of pieces.

Sheets that are bought count whole; what is in hand costs nothing. The machine cuts the outline and
the holes of every part with the passes and the feed that the maker states; a trench is as long as
its area by the cutter's width. Rates are the maker's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dryfit.layout.plan import Plan, StockPlan
    from dryfit.model.cutter import Cutter
    from dryfit.model.sheets import Rates
    from dryfit.parts.part import Part

COUNTS = (1, 2, 5, 10, 20)
"""Numbers of pieces that a quote is made for. [-]"""

_MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True)
class Cost:
    """What some pieces take and cost; money in the maker's own.

    Parameters
    ----------
    pieces : int
        How many pieces.
    bought : int
        Sheets to buy.
    used : float
        Full sheets and the used share of the emptiest, those in hand among them. [-]
    sheets : float
        Price of the sheets to buy. [-]
    cut : float
        Way of the cutter, all passes counted. [m]
    wear : float
        Wear of the cutter. [-]
    machine_minutes, bench_minutes : float
        Time. [-]
    machine, bench : float
        What it costs. [-]
    whole : bool
        Whether everything found room.
    """

    pieces: int
    bought: int
    used: float
    sheets: float
    cut: float
    wear: float
    machine_minutes: float
    machine: float
    bench_minutes: float
    bench: float
    whole: bool

    @property
    def total(self) -> float:
        """Everything together. [-]"""
        return self.sheets + self.wear + self.machine + self.bench

    @property
    def each(self) -> float:
        """One piece. [-]"""
        return self.total / self.pieces


def cut_length(parts: Iterable[Part], cutter: Cutter) -> float:
    """Way of the cutter for parts, one pass: outlines, holes and trenches. [mm]"""
    length = 0.0
    for part in parts:
        for cut in part.cuts:
            if cut.purpose is Purpose.TRENCH:
                length += cut.profile.area / cutter.size if cutter.size else 0.0
            else:
                length += cut.profile.length
    return length


def used_sheets(plan: StockPlan) -> float:
    """Full sheets, and the used share of the one with the largest piece left over. [-]"""
    shares = [
        length * width / laid.sheet.area
        for laid, (length, width) in zip(plan.layout.sheets, plan.leftovers, strict=True)
    ]
    return len(shares) - max(shares, default=0.0)


def cost_of(plan: Plan, pieces: int, parts_cut: float, rates: Rates) -> Cost:
    """Cost and time of a plan.

    Parameters
    ----------
    plan : Plan
        The layout.
    pieces : int
        How many pieces it holds.
    parts_cut : float
        Way of the cutter for all of them, one pass. [mm]
    rates : Rates
        What the maker states.
    """
    cut = parts_cut * rates.passes
    sheets = sum(len(each.layout.sheets) for each in plan.stocks)
    machine = (cut / rates.feed if rates.feed else 0.0) + rates.sheet_minutes * sheets
    bench = rates.bench_minutes * pieces
    worn = cut / _MM_PER_M / rates.cutter_life if rates.cutter_life else 0.0
    return Cost(
        pieces=pieces,
        bought=sum(each.layout.bought for each in plan.stocks),
        used=sum(used_sheets(each) for each in plan.stocks),
        sheets=sum(each.layout.cost for each in plan.stocks),
        cut=cut / _MM_PER_M,
        wear=worn * rates.cutter,
        machine_minutes=machine,
        machine=machine / 60 * rates.machine,
        bench_minutes=bench,
        bench=bench / 60 * rates.bench,
        whole=not plan.bare and not any(p.too_large or p.layout.unplaced for p in plan.stocks),
    )
