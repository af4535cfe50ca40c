"""Each thing that can be wrong in planes and panels, with the whole sentence that says so."""

from __future__ import annotations

import pytest

from dryfit.jobfile.read import read_text
from tests.unit.jobfile.sample import CASE, fault, faults

PLANES = '["bottom", "top"]'
EDGES = 'edges = "housing"\nstop = [12, 0]'

# old text, new text, line, path, sentence
SWAPS = {
    "distance that is no length": (
        "x = 400", 'x = "far"', 16, "plane.right.x",
        ("'far' is no length; write a length such as 330, \"8.78 mm\", \"5 1/2 in\" or \"2 ft "
        '3 1/4 in"'),
    ),
    "distance without end": (
        "x = 400", "x = inf", 16, "plane.right.x",
        ('inf is not a finite number; write a length such as 330, "8.78 mm", "5 1/2 in" '
        'or "2 ft 3 1/4 in"'),
    ),
    "distance in a list": (
        "x = 400", "x = [400]", 16, "plane.right.x",
        'expected a length such as 12, "12 mm" or "1/2 in", found a list of 1',
    ),
    "plane below everything": (
        "x = 400", "x = -100001", 16, "plane.right.x",
        ("-100001 is longer than 100 m; check the number and its unit (bare numbers are "
        "in mm)"),
    ),
    "plane in two places": (
        "x = 400", "x = 400\ny = 3", 15, "plane.right",
        ("a plane lies at 1 place, and this one has 2; write x, y or z with a distance, "
        "or between with 2 planes"),
    ),
    "plane at a distance and between": (
        "x = 400", 'x = 400\nbetween = ["front", "back"]', 15, "plane.right",
        ("a plane lies at 1 place, and this one has 2; write x, y or z with a distance, "
        "or between with 2 planes"),
    ),
    "plane in no place": (
        "x = 400\n", "", 15, "plane.right",
        ("a plane lies at 1 place, and this one has 0; write x, y or z with a distance, "
        "or between with 2 planes"),
    ),
    "parts of a distance": (
        "x = 400", "x = 400\nparts = 3", 17, "plane.right.parts",
        ("parts divides the space between 2 planes; write between instead of x, or take "
        "the line out"),
    ),
    "one part": (
        "parts = 3", "parts = 1", 32, "plane.shelf.parts",
        "parts is 1; write a whole number from 2 to 200",
    ),
    "201 parts": (
        "parts = 3", "parts = 201", 32, "plane.shelf.parts",
        "parts is 201; write a whole number from 2 to 200",
    ),
    "200 parts without room": (
        "parts = 3", "parts = 200", 30, "plane.shelf",
        ("200 openings between bottom and top have no width: the panels take 1791.00 mm "
        "of 222.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "half a part": (
        "parts = 3", "parts = 2.5", 32, "plane.shelf.parts",
        "expected a whole number, such as 3, found 2.5",
    ),
    "planes too near for their shelves": (
        "z = 240", "z = 30", 30, "plane.shelf",
        ("3 openings between bottom and top have no width: the panels take 18.00 mm of "
        "12.00 mm; divide into fewer or set the planes farther apart"),
    ),
    "division between three planes": (
        PLANES, '["bottom", "top", "left"]', 31, "plane.shelf.between",
        "a division lies between 2 planes, and 3 are named; write 2",
    ),
    "division beside one plane": (
        PLANES, '["bottom"]', 31, "plane.shelf.between",
        "a division lies between 2 planes, and 1 is named; write 2",
    ),
    "division between no planes": (
        PLANES, "[]", 31, "plane.shelf.between",
        "a division lies between 2 planes, and 0 are named; write 2",
    ),
    "division between a plane and itself": (
        PLANES, '["bottom", "bottom"]', 31, "plane.shelf.between",
        "bottom is named twice; write 2 different planes",
    ),
    "division that bounds itself": (
        PLANES, '["bottom", "shelf"]', 31, "plane.shelf.between",
        "shelf divides a space that it bounds itself; write 2 other planes",
    ),
    "division between numbers": (
        PLANES, "[1, 2]", 31, "plane.shelf.between",
        'expected a list of names, such as ["bottom", "top"], found a list of 2',
    ),
    "division between a text": (
        PLANES, '"bottom"', 31, "plane.shelf.between",
        'expected a list of names, such as ["bottom", "top"], found "bottom"',
    ),
    "division at an unknown plane": (
        PLANES, '["bottom", "tpo"]', 31, "plane.shelf.between",
        'there is no plane "tpo"; the nearest is top',
    ),
    "division between planes of two axes": (
        PLANES, '["bottom", "left"]', 31, "plane.shelf.between",
        "bottom lies along z and left along x; write 2 planes of 1 axis",
    ),
    "panel on no plane": (
        'on = "shelf"\n', "", 46, "panel.shelf",
        'on is missing; write the plane it lies on: on = "left"',
    ),
    "panel on a number": (
        'on = "shelf"', "on = 3", 47, "panel.shelf.on",
        'expected text in quotes, such as "shelf", found 3',
    ),
    "panel on an unknown plane": (
        'on = "shelf"', 'on = "shelv"', 47, "panel.shelf.on",
        'there is no plane "shelv"; the nearest is shelf, shelf 2 or shelf 1',
    ),
    "panel on a division that is not there": (
        'on = "shelf"', 'on = "shelf 3"', 47, "panel.shelf.on",
        'there is no plane "shelf 3"; the nearest is shelf 2, shelf 1 or shelf',
    ),
    "span along its own axis": (
        EDGES, 'between = ["bottom", "top"]', 48, "panel.shelf.between",
        ("shelf lies on a plane along z and cannot span along it to bottom; take 1 of the "
        "2 out"),
    ),
    "span from one plane": (
        EDGES, 'between = ["left"]', 48, "panel.shelf.between",
        ("along x 1 plane is named; write 2 different ones, or none to span between the "
        "outermost"),
    ),
    "span between three planes of an axis": (
        EDGES, 'between = ["left", "right", "left"]', 48, "panel.shelf.between",
        ("along x 3 planes are named; write 2 different ones, or none to span between the "
        "outermost"),
    ),
    "span between three names": (
        EDGES, 'between = ["left", "right", "front"]', 48, "panel.shelf.between",
        ("along y 1 plane is named; write 2 different ones, or none to span between the "
        "outermost"),
    ),
    "span between a plane and itself": (
        EDGES, 'between = ["left", "left"]', 48, "panel.shelf.between",
        ("along x left is named twice; write 2 different ones, or none to span between "
        "the outermost"),
    ),
    "span to an unknown plane": (
        EDGES, 'between = ["left", "rihgt"]', 48, "panel.shelf.between",
        'there is no plane "rihgt"; the nearest is right',
    ),
    "span to a family of planes": (
        EDGES, 'between = ["bottom", "shelf"]', 48, "panel.shelf.between",
        '"shelf" stands for 2 planes; write 1 of them, such as shelf 1',
    ),
    "span of numbers": (
        EDGES, "between = [1]", 48, "panel.shelf.between",
        'expected a list of names, such as ["left", "right"], found a list of 1',
    ),
    "span of a text": (
        EDGES, 'between = "left"', 48, "panel.shelf.between",
        'expected a list of names, such as ["left", "right"], found "left"',
    ),
    "planes in one place": (
        "x = 400", "x = 0", 40, "panel.base",
        ("base has no length along x: it would run from 0.00 mm to 0.00 mm; set its "
        "planes farther apart"),
    ),
    "planes nearer than their panels": (
        "x = 400", "x = 9", 46, "panel.shelf",
        ("shelf 1 has no length along x: it would run from 6.00 mm to 3.00 mm; set its "
        "planes farther apart"),
    ),
    "unknown face": (
        EDGES, 'face = "top"', 48, "panel.shelf.face",
        '"top" is not known here; known are low, middle, high',
    ),
    "face that is no text": (
        EDGES, "face = 1", 48, "panel.shelf.face",
        "expected one of low, middle, high in quotes, found 1",
    ),
    "unknown edges": (
        EDGES, 'edges = "dovetail"', 48, "panel.shelf.edges",
        ('"dovetail" is not known here; known are tenon, housing, groove, rebate, butt, '
        "running"),
    ),
    "fingers for edges": (
        EDGES, 'edges = "finger"', 48, "panel.shelf.edges",
        ('"finger" is not known here; known are tenon, housing, groove, rebate, butt, '
        "running"),
    ),
    "edges that are no text": (
        EDGES, "edges = 3", 48, "panel.shelf.edges",
        ("expected one of tenon, housing, groove, rebate, butt, running in quotes, found "
        "3"),
    ),
    "depth of nothing": (
        EDGES, "depth = 0", 48, "panel.shelf.depth",
        "depth is 0.00 mm; write a length of more than 0",
    ),
    "negative depth": (
        EDGES, "depth = -3", 48, "panel.shelf.depth",
        "depth is -3.00 mm; write a length of more than 0",
    ),
    "depth beyond reason": (
        EDGES, "depth = 2000", 48, "panel.shelf.depth",
        "depth is 2000.00 mm; the most is 1000.00 mm, check the unit",
    ),
    "trench as deep as its panel": (
        EDGES, 'edges = "housing"\ndepth = 9', 49, "panel.shelf.depth",
        ("a trench of 9.00 mm goes through left, which is 9.00 mm thick; make it less "
        'deep or let the edge through with edges = "tenon"'),
    ),
    "trench deeper than its panel": (
        EDGES, 'edges = "groove"\ndepth = 20', 49, "panel.shelf.depth",
        ("a trench of 20.00 mm goes through left, which is 9.00 mm thick; make it less "
        'deep or let the edge through with edges = "tenon"'),
    ),
    "room as deep as its groove": (
        EDGES, 'edges = "groove"\ndepth = 3\nroom = 3', 50, "panel.shelf.room",
        ("a room of 3.00 mm leaves shelf 1 nothing in a groove of 3.00 mm; make the "
        "groove deeper or the room less"),
    ),
    "usual room deeper than its groove": (
        EDGES, 'edges = "groove"\ndepth = 0.4', 46, "panel.shelf.room",
        ("a room of 0.50 mm leaves shelf 1 nothing in a groove of 0.40 mm; make the "
        "groove deeper or the room less"),
    ),
    "negative room": (
        EDGES, 'edges = "groove"\nroom = -1', 49, "panel.shelf.room",
        "room is -1.00 mm; write 0 or more",
    ),
    "room beyond reason": (
        EDGES, 'edges = "groove"\nroom = 101', 49, "panel.shelf.room",
        "room is 101.00 mm; the most is 100.00 mm, check the unit",
    ),
    "three stops": (
        EDGES, "stop = [1, 2, 3]", 48, "panel.shelf.stop",
        "expected a length or 2 of them, such as [12, 0], found a list of 3",
    ),
    "no stops in the list": (
        EDGES, "stop = []", 48, "panel.shelf.stop",
        "expected a length or 2 of them, such as [12, 0], found a list of 0",
    ),
    "negative stop": (
        EDGES, "stop = [-1, 0]", 48, "panel.shelf.stop",
        "entry 1: stop is -1.00 mm; write 0 or more",
    ),
    "stop that is no length": (
        EDGES, 'stop = "wide"', 48, "panel.shelf.stop",
        ("'wide' is no length; write a length such as 330, \"8.78 mm\", \"5 1/2 in\" or \"2 ft "
        '3 1/4 in"'),
    ),
    "stop that is a flag": (
        EDGES, "stop = true", 48, "panel.shelf.stop",
        'expected a length such as 12, "12 mm" or "1/2 in", found true',
    ),
    "stops longer than their housing": (
        EDGES, 'edges = "housing"\nstop = [200, 101]', 49, "panel.shelf.stop",
        ("stops of 200.00 mm and 101.00 mm leave nothing of the housing of shelf 1 in "
        "left, which is 300.00 mm long; make them less than that together"),
    ),
    "stops as long as their housing": (
        EDGES, 'edges = "housing"\nstop = 150', 49, "panel.shelf.stop",
        ("stops of 150.00 mm and 150.00 mm leave nothing of the housing of shelf 1 in "
        "left, which is 300.00 mm long; make them less than that together"),
    ),
    "one stop longer than its housing": (
        EDGES, 'edges = "housing"\nstop = [400, 0]', 49, "panel.shelf.stop",
        ("stops of 400.00 mm and 0.00 mm leave nothing of the housing of shelf 1 in left, "
        "which is 300.00 mm long; make them less than that together"),
    ),
    "negative clearance": (
        EDGES, 'edges = "running"\nclearance = -1', 49, "panel.shelf.clearance",
        "clearance is -1.00 mm; write 0 or more",
    ),
    "clearance beyond reason": (
        EDGES, 'edges = "running"\nclearance = 101', 49, "panel.shelf.clearance",
        "clearance is 101.00 mm; the most is 100.00 mm, check the unit",
    ),
    "unknown ends": (
        EDGES, 'edges = "groove"\nends = "thru"', 49, "panel.shelf.ends",
        '"thru" is not known here; the nearest is through',
    ),
    "ends in a list": (
        EDGES, 'edges = "groove"\nends = ["through"]', 49, "panel.shelf.ends",
        "expected one of through, stopped in quotes, found a list of 1",
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "line", "path", "sentence"), SWAPS.values(), ids=SWAPS.keys()
)
def test_one_thing_wrong(old: str, new: str, line: int, path: str, sentence: str) -> None:
    assert CASE.count(old) == 1
    found = fault(CASE.replace(old, new))
    assert (found.line, found.path, found.sentence) == (line, path, sentence)


def said(text: str) -> list[str]:
    return [str(each) for each in faults(text)]


def test_divisions_that_divide_each_other() -> None:
    end = '[plane.a]\nbetween = ["b", "top"]\n[plane.b]\nbetween = ["bottom", "a"]\n'
    why = (
        "and they divide each other's space, so neither of the 2 can be placed; let 1 lie between "
        "planes at a distance"
    )
    assert said(CASE + end) == [
        f"line 65, plane.a.between: a waits for b, {why}",
        f"line 67, plane.b.between: b waits for a, {why}",
    ]


def test_an_axis_of_which_one_plane_is_named() -> None:
    text = CASE.replace("[plane.right]\nx = 400\n", "").replace('[panel.right]\non = "right"\n', "")
    of_2 = "of the 2 planes to span between; add planes with x until there are 2"
    assert said(text) == [
        f"line 36, panel.base: along x base has 1 {of_2}",
        f"line 39, panel.lid: along x lid has 1 {of_2}",
        f"line 42, panel.shelf: along x shelf has 1 {of_2}",
    ]


def test_planes_without_panels() -> None:
    head, _ = CASE.split("[panel.left]")
    assert said(head) == [
        "plane: there are 7 planes and 0 panels; add one under [panel.NAME] with on"
    ]


def test_a_table_of_planes_without_any_plane() -> None:
    head, _ = CASE.split("[plane.left]")
    assert said(f"{head}[plane]\n") == [
        "line 12, plane: there are 0 planes; add some under [plane.NAME], or name a form"
    ]


SOUND = {
    "planes in the other order": ("x = 400", "x = -400"),
    "names of a span in the other order": (EDGES, 'between = ["right", "left"]'),
    "a span of no names": (EDGES, "between = []"),
    "a shelf on one of two divisions": ('on = "shelf"\n', 'on = "shelf 2"\n'),
    "stops that leave a millimetre": (EDGES, 'edges = "housing"\nstop = [149, 150]'),
    "19 shelves": ("parts = 3", "parts = 20"),
}


@pytest.mark.parametrize(("old", "new"), SOUND.values(), ids=SOUND.keys())
def test_what_looks_odd_and_is_sound(old: str, new: str) -> None:
    assert CASE.count(old) == 1
    job = read_text(CASE.replace(old, new), "case.toml")
    assert {panel.name for panel in job.piece.panels} >= {"left", "right", "base", "lid"}
