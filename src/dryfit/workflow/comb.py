"""The use case of a fit comb: a job's stock and cutter in, the files of a comb and its card out."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.errors import SizeError, UnitError
from dryfit.model.cutter import Relief, Route

if TYPE_CHECKING:
    from dryfit.drafting.comb import Card
    from dryfit.model.comb import Blank, Comb
    from dryfit.model.piece import Job
    from dryfit.model.stock import Stock
    from dryfit.pages.page import Page
    from dryfit.workflow import Rehearsal

OFFCUT = "200x80mm"
"""What a comb is cut from where the maker says nothing."""

_OFFCUT = re.compile(r"\s*([\d.]+)\s*[xX×]\s*([\d.]+)\s*(mm|cm|in)?\s*")
_MOST = 3000.0


@dataclass(frozen=True)
class MadeComb:
    """A comb made.

    Parameters
    ----------
    files : dict
        Content by file name.
    gaps : tuple of float
        Drawn flank gap of every socket; none by hand. [mm]
    rest : float
        Standard deviation of the misfit to be expected once graded; that of before without a
        comb. [mm]
    before : float
        Standard deviation of the misfit as thought of beforehand. [mm]
    command : str
        What is typed when it has been graded.
    """

    files: dict[str, bytes]
    gaps: tuple[float, ...]
    rest: float
    before: float
    command: str


def read_offcut(text: str) -> tuple[float, float]:
    """Width and height of an offcut such as ``200x80mm``. [mm]

    Raises
    ------
    SizeError
        If it is no size, or one that no offcut has.
    """
    from dryfit.units import read_length

    found = _OFFCUT.fullmatch(text)
    if not found:
        raise SizeError(f"{text[:40]!r} is no size of an offcut; write it such as {OFFCUT}.")
    try:
        width, height = (read_length(found[k], found[3] or "mm") for k in (1, 2))
    except UnitError as error:
        raise SizeError(f"The offcut {text[:40]!r}: {error}.") from error
    if not (0 < width <= _MOST and 0 < height <= _MOST):
        raise SizeError(f"An offcut is more than 0 and up to {_MOST:g} mm long, not {text[:40]!r}.")
    return width, height


def make_comb(
    rehearsal: Rehearsal,
    offcut: str = OFFCUT,
    sockets: int | None = None,
    stock: str = "",
    *,
    own_tongues: bool = False,
) -> MadeComb:
    """Choose the gaps of a comb for a job's stock and cutter, and write its files.

    Parameters
    ----------
    rehearsal : Rehearsal
        The job.
    offcut : str
        What it is cut from, such as ``200x80mm``.
    sockets : int, optional
        How many; else what fits. [-]
    stock : str
        Which of the job's stock; else that of most panels.
    own_tongues : bool
        Whether each socket has a tongue of its own.

    Raises
    ------
    SizeError
        If the offcut is too small, or there is no such stock.
    """
    comb, rest, before = _designed(rehearsal, offcut, sockets, stock, own_tongues=own_tongues)
    command = _command(comb)
    return MadeComb(_files(comb, rehearsal.job, command), comb.gaps, rest, before, command)


def _designed(
    rehearsal: Rehearsal, offcut: str, sockets: int | None, stock: str, *, own_tongues: bool
) -> tuple[Comb, float, float]:
    """The comb, and the standard deviation of the misfit once graded and before. [mm]"""
    from dryfit.model.comb import Blank, Comb
    from dryfit.model.scatter import Source
    from dryfit.shopbook.keys import cutter_key
    from dryfit.shopbook.known import prior_of
    from dryfit.tolerance.comb import Outlook, choose
    from dryfit.tolerance.evidence import Prior

    job = rehearsal.job
    blank = Blank(_stock(job, stock), job.cutter, own_tongues)
    prior = prior_of(cutter_key(job.cutter))
    scatter = rehearsal.odds.scatter
    if scatter.source is Source.BOOK:
        # What the book knows already makes the next comb finer.
        prior = Prior(scatter.misfit, scatter.misfit_sd, scatter.edge, scatter.freedom)
    size = read_offcut(offcut)
    if job.cutter.route in (Route.SAW, Route.HAND):
        gaps: tuple[float, ...] = (job.cutter.usual_flank_gap,)
        rest = prior.sd
    else:
        count = blank.sockets_on(size, sockets)
        material = blank.stock.material
        outlook = Outlook(prior.mean, prior.sd, prior.edge_sd, material.pinch, own_tongues)
        design = choose(outlook, count)
        gaps, rest = design.gaps, design.rest
    return Comb(blank, gaps), rest, prior.sd


def comb_card_page(rehearsal: Rehearsal) -> Page:
    """The card of the comb that :func:`make_comb` makes of an offcut of the usual size.

    Raises
    ------
    SizeError
        If the usual offcut is too small for this stock.
    """
    from dryfit.drafting.comb import card_page, comb_page
    from dryfit.parts.comb import comb_part

    comb, _, _ = _designed(rehearsal, OFFCUT, None, "", own_tongues=False)
    job = rehearsal.job
    page = None
    if job.cutter.route is not Route.HAND:
        page = comb_page(comb_part(comb), comb)
    return card_page(_card(comb, job, _command(comb)), comb.gaps, page)


def _stock(job: Job, name: str) -> Stock:
    """The stock of that name, else the one that most panels are cut from."""
    counted = Counter(panel.stock.name for panel in job.piece.panels)
    wanted = name or counted.most_common(1)[0][0]
    found = next((p.stock for p in job.piece.panels if p.stock.name == wanted), None)
    if found is None:
        near = difflib.get_close_matches(wanted, counted, n=1)
        way_out = f"the nearest is {near[0]}" if near else f"it has {', '.join(counted)}"
        raise SizeError(f"The job has 0 panels of stock {wanted[:40]!r}; {way_out}.")
    return found


def _command(comb: Comb) -> str:
    """What enters the results into the shop book; a number before a gap lets it be negative."""
    from dryfit.shopbook.keys import cutter_key

    blank = comb.blank
    results = " ".join(f"--result {k}:{gap:.2f}mm=GRADE" for k, gap in enumerate(comb.gaps, 1))
    own = " --own-tongues" if blank.own_tongues else ""
    return (
        f'dryfit book add comb --cutter "{cutter_key(blank.cutter)}" '
        f'--material "{blank.stock.material.name}" {results}{own}'
    )


def _files(comb: Comb, job: Job, command: str) -> dict[str, bytes]:
    """The parts as DXF and SVG, and the card; by hand the card alone."""
    from dryfit.drafting.comb import card_page, comb_page
    from dryfit.drafting.parts import part_page
    from dryfit.parts.comb import comb_part, tongue_part
    from dryfit.writers.dxf import write_dxf
    from dryfit.writers.svg import write_svg

    card = _card(comb, job, command)
    if job.cutter.route is Route.HAND:
        return {"card.svg": write_svg(card_page(card, comb.gaps, None))}
    page = comb_page(comb_part(comb), comb)
    pages = {"comb": page, "tongue": part_page(tongue_part(comb.blank))}
    if job.cutter.route is Route.LASER:
        pages |= _laser_pages(comb.blank)
    files: dict[str, bytes] = {}
    for name, each in pages.items():
        files |= {f"{name}.dxf": write_dxf(each), f"{name}.svg": write_svg(each)}
    return files | {"card.svg": write_svg(card_page(card, comb.gaps, page))}


def _laser_pages(blank: Blank) -> dict[str, Page]:
    """What a laser tries beside: its kerf, and slots for the stock itself."""
    from dryfit.drafting.comb import comb_page, kerf_page
    from dryfit.model.comb import KerfStrip
    from dryfit.parts.comb import comb_part

    slots = _slots(blank)
    return {
        "kerf-strip": kerf_page(KerfStrip()),
        "slots": comb_page(comb_part(slots, "slots"), slots),
    }


def _card(comb: Comb, job: Job, command: str) -> Card:
    from dryfit.checks.cautions import cautions
    from dryfit.drafting.comb import Card
    from dryfit.pages.names import plain_text
    from dryfit.shopbook.keys import cutter_key

    blank = comb.blank
    stock = plain_text(blank.stock.name)
    about = (
        f"{_capital(blank.stock.material.name)}, stock {stock}, {blank.stock.thickness:.2f} mm "
        "thick; "
        f"{cutter_key(blank.cutter)}. The tongue is drawn {blank.tongue:g} mm wide, each socket "
        "two drawn gaps wider."
    )
    title = "Fit comb" if len(comb.gaps) > 1 else "Trial pair"
    return Card(title, about, command, _notes(comb), cautions(job, stands=False))


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _notes(comb: Comb) -> tuple[str, ...]:
    """What to cut how often, and what the route asks beside."""
    blank = comb.blank
    if blank.cutter.route is Route.HAND:
        return ("Mark out, saw and pare one socket and its mate as you always do; grade that.",)
    times = len(comb.gaps) if blank.own_tongues else 1
    several = f"the tongue {times} times, one for each socket" if times > 1 else "one tongue"
    if blank.cutter.route is Route.SAW:
        pair = (
            "Cut the socket and its mate on the jig with the blade set of the work, and grade them."
        )
        again = "Build the set up or down by a shim, and cut and enter another pair."
        return (pair, again)
    cut = f"Cut the comb once and {several}, in one session, with the work's own settings."
    rounds = blank.cutter.route is Route.ROUTER and blank.cutter.relief is Relief.NONE
    square = "Before you try it, square the inside corners of every socket with a chisel."
    if blank.cutter.route is Route.LASER:
        return (cut, *_laser_notes(blank))
    return (cut, square) if rounds else (cut,)


def _laser_notes(blank: Blank) -> tuple[str, ...]:
    """How the kerf strip and the slots are read."""
    from dryfit.model.comb import KerfStrip

    strip = KerfStrip()
    slots = _slots(blank)
    return (
        (
            f"Kerf strip ({strip.length:g} by {strip.height:g} mm more): cut on the line, no "
            f"offset. Push the {strip.pieces} pieces together and measure their length M on one "
            f"face: kerf = ({strip.length:g} mm - M) / {strip.pieces}. Do it on both faces; taper "
            "of a cut = the difference of the two kerfs."
        ),
        (
            f"Slots ({slots.width:.0f} by {blank.height:.0f} mm more): push the stock itself, "
            f"{blank.stock.thickness:.2f} mm thick, into each; the tightest that takes it by hand "
            "tells the air it needs at either face."
        ),
    )


def _slots(blank: Blank) -> Comb:
    """Slots graded round the measured thickness."""
    from dryfit.model.comb import SLOT_GAPS, Comb

    return Comb(replace(blank, mate=blank.stock.thickness), SLOT_GAPS)
