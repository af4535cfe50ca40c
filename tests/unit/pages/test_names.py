"""Names typed by users: laws for any text, and the attacks by name."""

from __future__ import annotations

import string
import unicodedata
from pathlib import PurePosixPath, PureWindowsPath

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.pages.names import (
    LONGEST_FILE_NAME,
    LONGEST_TEXT,
    csv_cell,
    file_name,
    file_names,
    plain_names,
    plain_text,
)

LAWS = settings(derandomize=True, deadline=None, max_examples=200)
PORTABLE = set(string.ascii_lowercase + string.digits + "-")
ATTACKS = (
    ") M3",
    "../x",
    "..\\..\\x",
    "/etc/passwd",
    "C:\\x",
    "=cmd|' /C calc'!A0",
    "CON",
    "nul.txt",
    "a\nb\r\tc\0d",
    "🪚🪵",
    "\u202egpj.exe",
    "ארגז",
    "%%d\\U+0041^J",
    "x" * 200,
    "",
    "   ",
    "-rf",
    ".hidden",
)
any_text = st.text(max_size=300) | st.sampled_from(ATTACKS)


@LAWS
@given(any_text)
def test_a_file_name_is_portable(text: str) -> None:
    name = file_name(text)
    assert name
    assert set(name) <= PORTABLE
    assert len(name) <= LONGEST_FILE_NAME + len("part-")
    assert not name.startswith("-")
    assert not name.endswith("-")
    assert PurePosixPath(name).name == name
    assert PureWindowsPath(name).name == name


@pytest.mark.parametrize("device", ["con", "PRN", "Aux", "nul", "COM1", "lpt9", "nul.txt"])
def test_a_device_of_windows_is_no_file_name(device: str) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces": reserved names (from memory)."""
    reserved = {"con", "prn", "aux", "nul"} | {f"{p}{d}" for p in ("com", "lpt") for d in range(10)}
    assert file_name(device).split(".")[0] not in reserved


@LAWS
@given(st.lists(any_text | st.sampled_from(["side", "Side", "side-2", "side 2"]), max_size=12))
def test_file_names_are_as_many_as_the_texts_and_no_two_alike(texts: list[str]) -> None:
    names = file_names(texts)
    assert len(names) == len(texts)
    assert len(set(names)) == len(names)
    assert all(set(name) <= PORTABLE for name in names)


def test_twins_are_numbered_past_names_that_exist() -> None:
    assert file_names(["Side", "side!", "side 2"]) == ("side", "side-3", "side-2")


def test_a_reserved_name_is_left_free() -> None:
    assert file_names(["Piece", "side"], reserved=("piece",)) == ("piece-2", "side")


@LAWS
@given(any_text)
def test_plain_text_holds_nothing_that_a_format_could_obey(text: str) -> None:
    plain = plain_text(text)
    assert not set(plain) & set('()[]{}<>\\%^=;|"!$`~*?@\0')
    assert all(unicodedata.category(sign)[0] in "LMNPSZ" for sign in plain)
    assert not any(
        unicodedata.category(sign) in ("Cf", "So", "Zl", "Zp") for sign in plain if sign != "°"
    )
    assert len(plain) <= LONGEST_TEXT
    assert plain == " ".join(plain.split())


@LAWS
@given(any_text)
def test_plain_text_of_plain_text_is_the_same(text: str) -> None:
    assert plain_text(plain_text(text)) == plain_text(text)


@pytest.mark.parametrize("name", ["Left side", "Kästchen", "ארגז", "箱 3", "9 mm × 1/2", "Łódź, 2"])
def test_an_honest_name_is_left_as_it_is(name: str) -> None:
    assert plain_text(name) == name


def test_a_long_text_says_that_it_was_cut() -> None:
    assert plain_text("x" * 200) == "x" * (LONGEST_TEXT - 3) + "..."


@LAWS
@given(any_text)
def test_no_cell_starts_a_formula_or_breaks_its_line(text: str) -> None:
    cell = csv_cell(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "|", "%"))
    assert all(sign.isprintable() or sign == " " for sign in cell)


@pytest.mark.parametrize("name", ["Left side", "箱", "3/8 in", "a=b", "it's"])
def test_an_honest_cell_is_left_as_it_is(name: str) -> None:
    assert csv_cell(name) == name


@LAWS
@given(st.lists(any_text, max_size=8))
def test_plain_names_are_plain_text_and_apart(texts: list[str]) -> None:
    names = plain_names(texts)
    assert len(set(names)) == len(names) == len(texts)
    assert all(name and name == plain_text(name, 90) for name in names)
    firsts = [plain_text(text) or "part" for text in texts]
    assert all(name.startswith(first) for name, first in zip(names, firsts, strict=True))
