"""The use case of the traveller: one PDF that goes with the job to the bench."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.errors import DryfitError, SizeError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from dryfit.drafting.traveller.look import Look
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.pages.page import Page
    from dryfit.workflow.rehearsal import Rehearsal

NAME = "traveller.pdf"
"""What the file is called beside the others of a job."""

_DIGITS = 8


@dataclass(frozen=True, slots=True)
class Wish:
    """How the traveller is wanted.

    Parameters
    ----------
    paper : str
        A4, A3 or letter.
    units : str
        mm, in or both; empty takes the job's own.
    large : bool
        Whether letters are large, for a wall.
    templates : bool, optional
        Whether parts are drawn at full size; None where the work is by hand.
    on : date, optional
        The day of issue; without one its field is left to a pen.
    """

    paper: str = "A4"
    units: str = ""
    large: bool = False
    templates: bool | None = None
    on: date | None = None


USUAL = Wish()


@dataclass(frozen=True, slots=True)
class Made:
    """The file, its number of sheets, and what to say of it; empty where nothing is."""

    data: bytes
    sheets: int
    said: str


def make_traveller(rehearsal: Rehearsal, wish: Wish = USUAL) -> Made:
    """The traveller of a job.

    Raises
    ------
    SizeError
        If there is no such paper or unit.
    """
    from dryfit.drafting.traveller.pages import letters_missing, traveller_pages
    from dryfit.writers.pdf import About, write_pdf

    packet = packet_of(rehearsal, wish)
    pages = traveller_pages(packet)
    about = About(packet.job.title, f"Job {packet.number}", packet.creator, wish.on)
    return Made(write_pdf(pages, about), len(pages), letters_missing(packet))


def packet_of(rehearsal: Rehearsal, wish: Wish = USUAL) -> Packet:
    """Everything that goes on paper."""
    from dryfit import __version__
    from dryfit.checks.cautions import cautions
    from dryfit.drafting.traveller.look import UNITS, Look
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.model.cutter import Route
    from dryfit.pages.paper import PAPERS

    job, origin = rehearsal.job, rehearsal.origin
    paper = next((p for name, p in PAPERS.items() if name.lower() == wish.paper.lower()), None)
    if paper is None:
        raise SizeError(f"There is no paper {wish.paper[:20]!r}; take {', '.join(PAPERS)}.")
    if wish.units and wish.units not in UNITS:
        raise SizeError(f"There is no unit {wish.units[:20]!r}; take {', '.join(UNITS)}.")
    look = Look(paper, wish.units or job.unit, wish.large)
    by_hand = job.cutter.route is Route.HAND
    text = origin.text if origin else ""
    return Packet(
        job=job,
        joints=rehearsal.joints,
        parts=rehearsal.parts,
        report=rehearsal.report,
        cautions=cautions(job),
        figures=_figures(rehearsal, look),
        source=Path(origin.source).name if origin else "",
        text=text,
        number=sha256(text.encode()).hexdigest()[:_DIGITS],
        assembly=rehearsal.assembly,
        glue_up=rehearsal.glue_up,
        cards=_cards(rehearsal),
        on=wish.on,
        plan=rehearsal.sheets.plan if rehearsal.sheets else None,
        templates=by_hand if wish.templates is None else wish.templates,
        creator=f"dryfit {__version__}",
        look=look,
    )


def _figures(rehearsal: Rehearsal, look: Look) -> tuple[str, ...]:
    """Which scatter is in use, and where it is from."""
    from dryfit.model.scatter import Source

    scatter = rehearsal.odds.scatter
    whence = {
        Source.BOOK: "as this shop's book knows it",
        Source.JOB: "as the job states it",
        Source.ROUTE: "usual for the route (common practice, no source), not measured here",
    }[scatter.source]
    edge, datum, misfit, doubt = (
        look.length(value, 3)
        for value in (scatter.edge, scatter.datum, scatter.misfit, scatter.misfit_sd)
    )
    return (f"Scatter: {edge} an edge, {datum} a set-up, misfit {misfit} ± {doubt}, {whence}.",)


def _cards(rehearsal: Rehearsal) -> dict[str, tuple[Page, ...]]:
    """Sheets that other rooms draw, by kind; what a job does not have is left out."""
    found: dict[str, tuple[Page, ...]] = {}
    for kind, draw in _CARDS.items():
        try:
            pages = draw(rehearsal)
        except DryfitError:
            continue  # its own command says why
        if pages:
            found[kind] = pages
    return found


def _bench_cards(rehearsal: Rehearsal) -> tuple[Page, ...]:
    from dryfit.drafting.card import card_page
    from dryfit.workflow.card import make_cards

    return tuple(card_page(card) for card in make_cards(rehearsal).cards)


def _comb_card(rehearsal: Rehearsal) -> tuple[Page, ...]:
    from dryfit.workflow.comb import comb_card_page

    return (comb_card_page(rehearsal),)


_CARDS: dict[str, Callable[[Rehearsal], tuple[Page, ...]]] = {
    "setting card": _bench_cards,
    "comb card": _comb_card,
}
