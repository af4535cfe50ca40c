"""Tables that are read again from memory give the job, and the faults, of a text read anew."""

from __future__ import annotations

import sys
import tomllib
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit import workflow
from dryfit.errors import JobFileError
from dryfit.jobfile.chunks import read_chunks
from dryfit.jobfile.read import read_text
from dryfit.jobfile.sources import MOST_KEYS
from dryfit.parts.memory import Memory
from tools.furniture import cabinet, pigeon_holes

if TYPE_CHECKING:
    from collections.abc import Iterator

LINES = (
    "[piece]",
    "[plane]",
    '[plane."a b"]',
    "[plane.'a b']",
    "[panel.a]",
    " [panel.a] # on",
    "[x.y.z]",
    "[[panel]]",
    "[[panel.a]]",
    "[",
    "]",
    '["piece"]',
    '["piece"],',
    "[[1]]",
    "x = [",
    "a = 1",
    "a = 1.0",
    "a = true",
    "a = {b = 1}",
    "a.b = 2",
    "piece.a = 3",
    "plane = {}",
    'b = "[piece]"',
    'c = """',
    '"""',
    "d = '''",
    "'''",
    "# [panel.a]",
    "",
    "e = 1979-05-27",
    "f = nan",
    "= 1",
    'panel."a" = 4',
    "h = " + "[" * 25 + "]" * 25,
    "\r",
    "i = 1 # \x00",
)
"""Lines of TOML that mean other things in other places, and lines that are none."""

HOLES = pigeon_holes(1).split("\n")
FAULTS = (
    "depth = 900",
    'stock = "oak"',
    "readings = []",
    "readings = [1]",
    'on = "nowhere"',
    "colour = 1",
    "x = 5",
    'between = ["front"]',
    '[plane."front"]',
    "[panel]",
    "flank_gap = 9",
    "unit = 3",
    '[joint."case 1 left+case 1 back"]',
    "count = 0",
    "broken",
    'edges = "butt"',
    "z = 100",
)
"""Lines that are wrong in most places of a job file, each in a way of its own."""


def parsed(text: str) -> str | None:
    """What the parser of whole files makes of a text; None where it is no TOML."""
    try:
        return repr(tomllib.loads(text))
    except ValueError:
        return None


@settings(max_examples=600)
@given(st.lists(st.sampled_from(LINES), max_size=9))
def test_tables_read_one_by_one_are_the_file(lines: list[str]) -> None:
    """Also in their order, and with whole numbers told from decimal ones."""
    text = "\n".join(lines)
    found = read_chunks(text, MOST_KEYS)
    assert found is None or repr(found) == parsed(text)


@pytest.mark.parametrize(
    "text", [cabinet(), pigeon_holes(2), "", "[piece]", "a = 1\n[piece]\nb = 2"]
)
def test_a_plain_job_needs_no_parser_of_whole_files(text: str) -> None:
    assert repr(read_chunks(text, MOST_KEYS)) == parsed(text)


def told(text: str) -> object:
    """The job of a text, or every fault in it with its line."""
    try:
        return repr(read_text(text, "job"))
    except JobFileError as error:
        return error.faults


def edited(lines: list[str], edits: list[tuple[str, int, str]]) -> Iterator[str]:
    """The text after each of some edits."""
    lines = list(lines)
    for what, place, line in edits:
        at = place % len(lines)
        if what == "put in":
            lines.insert(at, line)
        elif what == "take out":
            del lines[at]
        elif what == "write twice":
            lines.insert(at, lines[at])
        else:
            lines[at] = lines[at].replace("5", "6").replace("low", "high")
        yield "\n".join(lines)


EDITS = st.tuples(
    st.sampled_from(("put in", "take out", "write twice", "alter")),
    st.integers(0, 10**6),
    st.sampled_from(FAULTS),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(EDITS, min_size=1, max_size=4))
def test_an_edited_text_is_told_alike(edits: list[tuple[str, int, str]]) -> None:
    """There and back: what was faulty is edited on, and at last mended."""
    texts = ["\n".join(HOLES), *edited(HOLES, edits), "\n".join(HOLES)]
    remembered = [told(text) for text in texts]
    for text, before in zip(texts, remembered, strict=True):
        workflow.forget()
        assert told(text) == before
    assert isinstance(remembered[-1], str)


def test_a_number_too_long_to_be_shown_is_told_each_time() -> None:
    """It is not remembered: it has no key."""
    text = f"format = 1\n[stock.ply]\nnominal = 0x{'f' * 4000}"
    first = told(text)
    assert isinstance(first, tuple)
    assert first == told(text)


def test_the_edits_do_both() -> None:
    """So that the law above holds of faults and of jobs."""
    put_in = [told(next(edited(HOLES, [("put in", 60, line)]))) for line in FAULTS]
    assert any(isinstance(each, str) for each in put_in)
    assert sum(isinstance(each, tuple) for each in put_in) > len(FAULTS) / 2


def test_the_line_of_a_fault_follows_the_text() -> None:
    """A table from memory is told where it stands now."""
    text = pigeon_holes(1) + "\ncolour = 1"
    for above in range(3):
        faults = told("\n" * above + text)
        assert isinstance(faults, tuple)
        assert [fault.line for fault in faults] == [above + len(text.split("\n"))]


def memories() -> dict[str, Any]:
    """Everything that is remembered by value, by its name."""
    modules = [module for name, module in sys.modules.items() if name.startswith("dryfit.")]
    return {
        name: held
        for module in modules
        for name, held in vars(module).items()
        if isinstance(held, Memory) or (name.startswith("remembered_") and callable(held))
    }


def test_everything_is_forgotten() -> None:
    assert workflow.read_text(cabinet()).report.answers
    kept = memories()
    assert {"remembered_chunk", "remembered_edge", "remembered_let", "CHECKED"} <= kept.keys()
    workflow.forget()
    for name, held in kept.items():
        left = len(held.known) if isinstance(held, Memory) else held.cache_info().currsize
        assert not left, name
