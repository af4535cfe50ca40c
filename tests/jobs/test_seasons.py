"""Whole jobs in their seasons: what is told of them, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.errors import JobFileError
from dryfit.findings import Finding, Question
from dryfit.materials.moisture import Air
from dryfit.model.kind import Kind
from dryfit.workflow import Rehearsal, mended, read, read_text

TRAY = """\
format = 1

[piece]
form = "{form}"
outside = [330, 220, 140]
stock = "walls"

[stock.walls]
material = "{walls}"
nominal = 12
readings = [11.9, 12.0, 12.1]

[stock.oak]
material = "white oak"
nominal = 12
readings = [11.9, 12.0, 12.1]

[cutter]
kind = "router"
diameter = 3.175
relief = "flank"
"""


def tray(more: str, form: str = "tray", walls: str = "birch plywood") -> Rehearsal:
    return read_text(TRAY.format(form=form, walls=walls) + more)


def last(rehearsal: Rehearsal) -> tuple[str, list[Finding]]:
    (answer,) = [a for a in rehearsal.report.answers if a.question is Question.LAST]
    return answer.verdict, list(answer.findings)


def codes(rehearsal: Rehearsal) -> set[str]:
    return {finding.code for finding in last(rehearsal)[1]}


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_lasts(path: Path) -> None:
    verdict, findings = last(read(path))
    assert verdict.startswith("It does: ")
    assert {finding.severity.value for finding in findings} <= {"note"}


def test_walls_whose_grain_runs_into_the_corners_move_alike() -> None:
    assert "split-risk" not in codes(tray("", "ring", "beech"))


def test_a_solid_base_is_held_over_the_side_that_lies_across_its_grain() -> None:
    (found,) = [f for f in last(tray('[panel.base]\nstock = "oak"\n'))[1] if f.code == "split-risk"]
    # Grain along x: 220 mm of it across, and white oak from 8.6 to 6.2 or 11.0 %.
    points = (Air(60).wood - Air(30).wood) / 2
    # The plywood walls move by 0.00002 for each percent of humidity, some 15 either way.
    assert found.numbers["moves_mm"] == pytest.approx(220 * (0.00365 * points - 0.0003), abs=0.01)
    assert found.numbers["held_mm"] == pytest.approx(220)
    assert found.place == "base"


def test_a_solid_shelf_in_sheet_sides_is_held_and_in_solid_sides_is_not() -> None:
    shelf = "shelves = 1\nopen = true\n"
    sheet = TRAY.format(form="case", walls="birch plywood").replace(
        'stock = "walls"\n', f'stock = "walls"\n{shelf}', 1
    )
    held = read_text(f'{sheet}[panel.shelf]\nstock = "oak"\n')
    assert ("split-risk", "shelf") in {(f.code, f.place) for f in held.findings}
    # Sides whose grain runs upright move with the shelf, and hold nothing back.
    solid = f'{sheet.replace("birch plywood", "white oak")}[panel.shelf]\nstock = "oak"\n'
    free = read_text(f'{solid}[panel.left]\ngrain = "z"\n[panel.right]\ngrain = "z"\n')
    assert ("split-risk", "shelf") not in {(f.code, f.place) for f in free.findings}


def test_a_frame_that_moves_with_its_panel_gives_it_room() -> None:
    """A grooved back of oak in sides that move across as it does has nothing to burst."""
    chest = 'form = "chest"\nlid = "sliding"\ninset = 8\noutside = [330, 420, 140]'
    text = TRAY.format(form="x", walls="birch plywood").replace(
        'form = "x"\noutside = [330, 220, 140]', chest
    )
    stiff = read_text(f'{text}[panel.base]\nstock = "oak"\n')
    assert "panel-bursts" in codes(stiff)
    sides = "".join(f'[panel.{name}]\nstock = "oak"\ngrain = "z"\n' for name in ("left", "right"))
    alike = read_text(f'{text}[panel.base]\nstock = "oak"\n{sides}')
    assert "panel-bursts" not in codes(alike)


def test_a_back_that_grows_by_a_hair_is_not_told_of() -> None:
    """In rebates without room plywood grows some 0.1 mm; oak 1 mm, where its sides do not."""
    text = TRAY.format(form="case", walls="white oak").replace(
        "[stock.walls]", 'open = true\nback = "rebate"\n[stock.walls]', 1
    )
    text += '[panel.left]\ngrain = "z"\n[panel.right]\ngrain = "z"\n'
    sheet = '[stock.thin]\nmaterial = "plywood"\nnominal = 6\n[panel.back]\nstock = "thin"\n'
    assert "panel-bursts" not in codes(read_text(text + sheet))
    assert "panel-bursts" in codes(read_text(text + sheet.replace("plywood", "white oak")))


SPLIT = """\
format = 1
[stock.ply]
material = "birch plywood"
nominal = 18
[stock.thin]
material = "white oak"
nominal = 8
[piece]
stock = "ply"
[cutter]
kind = "hand"
[plane.left]
x = 0
[plane.right]
x = 330
[plane.front]
y = 0
[plane.rear]
y = 220
[plane.back]
y = 205
[plane.bottom]
z = 0
[plane.middle]
z = 200
[plane.top]
z = 400
[panel."left low"]
on = "left"
between = ["bottom", "middle"]
[panel."left high"]
on = "left"
between = ["middle", "top"]
[panel.right]
on = "right"
[panel.middle]
on = "middle"
between = ["left", "right"]
edges = "butt"
[panel.back]
on = "back"
stock = "thin"
grain = "z"
edges = "groove"
"""


def test_an_end_held_by_two_panels_is_one_end() -> None:
    rehearsal = read_text(SPLIT)
    held = {joint.id for joint in rehearsal.joints if joint.kind is Kind.GROOVE}
    assert held == {"left low+back", "left high+back", "right+back"}
    (found,) = [f for f in last(rehearsal)[1] if f.code == "panel-bursts"]
    assert found.numbers["room_mm"] == pytest.approx(1.0)
    assert found.mend is not None
    after = read_text(mended(SPLIT, found.mend))
    assert "panel-bursts" not in codes(after)
    assert "panel-drops" not in codes(after)


def test_a_shelf_that_runs_between_its_sides_is_given_air() -> None:
    runs = SPLIT.replace(
        '[panel.back]\non = "back"\nstock = "thin"\ngrain = "z"\nedges = "groove"\n', ""
    )
    runs = runs.replace('edges = "butt"\n', 'edges = "running"\nstock = "thin"\ngrain = "y"\n')
    (found,) = [f for f in last(read_text(runs))[1] if f.code == "lid-jams"]
    assert found.numbers["air_mm"] == pytest.approx(1.0)
    assert found.mend is not None
    assert "lid-jams" not in codes(read_text(mended(runs, found.mend)))


def test_quarter_sawn_boards_move_half_as_much() -> None:
    text = TRAY.format(form="ring", walls="white oak")
    moves = []
    for sawn in ("flat", "rift", "quarter"):
        job = text.replace('"white oak"\n', f'"white oak"\nsawn = "{sawn}"\n', 1)
        (found,) = [f for f in read_text(job).findings if f.code == "wood-moves"]
        moves.append(found.numbers["grows_mm"])
    assert moves[2] / moves[0] == pytest.approx(0.00180 / 0.00365, abs=1e-3)
    assert moves[1] == pytest.approx((moves[0] + moves[2]) / 2, abs=1e-3)


@pytest.mark.parametrize(
    "said", ["humidity = 60", "moisture = 11.0", "meter = 10.5\ncorrection = 0.5"]
)
def test_a_season_may_be_stated_by_air_wood_or_meter(said: str) -> None:
    stated = tray(f"[season.wettest]\n{said}\n", "ring", "white oak").job.seasons.wettest
    assert stated.humidity == pytest.approx(60, abs=0.01)
    assert stated.wood == pytest.approx(11.0, abs=0.002)


def test_wood_is_reckoned_from_the_air_it_was_cut_in() -> None:
    plain = tray("", "ring", "white oak").job.seasons
    assert plain.making.wood == pytest.approx((plain.driest.wood + plain.wettest.wood) / 2)
    damp = tray("[season.cut]\nhumidity = 60\n", "ring", "white oak")
    (found,) = [f for f in damp.findings if f.code == "wood-moves"]
    assert found.numbers["grows_mm"] == 0


def test_a_drawer_of_solid_wood_is_built_lower_by_what_it_grows() -> None:
    drawer = TRAY.format(form="drawer", walls="white oak").replace("outside", "opening")
    made = read_text(drawer)
    front = made.piece.panel("front")
    grown = made.job.drawer
    assert grown is not None
    assert front.height + grown.grown + 2 == pytest.approx(140)
    assert grown.reckoned
    sheet = read_text(drawer.replace("white oak", "birch plywood", 1))
    assert sheet.piece.panel("front").height == pytest.approx(138)
    assert "season-reckoned" not in codes(sheet)


def test_sheets_are_answered_too() -> None:
    verdict, findings = last(tray("", walls="MDF"))
    assert findings == []
    assert verdict == (
        "It does: all of it is sheet, which moves 0.83 mm at most (0.41 mm by another published "
        "value) between 30 and 60 % humidity."
    )


def test_wood_named_by_its_species_is_reckoned_as_itself() -> None:
    assert "wood-by-its-kin" not in codes(tray("", "ring", "white oak"))
    assert "wood-by-its-kin" not in codes(tray("", "ring", "hard maple"))
    assert "wood-by-its-kin" in codes(tray("", "ring", "lime"))


BAD = {
    "unknown species": (
        'material = "white oak"', 'material = "whitte oke"', 14,
        'the material "whitte oke" is not known; the nearest is white oak, white fir or white ash',
    ),
    "humidity over 100": (
        "", "[season.wettest]\nhumidity = 120\n", 23,
        "humidity is 120; write a number from 5 to 95: nothing is published for damper air",
    ),
    "moisture above fibre saturation": (
        "nominal = 12", "moisture = 35\nnominal = 12", 10,
        "moisture is 35; write a number from 2 to 30: above 30 % wood is at fibre saturation",
    ),
    "meter above fibre saturation": (
        "", "[season.cut]\nmeter = 31\n", 23,
        "meter is 31; write a number from 2 to 30: above 30 % wood is at fibre saturation",
    ),
    "no such season": (
        "", "[season.driesst]\nhumidity = 20\n", 22,
        'there is no season "driesst"; the nearest is driest',
    ),
    "two ways": (
        "", "[season.cut]\nhumidity = 20\nmoisture = 8\n", 24,
        "cut is stated 2 ways, by humidity and moisture; keep 1 of them",
    ),
    "a correction of nothing": (
        "", "[season.cut]\ncorrection = 1\n", 23, "only a meter is corrected; write meter = 9",
    ),
    "driest above wettest": (
        "", "[season.driest]\nhumidity = 70\n", 22,
        "the driest air leaves wood at 13.1 % and the wettest at 11.0 %; make the driest drier",
    ),
    "wetter than any air": (
        "", "[season.wettest]\nmoisture = 29\n", 23,
        "wood of 29 % is at rest in no air up to 95 % humidity at 20 °C; write a moisture from 1",
    ),
    "a finish of another sheet": (
        "nominal = 12", 'finish = "cast"\nnominal = 12', 10,
        "no standard for birch plywood of 12 mm speaks of cast sheets; known are sanded, unsanded",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line", "sentence"), BAD.values(), ids=BAD)
def test_what_cannot_be_is_told_in_one_sentence(
    old: str, new: str, line: int, sentence: str
) -> None:
    text = TRAY.format(form="tray", walls="birch plywood")
    text = text.replace(old, new, 1) if old else text + new
    with pytest.raises(JobFileError) as refused:
        read_text(text)
    (fault,) = refused.value.faults
    assert fault.sentence.startswith(sentence)
    assert "\n" not in fault.sentence
    assert fault.line == line
