"""Laws of the shop book, whatever it holds."""

from __future__ import annotations

import tempfile
from datetime import datetime, timezone
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shopbook.book import Book
from dryfit.shopbook.exchange import from_json, to_json
from dryfit.shopbook.records import kind_of
from tests.helpers.book_records import ANY

if TYPE_CHECKING:
    from dryfit.shopbook.records import Record

TIMES = st.datetimes(
    datetime(1990, 1, 1),  # noqa: DTZ001 - the zones come from the next line
    datetime(2100, 1, 1),  # noqa: DTZ001
    timezones=st.just(timezone.utc),  # noqa: UP017 - what the library takes on 3.11 too
).map(lambda time: time.replace(microsecond=0))
STEPS = st.lists(st.tuples(ANY, TIMES, st.integers(0, 3)), min_size=1, max_size=8)


def fill(book: Book, steps: list[tuple[Record, datetime, int]]) -> None:
    """Enter records; now and then in the place of the last one, or withdrawing it."""
    last: int | None = None
    for record, at, what in steps:
        same = last is not None and book.entries()[-1].kind is kind_of(record)
        if what == 0 and last is not None and book.entries()[-1].record is not None:
            last = book.withdraw(last, at)
        elif what == 1 and same:
            assert last is not None
            last = book.supersede(last, record, at)
        else:
            last = book.add(record, at)


@settings(max_examples=60)
@given(STEPS)
def test_a_book_goes_out_and_comes_in_unchanged(
    steps: list[tuple[Record, datetime, int]],
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        one, two = Path(folder) / "one", Path(folder) / "two"
        with Book.open(one) as first, Book.open(two) as second:
            fill(first, steps)
            text = to_json(first.entries())
            assert second.merge(from_json(text)) == len(first.entries())
            assert second.merge(from_json(text)) == 0
            assert second.entries() == first.entries()
            assert to_json(second.entries()) == text
            said = [entry.record for entry in first.entries() if entry.record is not None]
            assert all(record in [step[0] for step in steps] for record in said)


@settings(max_examples=60)
@given(STEPS)
def test_what_stands_is_one_for_each_line_and_nothing_is_lost(
    steps: list[tuple[Record, datetime, int]],
) -> None:
    with tempfile.TemporaryDirectory() as folder, Book.open(Path(folder) / "one") as book:
        fill(book, steps)
        entries = book.entries()
        assert len(entries) == len(steps)
        superseded = {entry.supersedes for entry in entries}
        for entry in entries:
            expected = entry.id not in superseded and entry.record is not None
            assert entry.stands is expected
