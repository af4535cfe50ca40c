"""Each thing that can be wrong in names and joints beside planes, with its whole sentence."""

from __future__ import annotations

import pytest

from tests.unit.jobfile.sample import CASE, fault

# text at the end of a sound file, line in it, path, sentence
ENDS = {
    "division of a faulty plane": (
        '[plane.a]\nbetween = ["b", "top"]\n[plane.b]\nz = 9\ny = 9', 3, "plane.b",
        ("a plane lies at 1 place, and this one has 2; write x, y or z with a distance, "
        "or between with 2 planes"),
    ),
    "division of a family": (
        '[plane.a]\nbetween = ["shelf", "top"]', 2, "plane.a.between",
        '"shelf" stands for 2 planes; write 1 of them, such as shelf 1',
    ),
    "plane of a family's name": (
        '[plane."shelf 2"]\nz = 30', 1, 'plane."shelf 2"',
        ("shelf 2 is also 1 of the planes that shelf divides its space with; write "
        "another name here"),
    ),
    "panel of a family's name": (
        '[panel."shelf 2"]\non = "front"', 1, 'panel."shelf 2"',
        "shelf 2 is also 1 of the panels of shelf; write another name here",
    ),
    "panel of a family's name without plane": (
        '[panel."shelf 2"]\ngood_face = "inside"', 1, 'panel."shelf 2"',
        'on is missing; write the plane it lies on: on = "left"',
    ),
    "plane without a name": (
        '[plane.""]\nz = 30', 1, 'plane.""',
        "the name is empty; write at least 1 letter",
    ),
    "name with a bell": (
        '[plane."a\\u0007"]\nz = 30', 1, 'plane."a\\u0007"',
        "character 2 of the name (U+0007) is a control character; take it out",
    ),
    "name that turns the text about": (
        '[panel."\\u202e"]\non = "front"', 1, 'panel."\\u202e"',
        "character 1 of the name (U+202E) is a control character; take it out",
    ),
    "name of a space": (
        '[panel." "]\non = "front"', 1, 'panel." "',
        "the name is empty; write at least 1 letter",
    ),
    "name with a plus": (
        '[panel."c+d"]\non = "front"', 1, 'panel."c+d"',
        ("the name holds a +, which stands between the 2 panels of a joint; write another "
        "name"),
    ),
    "quotes and dots in names": (
        "[plane.'a.\"b']\nz = 30\n[panel.\"c.d\"]\non = \"a.\\\"c\"", 4, 'panel."c.d".on',
        'there is no plane "a.\\"c"; the nearest is a."b',
    ),
    "endless name": (
        f'[plane.{"p" * 201}]\nz = 30', 1, f'plane."{"p" * 57}..."',
        "the name has 201 characters; write at most 200",
    ),
    "two reaches at one end": (
        ('[plane.mid]\ny = 150\n[panel.half]\non = "left"\nbetween = ["front", "mid"]\n'
        'face = "low"\n[joint."half+shelf"]\nkind = "butt"'), -17, "panel.shelf",
        ("shelf 1 would have to end at 6.00 mm along x for left and at 9.00 mm for half; "
        "give both the same joint or make 2 panels of shelf 1"),
    ),
    "joint with an unknown panel": (
        '[joint."shelf+lef"]', 1, 'joint."shelf+lef"',
        'there is no panel "lef"; the nearest is left',
    ),
    "joint of a shelf that is not there": (
        '[joint."shelf 3+left"]', 1, 'joint."shelf 3+left"',
        'there is no panel "shelf 3"; the nearest is shelf 2 or shelf 1',
    ),
    "joint of panels that do not meet": (
        '[joint."left+right"]', 1, 'joint."left+right"',
        "left and right do not meet; left meets base, lid, shelf 1, shelf 2",
    ),
    "joint of a family that does not meet": (
        '[joint."shelf+lid"]', 1, 'joint."shelf+lid"',
        "shelf and lid do not meet; shelf meets left, right",
    ),
    "joint of two of a family": (
        '[joint."shelf 1+shelf 2"]', 1, 'joint."shelf 1+shelf 2"',
        "shelf 1 and shelf 2 do not meet; shelf 1 meets left, right",
    ),
    "joint of a family with itself": (
        '[joint."shelf+shelf"]', 1, 'joint."shelf+shelf"',
        "shelf does not meet itself; name 2 panels, such as left+shelf 2",
    ),
    "joint of a family with one of it": (
        '[joint."shelf+shelf 1"]', 1, 'joint."shelf+shelf 1"',
        "shelf and shelf 1 do not meet; shelf meets left, right",
    ),
    "joint of three panels": (
        '[joint."left+shelf+right"]', 1, 'joint."left+shelf+right"',
        'a joint is named after 2 panels; write [joint."left+shelf 2"]',
    ),
    "joint of nothing": (
        '[joint."+"]', 1, 'joint."+"',
        'there is no panel ""; known are left, right, base, lid, shelf 1, shelf 2',
    ),
    "joint that stands twice": (
        '[joint."shelf+left"]\n[joint."left+shelf"]', 2, 'joint."left+shelf"',
        "this joint stands twice in the file; keep 1 of the 2 tables",
    ),
    "lead without part in a family": (
        '[joint."shelf+left"]\nleads = "shelf 1"', 2, 'joint."shelf+left".leads',
        '"shelf 1" has no part in this joint; write shelf or left',
    ),
    "unknown kind": (
        '[joint."shelf+left"]\nkind = "halving"', 2, 'joint."shelf+left".kind',
        ('"halving" is not known here; known are finger, tenon, housing, groove, rebate, '
        "butt, running"),
    ),
    "trench of a joint deeper than its panel": (
        '[joint."shelf+left"]\nkind = "housing"\ndepth = 12', 3, 'joint."shelf+left".depth',
        ("a trench of 12.00 mm goes through left, which is 9.00 mm thick; make it less "
        'deep or let the edge through with kind = "tenon"'),
    ),
    "trench of a family's joint": (
        '[joint."left+shelf 2"]\ndepth = 9', 2, 'joint."left+shelf 2".depth',
        ("a trench of 9.00 mm goes through left, which is 9.00 mm thick; make it less "
        'deep or let the edge through with kind = "tenon"'),
    ),
    "room of a joint": (
        '[joint."left+shelf"]\nkind = "groove"\nroom = 12', 3, 'joint."left+shelf".room',
        ("a room of 12.00 mm leaves shelf 1 nothing in a groove of 3.00 mm; make the "
        "groove deeper or the room less"),
    ),
    "stops of a joint": (
        '[joint."left+shelf"]\nstop = 170', 2, 'joint."left+shelf".stop',
        ("stops of 170.00 mm and 170.00 mm leave nothing of the housing of shelf 1 in "
        "left, which is 300.00 mm long; make them less than that together"),
    ),
    "stops at a corner": (
        '[joint."left+lid"]\nkind = "housing"\nstop = 150', 3, 'joint."left+lid".stop',
        ("stops of 150.00 mm and 150.00 mm leave nothing of the housing of lid in left, "
        "which is 300.00 mm long; make them less than that together"),
    ),
    "three stops of a joint": (
        '[joint."left+shelf 2"]\nstop = [1, 2, 3]', 2, 'joint."left+shelf 2".stop',
        "expected a length or 2 of them, such as [12, 0], found a list of 3",
    ),
    "outside beside planes": (
        "[piece]\noutside = [3, 3, 3]", 2, "piece.outside",
        ("outside belongs to a form, and this piece is stated by 7 planes; take the line "
        "out or name a form"),
    ),
    "option without form": (
        "[piece]\nshelves = 2", 2, "piece.shelves",
        ("shelves belongs to a form, and this piece is stated by 7 planes; take the line "
        "out or name a form"),
    ),
    "unknown tee": (
        '[piece]\ntee = "groove"', 2, "piece.tee",
        '"groove" is not known here; known are tenon, housing, butt',
    ),
    "tee that is no text": (
        "[piece]\ntee = 1", 2, "piece.tee",
        "expected one of tenon, housing, butt in quotes, found 1",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("end", "line", "path", "sentence"), ENDS.values(), ids=ENDS.keys())
def test_one_thing_wrong_at_the_end(end: str, line: int, path: str, sentence: str) -> None:
    found = fault(f"{CASE}{end}\n")
    before = len(CASE.splitlines())
    assert (found.line - before, found.path, found.sentence) == (line, path, sentence)
