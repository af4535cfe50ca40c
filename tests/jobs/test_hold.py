"""Does it hold? From the job file to the sentences."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from dryfit.checks.bearing import Bay, bearings
from dryfit.checks.corners import corner
from dryfit.checks.sag import sag
from dryfit.errors import JobFileError
from dryfit.findings import Answer, Question, Severity
from dryfit.jobfile.read import read_unfolded
from dryfit.materials.beams import SPREAD, Section
from dryfit.materials.loads import GRAVITY
from dryfit.materials.strength import strength
from dryfit.workflow import Rehearsal, as_data, cautions, mended, read_text

HEAD = """format = 1
[stock.ply]
material = "{material}"
nominal = {nominal}
readings = [{nominal}, {nominal}]
[cutter]
kind = "router"
diameter = 4
relief = "flank"
[fingers]
{fingers}
"""


def text(
    piece: str,
    more: str = "",
    *,
    material: str = "birch plywood",
    nominal: float = 15,
    fingers: str = "",
) -> str:
    head = HEAD.format(material=material, nominal=nominal, fingers=fingers)
    return f"{head}[piece]\n{piece}\n{more}"


def case(sizes: str, more: str = "", **other: str | float) -> str:
    piece = f'form = "case"\noutside = {sizes}\nopen = true\n'
    return text(piece + more, **other)  # type: ignore[arg-type]


def answer(rehearsal: Rehearsal) -> Answer:
    return next(each for each in rehearsal.report.answers if each.question is Question.HOLD)


def bays(rehearsal: Rehearsal) -> dict[str, tuple[Bay, ...]]:
    found = bearings(rehearsal.piece.panels, rehearsal.plans)
    return {each.panel.name: each.bays for each in found}


SHELVES = case("[900, 300, 800]", "shelves = 2\n")


def test_shelves_are_carried_at_their_ends_and_at_the_back() -> None:
    found = bays(read_text(SHELVES))
    assert {(bay.ends_u, bay.ends_v) for bay in found["shelf 1"]} == {(2, 1)}
    assert found["shelf 1"] == found["shelf 2"]
    assert found["shelf 1"][0].u == pytest.approx(900 - 2 * 15 + 5)  # a third of 15 at each end


def test_without_a_back_a_shelf_is_a_beam_and_an_upright_halves_it() -> None:
    bare = bays(read_text(case("[900, 300, 800]", 'shelves = 1\nback = "none"\n')))
    assert {(bay.ends_u, bay.ends_v) for bay in bare["shelf"]} == {(2, 0)}
    halved = bays(read_text(case("[900, 300, 800]", 'shelves = 1\nuprights = 1\nback = "none"\n')))
    assert halved["shelf"][0].u == pytest.approx(bare["shelf"][0].u / 2)


def test_a_base_is_carried_all_round_but_by_nothing_that_stands_on_it() -> None:
    tray = bays(read_text(text('form = "crate"\noutside = [500, 300, 90]\nacross = 2\nalong = 1')))
    assert {(bay.ends_u, bay.ends_v) for bay in tray["base"]} == {(2, 2)}
    assert tray["base"][0].u == pytest.approx(485)


def test_a_lid_lies_on_its_walls_and_a_cleat_is_no_shelf() -> None:
    chest = text('form = "chest"\noutside = [400, 300, 150]\nlid = "cleats"')
    found = bays(read_text(chest))
    assert {(bay.ends_u, bay.ends_v) for bay in found["lid"]} == {(2, 2)}
    assert found["cleat left"] == ()
    assert read_text(chest).subject.holding.sags[0].use.name == "household"


def test_the_sag_of_a_beam_is_the_handbook_formula() -> None:
    job = case(
        "[900, 300, 800]", 'shelves = 1\nback = "none"\n[load.shelf]\nweight = 20\n', material="oak"
    )
    found = next(s for s in read_text(job).subject.holding.sags if s.name == "shelf")
    made = strength(found.panel.stock.material, 15.0)
    assert made is not None
    own = made.density * 15e-9 * GRAVITY * found.panel.width * found.panel.height
    breadth, span = found.panel.height, found.bay.u
    each = (20 * GRAVITY + own) / (found.panel.width * breadth)
    section = Section(breadth, 15, made.along, made.shear)
    assert found.first == pytest.approx(section.deflection(SPREAD, each * breadth * span, span))
    assert found.later == pytest.approx((1.5 * found.first, 2.0 * found.first))
    assert found.limit == pytest.approx(span / 144)


def test_sag_grows_evenly_with_the_load_and_in_the_middle_it_is_more() -> None:
    found = read_text(SHELVES).subject.holding.sags[0]
    made = strength(found.panel.stock.material, found.panel.thickness)
    assert made is not None
    sags = [
        sag(found.panel, found.bay, made, weight, middle=False)
        for weight in (0.0, 10.0, 20.0, 30.0)
    ]
    steps = [after - before for before, after in pairwise(sags)]
    assert steps == pytest.approx([steps[0]] * 3)
    assert sag(found.panel, found.bay, made, 30.0, middle=True) > sags[-1]


def test_a_piece_stated_in_planes_holds_alike() -> None:
    job = case("[900, 300, 800]", "shelves = 2\nuprights = 1\n")
    formed = read_text(job).subject.holding
    planes = read_text(read_unfolded(job, "job")).subject.holding
    assert [each.first for each in planes.sags] == pytest.approx([e.first for e in formed.sags])
    assert planes.rings == formed.rings


def test_a_piece_turned_a_quarter_holds_alike() -> None:
    long, deep = (
        read_text(text(f'form = "tray"\noutside = {sizes}', material="MDF")).subject.holding.sags[0]
        for sizes in ("[500, 300, 90]", "[300, 500, 90]")
    )
    assert long.first == pytest.approx(deep.first, rel=1e-6)
    assert long.limit == pytest.approx(deep.limit)


@pytest.mark.parametrize(
    ("use", "load"),
    [("books", 244.1), ("bottles", 231), ("paper", 800 * (0.4 - 0.015 - 0.0075)), ("nothing", 0)],
)
def test_a_use_brings_its_weight(use: str, load: float) -> None:
    piece = 'form = "case"\noutside = [890, 300, 800]\nopen = true\nshelves = 1\n'
    found = read_text(text(f'{piece}use = "{use}"'))
    shelf = next(s for s in found.subject.holding.sags if s.name == "shelf")
    area = shelf.panel.width * shelf.panel.height / 1e6
    assert shelf.weight == pytest.approx(load * area)
    assert not shelf.assumed


def test_what_stands_on_it_is_said_when_nobody_says() -> None:
    said = [f for f in answer(read_text(SHELVES)).findings if f.code == "load-assumed"]
    assert len(said) == 1
    assert said[0].numbers == {"kg_m2": 195.3}
    assert said[0].mend is not None
    told = mended(SHELVES, said[0].mend)
    assert 'use = "general"' in told
    assert "load-assumed" not in {f.code for f in read_text(told).findings}


def test_a_panel_as_stiff_again_sags_an_eighth() -> None:
    piece = 'shelves = 1\nback = "none"\nuse = "nothing"\n[load.shelf]\nweight = 2000\n'
    thin, thick = (
        next(
            s
            for s in read_text(case("[900, 300, 800]", piece, material="oak", nominal=n)).subject
            .holding.sags
            if s.name == "shelf"
        )
        for n in (9, 18)
    )  # fmt: skip
    spans = (thin.bay.u / thick.bay.u) ** 3
    assert thin.first / thick.first == pytest.approx(8 * spans, rel=0.02)


FEW_AND_MANY = [
    read_text(text('form = "ring"\noutside = [330, 220, 90]', nominal=12, fingers=f"count = {n}"))
    for n in (5, 15)
]


def test_more_fingers_gain_only_a_little() -> None:
    few, many = (each.subject.holding.weakest for each in FEW_AND_MANY)
    assert few is not None
    assert many is not None
    assert many.flanks == pytest.approx(few.flanks * 14 / 4)
    for one, other in zip(few.moment, many.moment, strict=True):
        assert 1.0 < other / one <= 1.151


def test_the_glue_of_a_corner_is_its_closed_form() -> None:
    """Worked: L 100, N 9, t 12: 1152 + 1200 mm²."""
    piece = text('form = "ring"\noutside = [330, 220, 100]', nominal=12, fingers="count = 9")
    found = read_text(piece).subject.holding.corners[0]
    assert (found.flanks, found.shoulders) == pytest.approx((1152, 1200))


def test_a_corner_gives_no_more_than_two_figures_and_a_range() -> None:
    for rehearsal in FEW_AND_MANY:
        data = as_data(rehearsal)["hold"]["corners"]
        for each in data:
            for low, high in (each["bending_nm"], each["pull_n"]):
                assert low < high
                for value in (low, high):
                    digits = f"{value:.10f}".replace(".", "").strip("0")
                    assert len(digits) <= 2
        note = next(f for f in rehearsal.findings if f.code == "corner-bears")
        assert note.severity is Severity.NOTE
        assert "No certificate" in answer(rehearsal).verdict


def test_a_corner_of_one_division_bears_nothing_and_of_acrylic_nothing_is_known() -> None:
    one = read_text(text('form = "pair"\noutside = [330, 220, 70]', fingers="count = 1"))
    joint = one.joints[0]
    found = corner(joint, one.subject.mates(joint))
    assert found is not None
    assert found.moment == (0.0, 0.0)
    clear = read_text(text('form = "ring"\noutside = [330, 220, 90]', material="acrylic"))
    assert clear.subject.holding.corners == ()


def test_a_back_keeps_a_case_square() -> None:
    open_one = read_text(case("[700, 300, 900]", 'back = "none"\n')).subject.holding.rings
    backed = read_text(case("[700, 300, 900]")).subject.holding.rings
    assert [(ring.axis, ring.braces) for ring in open_one] == [("y", ())]
    assert [(ring.axis, ring.braces) for ring in backed] == [("y", ("back",))]
    assert backed[0].braced_sway < open_one[0].open_sway / 50
    # A case closed all round is braced both ways.
    closed = read_text(text('form = "case"\noutside = [300, 300, 300]')).subject.holding.rings
    assert {(ring.axis, len(ring.braces)) for ring in closed} == {("x", 2), ("y", 2)}


def test_a_tall_case_is_fixed_to_the_wall_and_cautioned_about() -> None:
    job = case("[600, 300, 1800]", "shelves = 4\n")
    tall = read_text(job)
    found = next(f for f in tall.findings if f.code == "fix-to-wall")
    assert found.severity is Severity.LOOK
    stance = tall.subject.holding.stance
    volume = sum(part.volume for part in tall.parts)
    assert stance.weight == pytest.approx(690e-9 * volume)
    assert stance.pull == pytest.approx(stance.weight * GRAVITY * 150 / 1800)
    assert any("wall" in said for said in cautions(tall))
    fixed = read_text(job.replace("shelves = 4", "shelves = 4\nfixed = true"))
    assert "fix-to-wall" not in {f.code for f in fixed.findings}
    assert any("wall" in said for said in cautions(fixed))
    assert not any("wall" in said for said in cautions(FEW_AND_MANY[0]))


def test_a_piece_at_other_angles_is_reckoned_as_the_rectangle_round_it() -> None:
    six = read_text(text('form = "many-sided tray"\nflats = 240\nheight = 60', nominal=9))
    found = six.subject.holding.sags
    assert [(s.name, s.bay.ends_u, s.bay.ends_v) for s in found] == [("base", 2, 2)]


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("[load.shelf]\nweight = -5", "weight is -5; write a weight from 0 to 5000 kg"),
        ('[load.shelf]\nweight = "-5 lb"', 'weight is "-5 lb"; write a weight from 0 to 5000 kg'),
        (
            '[load.shelf]\nweight = "heavy"',
            'expected a weight such as 25 or "55 lb", found "heavy"',
        ),
        ('[load.shelf]\nuse = "boks"', '"boks" is not known here; the nearest is books'),
        ("[load.shelve]\nweight = 5", 'there is no panel "shelve" to load; the nearest is shelf'),
        ("[load.shelf]\nlimit = -1", "limit is -1.00 mm; write a length of more than 0"),
    ],
)
def test_a_bad_load_is_one_sentence_with_its_line(line: str, sentence: str) -> None:
    job = case("[900, 300, 800]", "shelves = 1\n" + line)
    with pytest.raises(JobFileError) as refused:
        read_text(job)
    (fault,) = refused.value.faults
    assert sentence in fault.sentence
    named = line.splitlines()[0] if "shelve]" in line else line.splitlines()[1]
    assert job.splitlines()[fault.line - 1] == named
    assert re.search(r"\d|known", fault.sentence) or "nearest" in fault.sentence


def test_pounds_are_pounds() -> None:
    job = case("[900, 300, 800]", 'shelves = 1\n[load.shelf]\nweight = "55 lb"\n')
    assert read_text(job).job.service.on("shelf").weight == pytest.approx(55 * 0.45359237)


def test_a_job_in_inches_speaks_of_pounds() -> None:
    job = 'unit = "in"\n' + case('["36 in", "12 in", "16 in"]', 'shelves = 1\nuse = "books"\n')
    job = (
        job.replace("= 15", '= "15 mm"').replace("[15, 15]", '["15 mm"]').replace("= 4", '= "4 mm"')
    )
    job = job.replace('unit = "in"\nformat = 1', 'format = 1\nunit = "in"')
    said = next(f for f in read_text(job).findings if f.code == "panel-sags")
    assert " lb (books)" in said.sentence


def test_the_shelves_of_a_large_case_are_all_reckoned() -> None:
    job = case("[1800, 330, 2200]", "shelves = 9\nuprights = 48\n", nominal=12)
    holding = read_text(job).subject.holding
    names = {each.name for each in holding.sags}
    assert {f"shelf {number}" for number in range(1, 10)} <= names
    clear = (1800 - 12 * 50) / 49 + 12
    assert {round(s.bay.u, 3) for s in holding.sags if s.name == "shelf 5"} == {round(clear, 3)}


def test_every_example_has_an_answer() -> None:
    for path in (Path(__file__).parents[2] / "examples").glob("*.toml"):
        rehearsal = read_text(path.read_text(encoding="utf-8"), path.name)
        assert answer(rehearsal).verdict.endswith("not for standing, sitting or lifting.")
