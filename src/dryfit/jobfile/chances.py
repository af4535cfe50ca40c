"""Scatter and odds of a job file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.model.scatter import USUAL, WANTED, Scatter, Source

if TYPE_CHECKING:
    from dryfit.jobfile.values import Checked
    from dryfit.model.cutter import Cutter
    from dryfit.model.scatter import Wanted

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
    usual = USUAL[cutter.route]

    def stated(key: str, otherwise: float) -> float:
        length = table.length(key)
        return otherwise if length is None else length

    return Scatter(
        edge=stated("edge", usual.edge),
        datum=stated("datum", usual.datum),
        misfit=stated("misfit", usual.misfit),
        misfit_sd=stated("doubt", usual.misfit_sd),
        scale=stated("scale", 0.0) / METRE,
        source=Source.JOB,
    )
