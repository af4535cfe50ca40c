"""The layout of whole jobs: every stock on its own, several jobs and pieces together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from dryfit.layout.bound import Bound, bound_of
from dryfit.layout.items import items_of
from dryfit.layout.locked import clashes_of
from dryfit.layout.problem import STEP, Problem, in_use, laid, state
from dryfit.layout.score import largest_left
from dryfit.layout.search import USUAL, Effort, Outcome, never, search
from dryfit.model.sheets import SheetGrain

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from dryfit.layout.data import Item, Layout
    from dryfit.layout.items import Order
    from dryfit.layout.problem import Filled
    from dryfit.model.sheets import Rules, Sheet, Supply


@dataclass(frozen=True)
class StockPlan:
    """The parts of one stock on its sheets.

    Parameters
    ----------
    problem : Problem
        What was to be laid.
    outcome : Outcome
        What the search found.
    too_large : tuple of Item
        Parts that no sheet of the stock can hold, empty though it were.
    """

    problem: Problem
    outcome: Outcome
    too_large: tuple[Item, ...] = ()

    @property
    def stock(self) -> str:
        """Name of the stock."""
        return self.problem.stock

    @cached_property
    def layout(self) -> Layout:
        """What lies where."""
        return laid(self.problem, self.outcome.filled, self.outcome.engine)

    @cached_property
    def bound(self) -> Bound:
        """What no layout can beat."""
        return bound_of(self.problem)

    @cached_property
    def clashes(self) -> tuple[str, ...]:
        """Names of locked parts that leave their sheet or meet something."""
        return clashes_of(self.problem)

    @property
    def is_least(self) -> bool:
        """Whether no layout can buy fewer sheets."""
        return self.layout.bought <= self.bound.bought

    @cached_property
    def leftovers(self) -> tuple[tuple[float, float], ...]:
        """Length and width [mm] of the largest piece left over on each sheet of the layout."""
        found = []
        for filled in in_use(self.problem, self.outcome.filled):
            x0, y0, x1, y1 = largest_left(self.problem, filled)
            along, across = _left(x1 - x0, self.problem), _left(y1 - y0, self.problem)
            found.append((across, along) if filled.bin.turned else (along, across))
        return tuple(found)


def _left(steps: int, problem: Problem) -> float:
    """A side of what is left over: the cut that frees it takes the spacing of a grown box. [mm]"""
    return max(steps * STEP - problem.rules.spacing, 0.0)


@dataclass(frozen=True)
class Plan:
    """Every stock of the jobs, and the stocks that have no sheet at all."""

    stocks: tuple[StockPlan, ...]
    bare: tuple[str, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether the search was told to stop before its end."""
        return any(each.outcome.stopped for each in self.stocks)


def plan_sheets(
    orders: Sequence[Order],
    supply: Supply,
    effort: Effort = USUAL,
    *,
    spare: Mapping[str, int] | None = None,
    better: Callable[[StockPlan], None] = lambda _: None,
    stop: Callable[[], bool] = never,
) -> Plan:
    """Lay the parts of jobs on the sheets of a supply.

    Parameters
    ----------
    orders : sequence of Order
        The parts and how many of them.
    supply : Supply
        Sheets and rules.
    effort : Effort
        How hard to search; seconds are shared among the stocks.
    spare : mapping of str to int
        How many more of a part than pieces.
    better : callable
        Told of every layout of a stock that is better than the last.
    stop : callable
        Asked all the time; once it says yes, the best so far is given.
    """
    stated, bare = state_all(orders, supply, spare)
    share = _shared(effort, len(stated))
    plans = []
    for problem, large in stated:

        def told(
            filled: tuple[Filled, ...],
            problem: Problem = problem,
            large: tuple[Item, ...] = large,
        ) -> None:
            better(StockPlan(problem, Outcome(filled), large))

        plans.append(StockPlan(problem, search(problem, share, told, stop), large))
    return Plan(tuple(plans), tuple(bare))


def state_all(
    orders: Sequence[Order], supply: Supply, spare: Mapping[str, int] | None = None
) -> tuple[list[tuple[Problem, tuple[Item, ...]]], list[str]]:
    """The problem of each stock with the items that are too large, and the stocks without sheets.

    Parameters
    ----------
    orders : sequence of Order
        The parts and how many of them.
    supply : Supply
        Sheets and rules.
    spare : mapping of str to int
        How many more of a part than pieces.
    """
    stated, bare = [], []
    for stock in dict.fromkeys(part.panel.stock.name for order in orders for part in order.parts):
        sheets = supply.of(stock)
        items = [
            item for order in orders for item in _of(order, stock, sheets, supply.rules, spare)
        ]
        if items and not sheets:
            bare.append(stock)
        elif items:
            stated.append(_stated(stock, items, sheets, supply.rules))
    return stated, bare


def _shared(effort: Effort, count: int) -> Effort:
    if effort.seconds is None or count < 2:
        return effort
    return Effort(effort.seconds / count, effort.rounds, effort.quick)


def _of(
    order: Order,
    stock: str,
    sheets: Sequence[Sheet],
    rules: Rules,
    spare: Mapping[str, int] | None,
) -> list[Item]:
    """The items of a job of one stock."""
    own = replace(order, parts=tuple(p for p in order.parts if p.panel.stock.name == stock))
    grainless = all(sheet.grain is SheetGrain.NONE for sheet in sheets)
    return list(items_of(own, rules, grainless=grainless, spare=spare))


def _stated(
    stock: str, items: Sequence[Item], sheets: Sequence[Sheet], rules: Rules
) -> tuple[Problem, tuple[Item, ...]]:
    """The problem of the items that some sheet can hold, and the others."""
    whole = state(stock, items, sheets, rules)
    # What no empty sheet is large enough for may lie no way at all.
    fits = [any(ways) for ways in whole.ways]
    if all(fits):
        return whole, ()
    large = tuple(item for item, does in zip(whole.items, fits, strict=True) if not does)
    kept = [item for item in items if item not in large]
    return state(stock, kept, sheets, rules), large
