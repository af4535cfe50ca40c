"""Each thing that can be wrong in a job file, with the whole sentence that says so."""

from __future__ import annotations

import pytest

from dryfit.jobfile.faults import dotted, shown
from tests.unit.jobfile.sample import TRAY, fault, faults, swapped

HUGE = "check the number and its unit (bare numbers are in mm)"
LENGTH = 'write a length such as 330, "8.78 mm", "5 1/2 in" or "2 ft 3 1/4 in"'

# old text, new text, line, path, sentence
SWAPS = {
    "other format": (
        "format = 1", "format = 2", 1, "format", "format is 2; write 1, the only one there is",
    ),
    "misspelt key": (
        "title =", "titel =", 2, "titel",
        "there is no key titel here; the nearest is title or times",
    ),
    "key of another table": (
        "diameter = 3.175", "diameter = 3.175\nflank_gap = 0", 17, "cutter.flank_gap",
        "there is no key flank_gap here; it belongs under [fingers]",
    ),
    "misspelt key of another table": (
        'form = "tray"', 'form = "tray"\nwith = 10', 7, "piece.with",
        "there is no key with here; the nearest is width, which belongs under [fingers]",
    ),
    "key of another table that is like one here": (
        "readings =", "width = 9\nreadings =", 12, "stock.walls.width",
        "there is no key width here; it belongs under [fingers]",
    ),
    "kerf on a router": (
        "diameter = 3.175", "kerf = 0.2", 16, "cutter.kerf",
        'a router has no kerf; write diameter = "3.175 mm" instead',
    ),
    "key of the top": (
        "width = 10", "times = 2", 19, "fingers.times",
        "there is no key times here; it belongs under the top of the file, above the first table",
    ),
    "text where a number belongs": (
        "width = 10", "width = [10]", 19, "fingers.width",
        'expected a length such as 12, "12 mm" or "1/2 in", found a list of 1',
    ),
    "number where text belongs": (
        '"Type tray"', "7", 2, "title",
        'expected text in quotes, such as "Type tray", found 7',
    ),
    "date where text belongs": (
        '"Type tray"', "2024-02-29", 2, "title",
        'expected text in quotes, such as "Type tray", found 2024-02-29',
    ),
    "unknown unit": (
        'unit = "mm"', 'unit = "m"', 3, "unit", '"m" is not known here; the nearest is mm or cm',
    ),
    "unit that is no text": (
        'unit = "mm"', "unit = 1", 3, "unit",
        "expected one of mm, cm, in, ft in quotes, found 1",
    ),
    "flag in quotes": (
        'unit = "mm"', 'unit = "mm"\nsixty_fourths = "yes"', 4, "sixty_fourths",
        'sixty_fourths is "yes"; write true or false',
    ),
    "none to make": (
        'unit = "mm"', "times = 0", 3, "times",
        "times is 0; write a whole number from 1 to 10000",
    ),
    "half a piece": (
        'unit = "mm"', "times = 1.5", 3, "times",
        "expected a whole number, such as 4, found 1.5",
    ),
    "unknown form": (
        '"tray"', '"trai"', 6, "piece.form", '"trai" is not known here; the nearest is tray',
    ),
    "no form": (
        'form = "tray"\n', "", 5, "piece.form", 'form is missing; write form = "tray"',
    ),
    "no size": (
        "outside = [330, 220, 70]\n", "", 5, "piece",
        "no size is given; write outside = [330, 220, 70] or inside with the 3 sizes you want",
    ),
    "two sizes": (
        "[330, 220, 70]", "[330, 220]", 7, "piece.outside",
        "expected 3 lengths [x, y, z], such as [330, 220, 70], found a list of 2",
    ),
    "NaN": (
        "[330, 220, 70]", "[330, nan, 70]", 7, "piece.outside",
        f"entry 2: nan is not a finite number; {LENGTH}",
    ),
    "infinity": (
        "[330, 220, 70]", "[330, 220, -inf]", 7, "piece.outside",
        f"entry 3: -inf is not a finite number; {LENGTH}",
    ),
    "1e308": (
        "[330, 220, 70]", "[1e308, 220, 70]", 7, "piece.outside",
        f"entry 1: 1e+308 is longer than 100 m; {HUGE}",
    ),
    "negative size": (
        "[330, 220, 70]", "[330, -220, 70]", 7, "piece.outside",
        "entry 2: outside is -220.00 mm; write a length of more than 0",
    ),
    "size of zero": (
        "[330, 220, 70]", "[330, 220, 0]", 7, "piece.outside",
        "entry 3: outside is 0.00 mm; write a length of more than 0",
    ),
    "size next to nothing": (
        "[330, 220, 70]", "[330, 220, 0.001]", 7, "piece.outside",
        "entry 3: outside is 0.001 mm; the least is 0.010 mm, check the unit",
    ),
    "zero denominator": (
        "width = 10", 'width = "3/0 in"', 19, "fingers.width",
        ("'3/0 in' divides by zero; write a fraction such as 3/8 with a number other than 0 under "
        "the line"),
    ),
    "comma": (
        "width = 10", 'width = "9,5 mm"', 19, "fingers.width",
        ("'9,5 mm' has a comma, which could mean tenths or thousands; write 5.5 for five and a "
        "half and 1200 for twelve hundred"),
    ),
    "no length": (
        "width = 10", 'width = "wide"', 19, "fingers.width", f"'wide' is no length; {LENGTH}",
    ),
    "thinner than its stock": (
        "[330, 220, 70]", "[330, 17, 70]", 7, "piece.outside",
        ("the box is 17.00 mm along y, but front and back alone take 17.54 mm; make it more than "
        "17.54 mm or use thinner stock"),
    ),
    "inside larger than outside": (
        "outside = [330, 220, 70]", "outside = [330, 220, 70]\ninside = [340, 200, 60]", 8,
        "piece.inside",
        ("inside is 340.00 mm along x, no less than the outside of 330.00 mm; give only one of "
        "inside and outside, the other follows from the stock"),
    ),
    "unknown material": (
        "birch plywood", "birch plywod", 10, "stock.walls.material",
        'the material "birch plywod" is not known; the nearest is birch plywood or plywood',
    ),
    "no nominal thickness": (
        'nominal = "9 mm"\n', "", 9, "stock.walls.nominal",
        'nominal is missing; write nominal = "9 mm"',
    ),
    "no readings in the list": (
        "[8.76, 8.81, 8.74]", "[]", 12, "stock.walls.readings",
        ("the list holds 0 readings; measure and write some, such as [8.76, 8.81], or take the "
        "line out"),
    ),
    "one reading without a list": (
        "[8.76, 8.81, 8.74]", "8.76", 12, "stock.walls.readings",
        "expected a list, such as [8.76, 8.81], found 8.76",
    ),
    "too many readings": (
        "[8.76, 8.81, 8.74]", f"[{'9, ' * 1001}]", 12, "stock.walls.readings",
        "the list holds 1001 readings; keep at most 1000",
    ),
    "reading in another unit": (
        "8.81", "0.881", 12, "stock.walls.readings",
        ("entry 2: 0.88 mm is far from the nominal 9.00 mm; is the unit right? Bare numbers are "
        "in mm"),
    ),
    "negative reading": (
        "8.81", "-8.81", 12, "stock.walls.readings",
        "entry 2: readings is -8.81 mm; write a length of more than 0",
    ),
    "negative spread": (
        "readings =", "spread = -0.1\nreadings =", 12, "stock.walls.spread",
        "spread is -0.10 mm; write 0 or more",
    ),
    "unknown stock": (
        'form = "tray"', 'form = "tray"\nstock = "wals"', 7, "piece.stock",
        'there is no stock "wals"; the nearest is walls',
    ),
    "unknown route": (
        '"router"', '"ruoter"', 15, "cutter.kind",
        '"ruoter" is not known here; the nearest is router',
    ),
    "no diameter": (
        "diameter = 3.175\n", "", 14, "cutter.diameter",
        'a router needs its diameter; write diameter = "3.175 mm"',
    ),
    "cutter of no size": (
        "3.175", "0", 16, "cutter.diameter", "diameter is 0.00 mm; write a length of more than 0",
    ),
    "work by hand with a diameter": (
        '"router"', '"hand"', 16, "cutter.diameter",
        "work by hand has no diameter; take the line out",
    ),
    "relief on a saw": (
        'kind = "router"\ndiameter = 3.175', 'kind = "saw"\nblade = 3\nrelief = "flank"', 17,
        "cutter.relief",
        'only a router is relieved, and this is saw; take the line out or write "none"',
    ),
    "100,000 fingers": (
        "width = 10", "count = 100000", 19, "fingers.count",
        "count is 100000; write a whole number from 1 to 1000",
    ),
    "no fingers": (
        "width = 10", "count = 0", 19, "fingers.count",
        "count is 0; write a whole number from 1 to 1000",
    ),
    "hexadecimal digits without end": (
        "width = 10", f"count = 0x{'f' * 9000}", 19, "fingers.count",
        "count is a number of more than 18 digits; write a whole number from 1 to 1000",
    ),
    "width and count": (
        "width = 10", "width = 10\ncount = 7", 20, "fingers.count",
        "width and count are both given, and each decides the other; take 1 of the 2 out",
    ),
    "gap as wide as the finger": (
        "0.05", "5", 20, "fingers.flank_gap",
        ("two flank gaps of 5.00 mm leave nothing of a finger that is at most 10.00 mm wide; keep "
        "flank_gap under 5.00 mm or make fingers wider"),
    ),
    "gap as wide as the divided corner": (
        "width = 10\nflank_gap = 0.05", "count = 35\nflank_gap = 1", 20, "fingers.flank_gap",
        ("two flank gaps of 1.00 mm leave nothing of a finger that is at most 2.00 mm wide; keep "
        "flank_gap under 1.00 mm or make fingers wider"),
    ),
    "gap beyond reason": (
        "0.05", "50", 20, "fingers.flank_gap",
        "flank_gap is 50.00 mm; the most is 5.00 mm, check the unit",
    ),
    "press fit beyond reason": (
        "0.05", "-5", 20, "fingers.flank_gap",
        "flank_gap is -5.000 mm; the least is -1.000 mm, check the unit",
    ),
    "negative proud": (
        "width = 10", "proud = -0.1", 19, "fingers.proud", "proud is -0.10 mm; write 0 or more",
    ),
    "a word for proud": (
        "width = 10", 'proud = "much"', 19, "fingers.proud", f"'much' is no length; {LENGTH}",
    ),
    "empty title": (
        '"Type tray"', '" "', 2, "title", "the name is empty; write at least 1 letter",
    ),
    "endless title": (
        '"Type tray"', f'"{"t" * 201}"', 2, "title",
        "the name has 201 characters; write at most 200",
    ),
    "control character in the title": (
        '"Type tray"', '"Type\\u001btray"', 2, "title",
        "character 5 of the name (U+001B) is a control character; take it out",
    ),
    "title that turns the text about": (
        '"Type tray"', '"Type\\u202etray"', 2, "title",
        "character 5 of the name (U+202E) is a control character; take it out",
    ),
    "name of a stock with a line end": (
        "[stock.walls]", '[stock."wa\\nlls"]', 9, 'stock."wa\\nlls"',
        "character 3 of the name (U+000A) is a control character; take it out",
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "line", "path", "sentence"), SWAPS.values(), ids=SWAPS.keys()
)
def test_one_thing_wrong(old: str, new: str, line: int, path: str, sentence: str) -> None:
    found = [(each.line, each.path, each.sentence) for each in faults(swapped(old, new))]
    assert found == [(line, path, sentence)]


# text at the end of a sound file, line in it, path, sentence
ENDS = {
    "unknown panel": (
        "[panel.bottom]", 1, "panel.bottom",
        'a tray has no panel "bottom"; known are front, back, left, right, base',
    ),
    "misspelt panel": (
        "[panel.frnt]", 1, "panel.frnt", 'a tray has no panel "frnt"; the nearest is front',
    ),
    "attack for a panel": (
        '[panel.") M3"]', 1, 'panel.") M3"',
        'a tray has no panel ") M3"; known are front, back, left, right, base',
    ),
    "unknown stock of a panel": (
        '[panel.base]\nstock = "bottom"', 2, "panel.base.stock",
        'there is no stock "bottom"; known are walls',
    ),
    "grain through the thickness": (
        '[panel.front]\ngrain = "y"', 2, "panel.front.grain",
        "grain cannot run along y, through the thickness of front; write one of x, z, free",
    ),
    "unknown good face": (
        '[panel.front]\ngood_face = "outer"', 2, "panel.front.good_face",
        '"outer" is not known here; the nearest is outside',
    ),
    "reading of a panel in another unit": (
        "[panel.front]\nreadings = [88]", 2, "panel.front.readings",
        ("entry 1: 88.00 mm is far from the nominal 9.00 mm; is the unit right? Bare numbers are "
        "in mm"),
    ),
    "unknown panel in a joint": (
        '[joint."frnt+left"]', 1, 'joint."frnt+left"',
        'a tray has no panel "frnt"; the nearest is front',
    ),
    "joint of one panel": (
        "[joint.front]", 1, "joint.front",
        'a joint is named after 2 panels; write [joint."front+left"]',
    ),
    "joint of a panel with itself": (
        '[joint."left+left"]', 1, 'joint."left+left"',
        "left does not meet itself; name 2 panels, such as front+left",
    ),
    "joint of panels that do not meet": (
        '[joint."front+back"]', 1, 'joint."front+back"',
        "front and back do not meet; front meets left, right, base",
    ),
    "joint that stands twice": (
        '[joint."front+left"]\n[joint."left+front"]', 2, 'joint."left+front"',
        "this joint stands twice in the file; keep 1 of the 2 tables",
    ),
    "lead without part in the joint": (
        '[joint."front+left"]\nleads = "right"', 2, 'joint."front+left".leads',
        '"right" has no part in this joint; write front or left',
    ),
    "gap of a joint as wide as its finger": (
        '[joint."front+left"]\nflank_gap = 5', 2, 'joint."front+left".flank_gap',
        ("two flank gaps of 5.00 mm leave nothing of a finger that is at most 10.00 mm wide; keep "
        "flank_gap under 5.00 mm or make fingers wider"),
    ),
    "count and width of a joint": (
        '[joint."front+left"]\ncount = 7\nwidth = 3', 2, 'joint."front+left".count',
        "width and count are both given, and each decides the other; take 1 of the 2 out",
    ),
    "auto beside a length for all": (
        'proud = 0.2\n[joint."front+left"]\nproud = "auto"', 3, 'joint."front+left".proud',
        ("[fingers] asks for 0.20 mm on every corner, so auto cannot hold for this one; write a "
        "length here, or move that length to the corners that need it"),
    ),
    "a value where a table belongs": (
        "[joint]\n\"front+left\" = 7", 2, 'joint."front+left"',
        "expected a table; write [joint.NAME] on a line of its own, not 7",
    ),
    "second stock and no choice": (
        '[stock.other]\nmaterial = "oak"\nnominal = 9\n[panel.base]\nstock = "other"', -15,
        "piece.stock",
        ('there are 2 stocks and front, back, left, right name none of them; write stock = "walls" '
        "under [piece]"),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("end", "line", "path", "sentence"), ENDS.values(), ids=ENDS.keys())
def test_one_thing_wrong_at_the_end(end: str, line: int, path: str, sentence: str) -> None:
    found = fault(f"{TRAY}{end}\n")
    before = len(TRAY.splitlines())
    assert (found.line - before, found.path, found.sentence) == (line, path, sentence)


@pytest.mark.parametrize("table", ["piece", "stock", "cutter", "fingers", "joint", "panel"])
def test_a_value_where_a_table_belongs(table: str) -> None:
    found = [each for each in faults(f"{table} = 3\n") if each.path == table]
    assert [each.line for each in found] == [1]
    assert found[0].sentence.startswith("expected a table; write [")


def test_an_array_of_tables_is_no_table() -> None:
    text = swapped("[fingers]", "[[fingers]]")
    assert fault(text).sentence == (
        "expected a table; write [fingers] on a line of its own, not a list of 1"
    )


def test_keys_of_a_stock_without_a_name() -> None:
    said = "needs a table with a name; write it under [stock.NAME]"
    assert [str(each) for each in faults(swapped("[stock.walls]", "[stock]"))] == [
        f"line 10, stock.material: material {said}",
        f"line 11, stock.nominal: nominal {said}",
        f"line 12, stock.readings: readings {said}",
    ]


def test_several_wrong_entries_are_each_told() -> None:
    found = faults(swapped("[8.76, 8.81, 8.74]", '[0, "x", nan]'))
    assert [each.sentence[:8] for each in found] == ["entry 1:", "entry 2:", "entry 3:"]


def test_wrong_words_elsewhere_do_not_hide_behind_an_unknown_form() -> None:
    text = swapped('"tray"', '"trai"').replace("width = 10", "width = 10\ncount = 7")
    assert [each.path for each in faults(text)] == ["piece.form", "fingers.count"]


def test_paths_and_values_are_safe_to_print() -> None:
    assert dotted(("panel", "a\x1b[0m", "x" * 99)) == f'panel."a\\u001b[0m"."{"x" * 57}..."'
    assert shown("\u202e=cmd") == '"\\u202e=cmd"'
    assert shown(True) == "true"
    assert shown({"a": 1}) == "a table"


def test_a_stock_table_without_any_stock() -> None:
    head, rest = TRAY.split("[stock.walls]")
    text = f"{head}[stock]\n[cutter]{rest.split('[cutter]')[1]}"
    assert str(fault(text)) == (
        "line 9, stock: the table [stock.NAME] is missing; add it with at least material and "
        "nominal"
    )
