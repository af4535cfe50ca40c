"""Alternatives side by side, as a page of text."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import tell, write
from dryfit.cli.shop import own_shop

if TYPE_CHECKING:
    from dryfit.workflow import Side


def compare(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")],
    typed: Annotated[
        list[str] | None,
        typer.Option(
            "--with",
            metavar="LINE",
            help="An alternative, as a line of a job file: 'stock.ply.nominal = 12'.",
        ),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
) -> int:
    """Set a job and its alternatives side by side, and tell what changes in the answers.

    Alternatives are the tables [compare.NAME] of the file and those given with --with.
    """
    sides = workflow.compare(file, typed or (), own_shop())
    if json:
        from json import dumps

        write(dumps(workflow.compare_data(sides), allow_nan=False) + "\n")
    else:
        from dryfit.cli.sides import whole

        tell(*whole(sides))
    return _verdict(sides[0])


def _verdict(side: Side) -> int:
    return int(side.rehearsal.report.stops)
