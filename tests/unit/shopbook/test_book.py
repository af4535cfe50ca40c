"""The shop book: entries come in, are superseded, and stay."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

import pytest

from dryfit.errors import BookError
from dryfit.shopbook.book import Book, Draft
from dryfit.shopbook.records import Kind, MachineRecord
from dryfit.shopbook.schema import APPLICATION, MIGRATIONS
from tests.helpers.book_records import COMB, DAY, SAMPLES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "book.sqlite"


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with Book.open(path) as opened:
        yield opened


def machine(name: str) -> MachineRecord:
    return MachineRecord(name, "router")


def standing(book: Book) -> list[object]:
    return [entry.record for entry in book.entries() if entry.stands]


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_comes_back_as_it_went_in(book: Book, path: Path, kind: Kind) -> None:
    number = book.add(SAMPLES[kind], DAY, uid="a1")
    with Book.open(path, create=False) as again:
        (entry,) = again.entries(kind)
    assert entry.record == SAMPLES[kind]
    assert (entry.id, entry.uid, entry.kind) == (number, "a1", kind)
    assert (entry.at, entry.since, entry.supersedes, entry.stands) == (DAY, DAY, None, True)
    others = [other for other in Kind if other is not kind]
    assert all(book.entries(other) == () for other in others)


def test_the_time_is_the_callers_and_in_utc(book: Book) -> None:
    book.add(COMB, datetime(2026, 11, 25, 1, 30, tzinfo=timezone(timedelta(hours=3))))
    assert book.entries()[0].at == datetime(2026, 11, 24, 22, 30, tzinfo=UTC)
    with pytest.raises(BookError, match="no time zone"):
        book.add(COMB, datetime(2026, 11, 25))  # noqa: DTZ001
    with pytest.raises(BookError, match="The year 26 is too long ago; write one from 1900 on"):
        book.add(COMB, datetime(26, 11, 25, tzinfo=UTC))
    assert len(book.entries()) == 1


def test_a_correction_stands_in_the_place_of_the_first_and_makes_nothing_younger(
    book: Book,
) -> None:
    first = book.add(machine("a"), DAY)
    second = book.supersede(first, machine("b"), DAY + timedelta(days=9))
    third = book.supersede(second, machine("c"), DAY + timedelta(days=10))
    old, middle, new = book.entries()
    assert (old.stands, middle.stands, new.stands) == (False, False, True)
    assert old.record == machine("a")
    assert (new.id, new.supersedes, new.since) == (third, second, DAY)
    assert new.at == DAY + timedelta(days=10)


def test_a_withdrawal_is_an_entry_and_can_be_taken_back(book: Book) -> None:
    first = book.add(machine("a"), DAY)
    gone = book.withdraw(first, DAY)
    assert standing(book) == []
    assert book.entries()[1].record is None
    assert book.entries()[0].record == machine("a")
    book.supersede(gone, machine("a"), DAY)
    assert standing(book) == [machine("a")]


def test_what_cannot_be_superseded_is_told(book: Book) -> None:
    with pytest.raises(BookError, match=r"no entry 1; the book is empty"):
        book.withdraw(1, DAY)
    first = book.add(machine("a"), DAY)
    second = book.supersede(first, machine("b"), DAY)
    with pytest.raises(BookError, match="Entry 1 was superseded by entry 2; name that one"):
        book.supersede(first, machine("c"), DAY)
    with pytest.raises(BookError, match="about a machine; it cannot be corrected by a comb"):
        book.supersede(second, COMB, DAY)
    with pytest.raises(BookError, match="no entry 9; the last is 2"):
        book.withdraw(9, DAY)
    gone = book.withdraw(second, DAY)
    with pytest.raises(BookError, match="is a withdrawal itself"):
        book.withdraw(gone, DAY)
    assert len(book.entries()) == 3


def test_a_uid_is_taken_once(book: Book) -> None:
    book.add(machine("a"), DAY, uid="one")
    with pytest.raises(BookError, match="already has an entry 'one'"):
        book.add(machine("b"), DAY, uid="one")
    assert standing(book) == [machine("a")]


def test_of_two_corrections_made_apart_the_later_counts_with_all_that_follows(book: Book) -> None:
    def draft(uid: str, days: int, before: str | None) -> Draft:
        at = DAY + timedelta(days=days)
        return Draft(uid, Kind.MACHINE, at, before, machine(uid))

    early = [draft("a", 0, None), draft("b", 1, "a"), draft("d", 9, "b")]
    assert book.merge(early) == 3
    assert book.merge([draft("a", 0, None), draft("c", 2, "a")]) == 1
    # The line of b went on later than c, but lost where the two parted.
    assert standing(book) == [machine("c")]


def test_the_book_can_be_seen_as_it_stood(book: Book) -> None:
    first = book.add(machine("a"), DAY)
    book.supersede(first, machine("b"), DAY + timedelta(days=5))
    book.add(machine("late"), DAY - timedelta(days=3))
    seen = book.entries(until=DAY + timedelta(days=4))
    assert [entry.record for entry in seen if entry.stands] == [machine("a"), machine("late")]


def test_a_correction_dated_before_what_it_corrects_stands_alone_then(book: Book) -> None:
    first = book.add(machine("a"), DAY)
    book.supersede(first, machine("b"), DAY - timedelta(days=5))
    (seen,) = book.entries(until=DAY - timedelta(days=1))
    assert (seen.record, seen.stands, seen.since) == (machine("b"), True, DAY - timedelta(days=5))


@pytest.mark.parametrize("statement", ["DELETE FROM {}", "UPDATE {} SET rowid = rowid + 100"])
@pytest.mark.parametrize("kind", [Kind.COMB, Kind.STOCK, Kind.WIDTH])
def test_nothing_is_deleted_or_changed_even_by_hand(
    book: Book, path: Path, statement: str, kind: Kind
) -> None:
    book.add(SAMPLES[kind], DAY)
    tables = {
        Kind.COMB: ("entries", "combs", "comb_results"),
        Kind.STOCK: ("stock", "stock_readings"),
        Kind.WIDTH: ("widths", "width_readings"),
    }[kind]
    with closing(sqlite3.connect(path)) as file:
        for table in tables:
            with pytest.raises(sqlite3.IntegrityError, match="keeps what is in it"):
                file.execute(statement.format(table))
    assert standing(book) == [SAMPLES[kind]]


def test_the_file_is_kept_as_it_should_be(book: Book, path: Path) -> None:
    database = book._database
    assert database.rows("PRAGMA journal_mode") == [("wal",)]
    assert database.rows("PRAGMA synchronous") == [(2,)]  # FULL
    assert database.rows("PRAGMA foreign_keys") == [(1,)]
    assert database.rows("PRAGMA busy_timeout") == [(20_000,)]
    assert database.rows("PRAGMA application_id") == [(APPLICATION,)]
    assert database.schema == len(MIGRATIONS) == 1
    with pytest.raises(BookError, match="FOREIGN KEY"), database.writing():
        database.insert("INSERT INTO cutters VALUES (?, ?, ?)", (77, "c", ""))
    assert path.exists()


LATER = ("ALTER TABLE machines ADD COLUMN year INTEGER", "CREATE TABLE racks (name TEXT)")


def test_an_older_book_is_brought_up_to_date_and_keeps_its_entries(path: Path) -> None:
    with Book.open(path) as old:
        old.add(machine("a"), DAY)
    with Book.open(path, migrations=[*MIGRATIONS, LATER]) as new:
        assert new._database.schema == 2
        assert new._database.rows("SELECT year FROM machines") == [(None,)]
        assert standing(new) == [machine("a")]
    # And is then too new for the program that wrote it.
    with pytest.raises(BookError, match="has schema 2, and this dryfit knows 1 at most"):
        Book.open(path)


def test_a_migration_that_fails_leaves_the_book_as_it_was(path: Path) -> None:
    with Book.open(path) as old:
        old.add(machine("a"), DAY)
    broken = ("CREATE TABLE racks (name TEXT)", "CREATE TABLE racks (name TEXT)")
    with pytest.raises(BookError, match="racks already exists"):
        Book.open(path, migrations=[*MIGRATIONS, broken])
    with Book.open(path) as again:
        assert again._database.schema == 1
        assert standing(again) == [machine("a")]
        assert again._database.rows("SELECT 1 FROM sqlite_master WHERE name = 'racks'") == []


def _other_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("CREATE TABLE songs (title TEXT)")


def _marked(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA application_id = 7")
        file.execute("CREATE TABLE songs (title TEXT)")


WRONG = {
    "text": (lambda path: path.write_text("title = 'Type tray'\n" * 9), "is no shop book"),
    "short": (lambda path: path.write_bytes(b"SQ"), "is no shop book"),
    "other": (_other_program, "belongs to another program"),
    "marked": (_marked, "belongs to another program"),
    "folder": (lambda path: path.mkdir(), "is a folder"),
    "junk": (lambda path: path.write_bytes(b"SQLite format 3\0" + b"\xff" * 5000), "no shop book"),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_file_is_refused_in_one_sentence_and_left_alone(tmp_path: Path, name: str) -> None:
    path = tmp_path / "wrong"
    make, words = WRONG[name]
    make(path)  # type: ignore[no-untyped-call]
    before = path.read_bytes() if path.is_file() else b""
    with pytest.raises(BookError, match=words) as refused:
        Book.open(path)
    assert str(refused.value).count("\n") == 0
    assert str(refused.value).endswith(".")
    assert (path.read_bytes() if path.is_file() else b"") == before


def test_an_empty_file_is_begun_and_a_missing_one_only_when_asked(tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.touch()
    with Book.open(empty) as book:
        assert book.entries() == ()
    with pytest.raises(BookError, match=r"no shop book at .* yet; dryfit book add begins one"):
        Book.open(tmp_path / "missing", create=False)
    assert not (tmp_path / "missing").exists()
    (tmp_path / "file").touch()
    with pytest.raises(BookError, match="cannot be opened"):
        Book.open(tmp_path / "file" / "book")


def test_a_damaged_book_says_so(path: Path) -> None:
    with Book.open(path) as book:
        book.add(machine("a"), DAY)
    with closing(sqlite3.connect(path)) as file:
        file.execute("INSERT INTO entries VALUES (8, 'x', 'comb', '2026-11-25T00:00:00Z', NULL, 0)")
        file.commit()
    with Book.open(path) as book, pytest.raises(BookError, match="Entry 8 of the book is damaged"):
        book.entries()
    with closing(sqlite3.connect(path)) as file:
        file.execute("INSERT INTO combs VALUES (8, '', 'oak', 1, 2, '')")
        file.commit()
    with Book.open(path) as book, pytest.raises(BookError, match=r"Entry 8 .* The cutter has 0"):
        book.entries()
    pages = bytearray(path.read_bytes())
    pages[4096:] = b"\xff" * (len(pages) - 4096)
    path.write_bytes(bytes(pages))
    with pytest.raises(BookError, match=r"damaged|no shop book") as told, Book.open(path) as book:
        book.entries()
    assert str(told.value).count("\n") == 0


def test_a_writer_that_waits_too_long_says_so(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dryfit.shopbook.database.PATIENCE", 0.1)
    with Book.open(path) as other, book._database.writing():
        with pytest.raises(BookError, match=r"written to by another program for 0\.1 s; try again"):
            other.add(machine("b"), DAY)
        assert other.entries() == ()  # readers do not wait
    assert book.entries() == ()


def test_what_fails_half_way_leaves_nothing(book: Book) -> None:
    bad = Draft("b", Kind.MACHINE, DAY, "nowhere", machine("b"))
    with pytest.raises(BookError, match="supersedes 'nowhere', which is neither"):
        book.merge([Draft("a", Kind.MACHINE, DAY, None, machine("a")), bad])
    assert book.entries() == ()
