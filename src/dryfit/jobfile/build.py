"""From checked tables to a job: what the tables mean together."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.wishes import check_gaps, read_wishes
from dryfit.materials.sheets import MATERIALS, find_material
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.forms import FORMS, Request
from dryfit.model.piece import Job, Piece
from dryfit.model.stock import Stock
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.lines import Path
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.forms import Form
    from dryfit.model.panel import Panel

_SIZE_KEYS = {Route.ROUTER: "diameter", Route.LASER: "kerf", Route.SAW: "blade"}


def build_job(tables: Tables, title: str, faults: Faults) -> Job:
    """The job the tables describe.

    Raises
    ------
    JobFileError
        With what `faults` holds already and what is wrong between the tables.
    """
    stocks = _stocks(tables, faults)
    cutter = _cutter(tables.cutter, faults)
    sized = _sizes_given(tables.piece, faults)
    form = FORMS.get(tables.piece.text("form") or "")
    wishes = read_wishes(tables, form, cutter, faults)
    if form is None:
        raise faults.error()
    own = _panel_stocks(tables, form, stocks, faults)
    _check_panels(tables, form, faults)
    panels: tuple[Panel, ...] = ()
    if sized and len(own) == len(form.panels):
        panels = _panels(_request(tables, own, form), form, faults)
    piece = Piece(panels, *wishes)
    check_gaps(tables, form, piece, faults)
    if faults or cutter is None:
        raise faults.error()
    return Job(
        title=tables.root.text("title") or title,
        piece=piece,
        cutter=cutter,
        form=form.name,
        times=tables.root.count("times") or 1,
        unit=tables.unit,
        sixty_fourths=tables.root.flag("sixty_fourths"),
    )


def _stocks(tables: Tables, faults: Faults) -> dict[str, Stock | None]:
    """Every stock by name; None for one that has a fault of its own."""
    return {name: _stock(name, table, tables.unit, faults) for name, table in tables.stock.items()}


def _stock(name: str, table: Checked, unit: str, faults: Faults) -> Stock | None:
    word, nominal = table.text("material"), table.length("nominal")
    material = find_material(word) if word else None
    if word and material is None:
        faults.add(
            ("stock", name, "material"),
            f"the material {shown(word)} is not known; {nearest(word, MATERIALS)}",
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
    )


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


def _cutter(table: Checked, faults: Faults) -> Cutter | None:
    word = table.text("kind")
    if word is None:
        return None
    route = Route(word)
    own_key = _SIZE_KEYS.get(route)
    foreign = [key for key in _SIZE_KEYS.values() if key in table and key != own_key]
    for key in foreign:
        faults.add(("cutter", key), _foreign_size(route, key, own_key))
    relief = _relief(table, route, faults)
    if own_key is None:
        return Cutter(route, 0.0, relief)
    size = table.length(own_key)
    if size is None:
        if own_key not in table and not foreign:
            sentence = f"a {route} needs its {own_key}; write {own_key} = {_size(route)}"
            faults.add(("cutter", own_key), sentence)
        return None
    return Cutter(route, size, relief)


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


def _panel_stocks(
    tables: Tables, form: Form, stocks: dict[str, Stock | None], faults: Faults
) -> dict[str, Stock]:
    """The stock of each panel, with the panel's own measurements; the faulty left out."""
    usual = _usual_stock(tables, form, stocks, faults)
    found = {}
    for name in form.panels:
        table = tables.panel.get(name)
        chosen = table.text("stock") if table else None
        if chosen is not None and chosen not in stocks:
            faults.add(("panel", name, "stock"), _no_stock(chosen, stocks))
        stock = stocks.get(chosen or usual or "")
        if stock is not None and table is not None:
            stock = _measured(stock, table, name, tables.unit, faults)
        if stock is not None:
            found[name] = stock
    return found


def _usual_stock(
    tables: Tables, form: Form, stocks: dict[str, Stock | None], faults: Faults
) -> str | None:
    """Name of the stock for panels that name none."""
    chosen = tables.piece.text("stock")
    if chosen is not None:
        if chosen not in stocks:
            faults.add(("piece", "stock"), _no_stock(chosen, stocks))
        return chosen
    if len(stocks) < 2:
        return next(iter(stocks), None)
    bare = [name for name in form.panels if not _names_stock(tables, name)]
    if bare:
        faults.add(
            ("piece", "stock"),
            f"there are {len(stocks)} stocks and {', '.join(bare)} name none of them; write "
            f"stock = {shown(next(iter(stocks)))} under [piece]",
        )
    return None


def _names_stock(tables: Tables, panel: str) -> bool:
    return panel in tables.panel and "stock" in tables.panel[panel]


def _no_stock(name: str, stocks: dict[str, Stock | None]) -> str:
    known = nearest(name, stocks) if stocks else "add it under [stock.NAME]"
    return f"there is no stock {shown(name)}; {known}"


def _measured(stock: Stock, table: Checked, name: str, unit: str, faults: Faults) -> Stock | None:
    """The stock as measured on one panel; its own scatter beats the one stated for the stock."""
    readings = table.lengths("readings")
    if readings is not None:
        path = ("panel", name, "readings")
        if not _readings_stand(path, readings, stock.nominal, unit, faults):
            return None
        spread = stock.spread if len(readings) == 1 else None
        stock = replace(stock, readings=readings, spread=spread)
    cup, wind, spread = (table.length(key) for key in ("cup", "wind", "spread"))
    return replace(
        stock,
        spread=stock.spread if spread is None else spread,
        cup=stock.cup if cup is None else cup,
        wind=stock.wind if wind is None else wind,
    )


def _check_panels(tables: Tables, form: Form, faults: Faults) -> None:
    """Panel tables name panels of the form, and grain runs along the panel."""
    for name, table in tables.panel.items():
        if name not in form.panels:
            faults.add(
                ("panel", name),
                f"a {form.name} has no panel {shown(name)}; {nearest(name, form.panels)}",
            )
            continue
        grain, grains = table.text("grain"), form.side(name).grains
        if grain is not None and grain not in grains:
            faults.add(
                ("panel", name, "grain"),
                f"grain cannot run along {grain}, through the thickness of {name}; write one of "
                f"{', '.join(grains)}",
            )


def _sizes_given(piece: Checked, faults: Faults) -> bool:
    """Whether there are sizes to build from, each of them read without fault."""
    given = [key for key in ("outside", "inside") if key in piece]
    if not given and "form" in piece:
        faults.add(
            ("piece",),
            "no size is given; write outside = [330, 220, 70] or inside with the 3 sizes you want",
        )
    return bool(given) and all(piece.triple(key) is not None for key in given)


def _request(tables: Tables, stocks: dict[str, Stock], form: Form) -> Request:
    """What to build, words that do not fit their panel left out."""
    known = {name: table for name, table in tables.panel.items() if name in form.panels}
    grains = {name: table.text("grain") for name, table in known.items()}
    faces = {name: table.text("good_face") for name, table in known.items()}
    return Request(
        stocks=stocks,
        outside=tables.piece.triple("outside"),
        inside=tables.piece.triple("inside"),
        grains={name: grain for name, grain in grains.items() if grain in form.side(name).grains},
        good_faces={name: face for name, face in faces.items() if face is not None},
        unit=tables.unit,
    )


def _panels(request: Request, form: Form, faults: Faults) -> tuple[Panel, ...]:
    """The panels in place; none where the sizes forbid it."""
    try:
        return form.build(request)
    except SizeError as error:
        faults.add(error.path, str(error))
        return ()
