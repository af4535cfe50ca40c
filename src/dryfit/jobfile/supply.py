"""Sheets, the rules they are laid by, and the costs of a job file."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.model.cutter import Route
from dryfit.model.sheets import Lock, Rates, Rules, Sheet, SheetGrain, Supply
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.stock import Stock

BESIDE = MappingProxyType({Route.ROUTER: 2.0, Route.LASER: 1.0, Route.SAW: 0.0, Route.HAND: 3.0})
"""What is left between two cuts beside the cutter (common practice, no source). [mm]"""

MARGIN = 5.0
"""What is left at the edges of a sheet (common practice, no source). [mm]"""

_NO_GRAIN = frozenset({"MDF", "particleboard", "hardboard", "acrylic"})


def read_supply(
    tables: Tables,
    stocks: Mapping[str, Stock | None],
    cutter: Cutter | None,
    panels: Sequence[str],
    faults: Faults,
) -> Supply | None:
    """What there is to cut from; None where the file states no sheet at all.

    Parameters
    ----------
    tables : Tables
        The file.
    stocks : mapping of str to Stock
        Every stock; None for a faulty one.
    cutter : Cutter, optional
        What cuts.
    panels : sequence of str
        Names of the panels.
    faults : Faults
        Where faults go.
    """
    bought = list(_bought(tables, stocks))
    own = [_own(name, table, tables, stocks, faults) for name, table in tables.sheet.items()]
    sheets = (*(sheet for sheet in own if sheet), *bought)
    rules = _rules(tables, sheets, cutter, panels, faults)
    if not (tables.sheet or bought):
        return None
    return Supply(sheets, rules, _rates(tables.costs))


def _bought(tables: Tables, stocks: Mapping[str, Stock | None]) -> Iterable[Sheet]:
    """The sheets that can be bought, each under the name of its stock."""
    for name, table in tables.stock.items():
        size, stock = table.pair("sheet"), stocks.get(name)
        if size is not None and stock is not None:
            yield Sheet(name, name, *size, None, table.number("price"), _grain(table, stock))


def _grain(table: Checked, stock: Stock) -> SheetGrain:
    word = table.text("sheet_grain")
    if word is not None:
        return SheetGrain(word)
    return SheetGrain.NONE if stock.material.name in _NO_GRAIN else SheetGrain.ALONG


def _own(
    name: str,
    table: Checked,
    tables: Tables,
    stocks: Mapping[str, Stock | None],
    faults: Faults,
) -> Sheet | None:
    """A sheet in hand; None where it has a fault."""
    path, chosen, size = ("sheet", name), table.text("stock"), table.pair("size")
    if chosen is not None and chosen not in stocks:
        faults.add(
            (*path, "stock"), f"there is no stock {shown(chosen)}; {nearest(chosen, stocks)}"
        )
    if name in tables.stock:
        faults.add(path, f"a stock is named {shown(name)} too; give 1 of the 2 another name")
    stock = stocks.get(chosen or "")
    if stock is None or size is None or chosen is None:
        return None
    defects = table.rectangles("defects")
    for place, (left, low, right, high) in enumerate(defects, start=1):
        if left <= 0 and low <= 0 and right >= size[0] and high >= size[1]:
            sentence = f"rectangle {place} covers the whole sheet; take the sheet or the defect out"
            faults.add((*path, "defects"), sentence)
        elif left >= size[0] or low >= size[1]:
            across = f"{show_length(size[0], tables.unit)} by {show_length(size[1], tables.unit)}"
            sentence = f"rectangle {place} lies beside the sheet, which is {across}; move it"
            faults.add((*path, "defects"), sentence)
    usual = _grain(tables.stock[chosen], stock)
    word = table.text("grain")
    grain = SheetGrain(word) if word and usual is not SheetGrain.NONE else usual
    return Sheet(name, chosen, *size, table.count("count") or 1, None, grain, defects)


def _rules(
    tables: Tables,
    sheets: Sequence[Sheet],
    cutter: Cutter | None,
    panels: Sequence[str],
    faults: Faults,
) -> Rules:
    table = tables.layout
    size = cutter.size if cutter else 0.0
    usual = size + (BESIDE[cutter.route] if cutter else 0.0)
    spacing, margin = table.length("spacing"), table.length("margin")
    if spacing is not None and spacing < size:
        say = show_length(spacing, tables.unit), show_length(size, tables.unit)
        faults.add(
            ("layout", "spacing"),
            f"spacing is {say[0]} and the cutter takes {say[1]}; write at least {say[1]}",
        )
    matched = table.names("matched")
    for name in matched:
        if panels and name not in panels:
            faults.add(("layout", "matched"), _no_panel(name, panels))
    if len(matched) == 1 or len(set(matched)) != len(matched):
        faults.add(("layout", "matched"), "name 2 or more panels here, each of them 1 time")
    straight = "straight" in table
    return Rules(
        spacing=usual if spacing is None else spacing,
        margin=MARGIN if margin is None else margin,
        travel=table.pair("travel"),
        clamps=table.rectangles("clamps"),
        guillotine=table.flag("straight")
        if straight
        else cutter is not None and cutter.route is Route.SAW,
        matched=(matched,) if matched else (),
        locks=tuple(_locks(tables, sheets, panels, faults)),
    )


def _locks(
    tables: Tables, sheets: Sequence[Sheet], panels: Sequence[str], faults: Faults
) -> Iterable[Lock]:
    known = {sheet.name: sheet for sheet in sheets}
    times = tables.root.count("times") or 1
    for name, table in tables.lock.items():
        path, chosen, at = ("lock", name), table.text("sheet"), table.pair("at")
        if panels and name not in panels:
            faults.add(path, _no_panel(name, panels))
            continue
        if chosen is None or at is None:
            continue
        sheet = known.get(chosen)
        if sheet is None:
            way_out = nearest(chosen, known) if known else "add it under [sheet.NAME]"
            faults.add((*path, "sheet"), f"there is no sheet {shown(chosen)}; {way_out}")
            continue
        number, piece = table.count("number") or 1, table.count("piece") or 1
        if sheet.count is not None and number > sheet.count:
            sentence = f"number is {number}, and of this sheet there are {sheet.count}; write less"
            faults.add((*path, "number"), sentence)
        if piece > times:
            faults.add(
                (*path, "piece"), f"piece is {piece}, and {times} are made; write at most {times}"
            )
        yield Lock(name, chosen, *at, table.count("quarter_turns") or 0, number, piece)


def _no_panel(name: str, panels: Sequence[str]) -> str:
    return f"there is no panel {shown(name)}; {nearest(name, panels)}"


def _rates(table: Checked) -> Rates:
    def number(key: str) -> float:
        return table.number(key) or 0.0

    return Rates(
        currency=table.text("currency") or "",
        bench=number("bench_rate"),
        machine=number("machine_rate"),
        bench_minutes=number("bench_minutes"),
        sheet_minutes=number("sheet_minutes"),
        feed=table.length("feed") or 0.0,
        passes=table.count("passes") or 1,
        cutter=number("cutter_price"),
        cutter_life=number("cutter_life"),
    )
