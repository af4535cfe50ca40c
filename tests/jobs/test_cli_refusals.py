"""What the command line refuses: wrong arguments, files that are no job, impossible values."""

from __future__ import annotations

import errno
import json
import os
import sys
from typing import TYPE_CHECKING

import pytest

from tests.jobs.test_cli import TRAY, run

if TYPE_CHECKING:
    from pathlib import Path


USAGE = [
    ((), 0),
    (("--help",), 0),
    (("--version",), 0),
    (("check",), 2),
    (("frobnicate",), 2),
    (("check", "a.toml", "--jsn"), 2),
    (("make", "a.toml"), 2),
]


@pytest.mark.parametrize(("arguments", "expected"), USAGE, ids=str)
def test_wrong_arguments_are_a_sentence(
    arguments: tuple[str, ...], expected: int, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = run(capsys, *arguments)
    assert code == expected
    assert "Traceback" not in err
    if expected:
        assert err.endswith("See: dryfit --help\n")
        assert err.count("\n") == 1


def bad_files(folder: Path) -> dict[str, Path]:
    """One file for each way in which a job file can be no job file."""
    contents: dict[str, bytes] = {
        "latin": b'title = "caf\xe9"',
        "junk": b"\x00\xff" * 5_000_000,
        "nested": b"a = " + b"[" * 10_000 + b"]" * 10_000,
        "broken": b"[piece\nform = ",
        "empty": b"",
    }
    paths = {name: folder / f"{name}.toml" for name in contents}
    for name, path in paths.items():
        path.write_bytes(contents[name])
    return {**paths, "missing": folder / "missing.toml", "folder": folder}


NO_JOB = {
    "latin": "line 1, byte 13 of the file is not UTF-8; save the file as UTF-8 text",
    "junk": "the file is larger than 1 MB; a job needs a few kB, name another file",
    "nested": "line 1, the file nests more than 20 deep; a job needs at most 4",
    "broken": (
        "line 1, this is not TOML at column 7: expected ']' at the end of a table declaration; "
        "write 1 key = value on each line"
    ),
    "missing": "there is no such file; check its name and its folder",
    "folder": "this is a folder; name 1 job file in it",
}


@pytest.mark.parametrize("name", NO_JOB)
@pytest.mark.parametrize("command", ["check", "make", "picture", "model", "mend"])
def test_no_job_file_is_one_sentence_and_exit_2(
    name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = bad_files(tmp_path)[name]
    out = tmp_path / "cut.glb"
    extra = ["-o", out] if command in ("make", "model") else []
    assert run(capsys, command, job, *extra) == (2, "", f"{job}: {NO_JOB[name]}\n")
    assert not out.exists()


def test_an_empty_file_is_told_everything_it_lacks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = bad_files(tmp_path)["empty"]
    code, out, err = run(capsys, "check", job)
    assert (code, out) == (2, "")
    assert err.splitlines() == [
        f"{job}: format is missing; write format = 1 at the top",
        f"{job}: piece: the table [piece] is missing; add it with at least form",
        (
            f"{job}: stock: the table [stock.NAME] is missing; "
            "add it with at least material and nominal"
        ),
        f"{job}: cutter: the table [cutter] is missing; add it with at least kind",
    ]


LENGTHS = 'write a length such as 330, "8.78 mm", "5 1/2 in" or "2 ft 3 1/4 in"'
NO_SIZE = (
    "line 7, piece: no size is given; write outside = [330, 220, 70] or inside with the 3 sizes "
    "you want"
)
VALUES = {
    "negative": (
        "outside = [330, -220, 70]",
        ["line 9, piece.outside: entry 2: outside is -220.00 mm; write a length of more than 0"],
    ),
    "zero": (
        "outside = [330, 220, 0]",
        ["line 9, piece.outside: entry 3: outside is 0.00 mm; write a length of more than 0"],
    ),
    "not a number": (
        "outside = [330, nan, 70]",
        [f"line 9, piece.outside: entry 2: nan is not a finite number; {LENGTHS}"],
    ),
    "infinite": (
        "outside = [inf, 220, 70]",
        [f"line 9, piece.outside: entry 1: inf is not a finite number; {LENGTHS}"],
    ),
    "enormous": (
        "outside = [1e308, 220, 70]",
        [
            (
                "line 9, piece.outside: entry 1: 1e+308 is longer than 100 m; check the number and "
                "its unit (bare numbers are in mm)"
            )
        ],
    ),
    "over zero": (
        'outside = ["5 1/0 in", 220, 70]',
        [
            (
                "line 9, piece.outside: entry 1: '5 1/0 in' divides by zero; write a fraction such "
                "as 3/8 with a number other than 0 under the line"
            )
        ],
    ),
    "wrong type": (
        "outside = true",
        ["line 9, piece.outside: expected 3 lengths [x, y, z], such as [330, 220, 70], found true"],
    ),
    "too thin": (
        "outside = [330, 15, 70]",
        [
            (
                "line 9, piece.outside: the box is 15.00 mm along y, but front and back alone take "
                "17.56 mm; make it more than 17.56 mm or use thinner stock"
            )
        ],
    ),
    "inside larger": (
        "outside = [330, 220, 70]\ninside = [400, 220, 70]",
        [
            (
                "line 10, piece.inside: inside is 400.00 mm along x, no less than the outside of "
                "330.00 mm; give only one of inside and outside, the other follows from the stock"
            )
        ],
    ),
    "unknown key": (
        "outsid = [330, 220, 70]",
        [
            NO_SIZE,
            "line 9, piece.outsid: there is no key outsid here; the nearest is outside",
        ],
    ),
    "no size": ("", [NO_SIZE]),
}


@pytest.mark.parametrize("name", VALUES)
def test_a_bad_value_names_its_key_and_line(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written, sentences = VALUES[name]
    job = tmp_path / "job.toml"
    text = TRAY.read_text(encoding="utf-8")
    job.write_text(text.replace("outside = [330, 220, 70]", written), encoding="utf-8")
    code, out, err = run(capsys, "check", job)
    assert (code, out) == (2, "")
    assert err.splitlines() == [f"{job}: {sentence}" for sentence in sentences]


FINGERS = {
    "too many": (
        "count = 100000",
        "{job}: line 23, fingers.count: count is 100000; write a whole number from 1 to 1000",
    ),
    "gap as wide as the finger": (
        "width = 5\nflank_gap = 2.5",
        (
            "{job}: line 24, fingers.flank_gap: two flank gaps of 2.50 mm leave nothing of a "
            "finger that is at most 5.00 mm wide; keep flank_gap under 2.50 mm or make fingers "
            "wider"
        ),
    ),
    # No width is asked for, so it takes the plan to know the finger.
    "gap wider than any finger": (
        "flank_gap = 5",
        (
            "a flank gap of 5.00 mm leaves nothing of fingers 4.80 mm wide; make it less than "
            "4.80 mm or the fingers wider"
        ),
    ),
}


@pytest.mark.parametrize("name", FINGERS)
def test_bad_fingers_are_a_sentence_with_a_number(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written, sentence = FINGERS[name]
    job = tmp_path / "job.toml"
    text = TRAY.read_text(encoding="utf-8").replace("[330, 220, 70]", "[60, 60, 24]")
    text = text.replace('width = 10\nflank_gap = "auto"', written).replace("9 mm", "3 mm")
    text = text.replace("[8.76, 8.81, 8.74, 8.80, 8.79]", "[3.0, 3.0]")
    job.write_text(text, encoding="utf-8")
    assert run(capsys, "check", job) == (2, "", sentence.format(job=job) + "\n")


@pytest.mark.parametrize("title", [") M3", "../../x", "=cmd|' /C calc'!A0", "<script>", "ü" * 200])
def test_odd_names_do_no_harm(
    title: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "job.toml"
    text = TRAY.read_text(encoding="utf-8").replace('"Type tray"', json.dumps(title))
    text = text.replace("[stock.walls]", f"[stock.{json.dumps(title)}]")
    job.write_text(text, encoding="utf-8")
    folder = tmp_path / "cut"
    code, _, err = run(capsys, "make", job, "-o", folder)
    assert code == 0, err
    written = [path for path in tmp_path.rglob("*") if path.is_file() and path != job]
    assert {path.parent for path in written} == {folder}
    drawings = [path for path in written if path.suffix == ".svg"]
    assert all("<script>" not in path.read_text(encoding="utf-8") for path in drawings)
    cells = (folder / "cut-list.csv").read_text(encoding="utf-8").replace('"', ",").split(",")
    assert not any(cell.startswith(("=", "+", "@")) for cell in cells)


def test_a_full_disk_leaves_nothing_half_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    folder = tmp_path / "cut"
    code, _, err = run(capsys, "make", TRAY, "-o", folder)
    assert code == 2
    assert "full" in err
    assert not folder.exists() or list(folder.iterdir()) == []


def test_a_folder_that_is_a_file_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "cut").write_text("a file")
    code, _, err = run(capsys, "make", TRAY, "-o", tmp_path / "cut")
    assert code == 2
    assert "cut" in err
    assert (tmp_path / "cut").read_text() == "a file"


@pytest.mark.parametrize("name", ["tray.stl", "tray", "tray.glb.txt"])
def test_a_model_of_another_ending_is_refused(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / name
    sentence = f"{out} ends in none of .glb, .3mf, .step; name the file by one.\n"
    assert run(capsys, "model", TRAY, "-o", out) == (2, "", sentence)
    assert list(tmp_path.iterdir()) == []


def test_a_model_takes_the_place_of_no_other_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "tray.3mf"
    out.write_bytes(b"mine")
    code, _, err = run(capsys, "model", TRAY, "-o", out)
    assert (code, "--force" in err, out.read_bytes()) == (2, True, b"mine")
    assert run(capsys, "model", TRAY, "-o", out, "--force")[0] == 0
    assert out.read_bytes() != b"mine"


def test_a_model_never_replaces_its_own_job(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "job.glb"
    job.write_bytes(TRAY.read_bytes())
    code, _, err = run(capsys, "model", job, "-o", job, "--force")
    assert code == 2
    assert err == f"{job} is the job file itself; name another file with -o OUT.glb.\n"
    assert job.read_bytes() == TRAY.read_bytes()


def test_step_without_its_library_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in ("OCP", "OCP.Message"):
        monkeypatch.setitem(sys.modules, module, None)
    code, out, err = run(capsys, "model", TRAY, "-o", tmp_path / "tray.step")
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert 'python -m pip install "cadquery-ocp-novtk>=8.0,<9" brings it' in err
    assert list(tmp_path.iterdir()) == []
