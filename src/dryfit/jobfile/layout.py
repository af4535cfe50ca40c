"""From tables to a layout: the form's planes and members, or the maker's own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from dryfit.errors import SizeError
from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shapes import read_shapes
from dryfit.jobfile.shop import family_of, panel_stocks
from dryfit.jobfile.stated import OPTIONS, check_grains, stated, table_of
from dryfit.jobfile.wishes import read_wishes, remembered_edge
from dryfit.model.cutter import Route
from dryfit.model.forms import ALL, FORMS, Request
from dryfit.model.forms.boxes import WALLS
from dryfit.model.forms.form import several
from dryfit.model.kind import Kind
from dryfit.model.planes import Layout, Member

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.forms import AngledForm, Form, Options
    from dryfit.model.piece import Wish
    from dryfit.model.season import Seasons
    from dryfit.model.stock import Stock


def read_layout(
    tables: Tables,
    stocks: Mapping[str, Stock | None],
    general: Wish,
    cutter: Cutter | None,
    faults: Faults,
    seasons: Seasons,
) -> Layout | None:
    """The piece as planes and members; None where it cannot be stated.

    Parameters
    ----------
    tables : Tables
        The file.
    stocks : mapping of str to Stock
        Every stock; None for a faulty one.
    general : Wish
        What is wished of every joint.
    cutter : Cutter, optional
        What cuts: the joint of an edge in a face follows from the route.
    faults : Faults
        Where faults go.
    seasons : Seasons
        The air from which a drawer's growth is reckoned.
    """
    form = FORMS.get(tables.piece.text("form") or "")
    layout = (
        stated(tables, stocks, faults)
        if form is None
        else _formed(tables, form, stocks, faults, seasons)
    )
    names = [member.name for member in layout.members] if layout else _names_of(tables, form)
    wishes = read_wishes(tables, names, general, faults)
    shapes = read_shapes(tables, names, cutter, faults)
    if layout is None:
        return None
    tee = tables.piece.text("tee")
    by_route = Kind.TENON if cutter and cutter.route is Route.LASER else Kind.HOUSING
    members = tuple(
        _dressed(member, table_of(tables, member.name), shapes.get(member.name, {}))
        for member in layout.members
    )
    both = dict(layout.wishes)
    for pair, wish in wishes.items():
        both[pair] = wish.over(both[pair]) if pair in both else wish
    return Layout(
        layout.planes, members, both, Kind(tee) if tee else by_route,
        through=cutter is not None and cutter.route is Route.SAW, unit=tables.unit,
    )  # fmt: skip


def _dressed(member: Member, table: Checked | None, shapes: Mapping[str, Any]) -> Member:
    """A member with what the file says of its grain, its faces, its edges and its shape."""
    said = dict(shapes)
    if table is not None:
        words = {key: table.text(key) for key in ("grain", "good_face", "face")}
        said.update((key, word) for key, word in words.items() if word)
        edges = remembered_edge(table, "edges").over(member.edges)
        if edges != member.edges:
            said["edges"] = edges
    return replace(member, **said) if said else member


def _names_of(tables: Tables, form: Form | None) -> list[str]:
    """Names of the panels as far as they can be told without building."""
    if form is not None:
        return list(form.names(chosen(tables, form)))
    if not tables.plane:
        return []
    names: list[str] = []
    for name, table in tables.panel.items():
        plane = tables.plane.get(table.text("on") or "")
        parts = (plane.count("parts") if plane else None) or 2
        names += several(name, parts - 1)
    return names


def chosen(tables: Tables, form: Form | AngledForm) -> Options:
    """What is chosen of a form's options."""
    found = {name: tables.piece.value(name) for name in form.options}
    return {name: value for name, value in found.items() if value is not None}  # type: ignore[misc]


def _formed(
    tables: Tables,
    form: Form,
    stocks: Mapping[str, Stock | None],
    faults: Faults,
    seasons: Seasons,
) -> Layout | None:
    """A form's own layout."""
    options = chosen(tables, form)
    names = form.names(options)
    sized = _sizes_given(tables.piece, form, faults)
    check_foreign(tables, form, faults)
    check_named(tables, form.name, names, faults)
    check_grains(tables, form.axes(options), faults)
    own = panel_stocks({name: table_of(tables, name) for name in names}, tables, stocks, faults)
    if not sized or len(own) < len(names):
        return None
    request = Request(
        stocks=own, outside=tables.piece.triple("outside"), inside=tables.piece.triple("inside"),
        options=options, unit=tables.unit, swell=_swell(tables, own, seasons),
    )  # fmt: skip
    try:
        return form.layout(request)
    except SizeError as error:
        faults.add(error.path, str(error))
        return None


def _swell(tables: Tables, own: Mapping[str, Stock], seasons: Seasons) -> float:
    """How much the solid walls of a drawer grow upward by the wettest season, as a share. [-]"""
    if "opening" not in tables.piece or "season" in tables.piece:
        return 0.0
    grown = [0.0]
    for name in WALLS:
        table, stock = table_of(tables, name), own.get(name)
        upright = table is not None and table.text("grain") == "z"
        if stock is not None and stock.material.solid:
            grown.append(stock.strain(seasons.making, seasons.wettest, across=not upright))
    return max(grown)


def _sizes_given(piece: Checked, form: Form, faults: Faults) -> bool:
    """Whether there are sizes to build from, each of them read without fault."""
    given = [key for key in ("outside", "inside", "opening") if key in piece]
    if not given:
        more = ", or the opening it runs in" if "opening" in form.options else ""
        faults.add(
            ("piece",),
            "no size is given; write outside = [330, 220, 70] or inside with the 3 sizes you want"
            + more,
        )
    return bool(given) and all(piece.triple(key) is not None for key in given)


def check_foreign(tables: Tables, form: Form | AngledForm, faults: Faults) -> None:
    """A form brings its own planes, and knows only its own options."""
    for name in OPTIONS:
        if name in tables.piece and name not in form.options:
            homes = [other.name for other in ALL.values() if name in other.options]
            faults.add(
                ("piece", name),
                f"a {form.name} has no {name}; take the line out or make it a "
                + " or a ".join(homes),
            )
    for name in tables.plane:
        faults.add(
            ("plane", name),
            f"a {form.name} brings its own planes; take this table out, or print them with "
            "dryfit planes and go on from there without a form",
        )
    for name, table in tables.panel.items():
        for key in ("on", "between"):
            if key in table:
                faults.add(
                    ("panel", name, key),
                    f"a {form.name} places its own panels; take the line out, or print its planes "
                    "with dryfit planes and go on from there without a form",
                )


def check_named(tables: Tables, what: str, names: Sequence[str], faults: Faults) -> None:
    """Panel tables name panels of the form, or a family of them."""
    known = {*names, *(family_of(name) for name in names)}
    for name in tables.panel:
        if name not in known:
            sentence = f"a {what} has no panel {shown(name)}; {nearest(name, names)}"
            faults.add(("panel", name), sentence)
