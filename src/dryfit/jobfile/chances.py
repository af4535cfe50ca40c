"""Scatter and odds of a job file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.model.scatter import USUAL, WANTED, Source

if TYPE_CHECKING:
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.scatter import Scatter, Wanted

METRE = 1000.0
"""The length over which a difference in scale is stated. [mm]"""


def read_wanted(table: Checked) -> Wanted:
    """What the maker wants of the odds."""
    odds, flush, sanding = table.number("wanted"), table.length("flush"), table.length("sanding")
    return replace(
        WANTED,
        odds=WANTED.odds if odds is None else odds / 100,
        flush=WANTED.flush if flush is None else flush,
        sanding=WANTED.sanding if sanding is None else sanding,
    )


def read_scatter(table: Checked, cutter: Cutter | None) -> Scatter | None:
    """The scatter that the file states, the usual one where it leaves something out."""
    if cutter is None or not table.stands:
        return None
    keys = {"edge": "edge", "datum": "datum", "misfit": "misfit", "misfit_sd": "doubt"}
    stated = {name: table.length(key) for name, key in keys.items()}
    scale = table.length("scale")
    return replace(
        USUAL[cutter.route],
        source=Source.JOB,
        scale=0.0 if scale is None else scale / METRE,
        **{name: value for name, value in stated.items() if value is not None},
    )
