"""``dryfit card`` from the job file to the terminal and the drawing."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from dryfit.checks.cautions import BY_ROUTE, DEFER
from dryfit.cli.main import main
from dryfit.model.cutter import Route
from dryfit.workflow import read
from dryfit.workflow.card import make_cards

EXAMPLES = Path(__file__).parents[2] / "examples"
CHEST, CORNER = EXAMPLES / "tool-chest-ring.toml", EXAMPLES / "crate-corner.toml"


def flat(text: str) -> str:
    return " ".join(text.split())


def on(tmp_path: Path, cutter: str, name: str = "type-tray") -> str:
    """An example with another cutter."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    before, rest = re.split(r"(?m)^\[cutter\]\n", text)
    path = tmp_path / "job.toml"
    path.write_text(f"{before}[cutter]\n{cutter}\n[{rest.split('[', 1)[1]}", encoding="utf-8")
    return str(path)


def test_the_card_of_the_chest_tells_how_the_saw_is_set(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["card", str(CHEST), "-o", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert [path.name for path in tmp_path.iterdir()] == ["setting-card.svg"]
    drawn = (tmp_path / "setting-card.svg").read_text(encoding="utf-8")
    for words in ("2 outer of 3.175 mm", "25.38 mm", "190.24 mm", "101.52 mm", "14 and 16"):
        assert words in flat(said)
        assert words in drawn
    for caution in (*BY_ROUTE[Route.SAW], DEFER):
        assert caution in flat(said)
        assert caution in flat(ET.fromstring(drawn)[1].text or "")  # noqa: S314


def test_the_numbers_on_the_card_are_those_of_the_joint() -> None:
    """Pitch 2 w - allowance and lead width N · pitch + (pitch - w), from the printed figures."""
    rehearsal = read(CHEST)
    (card,) = make_cards(rehearsal).cards
    figures = {what: float(much.split()[0]) for what, much, _ in card.rows if what != "blade set"}
    joint = rehearsal.joints[0]
    w, gap = figures["cuts"], joint.flank_gap
    assert figures["pitch"] == pytest.approx(2 * w - 2 * gap, abs=0.011)
    assert figures["pin to blade"] == pytest.approx(figures["pitch"] - w, abs=0.011)
    alike = joint.plan.sockets * figures["pitch"] + figures["pitch"] - w
    assert figures["lead, fingers alike"] == pytest.approx(alike, abs=0.011 * joint.plan.count)
    assert figures["check half way"] == pytest.approx(4 * figures["pitch"], abs=0.03)


def test_the_marks_of_the_corner_run_from_one_edge(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", str(CORNER)]) == 0
    said = flat(capsys.readouterr().out)
    for words in (
        "marked on side from the lower edge, to the half millimetre",
        "1 22.0 mm on the far side 2 44.0 mm on the datum's side",
        "7 154.0 mm the whole",
        "gauge 18.20 mm",
    ):
        assert words in said


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        (0.12, "air 0.12 mm at each flank: pare it off the mate's fingers, both sides alike"),
        (-0.02, "press 0.02 mm at each flank: leave the mate's fingers that much fuller"),
    ],
)
def test_air_by_hand_is_pared_off_the_mate(
    gap: float, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = CORNER.read_text(encoding="utf-8").replace("count = 7", f"count = 7\nflank_gap = {gap}")
    job = tmp_path / "corner.toml"
    job.write_text(text, encoding="utf-8")
    assert main(["card", str(job)]) == 0
    assert words in flat(capsys.readouterr().out)


@pytest.mark.parametrize("name", ["type-tray", "paper-case"])
def test_other_routes_are_told_what_a_card_would_be_for(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "cards"
    assert main(["card", str(EXAMPLES / f"{name}.toml"), "-o", str(folder)]) == 0
    said = flat(capsys.readouterr().out)
    assert said.startswith("A card sets up a saw or marks out work by hand;")
    assert said.count(".") == 1
    assert not folder.exists()


def test_every_setting_has_a_card_of_its_own_and_files_are_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, folder = on(tmp_path, 'kind = "saw"\nblade = 3.2\n'), tmp_path / "cards"
    assert main(["card", job, "-o", str(folder)]) == 0
    first = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert sorted(first) == [f"setting-card-{k}.svg" for k in (1, 2, 3)]
    assert main(["card", job, "-o", str(folder)]) == 0
    assert main(["card", str(CHEST), "-o", str(folder)]) == 0
    job = on(tmp_path, 'kind = "saw"\nblade = 3.3\n')
    assert main(["card", job, "-o", str(folder)]) == 2
    assert "--force" in capsys.readouterr().err
    kept = {path.name: path.read_bytes() for path in folder.iterdir() if path.name in first}
    assert kept == first
    assert main(["card", job, "-o", str(folder), "--force"]) == 0


def test_a_job_that_is_stopped_gets_no_card(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "cards"
    job = on(tmp_path, 'kind = "saw"\nblade = 14\n')
    text = Path(job).read_text(encoding="utf-8").replace("[fingers]", "[fingers]\ncount = 11\n")
    text = re.sub(r"(?m)^width = .*\n", "", text)
    Path(job).write_text(text, encoding="utf-8")
    assert main(["card", job, "-o", str(folder)]) == 1
    assert "There is no card yet." in capsys.readouterr().out
    assert not folder.exists()


BAD = [
    ('kind = "saw"\n', 'a saw needs its blade; write blade = "3.2 mm"'),
    ('kind = "saw"\nblade = 0\n', "blade is 0.00 mm; write a length of more than 0"),
    ('kind = "saw"\nblade = -3\n', "blade is -3.00 mm; write a length of more than 0"),
    (
        'kind = "saw"\nblade = 9\nouter = 3.2\nshims = [0.1, 0]\n',
        "entry 2: shims is 0.00 mm; write a length of more than 0",
    ),
    (
        'kind = "saw"\nblade = 9\nouter = 3.2\nchippers = [-3.2]\n',
        "entry 1: chippers is -3.20 mm; write a length of more than 0",
    ),
    (
        'kind = "saw"\nblade = 9\nshims = [0.1]\n',
        'shims go between 2 outer blades; write outer = "1/8 in" with your width',
    ),
    ('kind = "saw"\nblade = 9\nouter = 3.2\nchippers = 3.2\n', "expected a list, such as"),
    (
        f'kind = "saw"\nblade = 9\nouter = 3.2\nshims = {[0.1] * 13}\n',
        "the list holds 13 shims; keep at most 12",
    ),
    (
        'kind = "saw"\nblade = 3\nouter = 3.2\n',
        "the outer blade cuts 3.20 mm, more than the blade set, 3.00 mm; write what each",
    ),
    ('kind = "router"\ndiameter = 3\nouter = 3.2\n', "a router has no outer; take the line out"),
]


@pytest.mark.parametrize(("cutter", "sentence"), BAD)
def test_bad_blades_get_one_sentence_with_its_line(
    cutter: str, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["card", on(tmp_path, cutter)]) == 2
    said = capsys.readouterr().err
    assert sentence in said
    assert said.count("\n") == 1
    assert re.search(r"line \d+, cutter\.", said)
