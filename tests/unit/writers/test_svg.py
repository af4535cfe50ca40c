from __future__ import annotations

import io
import math
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from svgelements import SVG, Arc, Move
from svgelements import Path as ReadPath

from dryfit.drafting.parts import part_page
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text
from dryfit.writers.dxf import write_dxf
from dryfit.writers.svg import write_svg
from tests.unit.drafting.samples import SLOT_AREA, SLOT_PERIMETER, T, ring

NAMESPACE = "{http://www.w3.org/2000/svg}"
PX_PER_MM = 96 / 25.4
"""CSS pixels a millimetre: CSS Values and Units Level 3, Sec. 5.2 has 96 px an inch."""

PRINTED = 1e-6
"""Coordinates are printed to a millionth of a millimetre. [mm]"""


def elements(page: Page) -> ET.Element:
    return ET.fromstring(write_svg(page))  # noqa: S314 - made a moment ago


def read_paths(page: Page) -> dict[str, list[ReadPath]]:
    """The paths of each group as the other library reads them, in mm and with y up."""
    found: dict[str, list[ReadPath]] = {}
    for group in elements(page).iter(f"{NAMESPACE}g"):
        paths = (ReadPath(item.attrib["d"]) for item in group.iter(f"{NAMESPACE}path"))
        found[group.attrib["id"]] = [abs(path * "scale(1, -1)") for path in paths]
    return found


def area(path: ReadPath) -> float:
    """Area by Green's theorem over the read segments, arcs sampled finely. [mm²]"""
    total = 0.0
    for segment in path:
        steps = 2000 if isinstance(segment, Arc) else 1
        if isinstance(segment, Move):
            continue
        points = [segment.point(k / steps) for k in range(steps + 1)]
        total += sum(a.x * b.y - b.x * a.y for a, b in pairwise(points)) / 2
    return total


def test_another_library_reads_the_same_area_length_and_arcs() -> None:
    part = ring()[3]
    paths = read_paths(part_page(part))
    (outside,), (inside,) = paths["cut-outside"], paths["cut-inside"]
    assert area(outside) == pytest.approx(part.profile.outer.area, abs=1e-4)
    assert area(inside) == pytest.approx(-SLOT_AREA, abs=1e-4)
    assert outside.length() == pytest.approx(part.profile.outer.length, abs=1e-4)
    assert inside.length() == pytest.approx(SLOT_PERIMETER, abs=1e-4)


def test_every_arc_is_read_back_with_its_own_radius_and_centre() -> None:
    """Eight reliefs of radius 1.5 and two slot ends of radius 8, as quarter turns."""
    paths = read_paths(part_page(ring()[3]))
    reliefs = [segment for segment in paths["cut-outside"][0] if isinstance(segment, Arc)]
    ends = [segment for segment in paths["cut-inside"][0] if isinstance(segment, Arc)]
    assert [len(reliefs), len(ends)] == [16, 4]
    assert all(arc.rx == pytest.approx(1.5, abs=PRINTED) for arc in reliefs)
    assert all(arc.rx == pytest.approx(8.0, abs=PRINTED) for arc in ends)
    centres = {(round(arc.center.x, 3), round(arc.center.y, 3)) for arc in reliefs}
    near, far = T - 1.5, 80 - T + 1.5
    assert centres == {(round(x, 3), y) for x in (near, far) for y in (12.0, 24.0, 36.0, 48.0)}
    assert all(abs(arc.sweep) == pytest.approx(math.pi / 2, abs=1e-5) for arc in reliefs + ends)


@pytest.mark.parametrize("bulge", [0.1, 0.41, 0.42, 1.0, 2.4, 40.0, -0.1, -1.0, -7.0])
def test_an_arc_of_any_bulge_keeps_its_area(bulge: float) -> None:
    """The segment between an arc and its chord is r² (θ - sin θ) / 2, any handbook's formula."""
    page = Page("", 9, 9, strokes=(Stroke(Role.MARK, Path(((0, 0, bulge), (3, 4, 0)))),))
    angle, radius = 4 * math.atan(bulge), 5 * (1 + bulge**2) / (4 * abs(bulge))
    segment = radius**2 * (angle - math.sin(angle)) / 2
    tolerance = 1e-6 * radius**2 + 1e-4
    assert area(read_paths(page)["mark"][0]) == pytest.approx(segment, abs=tolerance)


def test_the_paper_is_as_large_as_the_page_says_and_the_part_stands_to_scale() -> None:
    page = part_page(ring()[3], scale_bar=True)
    root = elements(page)
    assert root.attrib["width"] == f"{page.width:g}mm"
    assert root.attrib["height"] == f"{page.height:g}mm"
    assert [float(x) for x in root.attrib["viewBox"].split()][2:] == [page.width, page.height]
    drawn = SVG.parse(io.StringIO(write_svg(page).decode())).elements()
    boxes = [item.bbox() for item in drawn if isinstance(item, ReadPath)]
    widths = [(x1 - x0) / PX_PER_MM for x0, _, x1, _ in boxes]
    assert widths == pytest.approx([40.0, 80.0, 100.0, 0.0, 0.0], abs=1e-4)


def test_the_scale_bar_is_100_mm_long_and_on_no_cut_layer() -> None:
    paths = read_paths(part_page(ring()[3], scale_bar=True))
    assert paths["dimension"][0].length() == pytest.approx(100.0, abs=PRINTED)
    assert len(paths["cut-outside"]) == len(paths["cut-inside"]) == 1
    assert "dimension" not in read_paths(part_page(ring()[3]))


def test_a_filled_hole_stays_open() -> None:
    outer, hole = (
        Path.polygon((0, 0), (9, 0), (9, 9), (0, 9)),
        Path.polygon((3, 3), (6, 3), (6, 6), (3, 6)),
    )
    page = Page("", 9, 9, fills=(Fill(Role.FACE, (outer, hole), "#e3d6bb"),))
    (path,) = elements(page).iter(f"{NAMESPACE}path")
    assert path.attrib["fill-rule"] == "evenodd"
    assert path.attrib["d"].count("M") == path.attrib["d"].count("Z") == 2


@pytest.mark.parametrize(
    "name", ['<script>alert("x")</script>', "a & b", "]]>", "\x00\x08\ud800\uffff", "'\"", "🪚"]
)
def test_text_of_any_kind_leaves_the_file_well_formed(name: str) -> None:
    text = Text(Role.LABEL, 1, 2, 3, name, Anchor.END, math.pi / 2, owner=name)
    root = elements(Page(name, 9, 9, description=name, texts=(text,)))
    readable = name.translate(dict.fromkeys((0, 8, 0xD800, 0xFFFF)))
    assert [item.text or "" for item in root.iter(f"{NAMESPACE}text")] == [readable]
    assert {item.tag for item in root.iter()} == {
        f"{NAMESPACE}{tag}"
        for tag in ("svg", "title", "desc", "g", "text")
        if tag != "desc" or name
    }


def test_turned_text_turns_against_the_clock_on_paper() -> None:
    page = Page("", 9, 9, texts=(Text(Role.LABEL, 1, 2, 3.5, "a", angle=math.pi / 2),))
    (text,) = elements(page).iter(f"{NAMESPACE}text")
    assert text.attrib["transform"] == "rotate(-90 1 -2)"
    assert float(text.attrib["font-size"]) == pytest.approx(5.0)


def test_dashes_are_for_the_eye_alone() -> None:
    """A cutter's file draws the same closed line, whole or dashed."""
    path = Path.polygon((0, 0), (30, 0), (30, 8))
    whole, dashed = (
        Page("t", 40, 20, strokes=(Stroke(Role.TRENCH, path, note="A_3.00", dashes=dashes),))
        for dashes in ((), (3.0, 0.75))
    )
    assert b'stroke-dasharray="3 0.75"' in write_svg(dashed)
    assert b"dasharray" not in write_svg(whole)
    assert write_dxf(whole) == write_dxf(dashed)
