"""The command that writes the traveller."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import complain, plain, tell
from dryfit.cli.shop import own_shop
from dryfit.errors import DryfitError

FINE, STOPS = 0, 1


def traveller(  # noqa: PLR0913 - every one is an option
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")],
    output: Annotated[Path, typer.Option("--out", "-o", metavar="FILE", help="The PDF to write.")],
    *,
    paper: Annotated[str, typer.Option("--paper", metavar="NAME", help="A4, A3 or letter.")] = "A4",
    units: Annotated[
        str, typer.Option("--units", metavar="UNIT", help="mm, in or both; else the job's own.")
    ] = "",
    large: Annotated[bool, typer.Option("--large", help="Large letters, for a wall.")] = False,
    templates: Annotated[
        bool | None,
        typer.Option(
            "--templates/--no-templates",
            help="Every part at full size; else only where the work is by hand.",
        ),
    ] = None,
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day of issue, such as 2026-11-25.")
    ] = "",
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that hold something else.")
    ] = False,
) -> int:
    """Write the paper that goes with the job to the bench, as one PDF.

    Cover, cautions, cut list, drawings, labels, steps, glue-up and cards. The same job gives the
    same file.
    """
    from dryfit.workflow.traveller import Wish, make_traveller

    if not output.name or output.resolve() == file.resolve():
        raise DryfitError(f"{output} is no file to write; name another with -o OUT.pdf.")
    wish = Wish(paper, units, large, templates, _day(on))
    rehearsal = workflow.read(file, own_shop())
    made = make_traveller(rehearsal, wish)
    workflow.save({output.name: made.data}, output.parent, force=force)
    tell(f"Written: {plain(output)}, {made.sheets} sheets. Print it at 100 %.")
    if made.said:
        tell(plain(made.said))
    if rehearsal.report.stops:
        complain("Something stops this job; its cover says what. Cut nothing from it yet.")
        return STOPS
    return FINE


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise DryfitError(f"{text[:20]!r} is no day; write it such as 2026-11-25.") from None
