"""The use cases of the shop book: entering, correcting, carrying, and what it says now.

Words of the maker become records here, so that the fronts only pass them on. Days come from the
caller; an entry is kept under the first moment of its day, in UTC.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from dryfit.errors import BookError, DoubtError, UnitError
from dryfit.units import read_length

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from dryfit.model.piece import Job
    from dryfit.model.scatter import Scatter
    from dryfit.shopbook.book import Entry
    from dryfit.shopbook.records import Record
    from dryfit.tolerance.learning import Learned

KINDS = ("machine", "cutter", "stock", "comb", "width", "job")
"""What an entry may be about."""

_LARGEST = 50_000_000  # no larger file is read in [bytes]


@dataclass(frozen=True, slots=True)
class Known:
    """What the book says of a cutter in a material on a day.

    Parameters
    ----------
    cutter, material : str
        What it is about, as it is kept.
    learned : Learned
        Misfit, scatter and how well the results agree.
    entries : tuple of Entry
        What it was learned from.
    ages : tuple of int
        How old each is. [days]
    contradiction : str
        The two results that contradict each other most, as a sentence; empty where results agree.
    """

    cutter: str
    material: str
    learned: Learned
    entries: tuple[Entry, ...]
    ages: tuple[int, ...]
    contradiction: str


def usual_place() -> Path:
    """The file of the user's own book."""
    from dryfit.shopbook.place import usual_place as of_system

    return of_system()


def read_day(text: str | None, today: date) -> date:
    """The day of a text such as ``2026-11-25``; today where there is none.

    Raises
    ------
    BookError
        If it is no day.
    DoubtError
        If it lies after today.
    """
    if text is None:
        return today
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise BookError(f"{text[:40]!r} is no day; write it as {today.isoformat()}.") from error
    if day > today:
        raise BookError(
            f"{day.isoformat()} is {(day - today).days} days after today, {today.isoformat()}; "
            "write a day that has been."
        )
    return day


def record_of(kind: str, said: Mapping[str, Any]) -> Record:
    """A record from the maker's own words.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    said : mapping of str to object
        Text under the names of the record's fields; lengths with their units, lists as sequences.
        ``machine`` goes into the cutter's key, and ``allowances`` says that the lengths of a comb's
        results are two flank gaps each.

    Raises
    ------
    BookError
        If something is missing or wrong.
    """
    from dryfit.shopbook.records import RECORDS, Kind

    maker = RECORDS[Kind(_one_of(kind, KINDS, "kind of entry"))]
    values = _values(said)
    known = {field.name for field in fields(maker)}
    foreign = sorted(values.keys() - known)
    if foreign:
        raise BookError(f"A {kind} has no {_word(foreign[0])}; leave that out.")
    missing = [
        field.name for field in fields(maker) if field.name not in values and _must(field.default)
    ]
    if missing:
        raise BookError(
            f"A {kind} needs its {_word(missing[0])}; say it with {_option(missing[0])}."
        )
    return maker(**values)


def enter(path: Path, record: Record, on: date, *, sure: bool = False) -> int:
    """Enter a record and return its number.

    Raises
    ------
    DoubtError
        If it is hard to believe and the maker has not said to be sure.
    BookError
        If the book cannot be used.
    """
    from dryfit.shopbook.book import Book

    _believe(record, sure)
    with Book.open(path) as book:
        return book.add(record, _moment(on))


def correct(
    path: Path, number: int, said: Mapping[str, Any], on: date, *, sure: bool = False
) -> int:
    """Enter a correction of an entry: what is said anew replaces what it said before.

    Raises
    ------
    DoubtError
        If it is hard to believe and the maker has not said to be sure.
    BookError
        If there is no such entry, it was superseded, or something is wrong.
    """
    from dryfit.shopbook.book import Book

    with Book.open(path, create=False) as book:
        old = _find(book.entries(), number)
        record = _corrected(old, said)
        _believe(record, sure)
        return book.supersede(number, record, _moment(on))


def withdraw(path: Path, number: int, on: date) -> int:
    """Enter that an entry does not count any more.

    Raises
    ------
    BookError
        If there is no such entry, or it does not stand.
    """
    from dryfit.shopbook.book import Book

    with Book.open(path, create=False) as book:
        return book.withdraw(number, _moment(on))


def entries(path: Path, kind: str | None = None) -> tuple[Entry, ...]:
    """The entries of a book, those too that do not stand.

    Raises
    ------
    BookError
        If there is no book, or no such kind.
    """
    from dryfit.shopbook.book import Book
    from dryfit.shopbook.records import Kind

    wanted = None if kind is None else Kind(_one_of(kind, KINDS, "kind of entry"))
    with Book.open(path, create=False) as book:
        return book.entries(wanted)


def export(path: Path) -> str:
    """The whole book as JSON.

    Raises
    ------
    BookError
        If there is no book.
    """
    from dryfit.shopbook.book import Book
    from dryfit.shopbook.exchange import to_json

    with Book.open(path, create=False) as book:
        return to_json(book.entries())


def read_in(path: Path, file: Path) -> int:
    """Read an exported book in; how many of its entries were new.

    Raises
    ------
    BookError
        If the file is no exported book or contradicts this one; nothing was read in then.
    """
    from dryfit.shopbook.book import Book
    from dryfit.shopbook.exchange import from_json

    try:
        if file.stat().st_size > _LARGEST:
            raise BookError(f"{file} is larger than 50 MB; give what dryfit book export wrote.")
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as trouble:
        reason = getattr(trouble, "strerror", None) or "it is not UTF-8 text"
        raise BookError(f"{file} cannot be read: {reason}; name another file.") from trouble
    drafts = from_json(text)
    with Book.open(path) as book:
        return book.merge(drafts)


def known(path: Path, cutter: str, material: str, on: date, machine: str = "") -> Known:
    """What the book says of a cutter in a material on a day.

    Parameters
    ----------
    path : Path
        The book.
    cutter, material, machine : str
        In the maker's words.
    on : date
        The day.

    Raises
    ------
    BookError
        If there is no book, or it has no result of the kind.
    """
    from dryfit.shopbook.book import Book
    from dryfit.shopbook.known import known as evidence_of
    from dryfit.tolerance.learning import learn

    key, name = _key(cutter, machine), _material(material)
    with Book.open(path, create=False) as book:
        evidence = evidence_of(book, key, name, on)
        if not evidence.entries:
            raise BookError(_nothing_of(key, name, book.entries(), on))
    learned = learn(evidence.sources, evidence.prior)
    ages = tuple((on - entry.since.date()).days for entry in evidence.entries)
    return Known(
        key, name, learned, evidence.entries, ages, _contradiction(learned, evidence.entries)
    )


def scatter_by_book(job: Job, path: Path, on: date) -> Scatter | None:
    """What a book says of the scatter of a job; None where there is no book or it knows nothing.

    Of several materials the one that most panels are made of and that the book knows counts.

    Parameters
    ----------
    job : Job
        What is cut, with what.
    path : Path
        The book.
    on : date
        The day.

    Raises
    ------
    BookError
        If the file is there and cannot be used.
    """
    from collections import Counter

    from dryfit.model.cutter import Route
    from dryfit.model.scatter import USUAL, Source
    from dryfit.shopbook.book import Book
    from dryfit.shopbook.keys import cutter_key
    from dryfit.shopbook.known import known as evidence_of
    from dryfit.tolerance.learning import learn

    if not path.is_file():
        return None
    key = cutter_key(job.cutter)
    materials = Counter(panel.stock.material.name for panel in job.piece.panels)
    with Book.open(path, create=False) as book:
        found = [evidence_of(book, key, name, on) for name, _ in materials.most_common()]
    for evidence in found:
        if evidence.entries:
            learned = learn(evidence.sources, evidence.prior)
            usual = USUAL[job.cutter.route]
            if job.cutter.route is not Route.SAW:
                # A trial pair says nothing of the steps of a jig, which is what a saw's edges are.
                usual = replace(usual, edge=learned.edge_sd, freedom=learned.freedom)
            return replace(
                usual,
                misfit=learned.misfit_mean,
                misfit_sd=learned.misfit_sd,
                source=Source.BOOK,
                doubt=_contradiction(learned, evidence.entries),
            )
    return None


def what(entry: Entry) -> str:
    """What an entry says, in a few words."""
    from dryfit.shopbook.telling import told

    return told(entry)


def _contradiction(learned: Learned, found: tuple[Entry, ...]) -> str:
    from dryfit.shopbook.telling import contradiction

    return contradiction(learned.surprise, found)


def _nothing_of(key: str, material: str, found: Sequence[Entry], on: date) -> str:
    """That nothing is known, and of what there is something."""
    of = sorted(
        {
            f"{cutter} in {entry.record.material}"  # type: ignore[union-attr]
            for entry in found
            if entry.stands
            and entry.kind in ("comb", "width")
            and (cutter := getattr(entry.record, "cutter", ""))
        }
    )
    there = f"it knows {'; '.join(of[:4])}" if of else "enter one with dryfit book add comb"
    return f"The book has 0 results of {key} in {material} by {on.isoformat()}; {there}."


def _moment(on: date) -> datetime:
    return datetime(on.year, on.month, on.day, tzinfo=UTC)


def _believe(record: Record, sure: bool) -> None:
    from dryfit.shopbook.doubts import doubts

    asked = doubts(record)
    if asked and not sure:
        more = f" ({len(asked) - 1} more like it.)" if len(asked) > 1 else ""
        raise DoubtError(f"{asked[0]}{more} Give --yes to keep it as it is.")


def _find(found: Sequence[Entry], number: int) -> Entry:
    for entry in found:
        if entry.id == number:
            return entry
    most = f"the last is {found[-1].id}" if found else "the book is empty"
    raise BookError(f"The book has no entry {number}; {most}, and dryfit book list shows all.")


def _corrected(old: Entry, said: Mapping[str, Any]) -> Record:
    """The record of an entry with some of it said anew."""
    if old.record is None:
        return record_of(old.kind.value, said)
    if not said:
        raise BookError(f"Nothing was said anew of entry {old.id}; give 1 option to change.")
    words = dict(said)
    if hasattr(old.record, "cutter") and ("machine" in words) != ("cutter" in words):
        cutter, _, machine = old.record.cutter.partition(", ")
        words = {"cutter": cutter, "machine": machine} | words
    values = _values(words)
    foreign = sorted(values.keys() - {field.name for field in fields(old.record)})
    if foreign:
        raise BookError(f"Entry {old.id} is a {old.kind}, which has no {_word(foreign[0])}.")
    return replace(old.record, **values)


def _values(said: Mapping[str, Any]) -> dict[str, Any]:
    """Values of a record's fields from the maker's words; what was not said is left out."""
    words = {name: value for name, value in said.items() if value is not None}
    machine, allowances = words.pop("machine", ""), words.pop("allowances", False)
    values: dict[str, Any] = {}
    for name, value in words.items():
        if name == "cutter":
            values[name] = _key(value, machine)
        elif name == "material":
            values[name] = _material(value)
        elif name in ("nominal", "drawn", "resolution", "flank_gap"):
            values[name] = _length(value, _word(name))
        elif name in ("readings", "measured"):
            values[name] = tuple(_length(each, _word(name)) for each in value)
        elif name == "results":
            values[name] = tuple(_result(each, allowances=allowances) for each in value)
        elif name == "went":
            values[name] = _grade(value)
        else:
            values[name] = value
    return values


def _key(cutter: str, machine: str) -> str:
    from dryfit.shopbook.keys import cutter_key, read_cutter

    return cutter_key(read_cutter(cutter), machine)


def _material(word: str) -> str:
    from dryfit.materials.sheets import KNOWN, find_material

    found = find_material(word)
    if found is None:
        near = difflib.get_close_matches(word[:60].casefold(), KNOWN, n=1, cutoff=0.5)
        way_out = f"the nearest is {near[0]}" if near else "such as birch plywood, MDF or oak"
        raise BookError(f"The material {word[:40]!r} is not known; {way_out}.")
    return found.name


def _length(text: str, name: str) -> float:
    try:
        return read_length(text, "mm")
    except UnitError as error:
        raise BookError(f"The {name}: {error}.") from error


def _result(text: str, *, allowances: bool) -> Any:
    """One result of a comb: ``0.05mm=hand``, or ``3:0.05mm=hand`` for the third socket."""
    from dryfit.shopbook.records import SocketResult

    length, equals, grade = text.rpartition("=")
    number, colon, rest = length.partition(":")
    if not equals or (colon and not number.strip().isdecimal()):
        raise BookError(
            f"{text[:40]!r} is no result; write length=grade such as 0.05mm=hand, or "
            "socket:length=grade such as 3:0.05mm=hand."
        )
    gap = _length(rest if colon else length, "length of a result")
    socket = int(number) if colon and len(number.strip()) < 6 else None
    return SocketResult(gap / 2 if allowances else gap, _grade(grade), socket)


def _grade(word: str) -> str:
    from dryfit.shopbook.records import GRADES

    plain = " ".join(word.split()).casefold()
    return _one_of({"hand": "by hand"}.get(plain, plain), GRADES, "grade")


def _one_of(word: str, known_words: Sequence[str], name: str) -> str:
    if word not in known_words:
        raise BookError(f"{word[:40]!r} is no {name}; known are {', '.join(known_words)}.")
    return word


def _must(default: object) -> bool:
    from dataclasses import MISSING

    return default is MISSING


_OPTIONS = {"results": "--result", "readings": "--reading", "flank_gap": "--flank-gap"}
_WORDS = {
    "results": "results", "readings": "readings", "measured": "measured widths",
    "flank_gap": "flank gap", "drawn": "drawn width", "same_tongue": "tongue",
    "nominal": "nominal thickness", "went": "grade",
}  # fmt: skip


def _word(field: str) -> str:
    return _WORDS.get(field, field)


def _option(field: str) -> str:
    return _OPTIONS.get(field, f"--{field}")
