"""A piece stated by the maker's own planes and panels."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, TypeAlias

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shop import family_of, panel_stocks
from dryfit.model.forms import ALL
from dryfit.model.planes import AXES, Layout, Member, Plane, divided
from dryfit.model.reach import grains

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.lines import Path
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.stock import Stock

_Stated: TypeAlias = "tuple[str, str, tuple[str, ...]]"

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
        elif not faults:
            faults.add(
                ("plane",), "there are 0 planes; add some under [plane.NAME], or name a form"
            )
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
    _told_apart(members, faults)
    own = panel_stocks(
        {name: table_of(tables, name) for name, _, _ in members}, tables, stocks, faults
    )
    if not members and not faults:
        have = f"there are {len(tables.plane)} planes and 0 panels"
        faults.add(("plane",), f"{have}; add one under [panel.NAME] with on")
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
    waiting = {}
    for name, table in tables.plane.items():
        given = [axis for axis in AXES if axis in table]
        places = len(given) + ("between" in table)
        if places != 1:
            faults.add(
                ("plane", name),
                f"a plane lies at 1 place, and this one has {places}; "
                "write x, y or z with a distance, or between with 2 planes",
            )
        elif given and "parts" in table:
            faults.add(
                ("plane", name, "parts"),
                "parts divides the space between 2 planes; write between instead of "
                f"{given[0]}, or take the line out",
            )
        elif given and (at := table.length(given[0])) is not None:
            found[name] = Plane(name, AXES.index(given[0]), at)
        elif not given and _two_named(name, table, faults):
            waiting[name] = table
    while ready := [name for name, table in waiting.items() if _is_ready(table, found)]:
        for name in ready:
            for plane in _divisions(name, waiting.pop(name), found, faults):
                _keep(plane, name, tables, found, faults)
    _tell_waiting(waiting, tables, found, faults)
    return found


def _keep(plane: Plane, name: str, tables: Tables, found: dict[str, Plane], faults: Faults) -> None:
    """Keep a plane of a division, unless the file has another one of that name."""
    if plane.name != name and plane.name in tables.plane:
        faults.add(
            ("plane", plane.name),
            f"{plane.name} is also 1 of the planes that {name} divides its space with; "
            "write another name here",
        )
    found[plane.name] = plane


def _two_named(name: str, table: Checked, faults: Faults) -> bool:
    """Whether a division names two different planes; faults say why not."""
    between = table.names("between")
    if len(between) == 2 and between[0] != between[1]:
        return True
    if len(between) == 2:
        sentence = f"{between[0]} is named twice; write 2 different planes"
    else:
        verb = "is" if len(between) == 1 else "are"
        sentence = f"a division lies between 2 planes, and {len(between)} {verb} named; write 2"
    if table.value("between") is not None:
        faults.add(("plane", name, "between"), sentence)
    return False


def _tell_waiting(
    waiting: dict[str, Checked], tables: Tables, found: Mapping[str, Plane], faults: Faults
) -> None:
    """Say why divisions cannot be placed: a plane that is not there, or each for the other."""
    for name, table in waiting.items():
        for other in table.names("between"):
            sentence = _no_plane(other, tables, found)
            if sentence:
                faults.add(("plane", name, "between"), sentence)
    # What waits for a faulty plane is told with it; what is left then waits for itself.
    while stuck := [
        name
        for name, table in waiting.items()
        if any(other not in found and other not in waiting for other in table.names("between"))
    ]:
        for name in stuck:
            del waiting[name]
    for name, table in waiting.items():
        others = [other for other in table.names("between") if other in waiting]
        faults.add(
            ("plane", name, "between"),
            f"{name} divides a space that it bounds itself; write 2 other planes"
            if name in others
            else f"{name} waits for {others[0]}, and they divide each other's space, so neither of "
            "the 2 can be placed; let 1 lie between planes at a distance",
        )


def _no_plane(other: str, tables: Tables, found: Mapping[str, Plane]) -> str:
    """What is wrong with the name of a plane; empty where it is there, or told already."""
    own = [plane for plane in found if family_of(plane) == other]
    if other in found or (other in tables.plane and not own):
        return ""
    if own:
        return f"{shown(other)} stands for {len(own)} planes; write 1 of them, such as {own[0]}"
    known = {**dict.fromkeys(found), **dict.fromkeys(tables.plane)}
    return f"there is no plane {shown(other)}; {nearest(other, known)}"


def _is_ready(table: Checked, found: Mapping[str, Plane]) -> bool:
    return all(name in found for name in table.names("between"))


def _divisions(
    name: str, table: Checked, found: Mapping[str, Plane], faults: Faults
) -> Iterator[Plane]:
    first, last = (found[other] for other in table.names("between"))
    if first.axis != last.axis:
        faults.add(
            ("plane", name, "between"),
            f"{first.name} lies along {AXES[first.axis]} and {last.name} along "
            f"{AXES[last.axis]}; write 2 planes of 1 axis",
        )
        return
    if "parts" in table and table.count("parts") is None:
        return
    yield from divided(name, first.axis, (first.name, last.name), table.count("parts") or 2)


def _members(tables: Tables, planes: Mapping[str, Plane], faults: Faults) -> Iterator[_Stated]:
    """Name, plane and ends of every panel; one on a divided plane is a family."""
    families: dict[str, list[str]] = {}
    for plane in planes:
        families.setdefault(family_of(plane), []).append(plane)
    ends = _Ends(tables, planes, faults)
    for name, table in tables.panel.items():
        on = table.text("on") or ""
        own = [on] if on in planes else families.get(on, [])
        if "+" in name:
            faults.add(
                ("panel", name),
                "the name holds a +, which stands between the 2 panels of a joint; "
                "write another name",
            )
        elif not on and "on" in table:
            continue
        elif not on:
            faults.add(("panel", name), 'on is missing; write the plane it lies on: on = "left"')
        elif not own:
            sentence = _no_plane(on, tables, planes)
            if sentence:
                faults.add(("panel", name, "on"), sentence)
        elif ends.stand(name, table, planes[own[0]].axis):
            for plane in own:
                number = plane.removeprefix(f"{on} ") if plane != on else ""
                yield f"{name} {number}" if number else name, plane, table.names("between")


def _told_apart(members: list[_Stated], faults: Faults) -> None:
    """No two panels have one name, as a family and a panel of its own might."""
    counts = Counter(name for name, _, _ in members)
    for name in (name for name, number in counts.items() if number > 1):
        family = family_of(name)
        sentence = f"{name} is also 1 of the panels of {family}; write another name here"
        faults.add(("panel", name), sentence)


class _Ends:
    """The planes that panels span between; how many there are to span to is counted once."""

    def __init__(self, tables: Tables, planes: Mapping[str, Plane], faults: Faults) -> None:
        self.tables = tables
        self.planes = planes
        self.faults = faults
        # Where a plane was left out for its faults, none is missed.
        self.whole = set(tables.plane) <= {*planes, *map(family_of, planes)}
        self.lies = [0, 0, 0]
        for plane in planes.values():
            self.lies[plane.axis] += plane.at is not None

    def stand(self, name: str, table: Checked, axis: int) -> bool:
        """Whether a panel spans between known planes, two of an axis that is not its own."""
        path, between = ("panel", name, "between"), table.names("between")
        unknown = [other for other in between if other not in self.planes]
        for other in unknown:
            sentence = _no_plane(other, self.tables, self.planes)
            if sentence:
                self.faults.add(path, sentence)
        if unknown:
            return False
        named: tuple[list[str], list[str], list[str]] = ([], [], [])
        for other in between:
            named[self.planes[other].axis].append(other)
        wrong = [_span(name, axis, along, named[along]) for along in range(3)]
        wrong += [
            _too_few(name, along, self.lies[along])
            for along in range(3)
            if self.whole and along != axis and not named[along]
        ]
        sentence = next(filter(None, wrong), "")
        if sentence:
            self.faults.add(path if between else ("panel", name), sentence)
        return not sentence


def _span(name: str, axis: int, along: int, named: Sequence[str]) -> str:
    """What is wrong with the planes that a panel spans between along one axis; often nothing."""
    if along == axis:
        return (
            f"{name} lies on a plane along {AXES[axis]} and cannot span along it to {named[0]}; "
            "take 1 of the 2 out"
            if named
            else ""
        )
    if len(named) not in (0, 2) or len(set(named)) < len(named):
        twice = len(named) == 2
        what = f"{named[0]} is named twice" if twice else f"{_some(len(named))} named"
        return (
            f"along {AXES[along]} {what}; write 2 different ones, or none to span between the "
            "outermost"
        )
    return ""


def _too_few(name: str, along: int, lies: int) -> str:
    """What is wrong where a panel has fewer than two planes to span between along an axis."""
    if lies >= 2:
        return ""
    return (
        f"along {AXES[along]} {name} has {lies} of the 2 planes to span between; add planes "
        f"with {AXES[along]} until there are 2"
    )


def _some(number: int) -> str:
    return f"{number} plane is" if number == 1 else f"{number} planes are"


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


_COUNTS = {"shelf": "shelves", "upright": "uprights", "along": "along", "across": "across"}


def written(path: Path, tables: Tables) -> Path:
    """Where a key of a single panel, joint or plane is written: perhaps under its family.

    Parameters
    ----------
    path : Path
        The key, by the names of single panels.
    tables : Tables
        The file.
    """
    if len(path) < 2 or path[1] in getattr(tables, path[0], {}):
        return path
    if path[0] == "plane" and path[1] in _COUNTS:
        return ("piece", _COUNTS[path[1]])
    if path[0] == "panel":
        return (path[0], family_of(path[1]), *path[2:])
    if path[0] == "joint":
        own = path[1].split("+")
        for name, table in tables.joint.items():
            pair = [panel.strip() for panel in name.split("+")]
            fits = any(_is_of(own, each) for each in (pair, pair[::-1]))
            if fits and (path[-1] in table or "kind" in table):
                return (path[0], name, *path[2:])
    return path


def _is_of(panels: list[str], names: list[str]) -> bool:
    return len(panels) == len(names) and all(
        name in (panel, family_of(panel)) for panel, name in zip(panels, names, strict=True)
    )
