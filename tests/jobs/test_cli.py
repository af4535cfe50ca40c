"""The command line as a maker meets it: what it prints, writes and refuses, and how it exits."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median
from typing import Any

import jsonschema
import pytest

from dryfit.cli.main import main
from tests.jobs.test_mends import JOBS

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
TRAY = ROOT / "examples" / "type-tray.toml"


def run(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    code = main([str(argument) for argument in arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    path = tmp_path / "stopped.toml"
    path.write_text(JOBS["no relief"], encoding="utf-8")
    return path


@pytest.mark.parametrize("job", EXAMPLES, ids=lambda job: job.stem)
def test_every_example_checks_without_a_stop(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "check", job)
    assert (code, err) == (0, "")
    assert "Does it close?" in out
    assert "Can we cut it?" in out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert all(sign.isprintable() for line in out.splitlines() for sign in line)


def test_a_stop_exits_with_1_and_says_what_must_change(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, "check", stopped)
    assert code == 1
    assert "STOP  The 6.00 mm cutter leaves rounds of 3.00 mm in every inside corner" in out
    assert "Mend: Relieve the inside corners diagonally." in out


@pytest.mark.parametrize("job", [*EXAMPLES, None], ids=lambda job: job.stem if job else "stopped")
def test_json_is_one_object_that_fits_the_schema(
    job: Path | None, stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(capsys, "check", job or stopped, "--json")
    schema = json.loads((ROOT / "docs" / "check.schema.json").read_text(encoding="utf-8"))
    data = json.loads(out)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(data)
    assert err == ""
    assert code == int(data["stops"]) == int(job is None)


def test_json_figures_agree_with_one_another(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "check", TRAY, "--json")
    data: dict[str, Any] = json.loads(out)
    for joint in data["joints"]:
        assert joint["width_mm"] * joint["count"] == pytest.approx(joint["length_mm"], abs=1e-6)
        assert sum(joint["fingers"].values()) == joint["count"]
        assert joint["sockets"] == joint["fingers"][joint["panels"][0]] or joint["sockets"] == min(
            joint["fingers"].values()
        )
    for part in data["parts"]:
        assert part["area_mm2"] * part["thickness_mm"] == pytest.approx(
            part["volume_mm3"], abs=0.01
        )
        assert part["cuts"][0]["depth_to_mm"] == part["thickness_mm"]


def test_make_writes_every_file_and_says_what_each_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, "make", TRAY, "-o", tmp_path / "cut")
    names = {path.name for path in (tmp_path / "cut").iterdir()}
    panels = ("front", "back", "left", "right", "base")
    drawn = {f"{name}.{kind}" for name in panels for kind in ("dxf", "svg")}
    assert code == 0
    assert names == drawn | {"piece.svg", "cut-list.csv", "traveller.pdf"}
    assert "piece.svg: the piece put together" in out
    assert "local codes" in " ".join(out.split())


def test_make_writes_nothing_while_anything_stops(
    stopped: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, "make", stopped, "-o", tmp_path / "cut")
    assert code == 1
    assert not (tmp_path / "cut").exists()
    assert "Cut on the router with a 6.00 mm cutter." in " ".join(out.split())
    assert "Nothing was written. Mend what stops, then make it again." in out


def test_nothing_of_the_makers_is_overwritten_without_force(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "cut"
    folder.mkdir()
    (folder / "front.dxf").write_text("mine")
    code, _, err = run(capsys, "make", TRAY, "-o", folder)
    assert code == 2
    assert "front.dxf" in err
    assert "--force" in err
    assert [path.name for path in folder.iterdir()] == ["front.dxf"]
    assert (folder / "front.dxf").read_text() == "mine"
    code, _, _ = run(capsys, "make", TRAY, "-o", folder, "--force")
    assert code == 0
    assert (folder / "front.dxf").read_text() != "mine"


def test_new_does_not_overwrite_a_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "mine.toml"
    job.write_text("# years of work\n", encoding="utf-8")
    code, _, err = run(capsys, "new", "ring", job)
    assert code == 2
    assert "--force" in err
    assert job.read_text(encoding="utf-8") == "# years of work\n"


@pytest.mark.parametrize("form", ["ring", "tray", "case", "pair"])
def test_a_new_job_of_every_form_can_be_made(
    form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / f"{form}.toml"
    assert run(capsys, "new", form, job)[0] == 0
    code, out, _ = run(capsys, "check", job)
    assert code == 0, out
    assert run(capsys, "make", job, "-o", tmp_path / "cut")[0] == 0


def test_an_unknown_form_gets_the_nearest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = run(capsys, "new", "trai", tmp_path / "job.toml")
    assert (code, err) == (2, 'new job: there is no form "trai"; the nearest is tray\n')


def test_the_demo_writes_checks_and_makes_a_job(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, "try", "--into", tmp_path / "demo")
    assert code == 0
    assert (tmp_path / "demo" / "type-tray.toml").exists()
    assert (tmp_path / "demo" / "base.dxf").stat().st_size > 1000
    assert "Look at these next:" in out
    assert run(capsys, "try", "--into", tmp_path / "demo")[0] == 0, "the same bytes are no loss"
    (tmp_path / "demo" / "type-tray.toml").write_text("changed")
    assert run(capsys, "try", "--into", tmp_path / "demo")[0] == 2
    assert run(capsys, "try", "--into", tmp_path / "demo", "--force")[0] == 0


def test_the_picture_goes_beside_the_job(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "tray.toml"
    job.write_text(TRAY.read_text(encoding="utf-8"), encoding="utf-8")
    assert run(capsys, "picture", job)[0] == 0
    assert (tmp_path / "tray.svg").read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize("ending", [".glb", ".3mf", ".GLB"])
def test_a_model_is_written_as_its_ending_says(
    ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"tray{ending}"
    code, said, err = run(capsys, "model", TRAY, "-o", out)
    assert (code, err) == (0, "")
    assert str(out) in said.replace("\n", "")
    begins = {".glb": b"glTF", ".3mf": b"PK\x03\x04"}
    assert out.read_bytes().startswith(begins[ending.lower()])
    assert run(capsys, "model", TRAY, "-o", out)[0] == 0, "the same bytes are no loss"


def test_a_model_of_a_job_that_stops_says_so(
    stopped: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = run(capsys, "model", stopped, "-o", tmp_path / "tray.3mf")
    assert code == 1
    assert err.startswith("Something stops this job; dryfit check ")
    assert (tmp_path / "tray.3mf").exists()


def test_mend_prints_the_changed_job_and_writes_it_when_told(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = stopped.read_text(encoding="utf-8")
    code, out, err = run(capsys, "mend", stopped, "--code", "no-relief")
    assert code == 0
    assert 'relief = "diagonal"' in out
    assert err.startswith("Mended: The 6.00 mm cutter")
    assert stopped.read_text(encoding="utf-8") == before
    assert run(capsys, "mend", stopped, "--write")[0] == 0
    assert run(capsys, "check", stopped)[0] == 0


def test_a_bug_is_a_sentence_and_not_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("the glue has set")

    monkeypatch.setattr("dryfit.workflow.read", broken)
    code, _, err = run(capsys, "check", TRAY)
    assert code == 2
    assert err.startswith("dryfit itself failed (RuntimeError: the glue has set).")
    monkeypatch.setenv("DRYFIT_TRACEBACK", "1")
    with pytest.raises(RuntimeError):
        main(["check", str(TRAY)])


def started(*arguments: str, seed: str = "0") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    return subprocess.run(
        [sys.executable, *arguments], env=environment, capture_output=True, check=True
    )


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    for seed in ("1", "2"):
        started("-m", "dryfit", "make", str(TRAY), "-o", str(tmp_path / seed), seed=seed)
        for model in ("piece.glb", "piece.3mf"):
            out = str(tmp_path / seed / model)
            started("-m", "dryfit", "model", str(TRAY), "-o", out, seed=seed)
    first, second = (
        {path.name: path.read_bytes() for path in (tmp_path / seed).iterdir()} for seed in "12"
    )
    assert first == second


def test_a_closed_pipe_is_no_trouble() -> None:
    command = [sys.executable, "-m", "dryfit", "check", str(TRAY), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


BARE = """
import numpy, scipy.special, scipy.stats, tomllib, typer
app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
@app.command()
def check(file: str) -> None:
    print(file)
app()
"""


def test_check_takes_at_most_three_bare_starts() -> None:
    """A bare start is a program of one command that imports what the check needs."""
    ratios = []
    for _ in range(5):
        times = []
        for arguments in (("-c", BARE, "job"), ("-m", "dryfit", "check", str(TRAY))):
            begun = time.perf_counter()
            started(*arguments)
            times.append(time.perf_counter() - begun)
        ratios.append(times[1] / times[0])
    assert median(ratios) <= 3


def test_a_piece_of_planes_is_called_a_piece(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "check", ROOT / "examples" / "type-cabinet.toml")
    assert code == 0
    assert "A piece of 13 parts." in out
