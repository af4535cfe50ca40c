from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from dryfit.drafting.parts import describe, part_page
from dryfit.model.panel import Face, Frame
from dryfit.pages.hand import text_width
from dryfit.pages.page import Page, Path, Role, Text
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.shapes.profile import Profile
from tests.unit.drafting.samples import SLOT_AREA, T, comb, ring, slot, wall

FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def paths(page: Page, role: Role) -> list[Path]:
    return [stroke.path for stroke in page.strokes if stroke.role is role]


def test_an_outline_is_cut_outside_and_its_holes_inside() -> None:
    part = ring()[2]
    page = part_page(part)
    assert paths(page, Role.CUT_OUTSIDE) == [Path.of_loop(part.profile.outer)]
    assert paths(page, Role.CUT_INSIDE) == [Path.of_loop(part.profile.holes[0])]


def test_a_mortise_is_cut_inside() -> None:
    part = ring()[0]
    opening = Cut(Purpose.MORTISE, Profile(slot(60.0, 30.0).reversed()), Face.B, 0.0, T)
    page = part_page(replace(part, cuts=(*part.cuts, opening)))
    assert paths(page, Role.CUT_INSIDE) == [Path.of_loop(opening.profile.outer)]
    assert len(paths(page, Role.CUT_OUTSIDE)) == 1


def test_the_paper_surrounds_the_part() -> None:
    part = ring()[0]
    for page in (part_page(part), part_page(part, scale_bar=True)):
        assert page.x < part.profile.bounds[0]
        assert page.y < part.profile.bounds[1]
        assert page.x + page.width > part.profile.bounds[2]
        assert page.y + page.height > part.profile.bounds[3]


@pytest.mark.parametrize(
    ("good_face", "words"),
    [
        (Face.B, "face b up, good face up"),
        (Face.A, "face b up, good face down"),
        (None, "face b up, both faces alike"),
    ],
)
def test_the_label_says_name_stock_and_face(good_face: Face | None, words: str) -> None:
    part = wall("Left side", FLAT, comb(80.0, 60.0, 5, True), good_face=good_face)
    lines = [text.content for text in part_page(part).texts]
    assert lines == ["Left side", "birch 9, 8.78 mm thick", words]


def test_the_label_is_in_the_makers_unit() -> None:
    assert "birch 9, 0.3457 in thick" in [text.content for text in part_page(ring()[0], "in").texts]


def block(text: Text) -> shapely.Polygon:
    """The rectangle a line of text needs at most."""
    half = text_width(text.content, text.height) / 2
    corners = [(-half, 0.0), (half, 0.0), (half, text.height), (-half, text.height)]
    cos, sin = math.cos(text.angle), math.sin(text.angle)
    return shapely.Polygon(
        [(text.x + u * cos - v * sin, text.y + u * sin + v * cos) for u, v in corners]
    )


@pytest.mark.parametrize(
    "part",
    [
        *ring(),
        wall("rail", FLAT, comb(400.0, 24.0, 3, True)),
        wall("stile", FLAT, comb(20.0 + 2 * T, 300.0, 9, False)),
        wall(
            "a name that goes on and on " * 5, FLAT, comb(60.0, 40.0, 3, True), (slot(30.0, 20.0),)
        ),
    ],
    ids=lambda part: part.name[:12],
)
def test_the_label_lies_on_the_wood_and_off_every_cut(part: Part) -> None:
    """Checked by another geometry library with the room that wide letters need."""
    rings = [loop.dense(0.01) for loop in part.profile.loops]
    wood = shapely.Polygon(rings[0], rings[1:])
    texts = part_page(part).texts
    assert all(wood.contains(block(text)) for text in texts)
    assert all(text.height > 0.3 for text in texts)
    assert not any(block(a).intersects(block(b)) for a in texts for b in texts if a is not b)


def test_the_label_of_an_upright_part_reads_along_it() -> None:
    part = wall("stile", FLAT, comb(40.0, 300.0, 9, False))
    assert {text.angle for text in part_page(part).texts} == {math.pi / 2}


def test_hostile_names_reach_the_page_as_plain_text() -> None:
    part = wall(") M3\n\u202e=x", FLAT, comb(80.0, 60.0, 5, True))
    page = part_page(part)
    assert page.title == "M3 x"
    assert page.texts[0].content == "M3 x"


def test_the_text_twin_gives_size_stock_face_and_openings() -> None:
    assert describe(ring()[3]) == (
        "right, 80.00 mm by 60.00 mm, of birch 9, 8.78 mm thick, "
        "face b up, good face up, 1 opening."
    )
    assert describe(ring()[0]).endswith("no openings.")
    assert ring()[3].area == pytest.approx(ring()[3].profile.outer.area - SLOT_AREA)
