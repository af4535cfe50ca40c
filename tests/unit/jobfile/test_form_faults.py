"""Each thing that can be wrong in the options of a form, with its whole sentence."""

from __future__ import annotations

import pytest

from tests.unit.jobfile.sample import CASE, fault, faults

FORMED = (
    CASE.split("[plane.left]")[0]
    + """\
[piece]
outside = [400, 300, 240]
"""
)

# form, text at the end of a sound file of it, line in it, path, sentence
FORMS = {
    "planes beside a form": (
        "case", "[plane.a]\nx = 3", 1, "plane.a",
        ("a case brings its own planes; take this table out, or print them with dryfit "
        "planes and go on from there without a form"),
    ),
    "place of a form's panel": (
        "case", '[panel.front]\non = "left"', 2, "panel.front.on",
        ("a case places its own panels; take the line out, or print its planes with "
        "dryfit planes and go on from there without a form"),
    ),
    "span of a form's panel": (
        "case", '[panel.front]\nbetween = ["left", "right"]', 2, "panel.front.between",
        ("a case places its own panels; take the line out, or print its planes with "
        "dryfit planes and go on from there without a form"),
    ),
    "shelves in a tray": (
        "tray", "shelves = 2", 1, "piece.shelves",
        "a tray has no shelves; take the line out or make it a case",
    ),
    "inset of a crate": (
        "crate", "inset = 3", 1, "piece.inset",
        ("a crate has no inset; take the line out or make it a case or a chest or a "
        "drawer"),
    ),
    "lid of a stand": (
        "stand", 'lid = "lip"', 1, "piece.lid",
        "a stand has no lid; take the line out or make it a chest",
    ),
    "200 shelves": (
        "case", "shelves = 200", 1, "piece.shelves",
        "shelves is 200; write a whole number from 0 to 199",
    ),
    "negative shelves": (
        "case", "shelves = -1", 1, "piece.shelves",
        "shelves is -1; write a whole number from 0 to 199",
    ),
    "half a shelf": (
        "case", "shelves = 1.5", 1, "piece.shelves",
        "expected a whole number, such as 2, found 1.5",
    ),
    "shelves in quotes": (
        "case", 'shelves = "2"', 1, "piece.shelves",
        'expected a whole number, such as 2, found "2"',
    ),
    "shelves without room": (
        "case", "shelves = 199", 1, "piece.shelves",
        ("200 openings between bottom and top have no width: the panels take 1791.00 mm "
        "of 222.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "uprights without room": (
        "case", "uprights = 100", 1, "piece.uprights",
        ("101 openings between left and right have no width: the panels take 900.00 mm of "
        "382.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "dividers without room along": (
        "crate", "along = 100", 1, "piece.along",
        ("101 openings between front and back have no width: the panels take 900.00 mm of "
        "282.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "dividers without room across": (
        "crate", "across = 100", 1, "piece.across",
        ("101 openings between left and right have no width: the panels take 900.00 mm of "
        "382.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "open in quotes": (
        "case", 'open = "yes"', 1, "piece.open",
        'open is "yes"; write true or false',
    ),
    "unknown back": (
        "case", 'back = "glued"', 1, "piece.back",
        '"glued" is not known here; known are finger, rebate, groove, none',
    ),
    "negative inset": (
        "case", 'back = "groove"\ninset = -1', 2, "piece.inset",
        "inset is -1.00 mm; write 0 or more",
    ),
    "divider of no height": (
        "crate", "along = 1\ndivider = 0", 2, "piece.divider",
        "divider is 0.00 mm; write a length of more than 0",
    ),
    "unknown lid": (
        "chest", 'lid = "hinged"', 1, "piece.lid",
        '"hinged" is not known here; known are lip, cleats, sliding',
    ),
    "negative air": (
        "chest", "clearance = -1", 1, "piece.clearance",
        "clearance is -1.00 mm; write 0 or more",
    ),
    "air beyond reason": (
        "chest", "clearance = 101", 1, "piece.clearance",
        "clearance is 101.00 mm; the most is 100.00 mm, check the unit",
    ),
    "cleat of no width": (
        "chest", 'lid = "cleats"\ncleat = 0', 2, "piece.cleat",
        "cleat is 0.00 mm; write a length of more than 0",
    ),
    "rail of no width": (
        "stand", "rail = 0", 1, "piece.rail",
        "rail is 0.00 mm; write a length of more than 0",
    ),
    "rail in words": (
        "stand", 'rail = "wide"', 1, "piece.rail",
        ("'wide' is no length; write a length such as 330, \"8.78 mm\", \"5 1/2 in\" or \"2 ft "
        '3 1/4 in"'),
    ),
    "opening of two lengths": (
        "drawer", "opening = [1, 2]", 1, "piece.opening",
        "expected 3 lengths [x, y, z], such as [300, 400, 120], found a list of 2",
    ),
    "opening less than its air": (
        "drawer", "opening = [1, 3, 1]", 1, "piece.opening",
        ("the opening leaves a drawer of -1.00 mm by 3.00 mm by -1.00 mm; make the "
        "opening larger or the clearances less"),
    ),
    "negative air at the sides": (
        "drawer", "side_clearance = -1", 1, "piece.side_clearance",
        "side_clearance is -1.00 mm; write 0 or more",
    ),
    "air over a drawer beyond reason": (
        "drawer", "top_clearance = 101", 1, "piece.top_clearance",
        "top_clearance is 101.00 mm; the most is 100.00 mm, check the unit",
    ),
    "air behind a drawer beyond reason": (
        "drawer", "back_clearance = 1001", 1, "piece.back_clearance",
        "back_clearance is 1001.00 mm; the most is 1000.00 mm, check the unit",
    ),
    "coat beyond reason": (
        "drawer", "coat = 11", 1, "piece.coat",
        "coat is 11.00 mm; the most is 10.00 mm, check the unit",
    ),
    "season beyond reason": (
        "drawer", "season = 101", 1, "piece.season",
        "season is 101.00 mm; the most is 100.00 mm, check the unit",
    ),
    "a shelf that is not there": (
        "case", 'shelves = 2\n[panel."shelf 3"]\nstock = "boards"', 2, 'panel."shelf 3"',
        'a case has no panel "shelf 3"; the nearest is shelf 2 or shelf 1',
    ),
    "trench of a form's shelves": (
        "case", 'shelves = 2\n[panel.shelf]\nedges = "groove"\ndepth = 9', 4, "panel.shelf.depth",
        ("a trench of 9.00 mm goes through left, which is 9.00 mm thick; make it less "
        'deep or let the edge through with edges = "tenon"'),
    ),
    "stops of a form's shelves": (
        "case", 'shelves = 2\n[panel.shelf]\nedges = "housing"\nstop = 150', 4, "panel.shelf.stop",
        ("stops of 150.00 mm and 150.00 mm leave nothing of the housing of shelf 1 in "
        "left, which is 288.00 mm long; make them less than that together"),
    ),
    "grain through a form's shelves": (
        "case", 'shelves = 2\n[panel.shelf]\ngrain = "z"', 3, "panel.shelf.grain",
        ("grain cannot run along z, through the thickness of shelf; write one of x, y, "
        "free"),
    ),
    "opening of a form's unknown panel": (
        "tray", '[opening.a]\npanel = "frnt"\nsize = [9, 9]', 2, "opening.a.panel",
        'there is no panel "frnt"; the nearest is front',
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("form", "end", "line", "path", "sentence"), FORMS.values(), ids=FORMS.keys()
)
def test_one_thing_wrong_in_a_form(
    form: str, end: str, line: int, path: str, sentence: str
) -> None:
    text = f'{FORMED}form = "{form}"\n'
    found = fault(f"{text}{end}\n")
    before = len(text.splitlines())
    assert (found.line - before, found.path, found.sentence) == (line, path, sentence)


def said(text: str) -> list[str]:
    return [str(each) for each in faults(text)]


def test_options_without_form_or_planes() -> None:
    assert said(f"{FORMED}shelves = 2\nopen = true\n") == [
        'line 12, piece.form: form is missing; write form = "tray"'
    ]


def test_a_drawer_without_any_size() -> None:
    text = FORMED.replace("outside = [400, 300, 240]\n", 'form = "drawer"\n')
    assert said(text) == [
        (
            "line 12, piece: no size is given; write outside = [330, 220, 70] or inside with the 3 "
            "sizes you want, or the opening it runs in"
        )
    ]
