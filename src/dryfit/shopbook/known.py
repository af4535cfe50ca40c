"""What the book knows of a cutter in a material, as evidence to learn from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.materials.sheets import find_material
from dryfit.model.cutter import Route
from dryfit.shopbook.records import CombRecord, WidthRecord
from dryfit.tolerance.evidence import Comb, Prior, Source, Trial, Widths
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade

if TYPE_CHECKING:
    from datetime import date

    from dryfit.shopbook.book import Book, Entry

PRIORS = MappingProxyType(
    {
        Route.ROUTER: Prior(mean=0.0, sd=0.05, edge_sd=0.02, freedom=4.0),
        Route.LASER: Prior(mean=0.0, sd=0.05, edge_sd=0.02, freedom=4.0),
        Route.SAW: Prior(mean=0.0, sd=0.08, edge_sd=0.03, freedom=4.0),
        Route.HAND: Prior(mean=0.0, sd=0.10, edge_sd=0.08, freedom=4.0),
    }
)
"""What is thought of a route before anything is measured (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Results of one cutter in one material, by a day.

    Parameters
    ----------
    sources : tuple of Comb and Widths
        What was measured, each named by its entry.
    entries : tuple of Entry
        The entries they come from, in the same order.
    prior : Prior
        What was thought beforehand.
    """

    sources: tuple[Source, ...]
    entries: tuple[Entry, ...]
    prior: Prior


def known(book: Book, cutter: str, material: str, on: date) -> Evidence:
    """What a book knows on a day.

    Only what was entered by the end of that day counts, so that the answer for a day stays what it
    was, whatever is entered later under a later date.

    Parameters
    ----------
    book : Book
        The book.
    cutter, material : str
        Key of the cutter, and the material's name.
    on : date
        The day.
    """
    evening = datetime.combine(on, time(23, 59, 59), tzinfo=UTC)
    found = [
        (_source(entry, on), entry)
        for entry in book.entries(until=evening)
        if entry.stands and _is_of(entry, cutter, material)
    ]
    return Evidence(
        tuple(source for source, _ in found),
        tuple(entry for _, entry in found),
        prior_of(cutter),
    )


def prior_of(cutter: str) -> Prior:
    """What is thought beforehand of a cutter, by the route its key begins with."""
    word = _plain(cutter).replace(",", " ").partition(" ")[0]
    return PRIORS[Route(word)] if word in set(Route) else Prior()


def _is_of(entry: Entry, cutter: str, material: str) -> bool:
    said = entry.record
    if not isinstance(said, (CombRecord, WidthRecord)):
        return False
    same = _plain(said.cutter) == _plain(cutter)
    return same and _plain(said.material) == _plain(material)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def _source(entry: Entry, on: date) -> Source:
    """What an entry says, to be learned from."""
    age = float(max((on - entry.since.date()).days, 0))
    name, said = f"entry {entry.id}", entry.record
    if isinstance(said, WidthRecord):
        offs = tuple(width - said.drawn for width in said.measured)
        fingers, sockets = (offs, ()) if said.part == "finger" else ((), offs)
        return Widths(name, fingers, sockets, said.resolution, age)
    assert isinstance(said, CombRecord)
    material = find_material(said.material)
    pinch = material.pinch if material else 0.0
    boundaries = Boundaries.of(said.boundaries)
    trials = tuple(Trial(each.gap, Grade(each.grade), boundaries, pinch) for each in said.results)
    return Comb(name, trials, said.same_tongue, age)
