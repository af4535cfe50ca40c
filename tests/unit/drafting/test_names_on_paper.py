"""Names of any script and any length, on every sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit import workflow
from dryfit.drafting.traveller.flow import overlaps
from dryfit.drafting.traveller.pages import letters_missing, traveller_pages
from dryfit.pages import letters
from dryfit.pages.page import Voice
from dryfit.workflow.traveller import make_traveller, packet_of
from tests.helpers.reading import Read

RING = Path(__file__).parents[3] / "examples" / "crate-corner.toml"
TITLES = (
    "צנצנת לאותיות 3",
    "صندوق الحروف",
    "文字の箱 活字箱 활자 상자",
    "📦 Crate 🎉",
    "A <b>\"quoted\"</b> 'crate' & its (lid) \\ %s {0}",
    "Crate " * 33,
    "x" * 200,
    "छपाई का बक्सा",
)


@pytest.mark.parametrize("title", TITLES)
def test_a_name_is_printed_or_shortened_and_breaks_nothing(title: str) -> None:
    import json

    text = RING.read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("title"))
    safe = json.dumps(title, ensure_ascii=False)
    rehearsal = workflow.read_text(text.replace(line, f"title = {safe}"))
    packet = packet_of(rehearsal)
    pages = traveller_pages(packet)
    assert [overlaps(page.texts, 0.05) for page in pages] == [[] for _ in pages]
    assert letters_missing(packet) == ""
    cover = Read(make_traveller(rehearsal).data).sheets[0]
    shown = letters.shown(rehearsal.job.title)
    if title.isascii() and len(title) < 60:
        assert shown in cover.text
    elif title.isascii():
        assert letters.ELLIPSIS in cover.lines[0][0]


def test_a_sentence_says_which_extra_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    there = letters.is_installed
    letters.font_for.cache_clear()
    monkeypatch.setattr(
        letters, "is_installed", lambda name: there(name) and "noto_cjk" not in name
    )
    try:
        text = RING.read_text(encoding="utf-8")
        line = next(line for line in text.splitlines() if line.startswith("title"))
        made = make_traveller(workflow.read_text(text.replace(line, 'title = "箱"')))
        assert made.said == (
            "Some letters have no font here and are printed as squares; pip install "
            '"dryfit[scripts]" brings them.'
        )
        assert letters.shown("箱") == letters.UNKNOWN
    finally:
        letters.font_for.cache_clear()


@pytest.mark.parametrize("voice", list(Voice))
def test_lines_are_no_wider_than_their_room(voice: Voice) -> None:
    for content in ("Bring front down, 8.8 mm to its seat.", "w" * 90, "活字箱" * 20, ""):
        lines = letters.wrapped(content, 30.0, 2.5, voice)
        assert all(letters.width(line, 2.5, voice) <= 30.0 for line in lines)
        assert "".join(lines).replace(" ", "") == content.replace(" ", "")
        assert letters.width(letters.shortened(content, 30.0, 2.5, voice), 2.5, voice) <= 30.0
