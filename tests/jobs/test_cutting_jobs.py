"""Machine files, findings of the machine with their mends, and the two commands."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from dryfit.checks.machine_rules import MACHINING
from dryfit.cli.main import main
from dryfit.errors import DryfitError, JobFileError, ProgramError
from dryfit.findings import Edit, Finding, Severity
from dryfit.jobfile.machine import read_machine_text
from dryfit.jobfile.write import apply_edits
from dryfit.model.machine import Hold, Machine
from dryfit.workflow import read
from dryfit.workflow.cutting import cut, readback
from tests.helpers.cutting import EXAMPLES, sheets, small

if TYPE_CHECKING:
    from pathlib import Path

TABLE = "[machine.shop]\n"
SHEET = "300x260mm"


def found(text: str, sheet: str = SHEET) -> dict[str, Finding]:
    """Findings by code, the small tray cut on a machine."""
    made = cut(small(), read_machine_text(TABLE + text, "shop.toml"), sheet)
    assert made.stops == (not made.files)
    return {each.code: each for each in made.findings}


@pytest.mark.parametrize(
    ("text", "code", "severity"),
    [
        ("reach = 5", "cutter-short", Severity.STOP),
        ("travel = [200, 500, 80]", "sheet-beyond", Severity.STOP),
        ("travel = [500, 500, 4]", "beyond-travel", Severity.STOP),
        ('hold = "bed"', "small-held", Severity.NOTE),
        ('form = "up"', "good-face-tears", Severity.LOOK),
    ],
)
def test_what_a_machine_cannot_do_is_found_and_mended(
    text: str, code: str, severity: Severity
) -> None:
    finding = found(text)[code]
    assert finding.severity is severity
    assert any(sign.isdigit() for sign in finding.sentence)
    assert finding.numbers
    if finding.mend is None:
        assert code == "beyond-travel"
        return
    assert finding.mend.value is not None
    mended = apply_edits(TABLE + text + "\n", finding.mend.edits)
    assert code not in found(mended.removeprefix(TABLE))


def test_the_mends_of_programs_name_keys_of_the_machine_file() -> None:
    from dryfit.checks.machining import check_programs
    from dryfit.cutting.moves import Trouble

    machine = Machine(name="shop")
    for kind, numbers, key in (
        ("too-deep", {"found_mm": 0.93}, "spoil"),
        ("feed-high", {"feed_mm_min": 4100.2}, "feed_most"),
        ("slug-loose", {"area_mm2": 12.4}, "slug"),
        ("plunges", {"found_mm": 3.0}, "plunges"),
    ):
        (finding,) = check_programs([Trouble(kind, 3, "words", numbers)], machine)
        assert finding.mend is not None
        (edit,) = finding.mend.edits
        assert edit.path == ("machine", "shop", key)
        assert isinstance(edit, Edit)
        value = next(iter(numbers.values()))
        assert key == "plunges" or float(str(edit.value)) >= value
        assert finding.sentence.startswith("line 3: ")
        assert finding.code in MACHINING


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rpm = 0", "rpm is 0; write a number from 1"),
        ("rmp = 100", "no key rmp here; the nearest is ramp or rpm"),
        ("travel = [100]", "expected 3 lengths"),
        ('hold = "glue"', "known are tabs, skin, bed"),
        ('unit = "ft"', "known here"),
        ("reach = -3", "more than 0"),
    ],
)
def test_a_wrong_key_is_told_with_its_line(text: str, words: str) -> None:
    with pytest.raises(JobFileError) as told:
        read_machine_text(TABLE + text, "shop.toml")
    assert words in str(told.value)
    assert "line 2, machine.shop." in str(told.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no machine is stated"),
        ("[machine.a]\n[machine.b]\n", "2 machines are stated, a, b"),
        ("[engine.a]\n", "no key engine"),
        ("[machine\n", "not TOML"),
        ("machine = 3\n", "expected a table"),
        ("[clamp.x]\nat = [1, 2]\n[machine.a]\n", "size is missing"),
    ],
)
def test_a_file_without_one_machine_is_refused(text: str, words: str) -> None:
    with pytest.raises(JobFileError, match=r"shop\.toml") as told:
        read_machine_text(text, "shop.toml")
    assert words in str(told.value)


def test_a_machine_is_read_with_its_units_and_clamps() -> None:
    text = 'unit = "in"\n[machine.a]\n[machine.b]\nreach = 1\nhold = "skin"\narcs = "chords"\n'
    machine = read_machine_text(text + "[clamp.x]\nat = [1, 2]\nsize = [3, 4]\n", "x", "b")
    assert machine.reach == 25.4
    assert machine.hold is Hold.SKIN
    assert not machine.arcs
    assert machine.clamps[0] == pytest.approx((25.4, 50.8, 101.6, 152.4))


@pytest.mark.parametrize("sheet", ["big", "100", "0x5mm", "60x50mm"])
def test_a_sheet_that_is_none_or_too_small_is_refused(sheet: str) -> None:
    with pytest.raises(DryfitError):
        cut(small(), Machine(), sheet)


def test_the_layout_of_a_job_that_states_its_sheets_is_cut() -> None:
    job = small(more='[sheet.big]\nstock = "walls"\nsize = [300, 260]\n')
    made = cut(job, Machine())
    assert [each.name for each in made.sheets] == ["big"]
    assert made.sheets[0].parts == len(job.parts)
    assert not made.stops
    assert max(made.sheets[0].inside, made.sheets[0].left) < 0.0015
    assert {"big.nc", "big-nominal.dxf", "big-compensated.svg"} <= made.files.keys()
    assert b"compensated: the middle of a cutter" in made.files["big-compensated.svg"]


def test_a_saw_has_no_programs_and_a_laser_needs_its_feed() -> None:
    with pytest.raises(DryfitError, match="no machine programs"):
        cut(read(EXAMPLES / "tool-chest-ring.toml"), Machine())
    with pytest.raises(DryfitError, match="feed = 600"):
        cut(read(EXAMPLES / "thread-tray.toml"), Machine())


@pytest.mark.parametrize("name", ["thread-tray", "paper-case", "board-crate-divided"])
def test_laser_jobs_are_proved(name: str) -> None:
    made = cut(read(EXAMPLES / f"{name}.toml"), Machine(feed=600, on="M3 S800"))
    assert not made.stops
    for sheet in made.sheets:
        assert max(sheet.inside, sheet.left) < 0.0015
    program = next(data for file, data in made.files.items() if file.endswith(".nc")).decode()
    assert "M3 S800" in program
    assert "Z" not in "".join(line for line in program.splitlines() if line[0] != "(")
    assert "never cut PVC" in program


def test_a_laser_whose_kerf_is_another_is_caught() -> None:
    job = read(EXAMPLES / "thread-tray.toml")
    made = cut(job, Machine(feed=600))
    program = next(data for file, data in made.files.items() if file.endswith(".nc")).decode()
    assert not readback(program, job, Machine()).stops
    moved = program.replace("I", "I0.0", 1)
    with pytest.raises(ProgramError):
        readback(moved.replace("G1 ", "G81 ", 1), job, Machine())


def test_a_foreign_program_is_matched_wherever_its_parts_lie() -> None:
    """The same program moved by 10 and 20 mm, by relative words, without comments."""
    job = small()
    (made,) = sheets(job, sheet=SHEET)
    lines = [line for line in made.text.splitlines() if not line.startswith("(")]
    shifted = []
    for line in lines:
        words = []
        for word in line.split():
            if word[0] in "XY":
                add = 10 if word[0] == "X" else 20
                words.append(f"{word[0]}{float(word[1:]) + add:.4f}")
            else:
                words.append(word)
        shifted.append(" ".join(words))
    result = readback("\n".join(shifted) + "\n", job, Machine())
    assert sorted(result.found) == sorted(part.name for part in job.parts)
    assert result.missing == ()
    assert not result.stops
    assert max(result.inside, result.left) < 0.0015
    assert b"<svg" in result.picture


def test_a_program_of_another_job_makes_no_part() -> None:
    (made,) = sheets(small(), sheet=SHEET)
    result = readback(made.text, small(sizes="120, 95, 48"), Machine())
    assert result.stops
    assert "part-missing" in {each.code for each in result.findings}


class TestCommands:
    def test_cut_and_readback(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        job = tmp_path / "drawer.toml"
        shutil.copy(EXAMPLES / "paper-drawer.toml", job)
        out = tmp_path / "cut"
        assert main(["cut", str(job), "--out", str(out)]) == 0
        said = capsys.readouterr().out
        assert "as read back" in said
        assert "keep both hands clear of the cutter" in said
        program = out / "bottom-1.nc"
        assert program.read_text(encoding="ascii").endswith("M2\n")
        assert (out / "bottom-1-nominal.dxf").exists()
        assert main(["readback", str(program), str(job), "--stock", "bottom"]) == 0
        assert "come out, 6: base" in capsys.readouterr().out
        assert program.with_suffix(".svg").read_bytes().startswith(b"<?xml")

    def test_nothing_is_left_behind_where_anything_stops(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        machine = tmp_path / "shop.toml"
        machine.write_text("[machine.shop]\nreach = 4\n", encoding="utf-8")
        out = tmp_path / "cut"
        job = str(EXAMPLES / "paper-drawer.toml")
        assert main(["cut", job, "--out", str(out), "--machine", str(machine)]) == 1
        assert "Nothing was written" in capsys.readouterr().out
        assert not out.exists()

    def test_a_program_too_large_is_refused_with_a_number_and_a_way_out(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        program = tmp_path / "foreign.nc"
        with program.open("wb") as file:
            file.truncate(50_000_000)
        assert main(["readback", str(program), str(EXAMPLES / "type-tray.toml")]) == 2
        assert "50 MB, and 16 MB is the most" in capsys.readouterr().err

    def test_cycles_are_said_with_their_line(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        program = tmp_path / "drill.nc"
        program.write_text(
            "G21 G90\nG0 Z5\nM3 S9000\nG81 X5 Y5 Z-3 R1 F100\nM2\n", encoding="utf-8"
        )
        assert main(["readback", str(program), str(EXAMPLES / "type-tray.toml")]) == 2
        assert "line 4: G81 is a canned cycle" in capsys.readouterr().err
        assert not program.with_suffix(".svg").exists()
