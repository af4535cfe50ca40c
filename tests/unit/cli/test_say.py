from __future__ import annotations

import io
import sys

import pytest

from dryfit.cli.say import WIDTH, be_ready, complain, listed, plain, tell


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Kästchen für Papier", "Kästchen für Papier"),
        ("two\nlines", "two\nlines"),
        ("red\x1b[31m", "red\\x1b[31m"),
        ("turned \u202e about", "turned \\u202e about"),
        ("no \udcff letter", "no \\udcff letter"),
    ],
)
def test_what_would_not_show_is_an_escape(text: str, shown: str) -> None:
    assert plain(text) == shown


def test_long_rows_of_names_are_shortened() -> None:
    names = [f"wall {number}" for number in range(60)]
    assert listed(names, most=3) == "wall 0, wall 1 and 58 more"
    assert listed(names[:3], most=3) == "wall 0, wall 1, wall 2"


def test_no_line_is_wider_than_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    tell("word " * 100)
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert " ".join(lines).split() == ["word"] * 100


def test_brackets_and_colons_are_not_taken_for_markup(capsys: pytest.CaptureFixture[str]) -> None:
    tell("[bold]box[/bold] :smile:")
    assert capsys.readouterr().out == "[bold]box[/bold] :smile:\n"


def test_a_narrow_character_set_gets_escapes(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    be_ready()
    tell("1/2 × 3")
    assert raw.getvalue() == b"1/2 \\xd7 3\n"


def test_a_complaint_is_a_line_on_the_error_stream(capsys: pytest.CaptureFixture[str]) -> None:
    complain("No \x07 bell.")
    assert capsys.readouterr() == ("", "No \\x07 bell.\n")
