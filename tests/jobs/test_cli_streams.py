"""Where the command line meets the machine: streams, odd paths, permissions, notebooks."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NoReturn

import pytest

import dryfit
from dryfit.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"
TRAY = EXAMPLES / "type-tray.toml"
CHEST = EXAMPLES / "tool-chest-ring.toml"


def test_a_folder_that_may_not_be_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Simulated, because an administrator may write anywhere."""

    def refuse(*_: object, **__: object) -> NoReturn:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "mkstemp", refuse)
    for command in (["make", str(TRAY), "-o", str(tmp_path)], ["try", "--into", str(tmp_path)]):
        assert main(command) == 2
        out, err = capsys.readouterr()
        way_out = "choose another folder or change its permissions"
        assert (out, err) == ("", f"{tmp_path} may not be written to; {way_out}\n")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_output_that_cannot_be_written_is_a_sentence(
    number: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Full:
        def write(self, _: str) -> NoReturn:
            raise OSError(number, os.strerror(number))

        def fileno(self) -> NoReturn:
            raise OSError(errno.ENOTTY, "no file")

    monkeypatch.setattr(sys, "stdout", Full())
    assert main(["check", str(TRAY), "--json"]) == 2
    monkeypatch.undo()
    expected = f"The output cannot be written: {os.strerror(number)}.\n"
    assert capsys.readouterr().err == expected


@pytest.mark.parametrize(
    ("closed", "job", "expected"),
    [
        ("stdout", TRAY, 2),
        ("stderr", TRAY, 0),
        ("stderr", EXAMPLES / "missing.toml", 2),
    ],
)
def test_a_stream_closed_from_the_start_leaves_the_exit_code_right(
    closed: str,
    job: Path,
    expected: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Python gives None for such a stream."""
    monkeypatch.setattr(sys, closed, None)
    assert main(["check", str(job)]) == expected
    monkeypatch.undo()
    said = "The output cannot be written: it is closed.\n" if closed == "stdout" else ""
    assert capsys.readouterr().err == said


def test_an_error_stream_that_is_full_leaves_the_exit_code_right(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Full:
        def write(self, _: str) -> NoReturn:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        def fileno(self) -> NoReturn:
            raise OSError(errno.ENOTTY, "no file")

    monkeypatch.setattr(sys, "stderr", Full())
    assert main(["check", str(EXAMPLES / "missing.toml")]) == 2


@pytest.mark.parametrize("force", [[], ["--force"]])
@pytest.mark.parametrize("named", [True, False])
def test_a_picture_never_goes_over_its_own_job(
    force: list[str], named: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / ("tray.toml" if named else "tray.svg")
    job.write_bytes(TRAY.read_bytes())
    assert main(["picture", str(job), *(["-o", str(job)] if named else []), *force]) == 2
    said = f"{job} is the job file itself; name another file with -o OUT.svg.\n"
    assert capsys.readouterr() == ("", said)
    assert job.read_bytes() == TRAY.read_bytes()


def test_a_path_of_odd_bytes_is_read_and_drawn_beside(tmp_path: Path) -> None:
    job = os.fsencode(tmp_path) + b"/od\xffd [b]\x1b[31m.toml"
    Path(os.fsdecode(job)).write_bytes(TRAY.read_bytes())
    command: list[str | bytes] = [sys.executable, "-m", "dryfit", "picture", job]
    ran = subprocess.run(command, capture_output=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert b"\x1b" not in ran.stdout
    assert Path(os.fsdecode(job.replace(b".toml", b".svg"))).stat().st_size > 1000


def test_a_job_comes_through_a_pipe() -> None:
    command = [sys.executable, "-m", "dryfit", "check", "/dev/stdin"]
    ran = subprocess.run(command, input=TRAY.read_bytes(), capture_output=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert ran.stdout.startswith(b"Type tray\n")


def test_notes_are_mended_only_by_their_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A note tells of a choice, such as the blade in hand; it is the maker's to change."""
    job = tmp_path / "chest.toml"
    lines = CHEST.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(("outer", "chippers", "shims"))]
    text = "".join(kept).replace('blade = "12.7 mm"', "blade = 6.5")
    job.write_text(text, encoding="utf-8")
    assert main(["mend", str(job), "--write"]) == 0
    assert capsys.readouterr().out == "There was nothing to mend.\n"
    assert job.read_text(encoding="utf-8") == text
    assert main(["mend", str(job), "--write", "--code", "saw-passes"]) == 0
    assert job.read_text(encoding="utf-8").count("blade = 12.81") == 1
    assert "# The front board has moved" in job.read_text(encoding="utf-8")


def test_a_code_that_is_none_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mend", str(TRAY), "--code", "see"]) == 2
    said = "No finding has the code 'see'; the nearest is see-through.\n"
    assert capsys.readouterr() == ("", said)


@pytest.mark.parametrize("target", [".", "..", "/"])
def test_a_folder_where_a_file_should_go(target: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "ring", target]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "folder" in err or "plain file name" in err
    assert err.count("\n") == 1


def test_an_interruption_is_told_apart(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(*_: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr("dryfit.workflow.read", interrupted)
    assert main(["check", str(TRAY)]) == 130
    assert capsys.readouterr() == ("", "Interrupted.\n")


def test_a_piece_and_a_part_show_themselves_in_a_notebook() -> None:
    tray = dryfit.read(TRAY)
    assert tray._repr_svg_().startswith("<?xml")
    for part in tray.parts:
        assert part._repr_svg_() == tray.drawing(part.name).svg()
        assert f"<title>{part.name}</title>" in part._repr_svg_()
