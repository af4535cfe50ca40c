"""What the book hands on to be learned from, cutters by their keys, and what is hard to believe."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from dryfit.errors import BookError
from dryfit.model.cutter import Cutter, Route
from dryfit.shopbook.book import Book
from dryfit.shopbook.doubts import doubts
from dryfit.shopbook.keys import cutter_key, read_cutter
from dryfit.shopbook.known import PRIORS, known, prior_of
from dryfit.shopbook.place import usual_place
from dryfit.shopbook.records import (
    CombRecord,
    JobRecord,
    Kind,
    Record,
    SocketResult,
    StockRecord,
    WidthRecord,
)
from dryfit.tolerance.evidence import Comb, Trial, Widths
from dryfit.tolerance.fits import Boundaries
from dryfit.tolerance.grades import Grade
from tests.helpers.book_records import COMB, DAY, SAMPLES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

CUTTER, BIRCH = "router 3.175 mm", "birch plywood"
WIDTH = SAMPLES[Kind.WIDTH]
TODAY = DAY.date()


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.open(tmp_path / "book") as opened:
        yield opened


def test_entries_become_evidence_with_their_age_and_the_material_s_pinch(book: Book) -> None:
    book.add(COMB, DAY)
    assert isinstance(WIDTH, WidthRecord)
    book.add(replace(WIDTH, part="socket"), DAY + timedelta(days=30))
    found = known(book, CUTTER, BIRCH, TODAY + timedelta(days=40))
    comb, widths = found.sources
    assert comb == Comb(
        "entry 1",
        (Trial(0.05, Grade.HAND, pinch=0.03), Trial(0.1, Grade.LOOSE, pinch=0.03)),
        same_tongue=True,
        age=40.0,
    )
    assert isinstance(widths, Widths)
    assert (widths.fingers, widths.resolution, widths.age) == ((), 0.01, 10.0)
    assert widths.sockets == pytest.approx((0.02, 0.04))
    assert [entry.id for entry in found.entries] == [1, 2]
    assert found.prior == PRIORS[Route.ROUTER]


def test_only_what_stands_for_the_cutter_and_material_by_the_day_counts(book: Book) -> None:
    first = book.add(COMB, DAY)
    book.add(replace(COMB, cutter="router 3.175 mm, the big one"), DAY)
    book.add(replace(COMB, cutter="router 6 mm"), DAY)
    book.add(replace(COMB, material="MDF"), DAY)
    book.add(SAMPLES[Kind.JOB], DAY)
    later = book.add(replace(COMB, cutter="Router  3.175 MM"), DAY + timedelta(days=9))

    def seen(on: date) -> list[int]:
        return [entry.id for entry in known(book, CUTTER, BIRCH, on).entries]

    assert seen(TODAY - timedelta(days=1)) == []
    assert seen(TODAY) == [first]
    assert seen(TODAY + timedelta(days=9)) == [first, later]
    book.withdraw(first, DAY + timedelta(days=11))
    assert seen(TODAY + timedelta(days=10)) == [first, later]
    assert seen(TODAY + timedelta(days=11)) == [later]


def test_a_correction_is_as_old_as_what_it_corrects(book: Book) -> None:
    first = book.add(COMB, DAY)
    book.supersede(first, replace(COMB, note="read again"), DAY + timedelta(days=100))
    (source,) = known(book, CUTTER, BIRCH, TODAY + timedelta(days=150)).sources
    assert source.age == 150.0


def test_more_fingers_at_once_are_more_boundaries(book: Book) -> None:
    results = (SocketResult(0.05, "no"),)
    book.add(CombRecord("hand", "slate", results, same_tongue=False, boundaries=6), DAY)
    (source,) = known(book, "hand", "slate", TODAY).sources
    # A material that the handbook does not know takes no pinch.
    assert source == Comb("entry 1", (Trial(0.05, Grade.NO, Boundaries(3, 3), 0.0),), False)


def test_every_route_has_its_prior() -> None:
    assert set(PRIORS) == set(Route)
    assert prior_of("hand, the bench by the window") == PRIORS[Route.HAND]
    assert prior_of("Laser 0.2 mm") == PRIORS[Route.LASER]
    assert prior_of("chisel") not in PRIORS.values()


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("router 3.175 mm", "router 3.175 mm"),
        ("router 1/8 in", "router 3.175 mm"),
        (" Router   3.175mm ", "router 3.175 mm"),
        ("laser 0.2", "laser 0.2 mm"),
        ("hand", "hand"),
    ],
)
def test_a_cutter_has_one_key_however_it_is_written(text: str, key: str) -> None:
    assert cutter_key(read_cutter(text)) == key
    assert cutter_key(read_cutter(text), " big  one ") == f"{key}, big one"
    assert read_cutter(key) == read_cutter(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is no way to cut; write router, laser, saw or hand"),
        ("axe 3 mm", "'axe' is no way to cut"),
        ("router", "needs 1 size"),
        ("saw wide", "The size of the cutter: 'wide' is no length"),
        ("laser -1 mm", "size is -1 mm; write more than 0"),
        ("hand 3 mm", "has no size"),
    ],
)
def test_a_cutter_that_cannot_be_read_is_one_sentence(text: str, words: str) -> None:
    with pytest.raises(BookError, match=words) as told:
        read_cutter(text)
    assert str(told.value).endswith(".")
    assert not str(told.value).endswith("..")


def test_a_cutter_of_a_job_has_the_key_of_its_sizes() -> None:
    assert cutter_key(Cutter(Route.SAW, 6.35)) == "saw 6.35 mm"


def comb(gap: float, grade: str = "by hand") -> CombRecord:
    return CombRecord(CUTTER, BIRCH, (SocketResult(gap, grade),))


def width(measured: float) -> WidthRecord:
    return WidthRecord(CUTTER, BIRCH, "finger", 10.0, (measured,))


BELIEVED: list[Record] = [
    comb(0.05), comb(-0.2, "no"), comb(0.5, "no"), comb(1.0), width(10.9), *SAMPLES.values(),
    StockRecord("walls", BIRCH, 9.0, (8.0, 9.9)),
]  # fmt: skip
DOUBTED: list[tuple[Record, str]] = [
    (comb(5.0), "5.000 mm (0.1969 in)"),
    (comb(-3.0), "-3.000 mm (-0.1181 in)"),
    (comb(0.6, "no"), "0.600 mm (0.0236 in)"),
    (width(254.0), "254.000 mm (10.0000 in)"),
    (width(8.9), "8.900 mm (0.3504 in)"),
    (StockRecord("walls", BIRCH, 9.0, (0.35,)), "0.350 mm (0.0138 in)"),
    (JobRecord("tray", CUTTER, BIRCH, 2.0, "no"), "2.000 mm (0.0787 in)"),
]


@pytest.mark.parametrize("record", BELIEVED)
def test_what_shops_measure_is_believed(record: Record) -> None:
    assert doubts(record) == ()


@pytest.mark.parametrize(("record", "words"), DOUBTED)
def test_what_a_mixed_up_unit_makes_is_doubted_in_both_units(record: Record, words: str) -> None:
    (asked,) = doubts(record)
    assert words in asked
    assert "?" in asked


def test_the_usual_place_is_a_file_in_the_user_s_own_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert usual_place().name == "shop-book.sqlite"
    assert usual_place().parent.name == "dryfit"
