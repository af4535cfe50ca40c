"""Stock and cutter of a job file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.own import find, own_materials
from dryfit.materials.movement import Sawn
from dryfit.materials.sheets import KNOWN
from dryfit.model.cutter import BladeSet, Cutter, Relief, Route
from dryfit.model.stock import Stock
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.lines import Path
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.materials.sheets import Material

_SIZE_KEYS = {Route.ROUTER: "diameter", Route.LASER: "kerf", Route.SAW: "blade"}
_SET_KEYS = ("outer", "chippers", "shims")


def read_stocks(tables: Tables, faults: Faults) -> dict[str, Stock | None]:
    """Every stock by name; None for one that has a fault of its own."""
    own = own_materials(tables, faults)
    return {
        name: _stock(name, table, tables.unit, own, faults) for name, table in tables.stock.items()
    }


def _stock(
    name: str, table: Checked, unit: str, own: Mapping[str, Material], faults: Faults
) -> Stock | None:
    word, nominal = table.text("material"), table.length("nominal")
    material = find(word, own) if word else None
    if word and material is None:
        faults.add(
            ("stock", name, "material"),
            f"the material {shown(word)} is not known; {nearest(word, (*KNOWN, *own))}",
        )
    if material is None or nominal is None:
        return None
    readings = table.lengths("readings") or ()
    if not _readings_stand(("stock", name, "readings"), readings, nominal, unit, faults):
        return None
    return Stock(
        name=name,
        material=material,
        nominal=nominal,
        readings=readings,
        spread=table.length("spread"),
        cup=table.length("cup") or 0.0,
        wind=table.length("wind") or 0.0,
        moisture=table.number("moisture"),
        sawn=Sawn(table.text("sawn") or Sawn.FLAT),
        finish=_finish(name, table, material, nominal, faults),
    )


def _finish(name: str, table: Checked, material: Material, nominal: float, faults: Faults) -> str:
    """How a sheet of a `nominal` thickness [mm] comes from the mill, as its standard knows it."""
    word = table.text("finish") or ""
    known = [each.finish for each in material.limits(nominal)]
    if word and word not in known:
        way_out = f"known are {', '.join(known)}" if known else "take the line out"
        faults.add(
            ("stock", name, "finish"),
            f"no standard for {material.name} of {nominal:g} mm speaks of {word} sheets; {way_out}",
        )
    return word


def _readings_stand(
    path: Path, readings: tuple[float, ...], nominal: float, unit: str, faults: Faults
) -> bool:
    """Readings [mm] under half or over twice the nominal thickness are in another unit."""
    odd = {
        place: reading
        for place, reading in enumerate(readings, start=1)
        if not nominal / 2 <= reading <= nominal * 2
    }
    for place, reading in odd.items():
        faults.add(
            path,
            f"entry {place}: {show_length(reading, unit)} is far from the nominal "
            f"{show_length(nominal, unit)}; is the unit right? Bare numbers are in {unit}",
        )
    return not odd


def read_cutter(table: Checked, faults: Faults) -> Cutter | None:
    """What cuts; None where it is not stated rightly."""
    word = table.text("kind")
    if word is None:
        return None
    route = Route(word)
    own_key = _SIZE_KEYS.get(route)
    foreign = [key for key in _SIZE_KEYS.values() if key in table and key != own_key]
    for key in foreign:
        faults.add(("cutter", key), _foreign_size(route, key, own_key))
    relief = _relief(table, route, faults)
    owned = _owned(table, route, faults)
    if own_key is None:
        return Cutter(route, 0.0, relief)
    size = table.length(own_key)
    if size is None:
        if own_key not in table and not foreign:
            sentence = f"a {route} needs its {own_key}; write {own_key} = {_size(route)}"
            faults.add(("cutter", own_key), sentence)
        return None
    if owned is not None and owned.outer > size:
        said = f"the outer blade cuts {owned.outer:.2f} mm, more than the blade set, {size:.2f} mm"
        faults.add(("cutter", "outer"), f"{said}; write what each of the two cuts by itself")
    return Cutter(route, size, relief, owned)


def _owned(table: Checked, route: Route, faults: Faults) -> BladeSet | None:
    """The blade set that the maker has; None where none is stated, or not rightly."""
    stated = [key for key in _SET_KEYS if key in table]
    if route is not Route.SAW:
        for key in stated:
            faults.add(("cutter", key), _foreign_size(route, key, None))
        return None
    if stated and "outer" not in table:
        faults.add(
            ("cutter", stated[0]),
            f'{stated[0]} go between 2 outer blades; write outer = "1/8 in" with your width',
        )
    outer = table.length("outer")
    if outer is None:
        return None
    return BladeSet(outer, table.lengths("chippers") or (), table.lengths("shims") or ())


def _size(route: Route) -> str:
    return {Route.ROUTER: '"3.175 mm"', Route.LASER: '"0.2 mm"'}.get(route, '"3.2 mm"')


def _foreign_size(route: Route, key: str, own_key: str | None) -> str:
    way_out = f"write {own_key} = {_size(route)} instead" if own_key else "take the line out"
    what = "work by hand" if route is Route.HAND else f"a {route}"
    return f"{what} has no {key}; {way_out}"


def _relief(table: Checked, route: Route, faults: Faults) -> Relief:
    word = table.text("relief")
    if word is None:
        return Relief.DIAGONAL if route is Route.ROUTER else Relief.NONE
    if route is not Route.ROUTER and word != Relief.NONE:
        faults.add(
            ("cutter", "relief"),
            f'only a router is relieved, and this is {route}; take the line out or write "none"',
        )
    return Relief(word)


def panel_stocks(
    names: Mapping[str, Checked | None],
    tables: Tables,
    stocks: Mapping[str, Stock | None],
    faults: Faults,
) -> dict[str, Stock]:
    """The stock of each panel, with the panel's own measurements; the faulty left out.

    Parameters
    ----------
    names : mapping of str to Checked
        What the file says of each panel, None where it says nothing.
    tables : Tables
        The file.
    stocks : mapping of str to Stock
        Every stock; None for a faulty one.
    faults : Faults
        Where faults go.
    """
    usual = _usual_stock(tables, names, stocks, faults)
    found = {}
    for name, table in names.items():
        chosen = table.text("stock") if table else None
        if chosen is not None and chosen not in stocks:
            faults.add(_path(name, tables, "stock"), _no_stock(chosen, stocks))
        stock = stocks.get(chosen or usual or "")
        if stock is not None and table is not None:
            stock = _measured(stock, table, name, tables, faults)
        if stock is not None:
            found[name] = stock
    return found


def _path(name: str, tables: Tables, key: str) -> Path:
    """Where a key of a panel is written: in its own table or in its family's."""
    own = name if name in tables.panel else family_of(name)
    return ("panel", own, key)


def family_of(name: str) -> str:
    """The family of a numbered panel or plane: ``shelf 2`` belongs to ``shelf``."""
    base, _, number = name.rpartition(" ")
    return base if base and number.isdecimal() else name


def _usual_stock(
    tables: Tables,
    names: Mapping[str, Checked | None],
    stocks: Mapping[str, Stock | None],
    faults: Faults,
) -> str | None:
    """Name of the stock for panels that name none."""
    chosen = tables.piece.text("stock")
    if chosen is not None:
        if chosen not in stocks:
            faults.add(("piece", "stock"), _no_stock(chosen, stocks))
        return chosen
    if len(stocks) < 2:
        return next(iter(stocks), None)
    bare = [name for name, table in names.items() if table is None or "stock" not in table]
    if bare:
        faults.add(
            ("piece", "stock"),
            f"there are {len(stocks)} stocks and {_listed(bare)} name none of them; write "
            f"stock = {shown(next(iter(stocks)))} under [piece]",
        )
    return None


def _listed(names: Sequence[str]) -> str:
    """Names, shortened after a few."""
    return (
        ", ".join(names) if len(names) <= 8 else f"{', '.join(names[:7])} and {len(names) - 7} more"
    )


def _no_stock(name: str, stocks: Mapping[str, Stock | None]) -> str:
    known = nearest(name, stocks) if stocks else "add it under [stock.NAME]"
    return f"there is no stock {shown(name)}; {known}"


def _measured(
    stock: Stock, table: Checked, name: str, tables: Tables, faults: Faults
) -> Stock | None:
    """The stock as measured on one panel; its own scatter beats the one stated for the stock."""
    readings = table.lengths("readings")
    if readings is not None:
        path = _path(name, tables, "readings")
        if not _readings_stand(path, readings, stock.nominal, tables.unit, faults):
            return None
        spread = stock.spread if len(readings) == 1 else None
        stock = replace(stock, readings=readings, spread=spread)
    own = {key: table.length(key) for key in ("cup", "wind", "spread")}
    own["moisture"] = table.number("moisture")
    stated: dict[str, Any] = {key: value for key, value in own.items() if value is not None}
    return replace(stock, **stated) if stated else stock
