"""Trenches on a part's drawing: which face and how deep can be read without colour."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import pytest
import shapely
import shapely.affinity

from dryfit.drafting.parts import describe, part_page
from dryfit.pages.hand import HIDDEN, text_width
from dryfit.pages.page import Page, Role, Text
from dryfit.shapes.profile import Loop
from dryfit.writers.dxf import write_dxf
from tests.helpers.steps import board, oblong

if TYPE_CHECKING:
    from dryfit.parts.part import Part

HOUSINGS = [((0, 30 + 40 * k, 120, 39 + 40 * k), "b", 4.0) for k in range(5)]
GROOVES = [((10 + 25 * k, 0, 13 + 25 * k, 260), "a", 3.0) for k in range(4)]
HOLE = Loop.of([(50, 100), (50, 140), (70, 140), (70, 100)])
PARTS = {
    "housings": board(oblong(120, 260), HOUSINGS),
    "grooves": board(oblong(120, 260), GROOVES),
    "both": board(oblong(120, 260), [*HOUSINGS[:2], *GROOVES[:2]], (HOLE,)),
    "stopped": board(oblong(120, 260), [((0, 30, 45, 33), "b", 4.0), ((60, 0, 68, 20), "a", 2.0)]),
    "rebate": board(oblong(120, 260), [((0, 252, 120, 260), "b", 4.0)]),
}  # fmt: skip


def depths(page: Page) -> list[Text]:
    return [text for text in page.texts if text.content.endswith("deep")]


def block(text: Text) -> shapely.Polygon:
    half = text_width(text.content, text.height) / 2
    level = shapely.box(-half, 0.0, half, text.height)
    turned = shapely.affinity.rotate(level, text.angle, origin=(0, 0), use_radians=True)
    return shapely.affinity.translate(turned, text.x, text.y)


@pytest.mark.parametrize("part", PARTS.values(), ids=PARTS)
def test_every_trench_says_its_face_and_depth_clear_of_all_cuts(part: Part) -> None:
    page = part_page(part)
    cuts = shapely.union_all(
        [shapely.LinearRing(loop.dense(0.01)) for cut in part.cuts for loop in cut.profile.loops]
    )
    trenches = part.cuts[1:]
    texts = depths(page)
    assert len(texts) == len(trenches)
    assert not any(block(text).intersects(cuts) for text in texts)
    assert not any(block(a).intersects(block(b)) for a in texts for b in page.texts if a is not b)
    paper = shapely.box(page.x, page.y, page.x + page.width, page.y + page.height)
    assert all(paper.contains(block(text)) for text in texts)
    for cut, text in zip(trenches, texts, strict=True):
        assert text.content == f"face {cut.face.value}, {cut.depth_to:.2f} mm deep"
        assert shapely.box(*cut.profile.bounds).distance(block(text)) < 2.5
        assert text.height >= 1.0


def test_a_trench_in_the_far_face_is_dashed() -> None:
    strokes = [s for s in part_page(PARTS["both"]).strokes if s.role is Role.TRENCH]
    assert [(s.note, s.dashes) for s in strokes] == [
        ("B_4.00", ()), ("B_4.00", ()), ("A_3.00", HIDDEN), ("A_3.00", HIDDEN),
    ]  # fmt: skip


def test_lettering_runs_along_its_trench() -> None:
    assert {text.angle for text in depths(part_page(PARTS["grooves"]))} == {math.pi / 2}
    assert {text.angle for text in depths(part_page(PARTS["housings"]))} == {0.0}


def test_depths_are_in_the_makers_unit() -> None:
    assert depths(part_page(PARTS["rebate"], "in"))[0].content == "face b, 0.1575 in deep"


def test_where_there_is_no_room_the_depth_stands_in_the_middle_and_is_small() -> None:
    rows = [((0, 2 + 4 * k, 30, 4 + 4 * k), "b", 4.0) for k in range(4)]
    texts = depths(part_page(board(oblong(30, 19), rows)))
    assert len(texts) == 4
    assert {text.height for text in texts} == {1.0}
    assert texts[1].x == pytest.approx(15)


def test_the_text_twin_counts_trenches() -> None:
    assert describe(PARTS["both"]).endswith(
        "1 opening, 2 trenches in face b, 4.00 mm deep, 2 trenches in face a, 3.00 mm deep."
    )
    assert describe(PARTS["rebate"]).endswith("no openings, 1 trench in face b, 4.00 mm deep.")


def test_layers_of_the_cut_file_are_those_of_the_operations_and_the_label() -> None:
    """Lettering goes to the label's layer: none of it is on a layer that is cut."""
    data = write_dxf(part_page(PARTS["both"])).decode()
    entities = data[data.index("ENTITIES") :]
    on = re.findall(r"\n  0\n(LWPOLYLINE|TEXT)\n.*?\n  8\n([^\n]+)\n", entities, re.DOTALL)
    assert {layer for kind, layer in on if kind == "LWPOLYLINE"} == {
        "CUT_INSIDE", "CUT_OUTSIDE", "TRENCH_A_3.00", "TRENCH_B_4.00",
    }  # fmt: skip
    assert {layer for kind, layer in on if kind == "TEXT"} == {"LABEL"}
