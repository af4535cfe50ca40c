"""Pieces drawn apart: how far parts move, that none runs into another, and their leaders."""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.drafting.apart import corners, moved, moves
from dryfit.drafting.picture import AZIMUTH, ELEVATION, HEIGHT, WIDTH, picture_page
from dryfit.errors import ShapeError
from dryfit.model.panel import Frame
from dryfit.model.piece import Piece
from dryfit.pages.hand import DOTTED
from dryfit.pages.page import Page, Role, Stroke
from dryfit.shapes.view import View
from tests.helpers.boxes import BARE, HAND, TRAY, box, build, slab
from tests.helpers.steps import board, carved, oblong

if TYPE_CHECKING:
    from dryfit.parts.part import Part

VIEW = View.axonometric(AZIMUTH, ELEVATION)


def case() -> tuple[Part, ...]:
    """An open case, 300 wide, 120 deep and 400 high, its uprights above the middle and beside."""
    panels = (
        slab("left", (0, 0, 0), (12, 120, 400), 0),
        slab("right", (288, 0, 0), (300, 120, 400), 0),
        slab("top", (0, 0, 388), (300, 120, 400), 2, rank=2),
        slab("base", (0, 0, 0), (300, 120, 12), 2, rank=2),
        *(slab(f"shelf {z}", (8, 0, z), (292, 120, z + 9), 2, rank=3) for z in (100, 210, 300)),
        slab("upright", (90, 0, 216), (98, 120, 303), 0, rank=4),
        slab("side shelf", (95, 0, 250), (292, 120, 256), 2, rank=5),
    )
    return build(Piece(panels, BARE), HAND).parts


def crate() -> tuple[Part, ...]:
    """A tray with dividers halved across each other."""
    dividers = (
        slab("long", (5, 70, 5), (235, 76, 70), 1, rank=3),
        *(slab(f"cross {x}", (x, 5, 5), (x + 5, 175, 70), 0, rank=4) for x in (80, 150)),
    )
    return build(Piece((*box((240, 180, 120), TRAY, 9.0).panels, *dividers), BARE), HAND).parts


def staves() -> tuple[Part, ...]:
    """Six boards round a hexagon, edges touching: no normal of theirs but two is an axis."""
    made = []
    for k in range(6):
        angle = math.pi * k / 3
        n, u = (math.cos(angle), math.sin(angle), 0.0), (-math.sin(angle), math.cos(angle), 0.0)
        origin = (90 * n[0] - 50 * u[0], 90 * n[1] - 50 * u[1], 0.0)
        part = board(oblong(100, 80), frame=Frame(origin, u, (0.0, 0.0, 1.0), n))
        made.append(part)
    return tuple(made)


def named(parts: tuple[Part, ...], apart: float) -> dict[str, list[float]]:
    by = moves(parts, apart)
    return {part.name: move.tolist() for part, move in zip(parts, by, strict=True)}


def dotted(page: Page) -> list[Stroke]:
    return [stroke for stroke in page.strokes if stroke.dashes == DOTTED]


@pytest.mark.parametrize("parts", [case(), crate(), staves()], ids=["case", "crate", "staves"])
def test_nothing_moves_by_nought(parts: tuple[Part, ...]) -> None:
    assert not moves(parts, 0.0).any()
    page = picture_page("", parts)
    assert picture_page("", parts, 0.0) == page
    assert dotted(page) == []
    assert "put together" in page.description


def test_parts_move_along_their_normals_by_how_far_out_they_stand() -> None:
    """The longest side is 400 mm. The middle of the left side is 6 of 150 mm inside the outer face,
    that of a shelf at 100 mm 95.5 of 200 mm below the middle."""
    found = named(case(), 0.25)
    assert found["left"] == pytest.approx([-100 * 144 / 150, 0, 0])
    assert found["right"] == pytest.approx([100 * 144 / 150, 0, 0])
    assert found["top"] == pytest.approx([0, 0, 100 * 194 / 200])
    assert found["shelf 100"] == pytest.approx([0, 0, -100 * 95.5 / 200])


def test_order_from_base_to_top_is_kept() -> None:
    found = named(case(), 0.25)
    heights = [found[name][2] for name in ("base", "shelf 100", "shelf 210", "shelf 300", "top")]
    assert all(low < high for low, high in pairwise(heights))


def test_an_upright_goes_with_the_shelves_that_would_run_into_it() -> None:
    x, _, z = named(case(), 0.25)["upright"]
    assert x == pytest.approx(100 * (94 - 150) / 150)
    assert z == pytest.approx(100 * (259.5 - 200) / 200)


def test_panels_halved_across_each_other_keep_together() -> None:
    found = named(crate(), 0.3)
    assert found["long"] == found["cross 80"] == found["cross 150"]
    assert found["front"][1] == pytest.approx(-72 * (90 - 4.5) / 90)


def test_boards_that_lie_along_no_axis_move_along_their_normals() -> None:
    by = moves(staves(), 0.25)
    for part, move in zip(staves(), by, strict=True):
        assert move == pytest.approx((move @ part.panel.frame.n) * np.array(part.panel.frame.n))
        assert move @ part.panel.frame.n > 20


@pytest.mark.parametrize("apart", [0.01, 0.05, 0.3])
@pytest.mark.parametrize("parts", [case(), crate(), staves()], ids=["case", "crate", "staves"])
def test_no_part_runs_into_another(parts: tuple[Part, ...], apart: float) -> None:
    """By a boolean solid kernel."""
    solids = []
    for part in moved(parts, moves(parts, apart)):
        frame = part.panel.frame
        place = np.column_stack((frame.u, frame.v, frame.n, frame.origin))
        solids.append(carved(part).transform(place))
    assert max((a ^ b).volume() for a, b in combinations(solids, 2)) < 1e-2


@pytest.mark.parametrize("apart", [-0.1, math.inf, math.nan])
def test_a_share_that_means_nothing_is_refused(apart: float) -> None:
    with pytest.raises(ShapeError, match="drawn apart by 0 or more"):
        picture_page("", staves(), apart)


def test_dotted_leaders_run_along_the_moves_of_parts() -> None:
    parts = case()
    page = picture_page("", parts, 0.3)
    moved_by = named(parts, 0.3)
    assert "drawn apart" in page.description
    assert {stroke.owner for stroke in dotted(page)} >= {"left", "right", "top", "base"}
    for stroke in dotted(page):
        ((x0, y0, _), (x1, y1, _)) = stroke.path.vertices
        way = VIEW.page(np.array([moved_by[stroke.owner]]))[0]
        along = np.array([x1 - x0, y1 - y0])
        assert abs(along[0] * way[1] - along[1] * way[0]) < 5e-3 * np.hypot(*way)
        assert along @ way > 0
        assert stroke.role is Role.LEADER


def test_leaders_end_where_parts_begin_and_go_behind_them() -> None:
    """Two boards, one lifted off the other: all four corners of the lower one's top are seen, and
    three of the upper one's underside; the fourth leader goes behind the board before its end."""
    panels = [slab(f"board {z}", (0, 0, z), (100, 60, z + 9), 2) for z in (0, 9)]
    parts = build(Piece(tuple(panels), BARE), HAND).parts
    page = picture_page("", parts, 1.0)
    lifted = moved(parts, moves(parts, 1.0))
    spots = VIEW.page(np.concatenate([corners(part) for part in lifted]))
    size = np.ptp(spots, axis=0)
    on_page = (spots - spots.min(axis=0)) * min(WIDTH / size[0], HEIGHT / size[1])
    reached = {part.name: 0 for part in parts}
    for stroke in dotted(page):
        end = np.array(stroke.path.vertices[1][:2])
        reached[stroke.owner] += bool(np.hypot(*(on_page - end).T).min() < 5e-3)
    assert len(dotted(page)) == 8
    assert reached == {"board 0": 4, "board 9": 3}
