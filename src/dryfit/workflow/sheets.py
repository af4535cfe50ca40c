"""Parts on sheets: the layout of jobs, what it costs, and its files."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING, Any

from dryfit.errors import DryfitError
from dryfit.workflow.accepted import accepted_path, accepted_text, restored

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from dryfit.checks.quote import Cost
    from dryfit.checks.subject import Sheets
    from dryfit.findings import Edit, JobValue
    from dryfit.layout.items import Order
    from dryfit.layout.plan import Plan, StockPlan
    from dryfit.model.sheets import Sheet, Supply
    from dryfit.workflow.rehearsal import Rehearsal

SPARES = {"router": 0.05, "laser": 0.03, "saw": 0.1, "hand": 0.15}
"""Scrap allowance by route, a share of the parts (common practice, no source). [-]"""


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be laid, and how hard.

    Parameters
    ----------
    times : int, optional
        How many of each piece; None takes what the jobs say.
    only : tuple of str
        Parts to cut anew, 1 of each; empty lays all.
    spare : bool
        Whether the scrap allowance of the route is added.
    seconds : float, optional
        How long to search; None searches so that it repeats exactly. [s]
    quick : bool
        Whether the first layout will do.
    """

    times: int | None = None
    only: tuple[str, ...] = ()
    spare: bool = False
    seconds: float | None = None
    quick: bool = False


USUAL = Request()
"""Every piece that the jobs ask for, by the usual effort."""


@dataclass(frozen=True)
class Laid:
    """Jobs, laid together on their sheets."""

    rehearsals: tuple[Rehearsal, ...]
    request: Request
    orders: tuple[Order, ...]
    supply: Supply
    plan: Plan

    @property
    def pieces(self) -> int:
        """How many pieces there are."""
        return sum(order.times for order in self.orders)

    @cached_property
    def sheets(self) -> Sheets:
        """The layout as the checks see it."""
        return _as_checked(self.rehearsals[0], self.plan)

    @cached_property
    def cost(self) -> Cost:
        """What it takes and costs."""
        return _cost(self.rehearsals, self.orders, self.supply, self.plan)

    @cached_property
    def quote(self) -> tuple[Cost, ...]:
        """Cost and time of 1, 2, 5, 10 and 20 of each piece, by the first layout found."""
        from dryfit.checks.quote import COUNTS

        return tuple(
            lay(self.rehearsals, Request(times=count, quick=True)).cost for count in COUNTS
        )


def lay(
    rehearsals: Sequence[Rehearsal],
    request: Request = USUAL,
    better: Callable[[StockPlan], None] = lambda _: None,
    stop: Callable[[], bool] = lambda: False,
) -> Laid:
    """Lay the parts of jobs together.

    Parameters
    ----------
    rehearsals : sequence of Rehearsal
        The jobs.
    request : Request
        How many, and how hard to search.
    better : callable
        Told of every layout of a stock that is better than the last.
    stop : callable
        Asked all the time; once it says yes, the best so far is given.

    Raises
    ------
    DryfitError
        If no sheet is stated, a part is not known, or two jobs contradict each other.
    """
    from dryfit.layout.plan import plan_sheets
    from dryfit.layout.search import Effort

    supply, orders = pooled(rehearsals), _orders(rehearsals, request)
    plan = _accepted(rehearsals, orders, supply, request)
    if plan is None:
        effort = Effort(seconds=request.seconds, quick=request.quick)
        plan = plan_sheets(
            orders, supply, effort, spare=_spare(rehearsals, orders, request),
            better=better, stop=stop,
        )  # fmt: skip
    return Laid(tuple(rehearsals), request, tuple(orders), supply, plan)


def _accepted(
    rehearsals: Sequence[Rehearsal], orders: Sequence[Order], supply: Supply, request: Request
) -> Plan | None:
    """The layout that was accepted for a job by itself, where nothing else is asked."""
    from dryfit.layout.plan import state_all

    (first, *others), plain = rehearsals, replace(request, quick=False) == USUAL
    if others or not plain or not first.accepted:
        return None
    stated, bare = state_all(orders, supply)
    return restored(first.accepted, stated, bare)


def sheets_of(rehearsal: Rehearsal) -> Sheets | None:
    """A job's layout as far as it is known at once; None where no sheets are stated."""
    if rehearsal.job.supply is None or not rehearsal.parts:
        return None
    return _as_checked(rehearsal, lay([rehearsal], Request(quick=True)).plan)


def _as_checked(rehearsal: Rehearsal, plan: Plan) -> Sheets:
    from dryfit.checks.subject import Sheets
    from dryfit.layout.plan import state_all
    from dryfit.layout.search import has_engine

    stale = False
    if rehearsal.accepted and rehearsal.job.supply:
        orders = _orders([rehearsal], USUAL)
        stated, bare = state_all(orders, pooled([rehearsal]))
        stale = restored(rehearsal.accepted, stated, bare) is None
    trial = _Trial(rehearsal) if rehearsal.text else None
    return Sheets(plan, trial, stale, not has_engine())


@dataclass(frozen=True)
class _Trial:
    """Edits of a job file, tried by laying the job anew."""

    rehearsal: Rehearsal

    def value(self, *path: str) -> JobValue | None:
        """The value that the file has there."""
        found: Any = tomllib.loads(self.rehearsal.text)
        for name in path:
            found = found.get(name) if isinstance(found, dict) else None
        return found  # type: ignore[no-any-return]

    def plan(self, edits: tuple[Edit, ...]) -> Plan | None:
        """How the job would be laid with some edits; None where it stops being one."""
        changed = self.rehearsal.tried(edits)
        if changed is None:
            return None
        try:
            return lay([replace(changed, origin=None)], Request(quick=True)).plan
        except DryfitError:
            return None


def pooled(rehearsals: Sequence[Rehearsal]) -> Supply:
    """The sheets of all jobs, each once, and the strictest of their rules.

    Raises
    ------
    DryfitError
        If none states a sheet, or two state different sheets under one name.
    """
    from dryfit.model.sheets import Supply

    own = [each.job.supply for each in rehearsals]
    stated = [supply for supply in own if supply is not None]
    if not stated:
        stock = rehearsals[0].piece.panels[0].stock.name if rehearsals[0].piece.panels else "NAME"
        raise DryfitError(
            f"{rehearsals[0].job.title} states 0 sheets to lay its parts on; write "
            f"sheet = [1220, 610] under [stock.{stock}], or an offcut under [sheet.NAME]."
        )
    sheets: dict[str, Sheet] = {}
    for supply in stated:
        for sheet in supply.sheets:
            known = sheets.setdefault(sheet.name, sheet)
            if known != sheet:
                raise DryfitError(
                    f"2 of the jobs state different sheets under the name {sheet.name}; give 1 of "
                    "them another name."
                )
    rules = [supply.rules for supply in stated]
    travels = [each.travel for each in rules if each.travel]
    together = replace(
        rules[0],
        spacing=max(each.spacing for each in rules),
        margin=max(each.margin for each in rules),
        travel=(min(x for x, _ in travels), min(y for _, y in travels)) if travels else None,
        clamps=tuple(dict.fromkeys(clamp for each in rules for clamp in each.clamps)),
        guillotine=any(each.guillotine for each in rules),
        locks=tuple(
            replace(lock, job=number)
            for number, supply in enumerate(own, start=1)
            for lock in (supply.rules.locks if supply else ())
        ),
    )
    return Supply(tuple(sheets.values()), together, stated[0].rates)


def _orders(rehearsals: Sequence[Rehearsal], request: Request) -> list[Order]:
    from dryfit.layout.items import Order

    known = {part.name for each in rehearsals for part in each.parts}
    for name in request.only:
        if name not in known:
            raise DryfitError(
                f"There is no part {name}; {len(known)} are known: {', '.join(sorted(known))}."
            )
    orders = []
    for number, each in enumerate(rehearsals, start=1):
        times = 1 if request.only else request.times or each.job.times
        matched = each.job.supply.rules.matched if each.job.supply else ()
        orders.append(Order(each.parts, times, number, frozenset(request.only), matched))
    return orders


def _spare(
    rehearsals: Sequence[Rehearsal], orders: Sequence[Order], request: Request
) -> dict[str, int]:
    """How many more of each part are cut than are needed."""
    if not request.spare:
        return {}
    share = max(SPARES[each.job.cutter.route.value] for each in rehearsals)
    return {part.name: ceil(order.times * share - 1e-9) for order in orders for part in order.parts}


def _cost(
    rehearsals: Sequence[Rehearsal], orders: Sequence[Order], supply: Supply, plan: Plan
) -> Cost:
    from dryfit.checks.quote import cost_of, cut_length

    way = sum(
        cut_length(each.parts, each.job.cutter) * order.times
        for each, order in zip(rehearsals, orders, strict=True)
    )
    return cost_of(plan, sum(order.times for order in orders), way, supply.rates)


def keep(file: Path, laid: Laid, *, force: bool = False) -> Path:
    """Keep a layout beside its job file as the accepted one.

    Raises
    ------
    DryfitError
        If several jobs were laid together, or not the job as its file states it.
    OutputError
        If another layout is kept there and `force` is off, or the disk says no.
    """
    from dryfit.writers.files import save

    request = laid.request
    if len(laid.rehearsals) > 1 or request.times or request.only or request.spare:
        raise DryfitError(
            "1 job by itself, as its file states it, has a layout to keep; leave the options that "
            "change what is cut out."
        )
    if not file.is_file():
        raise DryfitError(
            f"{file} has no folder to keep 1 layout in; save the job as a file first."
        )
    path = accepted_path(file)
    save({path.name: accepted_text(laid.plan).encode()}, path.parent, force=force)
    return path


def sheet_files(laid: Laid) -> dict[str, bytes]:
    """One SVG and one DXF of each sheet, by name, and the shopping list where there is one."""
    from dryfit.drafting.sheets import sheet_page
    from dryfit.pages.names import file_names
    from dryfit.writers.dxf import write_dxf
    from dryfit.writers.svg import write_svg

    parts = {
        (number, part.name): part
        for number, each in enumerate(laid.rehearsals, start=1)
        for part in each.parts
    }
    unit = laid.rehearsals[0].job.unit
    rows = [
        (plan, sheet, left)
        for plan in laid.plan.stocks
        for sheet, left in zip(plan.layout.sheets, plan.leftovers, strict=True)
    ]
    names = file_names([f"sheet {sheet.name}" for _, sheet, _ in rows], fallback="sheet")
    made: dict[str, bytes] = {}
    for name, (plan, sheet, left) in zip(names, rows, strict=True):
        page = sheet_page(sheet, parts, plan.problem.rules, left, unit)
        made[f"{name}.svg"] = write_svg(page)
        made[f"{name}.dxf"] = write_dxf(page)
    return made


def shopping(laid: Laid) -> tuple[tuple[str, int, float | None], ...]:
    """Stock, how many sheets to buy, and what they cost together; None without a price."""
    return tuple(
        (
            plan.stock,
            plan.layout.bought,
            None
            if any(s.sheet.to_buy and s.sheet.price is None for s in plan.layout.sheets)
            else plan.layout.cost,
        )
        for plan in laid.plan.stocks
        if plan.layout.bought
    )


def sheets_data(laid: Laid) -> dict[str, Any]:
    """A layout, its cost and its quote as plain data; lengths are millimetres."""
    return {
        **sheets_record(laid),
        "cost": _cost_data(laid.cost),
        "quote": [_cost_data(cost) for cost in laid.quote],
    }


def sheets_record(laid: Laid) -> dict[str, Any]:
    """What lies where as plain data; lengths are millimetres."""
    return {
        "schema": 1,
        "jobs": [each.job.title for each in laid.rehearsals],
        "pieces": laid.pieces,
        "stocks": [_stock_data(plan) for plan in laid.plan.stocks],
        "without_sheets": list(laid.plan.bare),
    }


def _stock_data(plan: StockPlan) -> dict[str, Any]:
    return {
        "stock": plan.stock,
        "engine": plan.layout.engine,
        "bought": plan.layout.bought,
        "bound": plan.bound.bought,
        "least_used": round(plan.bound.used, 6),
        "unplaced": [item.name for item in (*plan.layout.unplaced, *plan.too_large)],
        "sheets": [
            {
                "name": laid.name,
                "sheet": laid.sheet.name,
                "number": laid.number,
                "to_buy": laid.sheet.to_buy,
                "length_mm": laid.sheet.length,
                "width_mm": laid.sheet.width,
                "left_mm": [round(side, 2) for side in left],
                "placed": [
                    {
                        "part": placed.part,
                        "piece": placed.key.piece,
                        "job": placed.key.job,
                        "x_mm": round(placed.x, 6),
                        "y_mm": round(placed.y, 6),
                        "width_mm": round(placed.width, 6),
                        "height_mm": round(placed.height, 6),
                        "quarter_turns": placed.turned,
                        "face_up": placed.up.value,
                    }
                    for placed in laid.placed
                ],
            }
            for laid, left in zip(plan.layout.sheets, plan.leftovers, strict=True)
        ],
    }


def _cost_data(cost: Cost) -> dict[str, Any]:
    return {
        "pieces": cost.pieces,
        "sheets_bought": cost.bought,
        "sheets_used": round(cost.used, 4),
        "sheets": round(cost.sheets, 2),
        "cut_m": round(cost.cut, 3),
        "wear": round(cost.wear, 2),
        "machine_minutes": round(cost.machine_minutes, 1),
        "machine": round(cost.machine, 2),
        "bench_minutes": round(cost.bench_minutes, 1),
        "bench": round(cost.bench, 2),
        "total": round(cost.total, 2),
        "each": round(cost.each, 2),
        "everything_placed": cost.whole,
    }
