"""``dryfit comb`` from the command line to the book."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from dryfit.cli.main import main

JOB = str(Path(__file__).parents[2] / "examples" / "type-tray.toml")


def test_the_line_of_the_comb_is_taken_by_the_book(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["comb", JOB, "-o", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert {path.name for path in tmp_path.iterdir()} == {
        "comb.dxf", "comb.svg", "tongue.dxf", "tongue.svg", "card.svg",
    }  # fmt: skip
    command = said.splitlines()[-1]
    words = shlex.split(command.replace("GRADE", "hand"))
    assert words[:2] == ["dryfit", "book"]
    assert "-0.07mm" in command
    book = str(tmp_path / "book.db")
    assert main([*words[1:], "--book", book, "--yes"]) == 0
    assert "Entry 1: comb" in capsys.readouterr().out


def test_the_same_job_gives_the_same_files_and_others_are_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["comb", JOB, "-o", str(tmp_path)]) == 0
    first = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert main(["comb", JOB, "-o", str(tmp_path)]) == 0
    assert main(["comb", JOB, "-o", str(tmp_path), "--sockets", "4"]) == 2
    assert "--force" in capsys.readouterr().err
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == first
    assert main(["comb", JOB, "-o", str(tmp_path), "--sockets", "4", "--force"]) == 0
    assert (tmp_path / "comb.dxf").read_bytes() != first["comb.dxf"]


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--offcut", "wide"], "'wide' is no size of an offcut; write it such as 200x80mm."),
        (["--offcut", "0x80mm"], "more than 0 and up to 3000 mm"),
        (["--offcut", "1.2.3x80mm"], "The offcut '1.2.3x80mm'"),
        (["--offcut", "60x30mm"], "An offcut of 60x30mm is too small for 3 sockets"),
        (["--sockets", "2"], "A comb has 3 to 9 sockets, not 2."),
        (["--stock", "wall"], "0 panels of stock 'wall'; the nearest is walls."),
    ],
)
def test_bad_input_gets_one_sentence_and_nothing_is_written(
    options: list[str], sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    assert main(["comb", JOB, "-o", str(folder), *options]) == 2
    said = capsys.readouterr().err
    assert sentence in said
    assert said.count("\n") == 1
    assert not folder.exists()


@pytest.mark.parametrize(
    ("cutter", "names"),
    [
        ('kind = "laser"\nkerf = 0.2', {"comb", "tongue", "kerf-strip", "slots", "card"}),
        ('kind = "saw"\nblade = 9.5', {"comb", "tongue", "card"}),
        ('kind = "hand"', {"card"}),
    ],
)
def test_every_route_gets_what_it_can_try(cutter: str, names: set[str], tmp_path: Path) -> None:
    text = Path(JOB).read_text(encoding="utf-8")
    before, after = text.split('kind = "router"')
    rest = after.split("[fingers]")[1]
    job = tmp_path / "job.toml"
    job.write_text(f"{before}{cutter}\n\n[fingers]{rest}", encoding="utf-8")
    assert main(["comb", str(job), "-o", str(tmp_path / "out")]) == 0
    made = {path.stem for path in (tmp_path / "out").iterdir()}
    assert made == names
    card = (tmp_path / "out" / "card.svg").read_text(encoding="utf-8")
    assert ("kerf =" in card) is ("kerf-strip" in names)
    assert "dryfit book add comb" in card
