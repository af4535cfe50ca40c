"""What stands on the piece, from its tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.shop import family_of
from dryfit.model.load import Load, Service

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked


def read_service(tables: Tables, names: Sequence[str], faults: Faults) -> Service:
    """What the piece is for, and what is on its panels.

    Parameters
    ----------
    tables : Tables
        The file.
    names : sequence of str
        The panels there are.
    faults : Faults
        Where faults go.
    """
    known = {**dict.fromkeys(names), **dict.fromkeys(map(family_of, names))}
    for name in tables.load:
        if name not in known:
            sentence = f"there is no panel {shown(name)} to load; {nearest(name, known)}"
            faults.add(("load", name), sentence)
    loads = {}
    for name in names:
        table = tables.load.get(name) or tables.load.get(family_of(name))
        if table is not None:
            loads[name] = _load(table)
    return Service(tables.piece.text("use") or "", tables.piece.flag("fixed"), loads)


def _load(table: Checked) -> Load:
    return Load(
        use=table.text("use") or "",
        weight=table.number("weight"),
        middle=table.text("at") == "middle",
        brief=table.flag("brief"),
        limit=table.length("limit"),
    )
