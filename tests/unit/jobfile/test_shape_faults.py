"""Each thing that can be wrong in openings, kept places and corners, with its whole sentence."""

from __future__ import annotations

import pytest

from tests.unit.jobfile.sample import CASE, fault, faults

SIZE = "size = [90, 25]"

# old text, new text, line, path, sentence
SWAPS = {
    "opening without size": (
        "size = [90, 25]\n", "", 51, "opening.handle",
        "an opening has a size or a diameter, and 0 of them are given; write 1",
    ),
    "opening with two sizes": (
        SIZE, "size = [90, 25]\ndiameter = 25", 51, "opening.handle",
        "an opening has a size or a diameter, and 2 of them are given; write 1",
    ),
    "opening of one length": (
        SIZE, "size = 90", 53, "opening.handle.size",
        "expected 2 lengths [across, up], such as [90, 25], found 90",
    ),
    "opening of no height": (
        SIZE, "size = [90, 0]", 53, "opening.handle.size",
        "entry 2: size is 0.00 mm; write a length of more than 0",
    ),
    "negative diameter": (
        SIZE, "diameter = -3", 53, "opening.handle.diameter",
        "diameter is -3.00 mm; write a length of more than 0",
    ),
    "diameter in a list": (
        SIZE, "diameter = [3, 3]", 53, "opening.handle.diameter",
        'expected a length such as 12, "12 mm" or "1/2 in", found a list of 2',
    ),
    "round hole with a radius": (
        SIZE, "diameter = 25\nradius = 2", 54, "opening.handle.radius",
        ("a round hole has 0 corners to round; take the line out, or write size for "
        "diameter"),
    ),
    "corners rounder than the opening": (
        SIZE, "size = [90, 25]\nradius = 13", 54, "opening.handle.radius",
        ("corners of 13.00 mm do not fit an opening 25.00 mm wide; make it at least 26.00 "
        "mm or its corners less round"),
    ),
    "negative radius": (
        SIZE, "size = [90, 25]\nradius = -1", 54, "opening.handle.radius",
        "radius is -1.00 mm; write 0 or more",
    ),
    "opening narrower than the cutter": (
        SIZE, "size = [90, 2]", 53, "opening.handle.size",
        ("a cutter of 3.000 mm cannot cut an opening 2.00 mm wide; make it at least 3.000 "
        "mm or take a thinner cutter"),
    ),
    "round hole narrower than the cutter": (
        SIZE, "diameter = 2", 53, "opening.handle.diameter",
        ("a cutter of 3.000 mm cannot cut an opening 2.00 mm wide; make it at least 3.000 "
        "mm or take a thinner cutter"),
    ),
    "opening beside its panel": (
        SIZE, "size = [90, 25]\nat = [-45, 100]", 54, "opening.handle.at",
        "entry 1: at is -45.00 mm; write 0 or more",
    ),
    "middle of three lengths": (
        SIZE, "size = [90, 25]\nat = [1, 2, 3]", 54, "opening.handle.at",
        "expected 2 lengths [across, up], such as [165, 35], found a list of 3",
    ),
    "middle in words": (
        SIZE, 'size = [90, 25]\nat = "middle"', 54, "opening.handle.at",
        'expected 2 lengths [across, up], such as [165, 35], found "middle"',
    ),
    "opening of no panel": (
        '[opening.handle]\npanel = "left"\n', "[opening.handle]\n", 51, "opening.handle.panel",
        'panel is missing; write panel = "front"',
    ),
    "opening of an unknown panel": (
        '[opening.handle]\npanel = "left"', '[opening.handle]\npanel = "lef"',
        52, "opening.handle.panel",
        'there is no panel "lef"; the nearest is left',
    ),
    "opening of a numbered panel": (
        '[opening.handle]\npanel = "left"', "[opening.handle]\npanel = 3",
        52, "opening.handle.panel",
        'expected text in quotes, such as "front", found 3',
    ),
    "kept place without size": (
        "size = [30, 20]\n", "", 55, "keep_out.hinge.size",
        "size is missing; write size = [40, 20]",
    ),
    "kept place of one length": (
        "size = [30, 20]", "size = [30]", 58, "keep_out.hinge.size",
        "expected 2 lengths [across, up], such as [40, 20], found a list of 1",
    ),
    "kept place at one length": (
        "at = [40, 200]", "at = 40", 57, "keep_out.hinge.at",
        "expected 2 lengths [across, up], such as [165, 35], found 40",
    ),
    "kept place of an unknown panel": (
        '[keep_out.hinge]\npanel = "left"', '[keep_out.hinge]\npanel = "shelves"',
        56, "keep_out.hinge.panel",
        'there is no panel "shelves"; the nearest is shelf',
    ),
    "corner rounded and cut": (
        "round = 20", "round = 20\ncut = [3, 3]", 60, "corner.ear",
        "a corner is rounded or cut down, and 2 of them are given; write 1",
    ),
    "corner neither rounded nor cut": (
        "round = 20\n", "", 60, "corner.ear",
        "a corner is rounded or cut down, and 0 of them are given; write 1",
    ),
    "unknown corner": (
        '"top left"', '"upper left"', 62, "corner.ear.at",
        '"upper left" is not known here; the nearest is top left',
    ),
    "corner at two lengths": (
        '"top left"', "[3, 4]", 62, "corner.ear.at",
        ("expected one of bottom left, bottom right, top right, top left in quotes, found "
        "a list of 2"),
    ),
    "corner nowhere": (
        'at = "top left"\n', "", 60, "corner.ear.at",
        'at is missing; write at = "top left"',
    ),
    "corner of an unknown panel": (
        '[corner.ear]\npanel = "shelf"', '[corner.ear]\npanel = "self"', 61, "corner.ear.panel",
        'there is no panel "self"; the nearest is shelf, shelf 2 or shelf 1',
    ),
    "round of nothing": (
        "round = 20", "round = 0", 63, "corner.ear.round",
        "round is 0.00 mm; write a length of more than 0",
    ),
    "cut of one length": (
        "round = 20", "cut = 3", 63, "corner.ear.cut",
        "expected 2 lengths [across, up], such as [30, 20], found 3",
    ),
    "negative cut": (
        "round = 20", "cut = [3, -3]", 63, "corner.ear.cut",
        "entry 2: cut is -3.00 mm; write a length of more than 0",
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "line", "path", "sentence"), SWAPS.values(), ids=SWAPS.keys()
)
def test_one_thing_wrong(old: str, new: str, line: int, path: str, sentence: str) -> None:
    assert CASE.count(old) == 1
    found = fault(CASE.replace(old, new))
    assert (found.line, found.path, found.sentence) == (line, path, sentence)


@pytest.mark.parametrize("table", ["plane", "opening", "keep_out", "corner"])
def test_a_value_where_a_table_belongs(table: str) -> None:
    found = [each for each in faults(f"{table} = 3\n") if each.path == table]
    assert [each.sentence for each in found] == [
        f"expected a table; write [{table}.NAME] on a line of its own, not 3"
    ]
