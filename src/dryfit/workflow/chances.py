"""The odds of a rehearsal: their curve, and what would change them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from dryfit.workflow.rehearsal import Rehearsal

if TYPE_CHECKING:
    from dryfit.joints.odds import Odds
    from dryfit.model.scatter import Scatter

WORN = 0.02
"""What a cutter may wear before it is noticed (common practice, no source). [mm]"""

TENTH = 0.1
"""A tenth by which a thickness may be off. [mm]"""

_WIDEST = 0.4
_ENOUGH = 0.995
CHANCES = (
    "odds-low", "odds-out-of-reach", "gap-found", "scatter-assumed", "scatter-from-book",
    "book-contradicts",
    "moisture-apart", "cup-stays", "fingers-uneven",
)  # fmt: skip
"""Codes of the findings that bear on the odds."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The odds if one thing were otherwise. [-]"""

    what: str
    odds: float


def what_if(rehearsal: Rehearsal) -> tuple[WhatIf, ...]:
    """How the odds change when the cutter wears, the stock is thicker, fingers are more, and so on.

    The flank gap stays as it is.
    """
    from dryfit.joints.odds import Odds
    from dryfit.model.kind import Kind
    from dryfit.model.piece import Wish

    job, odds = rehearsal.job, rehearsal.odds
    scatter, route = odds.scatter, job.cutter.route

    def told(what: str, other: Odds) -> WhatIf:
        return WhatIf(what, other.curve_at(odds.gap))

    def cut_with(other: Scatter) -> Odds:
        return Odds(rehearsal.piece, rehearsal.plans, other, route, job.wanted)

    found = []
    if job.cutter.size:
        worn = cut_with(replace(scatter, misfit=scatter.misfit + WORN))
        found.append(
            told(f"the cutter leaves {WORN} mm less in every socket, as when it wears", worn)
        )
    piece, plans = rehearsal.piece, rehearsal.plans
    thick = Odds(piece, plans, scatter, route, job.wanted, thicker=TENTH)
    found.append(told(f"every panel is {TENTH} mm thicker than measured", thick))
    more = {
        frozenset((joint.lead, joint.follow)): Wish(count=joint.plan.count + 2)
        for joint in rehearsal.joints
        if joint.kind is Kind.FINGER
    }
    if more:
        wishes = dict(rehearsal.piece.wishes)
        for pair, wish in more.items():
            wishes[pair] = wish.over(wishes[pair]) if pair in wishes else wish
        divided = Rehearsal(job.with_piece(replace(rehearsal.piece, wishes=wishes)))
        found.append(told("every corner has one more finger on each panel", divided.odds))
    half = replace(
        scatter, edge=scatter.edge / 2, datum=scatter.datum / 2, misfit_sd=scatter.misfit_sd / 2
    )
    found.append(told("your shop scatters half as much", cut_with(half)))
    return tuple(found)


def odds_curve(rehearsal: Rehearsal) -> tuple[tuple[float, float], ...]:
    """Flank gaps [mm], from none to where more changes little, and the odds at each. [-]"""
    import numpy as np

    odds = rehearsal.odds
    gaps = np.linspace(0.0, _WIDEST, 41)
    found = odds.curve(gaps)
    enough = np.flatnonzero(found >= min(_ENOUGH, found.max()))
    most = max(float(gaps[enough[0]]) if enough.size else _WIDEST, 2 * odds.gap, 0.04)
    fine = np.linspace(0.0, min(round(most, 2), _WIDEST), 41)
    return tuple(zip(fine.tolist(), odds.curve(fine).tolist(), strict=True))


def odds_picture(rehearsal: Rehearsal) -> str:
    """Those odds as a curve, as SVG text."""
    from dryfit.drafting.curve import curve_page
    from dryfit.writers.svg import write_svg

    job, odds = rehearsal.job, rehearsal.odds
    wanted = odds.least_gap(job.wanted.odds)
    reached = None if wanted is None else (wanted, odds.curve_at(wanted))
    page = curve_page(
        job.title, odds_curve(rehearsal), (odds.gap, odds.whole), reached, job.wanted.odds, job.unit
    )
    return write_svg(page).decode()


def odds_data(rehearsal: Rehearsal) -> dict[str, Any]:
    """The odds as plain data, with their curve and what would change them."""
    from dryfit.checks.record import odds_record

    curve = [{"flank_gap_mm": gap, "odds": chance} for gap, chance in odds_curve(rehearsal)]
    ifs = [{"what": each.what, "odds": each.odds} for each in what_if(rehearsal)]
    least = rehearsal.odds.least_gap(rehearsal.job.wanted.odds)
    return odds_record(rehearsal.odds) | {
        "least_flank_gap_mm": least, "curve": curve, "what_if": ifs,
    }  # fmt: skip
