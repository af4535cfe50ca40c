from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.errors import JobFileError
from dryfit.jobfile.read import read_job, read_text
from dryfit.jobfile.sources import LARGEST, read_source
from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.forms import ALL
from dryfit.model.panel import Face, Grain
from dryfit.model.piece import Job, Wish
from tests.unit.jobfile.sample import TRAY, fault, faults, swapped

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))


def read(text: str) -> Job:
    return read_text(text, "tray.toml")


def test_reads_a_job() -> None:
    job = read(TRAY)
    assert (job.title, job.form, job.times, job.unit) == ("Type tray", "tray", 1, "mm")
    assert not job.sixty_fourths
    assert job.cutter == Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL)
    assert job.piece.wish == Wish(width=10.0, flank_gap=0.05)
    assert job.piece.wishes == {}
    front = job.piece.panel("front")
    assert (front.width, front.height) == (330, 70)
    assert front.thickness == pytest.approx(8.77)
    assert front.stock.material is MATERIALS["birch plywood"]
    assert front.stock.nominal == 9
    assert [panel.name for panel in job.piece.panels] == ["front", "back", "left", "right", "base"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_reads_without_fault(path: Path) -> None:
    assert read_job(path).piece.panels


def test_the_examples_show_every_form_and_route() -> None:
    jobs = [read_job(path) for path in EXAMPLES]
    assert {job.form for job in jobs} == {*ALL, "panels"}
    assert {job.cutter.route for job in jobs} == set(Route)
    assert {job.unit for job in jobs} == {"mm", "in"}


def test_bare_numbers_are_in_the_unit_of_the_job() -> None:
    text = swapped('unit = "mm"', 'unit = "cm"\nsixty_fourths = true').replace(
        "[330, 220, 70]", '[33, 22, "70 mm"]'
    )
    text = text.replace("[8.76, 8.81, 8.74]", "[0.876]").replace("3.175", '"1/8 in"')
    job = read(text.replace("width = 10\nflank_gap = 0.05", "width = 1\nflank_gap = 0.005"))
    assert job.piece.panel("base").width == 330
    assert job.piece.panel("base").height == 220
    assert job.piece.panel("front").height == 70
    assert job.cutter.size == 3.175
    assert job.piece.wish == Wish(width=10.0, flank_gap=0.05)
    assert job.sixty_fourths


def test_inside_sizes_add_the_measured_stock() -> None:
    front = read(swapped("outside = [330, 220, 70]", "inside = [300, 200, 60]")).piece.panel(
        "front"
    )
    assert front.width == pytest.approx(300 + 2 * 8.77)
    assert front.height == pytest.approx(60 + 8.77)


def test_wishes_of_one_corner_are_found_by_either_name() -> None:
    text = f'{TRAY}[joint."left + front"]\ncount = 7\nleads = "front"\nproud = "auto"\n'
    piece = read(text).piece
    own = Wish(count=7, leads="front")
    assert dict(piece.wishes) == {frozenset(("front", "left")): own}
    assert piece.wish_for("front", "left") == Wish(count=7, leads="front", flank_gap=0.05)
    assert piece.wish_for("front", "right") == Wish(width=10.0, flank_gap=0.05)


def test_a_length_proud_of_every_corner() -> None:
    assert read(f"{TRAY}proud = 0.2\n").piece.wish.proud == 0.2


@pytest.mark.parametrize(
    ("cutter", "expected", "gap"),
    [
        ('kind = "laser"\nkerf = 0.2', Cutter(Route.LASER, 0.2), 0.05),
        ('kind = "saw"\nblade = 3.2', Cutter(Route.SAW, 3.2), 0.05),
        ('kind = "hand"', Cutter(Route.HAND, 0.0), 0.0),
        (
            'kind = "router"\ndiameter = 6\nrelief = "none"',
            Cutter(Route.ROUTER, 6.0, Relief.NONE),
            0.05,
        ),
    ],
)
def test_every_route_has_its_size_and_its_usual_gap(
    cutter: str, expected: Cutter, gap: float
) -> None:
    text = swapped('kind = "router"\ndiameter = 3.175', cutter).replace("flank_gap = 0.05", "")
    job = read(text)
    assert job.cutter == expected
    assert job.piece.wish.flank_gap == gap


def test_a_negative_gap_is_a_press_fit() -> None:
    assert read(swapped("0.05", "-0.02")).piece.wish.flank_gap == -0.02


def test_a_panel_has_its_own_stock_and_measurements() -> None:
    text = f"""{swapped('form = "tray"', 'form = "tray"' + chr(10) + 'stock = "walls"')}
[stock.bottom]
material = "MDF"
nominal = 6
cup = 0.1

[panel.base]
stock = "bottom"
readings = [5.9, 6.1]
wind = 0.3
good_face = "inside"
grain = "y"
"""
    piece = read(text).piece
    base = piece.panel("base")
    assert base.stock.name == "bottom"
    assert base.thickness == pytest.approx(6.0)
    assert (base.stock.cup, base.stock.wind) == (0.1, 0.3)
    assert (base.good_face, base.grain) == (Face.A, Grain.V)
    assert piece.panel("front").stock.name == "walls"


def test_own_readings_beat_the_spread_stated_for_the_stock() -> None:
    text = swapped("readings =", "spread = 0.2\nreadings =")
    piece = read(
        f"{text}[panel.front]\nreadings = [8.7, 8.8]\n[panel.back]\nreadings = [9]\n"
    ).piece
    assert piece.panel("front").stock.scatter == pytest.approx(0.0707, abs=1e-4)
    assert piece.panel("back").stock.scatter == 0.2
    assert piece.panel("left").stock.scatter == 0.2
    own = read(f"{text}[panel.front]\nreadings = [8.7, 8.8]\nspread = 0.1\n").piece
    assert own.panel("front").stock.scatter == 0.1


def test_no_readings_leave_the_nominal_thickness() -> None:
    stock = read(swapped("readings = [8.76, 8.81, 8.74]", "")).piece.panel("front").stock
    assert stock.readings == ()
    assert stock.thickness == 9


def test_a_material_is_known_whatever_its_capitals() -> None:
    stock = read(swapped("birch plywood", "Birch  Plywood")).piece.panel("front").stock
    assert stock.material is MATERIALS["birch plywood"]


@pytest.mark.parametrize("name", [") M3", "../x", "=cmd", "Größe 9 mm", "工具箱"])
def test_odd_names_are_names(name: str) -> None:
    text = swapped('"Type tray"', f'"{name}"').replace("[stock.walls]", f'[stock."{name}"]')
    job = read(text)
    assert job.title == name
    assert job.piece.panel("front").stock.name == name


def test_a_file_with_byte_order_mark_and_crlf_is_read(tmp_path: Path) -> None:
    path = tmp_path / "Tray of mine.toml"
    text = swapped('title = "Type tray"', "").replace("\n", "\r\n")
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert read_job(path).title == "Tray of mine"
    path.write_bytes(path.read_bytes().replace(b"width = 10", b"with = 10"))
    with pytest.raises(JobFileError) as refused:
        read_job(path)
    assert [found.line for found in refused.value.faults] == [19]


def whole_fault(path: Path) -> str:
    with pytest.raises(JobFileError) as refused:
        read_source(path)
    assert refused.value.source == str(path)
    (found,) = refused.value.faults
    return str(found)


def test_missing_file(tmp_path: Path) -> None:
    sentence = "there is no such file; check its name and its folder"
    assert whole_fault(tmp_path / "gone.toml") == sentence


def test_directory(tmp_path: Path) -> None:
    assert whole_fault(tmp_path) == "this is a folder; name 1 job file in it"


def test_file_below_a_file(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("", encoding="utf-8")
    said = whole_fault(tmp_path / "a" / "b.toml")
    assert said == "the file cannot be opened: Not a directory; try another"


def test_name_with_a_null(tmp_path: Path) -> None:
    assert whole_fault(tmp_path / "a\0b").startswith("the file cannot be opened: ")


def test_not_utf_8(tmp_path: Path) -> None:
    path = tmp_path / "latin.toml"
    path.write_bytes('format = 1\ntitle = "Kästchen"\n'.encode("latin-1"))
    sentence = "line 2, byte 22 of the file is not UTF-8; save the file as UTF-8 text"
    assert whole_fault(path) == sentence


def test_ten_megabytes_of_junk(tmp_path: Path) -> None:
    path = tmp_path / "junk.toml"
    path.write_bytes(b"junk" * 2_500_000)
    sentence = "the file is larger than 1 MB; a job needs a few kB, name another file"
    assert whole_fault(path) == sentence
    assert fault("x" * (LARGEST + 1)).sentence == sentence


@pytest.mark.parametrize("text", ["a = " + "[" * 10_000, "a = " + "{b=" * 10_000, "[" * 10_000])
def test_nesting_ten_thousand_deep(text: str) -> None:
    sentence = "line 1, the file nests more than 20 deep; a job needs at most 4"
    assert str(fault(text)) == sentence


def test_nesting_at_the_limit_is_a_wrong_type_and_no_crash() -> None:
    found = fault(f"deep = {'[' * 20}{']' * 20}\n{TRAY}")
    assert found.path == "deep"


def test_a_dotted_key_of_many_parts() -> None:
    text = "a" + ".a" * 200_000 + " = 1"
    sentence = "the file nests more than 20 deep; a job needs at most 4"
    assert fault(text).sentence == sentence


def test_too_many_keys() -> None:
    text = "\n".join(f"k{number} = 1" for number in range(2001))
    assert fault(text).sentence == "the file has 2001 keys; a job needs at most 2000"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "format = 1\n[piece",
            (
                "line 2, this is not TOML: expected ']' at the end of a table declaration; "
                "write 1 key = value on each line"
            ),
        ),
        (
            "format = 1\ntitle = Type tray\n",
            "line 2, this is not TOML at column 9: invalid value; write 1 key = value on each line",
        ),
        (
            "format = 1\nformat = 1\n",
            (
                "line 2, this is not TOML at column 11: cannot overwrite a value; "
                "write 1 key = value on each line"
            ),
        ),
        (f"format = {'9' * 5000}", "a number has more than 4300 digits; shorten it"),
    ],
)
def test_broken_toml(text: str, sentence: str) -> None:
    assert str(fault(text)) == sentence


def test_an_empty_file_is_told_all_that_is_missing() -> None:
    assert [str(found) for found in faults("")] == [
        "format is missing; write format = 1 at the top",
        "piece: the table [piece] is missing; add it with at least form",
        "stock: the table [stock.NAME] is missing; add it with at least material and nominal",
        "cutter: the table [cutter] is missing; add it with at least kind",
    ]


def test_the_error_gathers_every_fault_with_its_line() -> None:
    text = swapped("width = 10", "wdith = 10").replace("3.175", "0").replace("220", '"1/0 in"')
    with pytest.raises(JobFileError) as refused:
        read(text)
    assert str(refused.value).splitlines() == [
        (
            "tray.toml: line 7, piece.outside: entry 2: '1/0 in' divides by zero; write a fraction "
            "such as 3/8 with a number other than 0 under the line"
        ),
        "tray.toml: line 16, cutter.diameter: diameter is 0.00 mm; write a length of more than 0",
        "tray.toml: line 19, fingers.wdith: there is no key wdith here; the nearest is width",
    ]
