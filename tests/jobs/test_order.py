"""The order of assembly of every example, replayed, and what the command says of it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from dryfit import workflow
from dryfit.cli.main import main
from tests.helpers.locked import LOCKED
from tests.helpers.replay import deepest, largest

if TYPE_CHECKING:
    from dryfit.workflow import Rehearsal

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))

LEAST = 0.011
"""What a part may crush on its way, beyond what it crushes in its place. [mm]"""

SLIDE = 60.0
"""Longer ways are replayed in steps of 5 mm here, of 1 mm in the long evidence. [mm]"""


def check_order(rehearsal: Rehearsal, *, fine: bool = False) -> None:
    """Replay every step, from clear of everything to the seat."""
    assembly = rehearsal.assembly
    assert assembly is not None
    assert assembly.locked is None
    home = max((touch.penetration for touch in rehearsal.touches), default=0.0)
    placed: set[str] = set()
    for step in assembly.steps:
        if step.way is not None:
            every = 5.0 if step.travel > SLIDE and not fine else 1.0
            if rehearsal.plans.meetings.angled:
                assert largest(rehearsal.parts, step, every) < 0.05
            else:
                assert deepest(rehearsal.parts, step, every) <= home + LEAST
        placed |= {*step.moving, *step.standing}
    assert placed == {part.name for part in rehearsal.parts}
    assert set(assembly.steps[-1].moving) | set(assembly.steps[-1].standing) == placed
    closed = [joint for step in assembly.steps for joint in step.joints]
    assert sorted(closed) == sorted(j.id for j in rehearsal.joints if j.kind != "running")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_goes_together_as_it_is_told(path: Path) -> None:
    check_order(workflow.read(path))


@pytest.mark.prove
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_goes_together_millimetre_by_millimetre(path: Path) -> None:
    check_order(workflow.read(path), fine=True)


RING = """format = 1
[piece]
form = "{form}"
outside = [220, 160, 60]
{more}
[stock.ply]
material = "birch plywood"
nominal = 9
readings = [8.8, 8.9, 8.85, 8.8, 8.9]
[cutter]
kind = "router"
diameter = 3.175
relief = "{relief}"
[fingers]
{fingers}
"""


@pytest.mark.parametrize(
    ("form", "more", "relief", "fingers"),
    [
        ("ring", "", "flank", "proud = 0.6"),
        ("tray", "", "diagonal", "proud = 1"),
        ("chest", 'lid = "sliding"', "flank", "proud = 0.5"),
        ("case", "", "shoulder", "width = 12"),
        ("drawer", "", "diagonal", ""),
        ("crate", "along = 1\nacross = 2", "flank", ""),
        ("case", "open = true\nshelves = 1\nuprights = 1", "diagonal", ""),
    ],
)
def test_rings_captive_bottoms_and_proud_tips_go_together(
    form: str, more: str, relief: str, fingers: str
) -> None:
    text = RING.format(form=form, more=more, relief=relief, fingers=fingers)
    check_order(workflow.read_text(text))


def test_a_wrong_way_is_seen_when_it_is_replayed() -> None:
    """The replay can fail: a wall brought down on its corners meets them."""
    rehearsal = workflow.read_text(RING.format(form="ring", more="", relief="flank", fingers=""))
    assert rehearsal.assembly is not None
    step = replace(rehearsal.assembly.steps[-1], way=(0.0, 0.0, -1.0), travel=60.0)
    assert deepest(rehearsal.parts, step) > 1.0


def test_the_last_wall_of_a_ring_enters_two_corners_at_once() -> None:
    rehearsal = workflow.read_text(RING.format(form="ring", more="", relief="flank", fingers=""))
    assert rehearsal.assembly is not None
    assert [len(step.joints) for step in rehearsal.assembly.steps] == [0, 1, 1, 2]
    assert rehearsal.assembly.orders == 24
    assert "2 joints close at once" in workflow.order_sentences(rehearsal)[-1]


def test_a_captive_bottom_is_neither_first_out_nor_last_in() -> None:
    text = RING.format(form="drawer", more="", relief="flank", fingers="")
    rehearsal = workflow.read_text(text)
    assert rehearsal.assembly is not None
    assert rehearsal.assembly.steps[-1].moving != ("base",)
    assert rehearsal.glue_up is not None
    assert set(rehearsal.glue_up.dry) == {
        joint.id for joint in rehearsal.joints if joint.kind == "groove"
    }


def test_a_hundred_and_sixty_faces_at_five_seconds_are_thirteen_minutes() -> None:
    """The sum that makers do too late: 4 corners of 21 divisions have 160 flanks to spread."""
    text = RING.format(form="ring", more="", relief="flank", fingers="count = 21").replace(
        "[220, 160, 60]", "[220, 160, 240]"
    )
    glue_up = workflow.read_text(text).glue_up
    assert glue_up is not None
    assert sum(go.faces for go in glue_up.goes) == 4 * 2 * 20
    assert glue_up.seconds == 800
    assert len(glue_up.goes) == 2
    assert max(go.seconds for go in glue_up.goes) <= 600
    assert [number for go in glue_up.goes for number in go.steps] == [0, 1, 2, 3]


def test_diagonals_are_those_of_the_outside() -> None:
    """3-4-5: a ring of 240 by 180 mm outside is square when both diagonals are 300 mm."""
    text = RING.format(form="ring", more="", relief="flank", fingers="").replace(
        "[220, 160, 60]", "[240, 180, 60]"
    )
    glue_up = workflow.read_text(text).glue_up
    assert glue_up is not None
    (diagonal,) = glue_up.diagonals
    assert diagonal.length == pytest.approx(300.0, abs=1e-9)
    assert diagonal.across == (0.0, 0.0, 1.0)


def test_clamps_press_square_to_walls_and_spare_proud_fingers() -> None:
    text = RING.format(form="ring", more="", relief="flank", fingers="proud = 0.5")
    glue_up = workflow.read_text(text).glue_up
    assert glue_up is not None
    ways = {clamp.way: clamp for go in glue_up.goes for clamp in go.clamps}
    assert set(ways) == {(1.0, 0.0, 0.0), (0.0, 1.0, 0.0)}
    assert dict(ways[1.0, 0.0, 0.0].notched).keys() == {"left", "right"}
    assert all(proud == 0.5 for clamp in ways.values() for _, proud in clamp.notched)


def test_the_command_says_steps_and_glue_up(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "ring.toml"
    path.write_text(RING.format(form="ring", more="", relief="flank", fingers=""))
    assert main(["order", str(path), "--out", str(tmp_path / "steps")]) == 0
    said = capsys.readouterr().out
    assert "Begin with" in said
    assert "in 24 orders" in said
    assert "Measure both diagonals from above" in said
    pictures = sorted(p.name for p in (tmp_path / "steps").iterdir())
    assert pictures == [f"step-{k}.svg" for k in range(1, 5)]
    assert main(["order", str(path), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [step["sentence"] for step in data["steps"]] == list(
        workflow.order_sentences(workflow.read(path))
    )
    assert data["locked"] is None


def test_a_locked_piece_is_a_sentence_and_a_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "woven.toml"
    path.write_text(LOCKED["woven dividers"])
    assert main(["order", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "There is none." in said
    assert "one, two, a and b go together in no order" in said
    assert "Mend: Let a lead in one+a" in said
    assert main(["mend", str(path), "--write"]) == 0
    capsys.readouterr()
    assert main(["order", str(path)]) == 0


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("open = 0", "open"),
        ('open = "long"', "open"),
        ("spread = -5", "spread"),
        ("opened = 3", "opened"),
    ],
)
def test_bad_glue_is_a_sentence(
    line: str, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "ring.toml"
    text = RING.format(form="ring", more="", relief="flank", fingers="")
    path.write_text(f"{text}\n[glue]\n{line}\n")
    assert main(["order", str(path)]) == 2
    said = capsys.readouterr().err
    assert sentence in said
    assert f"line {path.read_text().split(line)[0].count(chr(10)) + 1}" in said
