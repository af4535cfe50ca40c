"""Openings, kept places and shaped corners of a job file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shop import family_of
from dryfit.model.opening import KeepOut, Opening, ShapedCorner, Where
from dryfit.shapes.tolerances import SAME
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter


def read_shapes(
    tables: Tables, names: Sequence[str], cutter: Cutter | None, faults: Faults
) -> dict[str, dict[str, Any]]:
    """Openings, kept places and corners by the names of their panels.

    Parameters
    ----------
    tables : Tables
        The file.
    names : sequence of str
        The panels there are.
    cutter : Cutter, optional
        What cuts: no corner of an opening is rounder than its cutter leaves it.
    faults : Faults
        Where faults go.
    """
    found: dict[str, dict[str, Any]] = {}

    def put(key: str, panels: Sequence[str], shape: object) -> None:
        for panel in panels:
            own = found.setdefault(panel, {})
            own[key] = (*own.get(key, ()), shape)

    for name, panels, table in _on_panels("opening", tables.opening, names, faults):
        opening = _opening(name, table, cutter, tables.unit, faults)
        if opening is not None:
            put("openings", panels, opening)
    for name, panels, table in _on_panels("keep_out", tables.keep_out, names, faults):
        size = table.pair("size")
        if size is not None:
            put("keep_outs", panels, KeepOut(name, table.pair("at"), size))
    for name, panels, table in _on_panels("corner", tables.corner, names, faults):
        corner = _corner(name, table, faults)
        if corner is not None:
            put("shaped", panels, corner)
    return found


def _on_panels(
    what: str, tables: Mapping[str, Checked], names: Sequence[str], faults: Faults
) -> Iterator[tuple[str, list[str], Checked]]:
    """Each table with the panels it names, one or a family; a fault where there are none."""
    for name, table in tables.items():
        panel = table.text("panel")
        if panel is None:
            continue
        own = [each for each in names if panel in (each, family_of(each))]
        if not own and names:
            known = dict.fromkeys([*map(family_of, names), *names])
            sentence = f"there is no panel {shown(panel)}; {nearest(panel, known)}"
            faults.add((what, name, "panel"), sentence)
        yield name, own, table


def _opening(
    name: str, table: Checked, cutter: Cutter | None, unit: str, faults: Faults
) -> Opening | None:
    path = ("opening", name)
    size, diameter, radius = table.pair("size"), table.length("diameter"), table.length("radius")
    if ("size" in table) == ("diameter" in table):
        given = 2 if "size" in table else 0
        faults.add(
            path, f"an opening has a size or a diameter, and {given} of them are given; write 1"
        )
        return None
    if "diameter" in table and "radius" in table:
        faults.add(
            (*path, "radius"),
            "a round hole has 0 corners to round; take the line out, or write size for diameter",
        )
        return None
    if diameter is not None:
        size, radius = (diameter, diameter), diameter / 2
    if size is None:
        return None
    least, narrow = cutter.radius if cutter else 0.0, min(size)
    wide = f"an opening {show_length(narrow, unit)} wide"
    if least > narrow / 2 + SAME:
        cut = show_length(2 * least, unit, 3)
        faults.add(
            (*path, "size" if diameter is None else "diameter"),
            f"a cutter of {cut} cannot cut {wide}; make it at least {cut} or take a thinner cutter",
        )
        return None
    radius = least if radius is None else max(radius, least)
    if radius > narrow / 2 + SAME:
        faults.add(
            (*path, "radius"),
            f"corners of {show_length(radius, unit)} do not fit {wide}; make it at least "
            f"{show_length(2 * radius, unit)} or its corners less round",
        )
        return None
    return Opening(name, table.pair("at"), size, min(radius, narrow / 2))


def _corner(name: str, table: Checked, faults: Faults) -> ShapedCorner | None:
    where, radius, cut = table.text("at"), table.length("round"), table.pair("cut")
    if ("round" in table) == ("cut" in table):
        given = 2 if "round" in table else 0
        faults.add(
            ("corner", name),
            f"a corner is rounded or cut down, and {given} of them are given; write 1",
        )
        return None
    if where is None or (radius is None and cut is None):
        return None
    if radius is not None:
        return ShapedCorner(name, Where(where), (radius, radius), rounded=True)
    assert cut is not None
    return ShapedCorner(name, Where(where), cut, rounded=False)
