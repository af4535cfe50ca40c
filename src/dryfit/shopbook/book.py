"""The shop book: entries that are added and never changed.

A correction is an entry that supersedes another, and so is the withdrawal of one. An entry *stands*
when nothing supersedes it and it is no withdrawal. Where two books that were corrected apart come
together, one entry may be superseded twice; the later of the two counts, by time and then by uid,
and whatever follows from the other does not stand.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Self
from uuid import uuid4

from dryfit.errors import BookError
from dryfit.shopbook.database import Database
from dryfit.shopbook.records import RECORDS, Kind, SocketResult, kind_of
from dryfit.shopbook.schema import MIGRATIONS, TABLES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path
    from types import TracebackType

    from dryfit.shopbook.records import Record
    from dryfit.shopbook.schema import Table

_STAMP = "%Y-%m-%dT%H:%M:%SZ"
_FIRST_YEAR = 1900
_AGAIN = "Put back a copy, or read what was exported into a new book."
_ENTER = "INSERT INTO entries (uid, kind, at, supersedes, withdrawn) VALUES (?, ?, ?, ?, ?)"
_ENTRIES = "SELECT id, uid, kind, at, supersedes, withdrawn FROM entries ORDER BY id"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the book.

    Parameters
    ----------
    id : int
        Its number in this book.
    uid : str
        Its name in every book that holds it.
    kind : Kind
        What it is about.
    at : datetime
        When it was entered, in UTC.
    since : datetime
        When the first entry was made that this one goes back to: corrections make nothing younger.
    supersedes : int, optional
        The number of the entry in whose place it stands.
    record : Record, optional
        What it says; nothing where it withdraws.
    stands : bool
        Whether it counts.
    """

    id: int
    uid: str
    kind: Kind
    at: datetime
    since: datetime
    supersedes: int | None
    record: Record | None
    stands: bool


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry to be: as an :class:`Entry`, but it names what it supersedes by its uid."""

    uid: str
    kind: Kind
    at: datetime
    supersedes: str | None
    record: Record | None


class Book:
    """An open shop book; use it in a ``with`` statement, or close it."""

    def __init__(self, database: Database) -> None:
        self._database = database

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        create: bool = True,
        migrations: Sequence[Sequence[str]] = MIGRATIONS,
    ) -> Book:
        """Open a book, and begin it where it is missing.

        Raises
        ------
        BookError
            If the file is missing and `create` is off, is no shop book, is newer than this program
            or cannot be used.
        """
        return cls(Database(path, create=create, migrations=migrations))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._database.close()

    def add(self, record: Record, at: datetime, uid: str | None = None) -> int:
        """Enter a record and return its number; it is safe on the disk by then.

        Raises
        ------
        BookError
            If `at` has no time zone, the uid is taken or the book cannot be written to.
        """
        draft = Draft(uid or uuid4().hex, kind_of(record), _utc(at), None, record)
        with self._database.writing():
            return self._enter(draft, None)

    def supersede(self, number: int, record: Record, at: datetime, uid: str | None = None) -> int:
        """Enter a record in the place of an entry that stands, or of a withdrawal.

        Raises
        ------
        BookError
            If there is no such entry, another is already in its place, or it is of another kind.
        """
        kind = kind_of(record)
        with self._database.writing():
            old = self._last_of_its_line(number)
            if old.kind is not kind:
                raise BookError(
                    f"Entry {number} is about a {old.kind}; it cannot be corrected by a {kind}."
                )
            draft = Draft(uid or uuid4().hex, kind, _utc(at), old.uid, record)
            return self._enter(draft, number)

    def withdraw(self, number: int, at: datetime, uid: str | None = None) -> int:
        """Enter that an entry does not count any more.

        Raises
        ------
        BookError
            If there is no such entry, or it does not stand.
        """
        with self._database.writing():
            old = self._last_of_its_line(number)
            if old.record is None:
                raise BookError(f"Entry {number} is a withdrawal itself; correct it instead.")
            draft = Draft(uid or uuid4().hex, old.kind, _utc(at), old.uid, None)
            return self._enter(draft, number)

    def merge(self, drafts: Iterable[Draft]) -> int:
        """Enter what is not yet in the book, all or nothing; how many that were.

        Raises
        ------
        BookError
            If an entry is there under the same uid and says something else, or supersedes one
            that is neither in the book nor before it in the list.
        """
        new = 0
        with self._database.writing():
            known = {entry.uid: entry for entry in self._entries()}
            numbers = {uid: entry.id for uid, entry in known.items()}
            kinds = {uid: entry.kind for uid, entry in known.items()}
            uids = {entry.id: entry.uid for entry in known.values()}
            for draft in drafts:
                if draft.uid in known:
                    _same_or_refuse(draft, known[draft.uid], uids)
                elif draft.uid not in numbers:
                    _refuse_orphan(draft, kinds)
                    before = numbers[draft.supersedes] if draft.supersedes else None
                    numbers[draft.uid] = self._enter(draft, before)
                    kinds[draft.uid] = draft.kind
                    new += 1
        return new

    def entries(self, kind: Kind | None = None, until: datetime | None = None) -> tuple[Entry, ...]:
        """The entries, in the order of their numbers.

        Parameters
        ----------
        kind : Kind, optional
            Only these.
        until : datetime, optional
            As the book stood then.
        """
        with self._database.reading():
            found = self._entries(until)
        return tuple(entry for entry in found if kind is None or entry.kind is kind)

    def _entries(self, until: datetime | None = None) -> list[Entry]:
        heads = [
            (number, uid, Kind(kind), _read_stamp(at), before, bool(withdrawn))
            for number, uid, kind, at, before, withdrawn in self._database.rows(_ENTRIES)
        ]
        if until is not None:
            heads = [head for head in heads if head[3] <= _utc(until)]
        records = dict(self._records())
        torn = [head[0] for head in heads if not head[5] and head[0] not in records]
        if torn:
            raise BookError(f"Entry {torn[0]} of the book is damaged: it says nothing. {_AGAIN}")
        at = {head[0]: head[3] for head in heads}
        # What is corrected by an entry of an earlier date may be left out.
        before = {head[0]: head[4] if head[4] in at else None for head in heads}
        standing = _standing([(head[0], before[head[0]], (head[3], head[1])) for head in heads])
        return [
            Entry(
                id=number,
                uid=uid,
                kind=kind,
                at=at[number],
                since=at[_root(number, before)],
                supersedes=old,
                record=None if withdrawn else records[number],
                stands=number in standing and not withdrawn,
            )
            for number, uid, kind, _, old, withdrawn in heads
        ]

    def _records(self) -> Iterator[tuple[int, Record]]:
        for kind, table in TABLES.items():
            many: dict[int, list[list[Any]]] = defaultdict(list)
            if table.many:
                for number, _, *values in self._database.rows(table.select_many):
                    many[number].append(values)
            for number, *values in self._database.rows(table.select):
                try:
                    yield number, _record(kind, table, values, many[number])
                except BookError as error:
                    sentence = f"Entry {number} of the book is damaged: {error} {_AGAIN}"
                    raise BookError(sentence) from error

    def _enter(self, draft: Draft, before: int | None) -> int:
        """Write an entry and its record; the number of it."""
        if self._database.rows("SELECT 1 FROM entries WHERE uid = ?", (draft.uid,)):
            raise BookError(f"The book already has an entry {draft.uid[:40]!r}; give another uid.")
        head = (draft.uid, draft.kind.value, _utc(draft.at).strftime(_STAMP), before)
        number = self._database.insert(_ENTER, (*head, draft.record is None))
        if draft.record is not None:
            table = TABLES[draft.kind]
            fields = (getattr(draft.record, field) for field in table.fields)
            self._database.insert(table.insert, (number, *fields))
            rows = getattr(draft.record, table.many) if table.many else ()
            for place, row in enumerate(rows):
                values = (
                    (row.gap, row.grade, row.socket) if isinstance(row, SocketResult) else (row,)
                )
                self._database.insert(table.insert_many, (number, place, *values))
        return number

    def _last_of_its_line(self, number: int) -> Entry:
        """The entry of a number that nothing supersedes."""
        entries = {entry.id: entry for entry in self._entries()}
        if number not in entries:
            most = f"the last is {max(entries)}" if entries else "the book is empty"
            raise BookError(
                f"The book has no entry {number}; {most}, and dryfit book list shows all."
            )
        after = [entry.id for entry in entries.values() if entry.supersedes == number]
        if after:
            raise BookError(f"Entry {number} was superseded by entry {after[-1]}; name that one.")
        return entries[number]


def _record(kind: Kind, table: Table, values: Sequence[Any], many: Sequence[list[Any]]) -> Record:
    """A record from its row and the rows of its list."""
    said = dict(zip(table.fields, values, strict=True))
    if "same_tongue" in said:
        said["same_tongue"] = bool(said["same_tongue"])
    if table.many:
        rows = (SocketResult(*row) if kind is Kind.COMB else row[0] for row in many)
        said[table.many] = tuple(rows)
    return RECORDS[kind](**said)


def _standing(
    heads: Sequence[tuple[int, int | None, tuple[datetime, str]]],
) -> frozenset[int]:
    """Numbers of the last entries of each line, the later branch where a line forks.

    Parameters
    ----------
    heads : sequence of tuple
        Number, the number it supersedes, and what ranks it among those that supersede the same.
    """
    after: dict[int, list[tuple[tuple[datetime, str], int]]] = defaultdict(list)
    roots = []
    for number, before, rank in heads:
        if before is None:
            roots.append(number)
        else:
            after[before].append((rank, number))
    found = set()
    for root in roots:
        last = root
        while last in after:
            last = max(after[last])[1]
        found.add(last)
    return frozenset(found)


def _root(number: int, before: dict[int, int | None]) -> int:
    """The first entry of a line."""
    while (earlier := before.get(number)) is not None:
        number = earlier
    return number


def _same_or_refuse(draft: Draft, entry: Entry, uids: dict[int, str]) -> None:
    before = None if entry.supersedes is None else uids[entry.supersedes]
    known = (entry.kind, entry.at, before, entry.record)
    if known != (draft.kind, draft.at, draft.supersedes, draft.record):
        raise BookError(
            f"Entry {draft.uid[:40]!r} says something else than entry {entry.id} of this book, "
            "which has the same uid; nothing was read in."
        )


def _refuse_orphan(draft: Draft, kinds: dict[str, Kind]) -> None:
    if draft.supersedes is None:
        if draft.record is None:
            raise BookError(f"Entry {draft.uid[:40]!r} withdraws nothing; nothing was read in.")
        return
    if draft.supersedes not in kinds:
        raise BookError(
            f"Entry {draft.uid[:40]!r} supersedes {draft.supersedes[:40]!r}, which is neither in "
            "this book nor before it; nothing was read in."
        )
    if kinds[draft.supersedes] is not draft.kind:
        raise BookError(
            f"Entry {draft.uid[:40]!r} supersedes an entry of another kind; nothing was read in."
        )


def _utc(at: datetime) -> datetime:
    """A time in UTC to the second, as it is kept."""
    if at.tzinfo is None:
        raise BookError(f"The time {at} has no time zone; give it in UTC.")
    if at.year < _FIRST_YEAR:
        raise BookError(f"The year {at.year} is too long ago; write one from {_FIRST_YEAR} on.")
    return at.astimezone(UTC).replace(microsecond=0)


def _read_stamp(text: str) -> datetime:
    return datetime.fromisoformat(text)
