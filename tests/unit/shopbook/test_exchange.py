"""The book as JSON: what goes out comes in, once, and what is wrong is told by its number."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from dryfit.errors import BookError
from dryfit.shopbook.book import Book
from dryfit.shopbook.exchange import from_json, to_json
from dryfit.shopbook.records import Kind
from tests.helpers.book_records import COMB, DAY, SAMPLES

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

UID = "0" * 31 + "1"


def exported(path: Path) -> str:
    """A book of every kind of record, with a correction and a withdrawal."""
    with Book.open(path) as book:
        for record in SAMPLES.values():
            book.add(record, DAY)
        book.supersede(4, COMB, DAY + timedelta(days=1))
        book.withdraw(1, DAY + timedelta(days=2))
        return to_json(book.entries())


def test_a_book_carried_over_is_the_same_and_twice_is_once(tmp_path: Path) -> None:
    text = exported(tmp_path / "one")
    with Book.open(tmp_path / "one") as one, Book.open(tmp_path / "two") as two:
        assert two.merge(from_json(text)) == 8
        assert two.merge(from_json(text)) == 0
        assert two.entries() == one.entries()
        assert to_json(two.entries()) == text
        assert one.merge(from_json(to_json(two.entries()))) == 0


def test_the_same_entry_twice_in_one_file_is_one(tmp_path: Path) -> None:
    drafts = from_json(exported(tmp_path / "one"))
    with Book.open(tmp_path / "two") as two:
        assert two.merge([*drafts, *drafts]) == 8


def test_an_entry_that_says_something_else_is_refused_whole(tmp_path: Path) -> None:
    data = json.loads(exported(tmp_path / "one"))
    data["entries"][0]["record"]["name"] = "another"
    data["entries"].append({**data["entries"][1], "uid": UID})
    with Book.open(tmp_path / "one") as one:
        with pytest.raises(BookError, match="says something else than entry 1 of this book"):
            one.merge(from_json(json.dumps(data)))
        assert len(one.entries()) == 8


def _entry(**changes: Any) -> str:
    entry: dict[str, Any] = {
        "uid": UID,
        "kind": "machine",
        "at": "2026-11-25T00:00:00Z",
        "supersedes": None,
        "record": {"name": "saw", "route": "saw", "note": ""},
    }
    return json.dumps({"format": 1, "entries": [{**entry, **changes}]})


def _record(**changes: Any) -> str:
    return _entry(record={"name": "saw", "route": "saw", "note": "", **changes})


WRONG: dict[str, tuple[Callable[[], str], str]] = {
    "no json": (lambda: "format = 1", "not JSON"),
    "deep": (lambda: "[" * 100_000, "not JSON"),
    "a list": (lambda: "[]", 'no list of "entries"'),
    "newer": (lambda: '{"format": 2, "entries": []}', "format 2, and this dryfit reads 1"),
    "nan": (lambda: _entry().replace("null", "NaN"), "NaN is not a finite number"),
    "no entry": (lambda: '{"format": 1, "entries": [7]}', "Entry 1 of the file: it is not an obj"),
    "odd uid": (lambda: _entry(uid="../x"), "its uid is not 1 to 80 letters"),
    "long uid": (lambda: _entry(uid="a" * 81), "its uid is not 1 to 80 letters"),
    "odd kind": (lambda: _entry(kind="song"), "'song' is no kind; known are machine"),
    "list as kind": (lambda: _entry(kind=["comb"]), "is no kind"),
    "odd time": (lambda: _entry(at="yesterday"), "'yesterday' is no time"),
    "no record": (lambda: _entry(record="saw"), "does not have the fields name, route, note"),
    "one field more": (lambda: _record(horn=1), "does not have the fields name, route, note"),
    "number as name": (lambda: _record(name=5), "The machine is not a text"),
    "odd route": (lambda: _record(route="axe"), "'axe' is no route"),
    "long name": (lambda: _record(name="x" * 201), "has 201 characters; write 1 to 200"),
    "line in name": (lambda: _record(name="a\nb"), "control character U\\+000A"),
    "half a letter": (lambda: _record(name="\ud800"), "control character U\\+D800"),
    "uid it supersedes": (lambda: _entry(supersedes=4), "what it supersedes is not a uid"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_in_a_file_is_one_sentence(name: str) -> None:
    make, words = WRONG[name]
    with pytest.raises(BookError, match=words) as told:
        from_json(make())
    assert "\n" not in str(told.value)


def test_numbers_that_are_none_are_refused() -> None:
    comb = {"cutter": "hand", "material": "oak", "same_tongue": True, "boundaries": 2, "note": ""}
    for row in (
        {"gap": True, "grade": "no", "socket": None},
        {"gap": "0.05", "grade": "no", "socket": None},
        {"gap": 1e9, "grade": "no", "socket": None},
        {"gap": 10**400, "grade": "no", "socket": None},
        {"gap": 0.05, "grade": "no", "socket": 0},
        {"gap": 0.05, "grade": "no"},
        [0.05, "no", None],
    ):
        with pytest.raises(BookError, match="Entry 1 of the file"):
            from_json(_entry(kind="comb", record={**comb, "results": [row]}))
    endless = _entry(kind="comb", record={**comb, "results": []}).replace("[]", '[{"gap": 1e999}]')
    with pytest.raises(BookError, match="does not have the fields gap, grade, socket"):
        from_json(endless)
    endless = endless.replace("1e999", '1e999, "grade": "no", "socket": null')
    with pytest.raises(BookError, match="The flank gap is longer than 100 m"):
        from_json(endless)
    with pytest.raises(BookError, match="results is not a list"):
        from_json(_entry(kind="comb", record={**comb, "results": "none"}))


def _orphan() -> str:
    return _entry(supersedes="f" * 32)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_orphan, "neither in this book nor before it"),
        (lambda: _entry(record=None), "withdraws no"),
    ],
)
def test_an_entry_without_its_forerunner_is_refused(
    tmp_path: Path, make: Callable[[], str], words: str
) -> None:
    with Book.open(tmp_path / "one") as one, pytest.raises(BookError, match=words):
        one.merge(from_json(make()))


def test_an_entry_cannot_supersede_one_of_another_kind(tmp_path: Path) -> None:
    with Book.open(tmp_path / "one") as one:
        one.add(SAMPLES[Kind.JOB], DAY, uid="job")
        with pytest.raises(BookError, match="an entry of another kind"):
            one.merge(from_json(_entry(supersedes="job")))
