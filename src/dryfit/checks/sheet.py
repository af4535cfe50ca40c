"""The mend that stills a panel: cut it from sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.findings import Edit, Mend

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.checks.subject import Subject
    from dryfit.model.panel import Panel

_NAME = "sheet"


def of_sheet(subject: Subject, panels: Sequence[Panel], also: str = "") -> Mend:
    """Cut panels from sheet: from stock in hand where there is some, else from birch plywood.

    Parameters
    ----------
    subject : Subject
        The job.
    panels : sequence of Panel
        What to cut from it; all of one stock.
    also : str
        What else could be done, as a sentence.
    """
    own = panels[0].stock
    stocks = {panel.stock.name: panel.stock for panel in subject.job.piece.panels}
    sheets = [stock for stock in stocks.values() if not stock.material.solid]
    sheet = min(sheets, key=lambda each: abs(each.thickness - own.thickness), default=None)
    edits: list[Edit] = []
    if sheet is None:
        name, words, thick = _NAME, "birch plywood", own.nominal
        edits += [
            Edit(("stock", name, "material"), words),
            Edit(("stock", name, "nominal"), subject.value(thick)),
        ]
        if len(stocks) == 1:
            edits.append(Edit(("piece", "stock"), own.name))
    else:
        name, words, thick = sheet.name, sheet.material.name, sheet.thickness
    for panel in panels:
        edits.append(Edit(("panel", panel.name, "stock"), name))
        edits += [
            Edit(("panel", panel.name, key), None)
            for key in ("readings", "spread", "moisture", "cup", "wind")
        ]
    names = " and ".join(panel.name for panel in panels)
    return Mend(
        f"Cut {names} from {words}, {subject.say(thick)}.{' ' if also else ''}{also}",
        tuple(edits),
        value=round(thick, 4),
    )
