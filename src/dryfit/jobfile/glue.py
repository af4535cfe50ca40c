"""The glue of a job file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.glue import USUAL_GLUE, Glue

if TYPE_CHECKING:
    from dryfit.jobfile.values import Checked


def read_glue(table: Checked) -> Glue:
    """How long the glue waits, and how long spreading it takes."""
    open_, spread = table.number("open"), table.number("spread")
    return Glue(
        USUAL_GLUE.open if open_ is None else open_,
        USUAL_GLUE.spread if spread is None else spread,
        stated=table.stands,
    )
