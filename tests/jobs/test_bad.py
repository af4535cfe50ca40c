"""Job files with many faults at once: each file has its complaints, word for word, beside it."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.read import read_job, read_text
from dryfit.jobfile.template import new_job
from dryfit.model.forms import FORMS
from dryfit.model.piece import Job
from tests.unit.jobfile.sample import CASE

BAD = Path(__file__).parent / "bad"
FILES = sorted(BAD.glob("*.toml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_complaints_are_complete(path: Path) -> None:
    with pytest.raises(JobFileError) as refused:
        read_job(path)
    said = "".join(f"{fault}\n" for fault in refused.value.faults)
    assert said == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_complaints_stay_on_their_line_and_within_reason(path: Path) -> None:
    with pytest.raises(JobFileError) as refused:
        read_job(path)
    for fault in refused.value.faults:
        assert str(fault).isprintable()
        assert len(str(fault)) < 400


def test_the_corpus_is_not_empty() -> None:
    assert len(FILES) >= 7


@st.composite
def spoiled(draw: st.DrawFn) -> str:
    """A new job with some stretches of its text cut out, doubled or written over."""
    text = new_job(draw(st.sampled_from(list(FORMS))))
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text) - 1))
        end = start + draw(st.integers(0, 12))
        twice = text[start:end] * 2
        middle = draw(st.sampled_from(["", twice, "[", "]", "{}", '"', "=", "1e999", "-"]))
        text = text[:start] + middle + text[end:]
    return text


@settings(max_examples=300)
@given(spoiled())
def test_a_spoiled_file_is_read_or_refused_with_sentences(text: str) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        read_text(text, "spoiled.toml")
    except JobFileError as refused:
        faults = refused.faults
        assert faults
    else:
        assert tomllib.loads(text)["format"] == 1
    assert all(0 <= fault.line <= len(text.splitlines()) + 1 for fault in faults)
    assert all(str(fault).isprintable() for fault in faults)


# What stands in the file of planes, and what might by mistake.
_LINES = [line for line in CASE.splitlines() if line]
_VALUES = [line.split(" = ")[1] for line in _LINES if " = " in line]
_NEW = [
    *_LINES, *(f"{line.split(' = ')[0]} = {value}" for line in _LINES for value in _VALUES[3:]
               if " = " in line),
    '[panel."shelf 2"]', '[plane."shelf 1"]', '[joint."shelf+left"]', '[joint."left+lid"]',
    '[joint."shelf 1+right"]', "[opening.hole]", "[piece]", 'kind = "housing"', 'kind = "butt"',
    'leads = "left"', "depth = 8", "depth = 20", "room = 3", "stop = [150, 150]", "stop = 1e5",
    "clearance = 90", 'edges = "groove"', 'edges = "running"', 'edges = "rebate"', 'face = "high"',
    'ends = "through"', 'between = ["shelf 1", "shelf 2"]', 'between = ["left", "left"]',
    'between = ["shelf", "top"]', "between = []", "parts = 200", "diameter = 30", "z = 1e5",
    "x = -3", 'on = "shelf 1"', 'on = ""', "cut = [500, 1]", 'form = "case"', "shelves = 3",
    'tee = "butt"', "at = [0, 0]", 'grain = "z"', 'panel = "shelf 2"',
]  # fmt: skip


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """A file of planes with some of its lines lost, moved, doubled or written over."""
    lines = CASE.splitlines()
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(2, len(lines) - 1))
        way = draw(st.sampled_from(["lose", "add", "add", "over", "over", "swap"]))
        new = draw(st.sampled_from(_NEW))
        other = draw(st.integers(2, len(lines) - 1))
        if way == "swap":
            lines[at], lines[other] = lines[other], lines[at]
        else:
            lines[at : at + (way != "add")] = [] if way == "lose" else [new]
    return "\n".join(lines) + "\n"


@settings(max_examples=400, deadline=None)
@given(damaged())
def test_damaged_planes_are_a_job_or_faults(text: str) -> None:
    """Nothing but a job or a refusal ever comes of it, and each refusal has its reasons."""
    faults: tuple[Fault, ...] = ()
    try:
        job = read_text(text, "damaged.toml")
    except JobFileError as refused:
        faults = refused.faults
        assert faults
    else:
        assert isinstance(job, Job)
        names = [panel.name for panel in job.piece.panels]
        assert len(set(names)) == len(names) > 0
        assert all(panel.width > 0 and panel.height > 0 for panel in job.piece.panels)
    assert all(0 <= fault.line <= len(text.splitlines()) + 1 for fault in faults)
    assert all(str(fault).isprintable() and len(str(fault)) < 400 for fault in faults)
