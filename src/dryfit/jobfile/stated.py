"""A piece stated by the maker's own planes and panels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shop import family_of, panel_stocks
from dryfit.model.forms import ALL
from dryfit.model.planes import AXES, Layout, Member, Plane, divided
from dryfit.model.reach import grains

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.stock import Stock

OPTIONS = tuple({name: None for form in ALL.values() for name in form.options})
"""The names of everything that one of the forms leaves to choose."""


def table_of(tables: Tables, name: str) -> Checked | None:
    """What the file says of one panel, by its own name or its family's."""
    return tables.panel.get(name) or tables.panel.get(family_of(name))


def stated(tables: Tables, stocks: Mapping[str, Stock | None], faults: Faults) -> Layout | None:
    """The maker's own planes and panels; None where they have faults.

    Parameters
    ----------
    tables : Tables
        The file.
    stocks : mapping of str to Stock
        Every stock; None for a faulty one.
    faults : Faults
        Where faults go.
    """
    if not tables.plane:
        if tables.piece.stands and "form" not in tables.piece:
            faults.add(("piece", "form"), 'form is missing; write form = "tray"')
        return None
    for name in ("outside", "inside", *OPTIONS):
        if name in tables.piece:
            faults.add(
                ("piece", name),
                f"{name} belongs to a form, and this piece is stated by {len(tables.plane)} "
                "planes; take the line out or name a form",
            )
    planes = _planes(tables, faults)
    members = list(_members(tables, planes, faults))
    own = panel_stocks(
        {name: table_of(tables, name) for name, _, _ in members}, tables, stocks, faults
    )
    if not members and not faults:
        faults.add(("plane",), "there are planes and 0 panels; add one under [panel.NAME] with on")
    if faults or len(own) < len(members):
        return None
    layout = Layout(
        tuple(planes.values()),
        tuple(Member(name, on, own[name], between) for name, on, between in members),
        unit=tables.unit,
    )
    check_grain(tables, layout, faults)
    return None if faults else layout


def _planes(tables: Tables, faults: Faults) -> dict[str, Plane]:
    """Every plane, divisions told apart, by name; those with faults left out."""
    found: dict[str, Plane] = {}
    waiting = {name: table for name, table in tables.plane.items() if "between" in table}
    for name, table in tables.plane.items():
        given = [axis for axis in AXES if axis in table]
        if len(given) + ("between" in table) != 1:
            faults.add(
                ("plane", name),
                f"a plane lies at 1 place, and this one has {len(given) + ('between' in table)}; "
                "write x, y or z with a distance, or between with 2 planes",
            )
            waiting.pop(name, None)
        elif "parts" in table and given:
            faults.add(
                ("plane", name, "parts"),
                "parts divides the space between 2 planes; write between beside it",
            )
        elif given and (at := table.length(given[0])) is not None:
            found[name] = Plane(name, AXES.index(given[0]), at)
    while ready := [name for name, table in waiting.items() if _is_ready(table, found)]:
        for name in ready:
            for plane in _divisions(name, waiting.pop(name), found, faults):
                found[plane.name] = plane
    for name, table in waiting.items():
        between = table.names("between")
        missing = [other for other in between if other not in found]
        if "between" in table and between and len(between) == 2:
            faults.add(
                ("plane", name, "between"),
                f"there is no plane {shown(missing[0])} at a distance; "
                f"{nearest(missing[0], found) if found else 'add it under [plane.NAME]'}",
            )
        else:
            faults.add(
                ("plane", name, "between"),
                f"a division lies between 2 planes, and {len(between)} are named; write 2",
            )
    return found


def _is_ready(table: Checked, found: Mapping[str, Plane]) -> bool:
    between = table.names("between")
    return len(between) == 2 and all(name in found for name in between)


def _divisions(
    name: str, table: Checked, found: Mapping[str, Plane], faults: Faults
) -> Iterator[Plane]:
    first, last = (found[other] for other in table.names("between"))
    if first.axis != last.axis or first.name == last.name:
        faults.add(
            ("plane", name, "between"),
            f"{first.name} lies along {AXES[first.axis]} and {last.name} along "
            f"{AXES[last.axis]}; write 2 planes of 1 axis",
        )
        return
    yield from divided(name, first.axis, (first.name, last.name), table.count("parts") or 2)


def _members(
    tables: Tables, planes: Mapping[str, Plane], faults: Faults
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Name, plane and ends of every panel; one on a divided plane is a family."""
    families: dict[str, list[str]] = {}
    for plane in planes:
        families.setdefault(family_of(plane), []).append(plane)
    for name, table in tables.panel.items():
        on = table.text("on") or ""
        own = [on] if on in planes else families.get(on, [])
        if not on and "on" in table:
            continue
        if not on:
            faults.add(("panel", name), 'on is missing; write the plane it lies on: on = "left"')
        elif not own:
            known = nearest(on, planes) if planes else "add it under [plane.NAME]"
            faults.add(("panel", name, "on"), f"there is no plane {shown(on)}; {known}")
        elif _ends_stand(name, table, planes[own[0]].axis, planes, faults):
            for plane in own:
                number = plane.removeprefix(f"{on} ") if plane != on else ""
                yield f"{name} {number}".strip(), plane, table.names("between")


def _ends_stand(
    name: str, table: Checked, axis: int, planes: Mapping[str, Plane], faults: Faults
) -> bool:
    """Whether a panel spans between known planes, two of an axis that is not its own."""
    path, between = ("panel", name, "between"), table.names("between")
    unknown = [other for other in between if other not in planes]
    for other in unknown:
        faults.add(path, f"there is no plane {shown(other)}; {nearest(other, planes)}")
    if unknown:
        return False
    sentences = (_span(name, axis, along, between, planes) for along in range(3))
    sentence = next(filter(None, sentences), "")
    if sentence:
        faults.add(path if between else ("panel", name), sentence)
    return not sentence


def _span(
    name: str, axis: int, along: int, between: tuple[str, ...], planes: Mapping[str, Plane]
) -> str:
    """What is wrong with the planes that a panel spans between along one axis; often nothing."""
    named = [plane for plane in between if planes[plane].axis == along]
    if along == axis:
        return (
            f"{name} lies on a plane along {AXES[axis]} and cannot span along it to {named[0]}; "
            "take 1 of the 2 out"
            if named
            else ""
        )
    if len(named) not in (0, 2) or len(set(named)) < len(named):
        return (
            f"{len(named)} planes along {AXES[along]} are named; write 2 different ones, or none "
            "to span between the outermost"
        )
    lies = sum(plane.axis == along and plane.at is not None for plane in planes.values())
    if lies < 2:
        return (
            f"along {AXES[along]} there are {lies} planes to span between; add planes with "
            f"{AXES[along]} until there are 2"
        )
    return ""


def check_grain(tables: Tables, layout: Layout, faults: Faults) -> None:
    """Grain runs along a panel, not through its thickness."""
    axes = {plane.name: plane.axis for plane in layout.planes}
    check_grains(tables, {member.name: axes[member.on] for member in layout.members}, faults)


def check_grains(tables: Tables, axes: Mapping[str, int], faults: Faults) -> None:
    """The same, from the axis that each panel's thickness lies along."""
    told = set()
    for panel, axis in axes.items():
        name = panel if panel in tables.panel else family_of(panel)
        table = tables.panel.get(name)
        grain = table.text("grain") if table else None
        words = grains(axis)
        if grain is not None and grain not in words and name not in told:
            told.add(name)
            faults.add(
                ("panel", name, "grain"),
                f"grain cannot run along {grain}, through the thickness of {name}; write one of "
                f"{', '.join(words)}",
            )
