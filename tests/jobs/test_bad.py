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
