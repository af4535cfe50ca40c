"""The odds of a job, from the file to the sentences."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from dryfit import workflow
from dryfit.cli.main import main
from dryfit.errors import JobFileError
from dryfit.findings import Severity

ROOT = Path(__file__).parents[2]
TRAY = ROOT / "examples" / "type-tray.toml"
TEXT = TRAY.read_text(encoding="utf-8")


def codes(text: str) -> set[str]:
    return {finding.code for finding in workflow.read_text(text).findings}


def with_gap(gap: str, more: str = "") -> str:
    return TEXT.replace('flank_gap = "auto"', f"flank_gap = {gap}") + more


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("[odds]\nwanted = 0.95\n", "write a number from 50 to 99.9"),
        ("[odds]\nwanted = 100\n", "write a number from 50 to 99.9"),
        ('[odds]\nwanted = "95 in 100"\n', "expected a number"),
        ("[odds]\nflush = -1\n", "write 0 or more"),
        ("[odds]\nsanding = 50\n", "check the unit"),
        ("[scatter]\nedge = 20\n", "check the unit"),
        ("[scatter]\nedge = -0.1\n", "write 0 or more"),
        ('[scatter]\ndatum = "two"\n', "such as"),
        ("[scatter]\nmisfit = 5\n", "check the unit"),
        ("[scatter]\ndoubt = true\n", "expected a length"),
        ("[scatter]\nscale = 200\n", "check the unit"),
        ("[scatter]\nspread = 0.1\n", "no key"),
        ("[panel.front]\nmoisture = 85\n", "write a number from 2 to 30"),
        ('[panel.front]\nmoisture = "9 %"\n', "expected a number"),
    ],
)
def test_bad_values_are_a_sentence_with_a_way_out(more: str, said: str) -> None:
    with pytest.raises(JobFileError) as refused:
        workflow.read_text(f"{TEXT}\n{more}")
    (fault,) = refused.value.faults
    assert said in str(fault)


def test_another_word_than_auto_is_refused() -> None:
    with pytest.raises(JobFileError, match="length such as"):
        workflow.read_text(TEXT.replace('"auto"', '"tight"'))


def test_without_scatter_all_closes_and_with_an_enormous_one_nothing() -> None:
    none = "[scatter]\nedge = 0\ndatum = 0\ndoubt = 0\n"
    assert workflow.read_text(with_gap("0.05", none)).odds.whole == pytest.approx(1.0, abs=1e-9)
    lost = workflow.read_text(with_gap("0.05", "[scatter]\nedge = 1\n"))
    assert lost.odds.whole < 1e-6
    assert "odds-out-of-reach" in {finding.code for finding in lost.findings}
    auto = workflow.read_text(f"{TEXT}\n[scatter]\nedge = 1\n")
    assert "odds-out-of-reach" in {finding.code for finding in auto.findings}
    assert not auto.report.stops


@pytest.mark.parametrize("wanted", [80, 95, 99])
def test_a_gap_left_to_the_odds_reaches_them_and_the_next_smaller_does_not(wanted: int) -> None:
    tray = workflow.read_text(f"{TEXT}\n[odds]\nwanted = {wanted}\n")
    assert tray.odds.whole >= wanted / 100 > tray.odds.curve_at(tray.odds.gap - 0.005)
    assert all(joint.flank_gap == tray.odds.gap for joint in tray.joints)
    found = next(finding for finding in tray.findings if finding.code == "gap-found")
    assert found.severity is Severity.NOTE
    assert f"{wanted} in 100" in found.sentence


def test_a_typed_gap_that_is_too_small_is_looked_at() -> None:
    assert "odds-low" in codes(with_gap("0.02"))
    assert "odds-low" not in codes(with_gap("0.09"))


def test_wear_and_more_fingers_lower_the_odds_and_less_scatter_raises_them() -> None:
    tray = workflow.read_text(with_gap("0.06"))
    worn, thicker, more, half = workflow.what_if(tray)
    assert worn.odds < tray.odds.whole
    assert more.odds < tray.odds.whole < half.odds
    assert thicker.odds == pytest.approx(tray.odds.whole, abs=0.005)  # no panel sits in a slot
    cabinet = workflow.read(ROOT / "examples" / "type-cabinet.toml")
    assert workflow.what_if(cabinet)[1].odds < cabinet.odds.whole


def test_mates_at_another_moisture_are_told_and_less_likely_to_close() -> None:
    """0.2 points on 300 mm of flat-sawn oak spend a gap of 0.1 mm (Wood Handbook, Eq. 13-2)."""
    oak = with_gap("0.1").replace("birch plywood", "oak").replace("330, 220, 70", "330, 220, 300")
    oak = oak.replace('form = "tray"', 'form = "ring"')
    even, apart = (
        workflow.read_text(f"{oak}\n[panel.front]\nmoisture = {wet}\n[stock.walls.x]\n".replace(
            "[stock.walls.x]\n", "").replace("[stock.walls]\n", "[stock.walls]\nmoisture = 8\n"))
        for wet in (8, 8.2)
    )  # fmt: skip
    slope = abs(apart.odds.setting.slopes["front+left"])
    assert slope * 300 == pytest.approx(0.00365 * 0.2 * 300, rel=1e-9)
    assert even.odds.setting.slopes == {}
    assert apart.odds.whole < 0.5 * even.odds.whole
    assert "moisture-apart" in {finding.code for finding in apart.findings}


def test_what_is_printed_is_what_is_drawn_and_what_is_data(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    drawn = tmp_path / "curve.svg"
    assert main(["odds", str(TRAY), "-o", str(drawn)]) == 0
    said = capsys.readouterr().out
    assert main(["odds", str(TRAY), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    hundredths = int(100 * data["piece"])
    assert f"{hundredths} in 100, with {data['flank_gap_mm']:.3f} mm of air" in said
    assert f"{data['flank_gap_mm']:.3f} mm: {hundredths} in 100" in drawn.read_text("utf-8")
    bars = re.findall(r"^ +(\d\.\d{3}) mm +(\d+) +(=*)", said, re.MULTILINE)
    odds = [int(hundred) for _, hundred, _ in bars]
    assert len(bars) > 10
    assert odds == sorted(odds)
    assert data["piece"] <= data["upper_bound"]
    assert min(each["odds"] for each in data["joints"]) >= data["piece"]


def test_the_job_file_is_not_drawn_over(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(TEXT, encoding="utf-8")
    assert main(["odds", str(job), "-o", str(job), "--force"]) == 2
    assert job.read_text(encoding="utf-8") == TEXT


def test_results_that_contradict_each_other_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DRYFIT_BOOK", str(tmp_path / "book.sqlite"))
    cutter = ["--cutter", "router 3.175 mm", "--material", "birch plywood"]
    for day, shift in enumerate((-0.2, 0.2), start=1):
        typed = []
        for gap in (-0.1, -0.05, 0.0, 0.05, 0.1):
            grade = "no" if gap < shift else "loose"
            typed += ["--result", f"{gap:.2f}mm={grade}"]
        assert main(["book", "add", "comb", *cutter, *typed, "--on", f"2026-01-0{day}"]) == 0
    assert main(["check", str(TRAY)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "book-contradicts" in said
    assert "entry 1" in said
    assert "entry 2" in said
