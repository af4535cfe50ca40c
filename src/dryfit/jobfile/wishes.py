"""What the maker wishes of the corners, overall and one by one."""

from __future__ import annotations

from itertools import combinations
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.model.piece import Pair, Wish
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.lines import Path
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.forms import Form
    from dryfit.model.piece import Piece


def joint_panels(name: str) -> tuple[str, ...]:
    """The panels that the name of a joint names: ``front+left`` gives front and left."""
    return tuple(part.strip() for part in name.split("+"))


def read_wishes(
    tables: Tables, form: Form | None, cutter: Cutter | None, faults: Faults
) -> tuple[Wish, Mapping[Pair, Wish]]:
    """What is wished of every corner, and of some corners by their panels.

    Without a form nothing is known of the panels, and their names are not checked.
    """
    general = _wish(tables.fingers, ("fingers",), faults)
    wishes: dict[Pair, Wish] = {}
    for name, table in tables.joint.items():
        path = ("joint", name)
        wish = _wish(table, path, faults)
        if general.proud is not None and table.text("proud"):
            faults.add((*path, "proud"), _no_auto(general.proud, tables.unit))
        if form is not None and _pair_stands(path, wish, form, wishes, faults):
            wishes[frozenset(joint_panels(name))] = wish
    if general.flank_gap is None and cutter is not None:
        general = Wish(flank_gap=cutter.usual_flank_gap).over(general)
    return general, MappingProxyType(wishes)


def _pair_stands(
    path: Path, wish: Wish, form: Form, others: Mapping[Pair, Wish], faults: Faults
) -> bool:
    """Whether the joint names two panels that meet, for the first time; faults say why not."""
    panels = joint_panels(path[-1])
    sentence = _wrong_pair(panels, form)
    if sentence is None and frozenset(panels) in others:
        sentence = "this joint stands twice in the file; keep 1 of the 2 tables"
    if sentence is not None:
        faults.add(path, sentence)
    elif wish.leads is not None and wish.leads not in panels:
        sentence = f"{shown(wish.leads)} has no part in this joint; write {' or '.join(panels)}"
        faults.add((*path, "leads"), sentence)
    return sentence is None


def _wish(table: Checked, path: Path, faults: Faults) -> Wish:
    if "width" in table and "count" in table:
        faults.add(
            (*path, "count"),
            "width and count are both given, and each decides the other; take 1 of the 2 out",
        )
    return Wish(
        width=table.length("width"),
        count=table.count("count"),
        leads=table.text("leads"),
        flank_gap=table.length("flank_gap"),
        proud=table.length("proud"),
    )


def _no_auto(proud: float, unit: str) -> str:
    return (
        f"[fingers] asks for {show_length(proud, unit)} on every corner, so auto cannot hold for "
        "this one; write a length here, or move that length to the corners that need it"
    )


def _wrong_pair(panels: tuple[str, ...], form: Form) -> str | None:
    """What is wrong with the name of a joint; None where nothing is."""
    mate = next(panel for panel in form.panels if form.meet("front", panel))
    example = f"front+{mate}"
    if len(panels) != 2:
        return f"a joint is named after 2 panels; write [joint.{shown(example)}]"
    for panel in panels:
        if panel not in form.panels:
            return f"a {form.name} has no panel {shown(panel)}; {nearest(panel, form.panels)}"
    if panels[0] == panels[1]:
        return f"{panels[0]} does not meet itself; name 2 panels, such as {example}"
    if not form.meet(*panels):
        mates = [other for other in form.panels if form.meet(panels[0], other)]
        return f"{panels[0]} and {panels[1]} do not meet; {panels[0]} meets {', '.join(mates)}"
    return None


def check_gaps(tables: Tables, form: Form, piece: Piece, faults: Faults) -> None:
    """Two flank gaps must leave something of the finger."""
    told = set()
    for one, other in combinations(form.panels, 2):
        if not form.meet(one, other):
            continue
        wish = piece.wish_for(one, other)
        widest = _widest(wish, form, piece, one, other)
        gap = wish.flank_gap
        path = _gap_path(tables, frozenset((one, other)))
        if gap is None or widest is None or 2 * gap < widest or path in told:
            continue
        told.add(path)
        faults.add(path, _swallowed(gap, widest, tables.unit))


def _widest(wish: Wish, form: Form, piece: Piece, one: str, other: str) -> float | None:
    """The most a finger can be wide: as wished, or the whole corner divided. [mm]"""
    if wish.width is not None or wish.count is None or not piece.panels:
        return wish.width
    side, panel = form.side(one), piece.panel(one)
    along_u = abs(side.u[form.corner_axis(one, other)]) > 0
    return (panel.width if along_u else panel.height) / wish.count


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
