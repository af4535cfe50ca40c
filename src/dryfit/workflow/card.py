"""The use case of the card: what goes to the saw or to the bench beside the drawings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.drafting.card import BenchCard  # the bare record: it loads nothing heavy
from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from dryfit.workflow import Rehearsal

__all__ = ["BenchCard", "Cards", "make_cards"]

_ELSEWHERE = {
    Route.ROUTER: (
        "A card sets up a saw or marks out work by hand; this job is cut on a router, and its "
        "drawings say all that a card would: dryfit make writes them."
    ),
    Route.LASER: (
        "A card sets up a saw or marks out work by hand; this job is cut on a laser, and its "
        "drawings say all that a card would: dryfit make writes them."
    ),
}


@dataclass(frozen=True)
class Cards:
    """The cards of a job.

    Parameters
    ----------
    cards : tuple of BenchCard
        One for each setting of the jig, or for each way of marking.
    files : dict
        Content by file name.
    instead : str
        Why there are none, as a sentence; empty where there are some.
    """

    cards: tuple[BenchCard, ...]
    files: dict[str, bytes]
    instead: str = ""


def make_cards(rehearsal: Rehearsal) -> Cards:
    """The setting cards of a job on the saw, or the marks of one by hand.

    Raises
    ------
    SizeError
        If the blade is wider than a socket, or fingers are narrower than a rule shows.
    """
    route = rehearsal.job.cutter.route
    if route in _ELSEWHERE:
        return Cards((), {}, _ELSEWHERE[route])
    from dryfit.drafting.card import card_page
    from dryfit.writers.svg import write_svg

    cards = _for_the_saw(rehearsal) if route is Route.SAW else _by_hand(rehearsal)
    if not cards:
        return Cards((), {}, "No corner of this job has fingers, so there is nothing to set.")
    name = "setting-card" if route is Route.SAW else "marks"
    files = {
        f"{name}{f'-{number}' if len(cards) > 1 else ''}.svg": write_svg(card_page(card))
        for number, card in enumerate(cards, 1)
    }
    return Cards(cards, files)


def _for_the_saw(rehearsal: Rehearsal) -> tuple[BenchCard, ...]:
    from dryfit.cutting.batch import batches
    from dryfit.drafting.setting import setting_card

    job, step, said = rehearsal.job, rehearsal.odds.scatter.edge, _cautions(rehearsal)
    return tuple(
        setting_card(batch, job, said)
        for batch in batches(job.piece, rehearsal.plans, job.cutter, step, job.times)
    )


def _by_hand(rehearsal: Rehearsal) -> tuple[BenchCard, ...]:
    from dryfit.cutting.batch import marked
    from dryfit.cutting.marks import HALF_MILLIMETRE, SIXTY_FOURTH
    from dryfit.drafting.marking import marks_card

    job = rehearsal.job
    grid = SIXTY_FOURTH if job.unit in ("in", "ft") else HALF_MILLIMETRE
    said = _cautions(rehearsal)
    return tuple(marks_card(batch, job, said) for batch in marked(job.piece, rehearsal.plans, grid))


def _cautions(rehearsal: Rehearsal) -> tuple[str, ...]:
    """What can hurt at saw and bench: whose word comes first at the head, loads left to others."""
    from dryfit.checks.cautions import DEFER, LOADS, cautions

    own = cautions(rehearsal.job, stands=False)
    return (DEFER, *(said for said in own if said not in (DEFER, LOADS)))
