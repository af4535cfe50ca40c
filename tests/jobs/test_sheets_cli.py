"""``dryfit sheets`` and ``make`` as a maker runs them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from dryfit.cli.main import main
from dryfit.errors import DryfitError, JobFileError
from dryfit.layout.search import has_engine
from dryfit.workflow import Request, lay, mended, read, read_text, say_sheets
from tests.property.test_layouts import TRAYS

if TYPE_CHECKING:
    from pathlib import Path

PRICED = TRAYS.replace("sheet = [1220, 610]", "sheet = [1220, 610]\nprice = 30")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "trays.toml"
    path.write_text(PRICED, encoding="utf-8")
    return path


def test_sheets_says_what_to_buy_and_how_good_that_is(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sheets", str(job), "--quick"]) == 0
    said = capsys.readouterr().out
    assert "ply: 1 sheet to buy" in said
    assert "no layout can use fewer." in said
    assert "1 × ply, 30.00" in said
    assert "Quote" in said


def test_sheets_writes_drawings_and_json(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = job.parent / "out"
    assert main(["sheets", str(job), "--quick", "--json", "--out", str(folder)]) == 0
    data = json.loads(capsys.readouterr().out)
    sheets = [sheet for stock in data["stocks"] for sheet in stock["sheets"]]
    assert sum(len(sheet["placed"]) for sheet in sheets) == 15
    assert [cost["pieces"] for cost in data["quote"]] == [1, 2, 5, 10, 20]
    assert len(list(folder.glob("*.svg"))) == len(list(folder.glob("*.dxf"))) == len(sheets)


def test_an_accepted_layout_is_kept_and_read_while_it_fits(job: Path) -> None:
    assert main(["sheets", str(job), "--quick", "--accept"]) == 0
    kept = job.with_name("trays.layout.json")
    before = kept.read_bytes()
    rehearsal = read(job)
    assert rehearsal.accepted
    assert "layout-stale" not in {f.code for f in rehearsal.findings}
    job.write_text(PRICED.replace("220, 70", "230, 70"), encoding="utf-8")
    assert "layout-stale" in {f.code for f in read(job).findings}
    assert main(["sheets", str(job), "--quick", "--accept"]) == 2
    assert kept.read_bytes() == before
    kept.write_text("{}", encoding="utf-8")
    assert "layout-stale" in {f.code for f in read(job).findings}


def test_make_lays_several_jobs_together(job: Path) -> None:
    other = job.with_name("low.toml")
    other.write_text(PRICED.replace("220, 70", "220, 40"), encoding="utf-8")
    folder = job.parent / "made"
    args = ["make", str(job), str(other), "--times", "1", "-o", str(folder)]
    assert main(args) == 0
    names = {path.name for path in folder.iterdir()}
    assert {"trays-front.dxf", "low-front.dxf", "trays-cut-list.csv"} <= names
    assert any(name.startswith("sheet-") for name in names)


BAD = {
    "sheet = [0, 610]": ("sheet = [1220, 610]", "stock.ply.sheet"),
    "sheet = [1220, -5]": ("sheet = [1220, 610]", "stock.ply.sheet"),
    "defects = [[0, 0, 400, 300]]": (
        "defects = [[200, 100, 260, 140]]", "covers the whole sheet",
    ),
    "defects = [[9, 9, 5, 5]]": ("defects = [[200, 100, 260, 140]]", "left and low must be less"),
    "spacing = 2": ("spacing = 6", "the cutter takes 3.17 mm"),
}  # fmt: skip


@pytest.mark.parametrize("wrong", BAD)
def test_bad_input_is_a_sentence_with_its_line(wrong: str) -> None:
    right, words = BAD[wrong]
    with pytest.raises(JobFileError) as caught:
        read_text(TRAYS.replace(right, wrong))
    (fault,) = caught.value.faults
    assert words in str(fault)
    assert fault.line
    assert any(sign.isdigit() for sign in fault.sentence)


def test_no_sheets_and_unknown_parts_are_sentences() -> None:
    bare = read_text(TRAYS.replace("sheet = [1220, 610]\n", "").replace("[sheet.end]", "[sheet.x]"))
    assert bare.job.supply is not None
    nothing = TRAYS.split("[sheet.end]")[0] + "[cutter]\nkind = 'laser'\nkerf = 0.2\n"
    with pytest.raises(DryfitError, match=r"sheet = \[1220, 610\] under \[stock.ply\]"):
        lay([read_text(nothing.replace("sheet = [1220, 610]\n", ""))])
    with pytest.raises(DryfitError, match="no part lid; 5 are known"):
        lay([read_text(TRAYS)], Request(only=("lid",)))


def test_a_part_larger_than_every_sheet_says_by_how_much_and_its_mend_works() -> None:
    text = TRAYS.replace("sheet = [1220, 610]", "sheet = [340, 300]").replace("[330, ", "[380, ")
    text = text.replace("size = [400, 300]", "size = [340, 300]")
    found = [f for f in read_text(text).findings if f.code == "part-too-large"]
    assert found
    assert "too long for every sheet of ply" in found[0].sentence
    over = {f.place: f.numbers["length_over_mm"] for f in found}
    # 380 mm and twice the proud of its fingers, on 340 mm less two margins of 8 mm.
    assert over["front"] == pytest.approx(56, abs=1)
    for each in found:
        assert each.mend is not None
        after = read_text(mended(text, each.mend)).findings
        assert each.place not in {f.place for f in after if f.code == "part-too-large"}


@pytest.mark.skipif(not has_engine(), reason="no such engine for this Python")
def test_the_usual_effort_is_checked_and_in_words() -> None:
    found = lay([read_text(TRAYS)], Request(times=1))
    verdict, findings = say_sheets(found)
    assert "no layout can use fewer" in verdict or "nothing to buy" in verdict
    assert all(finding.severity != "stop" for finding in findings)
