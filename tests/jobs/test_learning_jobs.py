"""A comb, the shop book, and the next job."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit import workflow
from dryfit.cli.main import main
from dryfit.model.cutter import Route
from dryfit.model.scatter import USUAL, Source
from dryfit.workflow import Shop

if TYPE_CHECKING:
    import pytest

ROOT = Path(__file__).parents[2]
TRAY = ROOT / "examples" / "type-tray.toml"


def test_what_a_comb_taught_is_in_the_next_answers_and_combs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a comb taught is in the next answers, and said to be."""
    monkeypatch.setenv("DRYFIT_BOOK", str(tmp_path / "book.sqlite"))
    results = [("1:-0.07mm", "no"), ("2:-0.03mm", "no"), ("3:0.01mm", "mallet"),
               ("4:0.05mm", "hand"), ("5:0.09mm", "loose")]  # fmt: skip
    typed = [part for gap, grade in results for part in ("--result", f"{gap}={grade}")]
    cutter = ["--cutter", "router 3.175 mm", "--material", "birch plywood"]
    assert main(["book", "add", "comb", *cutter, *typed, "--on", "2026-01-05"]) == 0
    assert main(["check", str(TRAY)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "scatter-from-book" in said
    assert "scatter-assumed" not in said
    first, second = tmp_path / "first", tmp_path / "second"
    assert main(["comb", str(TRAY), "-o", str(second)]) == 0
    finer = capsys.readouterr().out
    monkeypatch.setenv("DRYFIT_BOOK", str(tmp_path / "none.sqlite"))
    assert main(["comb", str(TRAY), "-o", str(first)]) == 0
    spans = []
    for told in (capsys.readouterr().out, finer):
        gaps = [float(gap) for gap in re.findall(r"[+-]\d\.\d\d", told)]
        spans.append(max(gaps) - min(gaps))
    assert spans[1] < spans[0]


def test_a_trial_pair_of_the_saw_says_nothing_of_its_steps(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = tmp_path / "book.sqlite"
    monkeypatch.setenv("DRYFIT_BOOK", str(book))
    typed = ["--result", "1:0.05mm=mallet", "--on", "2026-01-05"]
    of = ["--cutter", "saw 12.7 mm", "--material", "oak"]
    assert main(["book", "add", "comb", *of, *typed]) == 0
    ring = workflow.read(ROOT / "examples" / "tool-chest-ring.toml", Shop(book, date(2026, 1, 6)))
    scatter = ring.odds.scatter
    assert scatter.source is Source.BOOK
    assert scatter.edge == USUAL[Route.SAW].edge
    assert scatter.misfit > 0
