"""What the maker wishes of the joints, overall and one by one."""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shop import family_of
from dryfit.model.kind import Kind
from dryfit.model.meeting import find_meetings
from dryfit.model.piece import Pair, Wish
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.lines import Path
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece
    from dryfit.model.reach import Reached


def joint_panels(name: str) -> tuple[str, ...]:
    """The panels that the name of a joint names: ``front+left`` gives front and left."""
    return tuple(part.strip() for part in name.split("+"))


def general_wish(tables: Tables, cutter: Cutter | None, faults: Faults) -> Wish:
    """What is wished of every joint."""
    general = _wish(tables.fingers, ("fingers",), faults)
    if general.flank_gap is None and cutter is not None:
        general = Wish(flank_gap=cutter.usual_flank_gap).over(general)
    return general


def read_wishes(
    tables: Tables, names: Sequence[str], general: Wish, faults: Faults
) -> Mapping[Pair, Wish]:
    """What is wished of some joints, by their panels or families of them.

    Parameters
    ----------
    tables : Tables
        The file.
    names : sequence of str
        The panels there are; where none are known, names are not checked.
    general : Wish
        What is wished of every joint.
    faults : Faults
        Where faults go.
    """
    wishes: dict[Pair, Wish] = {}
    told: set[Pair] = set()
    for name, table in tables.joint.items():
        path = ("joint", name)
        wish = _wish(table, path, faults)
        if general.proud is not None and table.text("proud"):
            faults.add((*path, "proud"), _no_auto(general.proud, tables.unit))
        if names and _pair_stands(path, wish, names, told, tables, faults):
            told.add(frozenset(joint_panels(name)))
            for pair in _pairs(joint_panels(name), names):
                wishes[pair] = wish.over(wishes[pair]) if pair in wishes else wish
    return wishes


def _pairs(panels: Sequence[str], names: Sequence[str]) -> list[Pair]:
    """The pairs that the name of a joint stands for, families taken apart."""
    own = [[name for name in names if panel in (name, family_of(name))] for panel in panels]
    return [frozenset(pair) for pair in product(*own) if len(set(pair)) == 2]


def _pair_stands(
    path: Path, wish: Wish, names: Sequence[str], told: set[Pair], tables: Tables, faults: Faults
) -> bool:
    """Whether the joint names two panels, for the first time; faults say why not."""
    panels = joint_panels(path[-1])
    sentence = _wrong_pair(panels, names, tables)
    if sentence is None and frozenset(panels) in told:
        sentence = "this joint stands twice in the file; keep 1 of the 2 tables"
    if sentence is not None:
        faults.add(path, sentence)
    elif wish.leads is not None and wish.leads not in panels:
        sentence = f"{shown(wish.leads)} has no part in this joint; write {' or '.join(panels)}"
        faults.add((*path, "leads"), sentence)
    return sentence is None


def _wrong_pair(panels: Sequence[str], names: Sequence[str], tables: Tables) -> str | None:
    """What is wrong with the name of a joint; None where nothing is."""
    mate = "left" if "left" in names[1:] else names[-1]
    example = f"{names[0]}+{mate}"
    if len(panels) != 2:
        return f"a joint is named after 2 panels; write [joint.{shown(example)}]"
    known = {*names, *(family_of(name) for name in names)}
    for panel in panels:
        if panel not in known:
            form = tables.piece.text("form")
            what = f"a {form} has no" if form else "there is no"
            return f"{what} panel {shown(panel)}; {nearest(panel, names)}"
    if panels[0] == panels[1]:
        return f"{panels[0]} does not meet itself; name 2 panels, such as {example}"
    return None


@lru_cache(maxsize=4096)
def remembered_edge(table: Checked, key: str) -> Wish:
    """How edges are let in, as a panel or a joint states it; a table is known by itself."""
    word, ends = table.text(key), table.text("ends")
    return Wish(
        kind=Kind(word) if word else None,
        depth=table.length("depth"),
        room=table.length("room"),
        stop=table.pair("stop"),
        clearance=table.length("clearance"),
        through=None if ends is None else ends == "through",
    )


def _wish(table: Checked, path: Path, faults: Faults) -> Wish:
    if "width" in table and "count" in table:
        faults.add(
            (*path, "count"),
            "width and count are both given, and each decides the other; take 1 of the 2 out",
        )
    own = Wish(
        width=table.length("width"),
        count=table.count("count"),
        leads=table.text("leads"),
        flank_gap=table.length("flank_gap"),
        proud=table.length("proud"),
    )
    return own.over(remembered_edge(table, "kind"))


def _no_auto(proud: float, unit: str) -> str:
    return (
        f"[fingers] asks for {show_length(proud, unit)} on every corner, so auto cannot hold for "
        "this one; write a length here, or move that length to the corners that need it"
    )


def check_pairs(tables: Tables, reached: Reached, faults: Faults) -> None:
    """Joints are named after panels that meet."""
    names = [panel.name for panel in reached.panels]
    met: set[Pair] | None = None
    for name in tables.joint:
        panels = joint_panels(name)
        pairs = _pairs(panels, names) if len(panels) == 2 else []
        if not pairs or panels[0] == panels[1] or any(pair in reached.met for pair in pairs):
            continue
        met = _all_met(reached) if met is None else met
        if not any(pair in met for pair in pairs):
            one, other = panels
            mates = _mates(one, met, names)
            faults.add(
                ("joint", name),
                f"{one} and {other} do not meet; {one} meets {', '.join(mates) or '0 others'}",
            )


def _all_met(reached: Reached) -> set[Pair]:
    """Every two panels that end at each other, cross or touch."""
    found = find_meetings(reached.panels)
    names = [panel.name for panel in reached.panels]
    pairs = [(meeting.a, meeting.b) for meeting in found.meetings] + list(found.butts)
    return set(reached.met) | {frozenset((names[a], names[b])) for a, b in pairs}


def _mates(panel: str, met: set[Pair], names: Sequence[str]) -> list[str]:
    """Who a panel, or its family, meets, in the order of the piece."""
    own = {name for name in names if panel in (name, family_of(name))}
    return [
        name
        for name in names
        if name not in own and any(frozenset((one, name)) in met for one in own)
    ]


def check_gaps(tables: Tables, piece: Piece, reached: Reached, faults: Faults) -> None:
    """Two flank gaps must leave something of the finger."""
    told = set()
    for pair in reached.met:
        one, other = (piece.panel(name) for name in sorted(pair))
        wish = piece.wish_for(one.name, other.name)
        widest, gap = _widest(wish, one, other), wish.flank_gap
        path = _gap_path(tables, pair)
        if gap is None or widest is None or 2 * gap < widest or path in told:
            continue
        told.add(path)
        faults.add(path, _swallowed(gap, widest, tables.unit))


def _widest(wish: Wish, one: Panel, other: Panel) -> float | None:
    """The most a finger can be wide: as wished, or the whole corner divided. [mm]"""
    if wish.width is not None or wish.count is None:
        return wish.width
    x, y, z = (abs(a * b) for a, b in zip(one.frame.u, other.frame.n, strict=True))
    # u runs along the corner unless it runs along the mate's thickness.
    return (one.height if x + y + z > 0.5 else one.width) / wish.count


def _gap_path(tables: Tables, pair: Pair) -> Path:
    """Where the gap of a joint is written, or the table it would stand in."""
    for name, table in tables.joint.items():
        if frozenset(joint_panels(name)) == pair and "flank_gap" in table:
            return ("joint", name, "flank_gap")
    return ("fingers", "flank_gap")


def _swallowed(gap: float, width: float, unit: str) -> str:
    half = show_length(width / 2, unit)
    return (
        f"two flank gaps of {show_length(gap, unit)} leave nothing of a finger that is at most "
        f"{show_length(width, unit)} wide; keep flank_gap under {half} or make fingers wider"
    )
