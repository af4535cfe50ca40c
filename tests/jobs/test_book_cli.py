"""The shop book on the command line, as a maker meets it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.jobs.test_cli import run

if TYPE_CHECKING:
    from pathlib import Path

BIRCH = ("--material", "birch plywood")
BIT = ("--cutter", "router 1/8 in")
DAY = ("--on", "2026-11-20")
TRIED = (
    "add", "comb", *BIT, *BIRCH, "--result", "1:0.00mm=no", "--result", "2:0.05mm=mallet",
    "--result", "3:0.10mm=hand", "--result", "4:0.15mm=loose", *DAY,
)  # fmt: skip
CALIPERED = (
    "add", "width", *BIT, *BIRCH, "--part", "finger", "--drawn", "10mm", "--measured", "10.05mm",
    "--measured", "10.07 mm", "--measured", "10.04mm", *DAY,
)  # fmt: skip


class Shop:
    """The book command on a book of its own."""

    def __init__(self, path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.path = path
        self._capsys = capsys

    def __call__(self, *words: object) -> tuple[int, str, str]:
        """Exit code, output and complaints."""
        return run(self._capsys, "book", *words)

    def said(self, *words: object) -> str:
        """What a command says that goes well, on one line."""
        code, out, err = self(*words)
        assert (code, err) == (0, "")
        return " ".join(out.split())

    def refused(self, *words: object) -> str:
        """The one sentence of a command that is refused."""
        code, out, err = self(*words)
        assert (code, out, err.count("\n")) == (2, "", 1)
        assert "Traceback" not in err
        assert "itself failed" not in err
        return err.strip()


@pytest.fixture
def shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Shop:
    path = tmp_path / "book.sqlite"
    monkeypatch.setenv("DRYFIT_BOOK", str(path))
    return Shop(path, capsys)


def test_a_comb_and_widths_are_entered_listed_and_learned_from(shop: Shop) -> None:
    assert shop.said(*TRIED) == "Entry 1: comb, 2026-11-20."
    assert shop.said(*CALIPERED) == "Entry 2: width, 2026-11-20."
    listed = shop.said("list")
    assert "socket 2 0.050 mm mallet" in listed
    assert "fingers drawn 10.000 mm, measured 10.050 mm" in listed
    known = shop.said("known", *BIT, *BIRCH, "--on", "2026-11-25")
    assert "router 3.175 mm in birch plywood, by 2026-11-25" in known
    assert "From 4 sockets and 3 widths, 5 days old, in entries 1, 2." in known
    assert "tighter at a flank than drawn, give or take 0.0" in known
    misfit = float(known.split("come out ")[1].split(" mm")[0])
    assert 0.03 < misfit < 0.09
    assert known.endswith("The results agree with each other.")


def test_every_kind_is_entered_and_listed(shop: Shop) -> None:
    shop.said("add", "machine", "the small router", "--route", "router", *DAY)
    shop.said("add", "cutter", "router 1/8 in", "--machine", "the small router", "--note", "new")
    shop.said(
        "add", "stock", "walls", *BIRCH, "--nominal", "9mm", "--reading", "8.76mm", "--reading",
        "8.80mm",
    )  # fmt: skip
    shop.said("add", "job", "Type tray", *BIT, *BIRCH, "--flank-gap", "0.05mm", "--went", "mallet")
    listed = shop.said("list")
    for words in (
        "the small router, a router",
        "router 3.175 mm, the small router; new",
        "walls, birch plywood sold as 9.000 mm, 8.780 mm by 2 readings",
        "flank gap 0.050 mm: mallet",
    ):
        assert words in listed
    assert "walls" not in shop.said("list", "machine")
    assert shop.refused("list", "comb") == (
        "The book has 0 entries about a comb yet; dryfit book add enters one."
    )


def test_an_empty_book_says_how_to_begin(shop: Shop, tmp_path: Path) -> None:
    shop.path.touch()
    assert shop.refused("list") == "The book has 0 entries yet; dryfit book add enters one."
    assert "enter one with dryfit book add comb" in shop.refused("known", *BIT, *BIRCH)
    assert "no entry 1; the book is empty" in shop.refused("withdraw", "1")
    assert "Written" in shop.said("export", tmp_path / "empty.json")
    assert "0 entries of" in shop.said("import", tmp_path / "empty.json")


def test_a_correction_and_a_withdrawal_are_entries(shop: Shop) -> None:
    shop.said(*TRIED)
    assert shop.said("correct", "1", "--result", "0.05mm=hand", "--note", "read again") == (
        "Entry 2 stands in the place of entry 1."
    )
    listed = shop.said("list")
    assert "read again (in the place of entry 1)" in listed
    assert "1 more entries were corrected or withdrawn" in listed
    assert shop.said("withdraw", "2") == "Entry 2 does not count any more; entry 3 says so."
    assert shop.said("list") == "3 entries were corrected or withdrawn; --all shows them."
    every = shop.said("list", "--all")
    assert every.count("[does not count]") == 3
    assert "socket 2 0.050 mm mallet" in every
    assert "0 results of router 3.175 mm in birch plywood" in shop.refused("known", *BIT, *BIRCH)
    shop.said("correct", "3", *BIT, *BIRCH, "--result", "0.05mm=loose")
    assert "looser at a flank" in shop.said("known", *BIT, *BIRCH)


def test_a_correction_can_move_a_result_to_another_machine(shop: Shop) -> None:
    shop.said(*TRIED, "--machine", "the small router")
    shop.said("correct", "1", "--machine", "the big router")
    assert "router 3.175 mm, the big router in" in shop.said("list")
    shop.said("correct", "2", "--cutter", "router 6 mm")
    assert "router 6 mm, the big router in" in shop.said("list")
    shop.said("correct", "3", "--own-tongues")
    assert "each on its own tongue" in shop.said("list")


def test_allowances_are_two_flank_gaps(shop: Shop) -> None:
    shop.said("add", "comb", *BIT, *BIRCH, "--allowances", "--result", "0.1mm=hand")
    assert "0.050 mm by hand" in shop.said("list")


def test_a_book_is_carried_over(shop: Shop, tmp_path: Path) -> None:
    shop.said(*TRIED)
    shop.said(*CALIPERED)
    shop.said("withdraw", "2")
    file, other = tmp_path / "book.json", tmp_path / "other.sqlite"
    assert "every entry of the book" in shop.said("export", file)
    assert len(json.loads(file.read_text(encoding="utf-8"))["entries"]) == 3
    assert "give --force to overwrite" not in shop.said("export", file)  # the same again
    assert "3 entries of" in shop.said("import", file, "--book", other)
    assert "0 entries of" in shop.said("import", file, "--book", other)
    assert shop.said("list", "--all", "--book", other) == shop.said("list", "--all")
    shop.said(*TRIED)
    assert "give --force to overwrite" in shop.refused("export", file)
    shop.said("export", file, "--force")


def test_results_that_contradict_each_other_are_both_shown(shop: Shop) -> None:
    for _ in range(3):
        shop.said(*TRIED)
    shop.said("add", "comb", *BIT, *BIRCH, "--result", "1:-0.1mm=loose", "--result", "2:0.2mm=no")
    known = shop.said("known", *BIT, *BIRCH)
    assert "socket 2 0.200 mm no (entry 4) and socket 1 -0.100 mm loose (entry 4)" in known
    assert "contradict each other" in known
    assert "withdraw what does not hold" in known


REFUSED = [
    (("list",), "There is no shop book at", ),
    (("known", *BIT, *BIRCH), "dryfit book add begins one"),
    (("withdraw", "1"), "There is no shop book at"),
    (("export", "x.json"), "There is no shop book at"),
    (("list", "song"), "'song' is no kind of entry; known are machine"),
    (("frob",), "No such command 'frob'. See: dryfit --help"),
    (("add", "comb", *BIT, *BIRCH), "Missing option '--result'"),
    (("add", "comb", *BIT, *BIRCH, "--result", "0.05"), "'0.05' is no result; write length=grade"),
    (("add", "comb", *BIT, *BIRCH, "--result", "x:1=no"), "'x:1=no' is no result"),
    (("add", "comb", *BIT, *BIRCH, "--result", "0.05=snug"), "'snug' is no grade; known are loose"),
    (("add", "comb", *BIT, *BIRCH, "--result", "wide=no"), "'wide' is no length"),
    (("add", "comb", *BIT, *BIRCH, "--result", "0,05mm=no"), "has a comma"),
    (("add", "comb", *BIT, *BIRCH, "--result", "nan=no"), "is not a finite number"),
    (("add", "comb", *BIT, *BIRCH, "--result", "0:0.05=no"), "socket is 0; write a whole number"),
    (
        ("add", "comb", *BIT, *BIRCH, "--result", "2:0.05=no", "--result", "2:0.1=no"),
        "Socket 2 of the comb has 2 results",
    ),
    ((*TRIED, "--on", "yesterday"), "'yesterday' is no day; write it as 20"),
    ((*TRIED, "--on", "2999-01-01"), "days after today"),
    ((*TRIED, "--on", "0900-01-01"), "too long ago"),
    (("add", "comb", "--cutter", "axe", *BIRCH, "--result", "0=no"), "'axe' is no way to cut"),
    (
        ("add", "comb", *BIT, "--material", "brich plywood", "--result", "0=no"),
        "'brich plywood' is not known; the nearest is birch plywood",
    ),
    ((*CALIPERED, "--part", "flank"), "'flank' is no part; known are finger, socket"),
    ((*CALIPERED, "--resolution", "3in"), "steps of 76.2 mm is not taken"),
    (("add", "machine", "", "--route", "saw"), "The machine has 0 characters"),
    (("add", "machine", "a\nb", "--route", "saw"), "control character U+000A"),
    (("add", "machine", "x" * 201, "--route", "saw"), "has 201 characters; write 1 to 200"),
    (("add", "machine", "saw", "--route", "axe"), "'axe' is no route"),
    (("import", "nowhere.json"), "nowhere.json cannot be read: No such file"),
    (("correct", "one"), "Invalid value for 'ID'"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "sentence"), REFUSED, ids=lambda value: str(value)[:40])
def test_what_is_wrong_is_one_sentence_with_the_way_out(
    shop: Shop, words: tuple[str, ...], sentence: str
) -> None:
    assert sentence in shop.refused(*words)


def test_what_is_wrong_with_a_book_that_is_there(shop: Shop) -> None:
    shop.said(*TRIED)
    for words, sentence in (
        (("withdraw", "7"), "no entry 7; the last is 1, and dryfit book list shows all"),
        (("correct", "7", "--note", "x"), "no entry 7; the last is 1"),
        (("correct", "1"), "Nothing was said anew of entry 1; give 1 option to change"),
        (("correct", "1", "--route", "saw"), "Entry 1 is a comb, which has no route"),
        (("known", "--cutter", "hand", *BIRCH), "it knows router 3.175 mm in birch plywood"),
        (("known", *BIT, *BIRCH, "--on", "2026-01-01"), "0 results"),
    ):
        assert sentence in shop.refused(*words)
    shop.said("correct", "1", "--note", "once")
    assert "superseded by entry 2; name that one" in shop.refused("withdraw", "1")


DOUBTED = [
    (("add", "comb", *BIT, *BIRCH, "--result", "5=hand"), "5.000 mm (0.1969 in)"),
    (("add", "comb", *BIT, *BIRCH, "--result", "3mm=no"), "3.000 mm (0.1181 in)"),
    ((*CALIPERED[:9], "10", "--measured", "10.02 in"), "254.508 mm (10.0200 in)"),
    (
        ("add", "stock", "walls", *BIRCH, "--nominal", "9mm", "--reading", "0.35mm"),
        "0.350 mm (0.0138 in)",
    ),
]


@pytest.mark.parametrize(("words", "number"), DOUBTED, ids=lambda value: str(value)[:30])
def test_what_is_hard_to_believe_is_asked_and_kept_when_meant(
    shop: Shop, words: tuple[str, ...], number: str
) -> None:
    sentence = shop.refused(*words)
    assert number in sentence
    assert "?" in sentence
    assert sentence.endswith("Give --yes to keep it as it is.")
    assert not shop.path.exists()
    assert shop.said(*words, "--yes").startswith("Entry 1: ")


def test_a_wrong_file_is_refused_and_left_alone(shop: Shop) -> None:
    shop.path.write_text("my songs", encoding="utf-8")
    assert "is no shop book; choose another file with --book" in shop.refused(*TRIED)
    assert shop.path.read_text(encoding="utf-8") == "my songs"
    shop.path.unlink()
    (shop.path / "sub").mkdir(parents=True)
    assert "is a folder" in shop.refused("list")


def test_names_cannot_move_the_cursor_or_break_a_line(shop: Shop, tmp_path: Path) -> None:
    shop.said("add", "machine", "\u202erouter", "--route", "router", "--note", "a\nb\x1b[31mred")
    _, out, _ = shop("list")
    assert "\\u202erouter, a router; a b\\x1b[31mred" in " ".join(out.split())
    assert all(sign.isprintable() for line in out.splitlines() for sign in line)
    file = tmp_path / "b.json"
    shop.said("export", file)
    assert file.read_text(encoding="utf-8").isascii()


def test_the_book_given_by_option_beats_the_environment(shop: Shop, tmp_path: Path) -> None:
    other = tmp_path / "folder that is new" / "other.sqlite"
    shop.said(*TRIED, "--book", other)
    assert other.is_file()
    assert not shop.path.exists()


def test_without_either_it_lies_in_the_user_s_own_folder(tmp_path: Path) -> None:
    environment = {name: value for name, value in os.environ.items() if name != "DRYFIT_BOOK"}
    environment |= {"XDG_DATA_HOME": str(tmp_path), "HOME": str(tmp_path)}
    command = [sys.executable, "-m", "dryfit", "book", *TRIED]
    done = subprocess.run(
        command, env=environment, capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert [path.name for path in tmp_path.rglob("shop-book.sqlite")] == ["shop-book.sqlite"]


def test_help_is_there_for_every_command(shop: Shop) -> None:
    assert "list" in shop.said()
    for words in (("--help",), ("add", "--help"), ("add", "comb", "--help"), ("known", "-h")):
        assert "Usage: dryfit book" in shop.said(*words)
