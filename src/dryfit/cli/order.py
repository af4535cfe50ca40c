"""The command that tells the order of assembly."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import plain, tell, write
from dryfit.cli.shop import own_shop

FINE, STOPS = 0, 1


def order(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")],
    folder: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FOLDER", help="Draw every step, as SVG.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that hold something else.")
    ] = False,
) -> int:
    """Tell in what order the parts go together, and how they are glued."""
    rehearsal = workflow.read(file, own_shop())
    if folder is not None:
        workflow.save(workflow.order_pictures(rehearsal), folder, force=force)
    if json:
        from json import dumps

        write(dumps(workflow.order_data(rehearsal), allow_nan=False) + "\n")
    else:
        from dryfit.cli import steps

        tell(*steps.whole(rehearsal))
        if folder is not None:
            tell("", f"Written: a picture of every step, in {plain(folder)}.")
    return STOPS if rehearsal.report.stops else FINE
