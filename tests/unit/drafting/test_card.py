from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from dryfit.drafting.card import BenchCard, Grid, Sketch, Strip, card_page
from dryfit.pages.hand import text_width
from dryfit.pages.page import Page, Role
from dryfit.workflow import read, read_text
from dryfit.workflow.card import make_cards

EXAMPLES = Path(__file__).parents[3] / "examples"
SMALL = BenchCard(
    "Setting card: type tray",
    "front+left: 3 fingers and sockets in 30.00 mm, oak.",
    Strip("lead: front", "mate: left", 30.0, ((0.0, 10.0), (20.0, 30.0)), ((10.0, 20.0),),
          ((10.0, "10.00 mm"), (20.0, "20.00 mm"), (30.0, "30.00 mm"))),
    (("pitch", "20.00 mm", "2 w less the air"),),
    ("Cut.",),
    ("Mind your hands.",),
)  # fmt: skip


def cards() -> list[BenchCard]:
    """Those of the examples, and of a tray with everything at once on the saw and by hand."""
    tray = (EXAMPLES / "type-tray.toml").read_text(encoding="utf-8")
    before, rest = tray.split("[cutter]")
    rest = rest.split("[fingers]")[1]
    made = [read(EXAMPLES / f"{name}.toml") for name in ("tool-chest-ring", "crate-corner")]
    made += [
        read_text(f"{before}[cutter]\n{cutter}\n[fingers]{rest}")
        for cutter in ('kind = "saw"\nblade = 3.2', 'kind = "hand"')
    ]
    return [card for each in made for card in make_cards(each).cards]


ALL = cards()


def inside(page: Page) -> bool:
    """Whether every stroke lies on the paper, between the narrow margins. [mm]"""
    points = [
        (x, y) for stroke in page.strokes for x, y, _ in stroke.path.vertices
    ] + [(text.x, text.y) for text in page.texts]  # fmt: skip
    return all(5 <= x <= page.width - 5 and 5 - page.height <= y <= -5 for x, y in points)


@pytest.mark.parametrize("card", ALL, ids=lambda card: card.about[:30])
def test_a_card_stays_on_its_paper(card: BenchCard) -> None:
    page = card_page(card)
    assert (page.width, page.height) == (210.0, 297.0)
    assert inside(page)


@pytest.mark.parametrize("card", ALL, ids=lambda card: card.about[:30])
def test_lines_of_text_do_not_lie_on_one_another(card: BenchCard) -> None:
    level = [text for text in card_page(card).texts if not text.angle and text.height > 2]
    for k, one in enumerate(level):
        for other in level[k + 1 :]:
            apart = abs(one.y - other.y) >= max(one.height, other.height) * 1.2
            left, right = sorted((one, other), key=lambda text: text.x)
            assert apart or left.x + 0.75 * text_width(left.content, left.height) <= right.x


@pytest.mark.parametrize("card", ALL, ids=lambda card: card.about[:30])
def test_all_that_is_drawn_is_said_to_those_who_listen(card: BenchCard) -> None:
    page = card_page(card)
    said = page.description
    for words in (*card.steps, *card.cautions, *(much for _, much, _ in card.rows)):
        assert words in said
    shown = " ".join(text.content for text in page.texts if text.role is Role.LABEL)
    for words in (*card.steps, *card.cautions):
        assert words in shown


def test_a_short_card_takes_the_small_paper_and_a_long_one_grows() -> None:
    page = card_page(SMALL)
    assert (page.width, page.height) == (148.0, 210.0)
    assert inside(page)
    many = replace(SMALL, steps=("Cut and count.",) * 80)
    page = card_page(many)
    assert page.width == 210.0
    assert page.height > 297.0
    assert inside(page)


def test_running_dimensions_are_thinned_where_they_crowd() -> None:
    ticks = tuple((k / 2, f"{k / 2:.2f} mm") for k in range(1, 201))
    page = card_page(replace(SMALL, strip=replace(SMALL.strip, whole=100.0, ticks=ticks)))
    shown = [text for text in page.texts if text.angle]
    places = sorted(text.x for text in shown)
    assert min(b - a for a, b in pairwise(places)) >= 3.2
    assert shown[-1].content == "100.00 mm"


def test_the_sketch_is_at_full_size_where_there_is_room() -> None:
    words = ("pin", "to the blade", "one pass")
    own = card_page(replace(SMALL, sketch=Sketch(8.0, 8.0, 8.1, 9.0, words)))
    big = card_page(replace(SMALL, sketch=Sketch(30.0, 30.0, 30.1, 40.0, words)))
    assert any("at full size" in text.content for text in own.texts)
    assert any("of its size" in text.content for text in big.texts)
    boxes = [s.path.vertices for s in own.strokes if s.path.closed]
    assert any(box[1][0] - box[0][0] == pytest.approx(8.1) for box in boxes)


def test_marks_stand_in_blocks_side_by_side() -> None:
    rows = tuple((str(k), f"{k}.0 mm", "on the far side") for k in range(1, 20))
    page = card_page(replace(SMALL, grid=Grid(("line", "from the datum", "saw"), rows, 2)))
    first, eleventh = (
        next(text for text in page.texts if text.content == words)
        for words in ("1.0 mm", "11.0 mm")
    )
    assert first.y == eleventh.y
    assert first.x < eleventh.x
