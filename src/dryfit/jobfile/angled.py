"""A piece of one of the forms whose walls meet at other than right angles."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.jobfile.layout import check_foreign, check_named, chosen
from dryfit.jobfile.shapes import read_shapes
from dryfit.jobfile.shop import panel_stocks
from dryfit.jobfile.stated import table_of
from dryfit.jobfile.wishes import read_wishes
from dryfit.model.forms import Request
from dryfit.model.reach import GOOD_FACES, Reached

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.model.cutter import Cutter
    from dryfit.model.forms import AngledForm
    from dryfit.model.panel import Face, Panel
    from dryfit.model.piece import Wish
    from dryfit.model.stock import Stock

_OF_OTHERS = (
    "grain", "edges", "face", "depth", "room", "stop", "clearance", "ends",
)  # fmt: skip
"""What may be said of a panel only where all of them are square to one another."""


def read_angled(
    tables: Tables,
    form: AngledForm,
    stocks: Mapping[str, Stock | None],
    general: Wish,
    cutter: Cutter | None,
    faults: Faults,
) -> Reached | None:
    """The panels of such a form; None where it cannot be built.

    Parameters
    ----------
    tables : Tables
        The file.
    form : AngledForm
        The form.
    stocks : mapping of str to Stock
        Every stock; None for a faulty one.
    general : Wish
        What is wished of every joint.
    cutter : Cutter, optional
        What cuts.
    faults : Faults
        Where faults go.
    """
    options = chosen(tables, form)
    names = form.names(options)
    check_foreign(tables, form, faults)
    check_named(tables, form.name, names, faults)
    _check_keys(tables, form, faults)
    own = panel_stocks({name: table_of(tables, name) for name in names}, tables, stocks, faults)
    wishes = read_wishes(tables, names, general, faults)
    shapes = read_shapes(tables, names, cutter, faults)
    if faults or len(own) < len(names):
        return None
    request = Request(
        stocks=own, outside=tables.piece.triple("outside"), options=options, unit=tables.unit
    )
    try:
        panels = form.build(request)
    except SizeError as error:
        faults.add(error.path, str(error))
        return None
    dressed = tuple(
        replace(panel, good_face=_good_face(tables, panel), **shapes.get(panel.name, {}))
        for panel in panels
    )
    return Reached(dressed, dict(wishes), frozenset())


def _check_keys(tables: Tables, form: AngledForm, faults: Faults) -> None:
    """Refuse what has no meaning here: sizes of a square box, and joints in faces."""
    by_flats = "flats" in form.options
    for name in ("inside", "outside") if by_flats else ("inside",):
        if name in tables.piece:
            way_out = "flats and height" if by_flats else "outside with the sizes at the top"
            faults.add(("piece", name), f"a {form.name} has no 3 sizes {name}; write {way_out}")
    for panel, table in tables.panel.items():
        for name in _OF_OTHERS:
            if name in table:
                faults.add(
                    ("panel", panel, name),
                    f"a {form.name} has fingers at all corners and grain along its edges, so "
                    f"{name} cannot be said of 1 panel; take the line out",
                )


def _good_face(tables: Tables, panel: Panel) -> Face | None:
    table = table_of(tables, panel.name)
    word = table.text("good_face") if table else None
    return panel.good_face if word is None else GOOD_FACES[word]
