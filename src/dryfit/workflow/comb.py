"""The use case of the fit comb: its files and its card."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.drafting.comb import Card
    from dryfit.model.comb import Comb
    from dryfit.model.piece import Job
    from dryfit.model.scatter import Scatter
    from dryfit.model.stock import Stock
    from dryfit.parts.part import Part
    from dryfit.workflow.rehearsal import Rehearsal

USUAL_SOCKETS = 8
"""Sockets of a card that goes with no comb. [-]"""

SLOT_STEP = 0.1
SLOTS = 7
"""Step and number of the slots that a sheet is pushed into on the laser. [mm], [-]"""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the maker asks of a comb.

    Parameters
    ----------
    offcut : pair of float
        Length and width of what there is to cut it from. [mm]
    sockets : int, optional
        How many; as many as fit where it is None.
    stock : str
        Name of the stock; the one that most panels are cut from where it is empty.
    own_tongues : bool
        Whether each socket gets a tongue of its own.
    """

    offcut: tuple[float, float] = (240.0, 90.0)
    sockets: int | None = None
    stock: str = ""
    own_tongues: bool = False


def comb_files(rehearsal: Rehearsal, asked: Asked) -> dict[str, bytes]:
    """The files of a fit comb for the cutter and a stock of a job, by their names.

    Raises
    ------
    SizeError
        If there is no such stock, or no comb fits on the offcut.
    """
    from dryfit.drafting.comb import card_page
    from dryfit.model.comb import Comb, sizes, sockets_on
    from dryfit.model.cutter import Route
    from dryfit.writers.svg import write_svg

    job = rehearsal.job
    stock = _stock(job, asked.stock)
    cuts = job.cutter.route in (Route.ROUTER, Route.LASER)
    count = sockets_on(asked.offcut, stock, job.cutter, asked.sockets) if cuts else (
        asked.sockets or USUAL_SOCKETS
    )  # fmt: skip
    gaps = _gaps(rehearsal.odds.scatter, job, stock, count)
    width, web, height = sizes(stock, job.cutter)
    comb = Comb(stock, job.cutter, width, web, gaps, height)
    made = _cut_files(comb, job, asked) if cuts else {}
    return made | {"card.svg": write_svg(card_page(_card(comb, job, asked)))}


def _stock(job: Job, name: str) -> Stock:
    from collections import Counter

    stocks = Counter(panel.stock for panel in job.piece.panels)
    if not name:
        return stocks.most_common(1)[0][0]
    found = next((stock for stock in stocks if stock.name == name), None)
    if found is None:
        known = ", ".join(sorted({stock.name for stock in stocks}))
        raise SizeError(f"no panel of the job is cut from {name!r}; its stocks are {known}.")
    return found


def _gaps(scatter: Scatter, job: Job, stock: Stock, count: int) -> tuple[float, ...]:
    """The gaps that tell most, by what the book knows or by what is thought beforehand. [mm]"""
    from dryfit.model.scatter import Source
    from dryfit.shopbook.known import PRIORS
    from dryfit.tolerance.comb import choose_steps

    prior = PRIORS[job.cutter.route]
    mean, sd, edge = prior.mean, prior.sd, prior.edge_sd
    if scatter.source is Source.BOOK:
        mean, sd, edge = scatter.misfit, scatter.misfit_sd, scatter.edge
    pinch = stock.material.pinch
    return choose_steps(count, mean=mean, sd=sd, edge_sd=edge, pinch=pinch).gaps


def _cut_files(comb: Comb, job: Job, asked: Asked) -> dict[str, bytes]:
    """Comb and tongue; for a laser a kerf strip and slots for the sheet as well."""
    from dryfit.drafting.comb import comb_page, kerf_page
    from dryfit.drafting.parts import part_page
    from dryfit.model.cutter import Route
    from dryfit.parts.comb import comb_parts
    from dryfit.writers.dxf import write_dxf
    from dryfit.writers.svg import write_svg

    toothed, tongue = comb_parts(comb)
    pages = {"comb": comb_page(comb, toothed, job.unit)}
    names = (
        [f"tongue-{k}" for k in range(1, len(comb.gaps) + 1)] if asked.own_tongues else ["tongue"]
    )
    pages |= {name: part_page(tongue, job.unit) for name in names}
    if job.cutter.route is Route.LASER:
        pages["kerf-strip"] = kerf_page(job.unit)
        slots, part = _slots(comb)
        pages["thickness"] = comb_page(slots, part, job.unit, widths=True)
    made = {}
    for name, page in pages.items():
        made[f"{name}.dxf"] = write_dxf(page)
        made[f"{name}.svg"] = write_svg(page)
    return made


def _slots(comb: Comb) -> tuple[Comb, Part]:
    """Slots of graded width, round the thickness of the sheet that is pushed into them."""
    from dataclasses import replace

    from dryfit.parts.comb import comb_parts

    middle = SLOTS // 2
    gaps = tuple(round(SLOT_STEP * (k - middle) / 2, 6) for k in range(SLOTS))
    thick = round(comb.stock.thickness, 1)
    slots = replace(comb, width=thick, web=max(comb.web, 10.0), gaps=gaps)
    return slots, comb_parts(slots, "slots for the sheet")[0]


def _card(comb: Comb, job: Job, asked: Asked) -> Card:
    from dryfit.checks.cautions import LOADS, cautions
    from dryfit.drafting.comb import Card, kerf_steps, steps_of
    from dryfit.model.cutter import Route

    route = job.cutter.route
    steps = steps_of(route, own_tongues=asked.own_tongues)
    if route is Route.LASER:
        steps += kerf_steps(job.unit)
    return Card(
        f"Fit comb: {job.title}",
        f"{_cutter(job)} in {comb.stock.material.name}, "
        f"{show_length(comb.stock.thickness, job.unit)} thick, finger "
        f"{show_length(comb.width, job.unit)} wide",
        tuple((str(k), f"{gap:.2f} mm") for k, gap in enumerate(comb.gaps, start=1)),
        steps,
        book_line(job, comb, own_tongues=asked.own_tongues),
        tuple(each for each in cautions(job) if each != LOADS),
    )


def _cutter(job: Job) -> str:
    from dryfit.shopbook.keys import cutter_key

    return cutter_key(job.cutter)


def book_line(job: Job, comb: Comb, *, own_tongues: bool) -> str:
    """What is typed to enter the results in the shop book, a grade after each gap."""
    results = " ".join(f"--result {k}:{gap:.2f}mm=..." for k, gap in enumerate(comb.gaps, start=1))
    own = " --own-tongues" if own_tongues else ""
    return (
        f'dryfit book add comb --cutter "{_cutter(job)}" --material '
        f'"{comb.stock.material.name}"{own} {results}'
    )
