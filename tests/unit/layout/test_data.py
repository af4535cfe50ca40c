from __future__ import annotations

import pytest

from dryfit.layout.data import Item, Key, LaidSheet, Layout, Member, Placed, placed_members
from dryfit.model.panel import Face
from dryfit.model.sheets import Sheet

BOUNDS = (-3.0, 2.0, 97.0, 42.0)
"""A part 100 by 40 whose drawing does not begin at (0, 0). [mm]"""


@pytest.mark.parametrize("up", list(Face))
@pytest.mark.parametrize("turned", range(4))
def test_the_motion_carries_the_drawing_into_the_box(turned: int, up: Face) -> None:
    size = (40.0, 100.0) if turned % 2 else (100.0, 40.0)
    placed = Placed(Key("front"), 10.0, 20.0, *size, turned=turned, up=up)
    ((a, b), (c, d)), (dx, dy) = placed.motion(BOUNDS)
    corners = [(u, v) for u in BOUNDS[::2] for v in BOUNDS[1::2]]
    xs = [a * u + b * v + dx for u, v in corners]
    ys = [c * u + d * v + dy for u, v in corners]
    assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx(placed.box)
    # Turned over, the drawing is seen from behind: the sense of turning changes, and only then.
    assert a * d - b * c == (-1 if up is Face.A else 1)


@pytest.mark.parametrize("turned", range(4))
def test_parts_cut_in_sequence_stay_together_when_they_are_turned(turned: int) -> None:
    members = (
        Member(Key("front"), 0.0, 0.0, 100.0, 40.0),
        Member(Key("left"), 106.0, 5.0, 60.0, 30.0, turned=1),
    )
    item = Item(166.0, 40.0, (0, 1, 2, 3), members)
    one, two = placed_members(item, 7.0, 8.0, turned)
    width, height = item.size(turned)
    for placed in (one, two):
        low_x, low_y, high_x, high_y = placed.box
        assert low_x >= 7
        assert low_y >= 8
        assert high_x <= 7 + width
        assert high_y <= 8 + height
    assert (two.turned - one.turned) % 4 == 1
    middles = [((p.box[0] + p.box[2]) / 2, (p.box[1] + p.box[3]) / 2) for p in (one, two)]
    apart = abs(middles[0][0] - middles[1][0]) + abs(middles[0][1] - middles[1][1])
    assert apart == pytest.approx(86.0)


def test_a_layout_counts_what_it_buys() -> None:
    offcut = Sheet("end of a board", "ply", 400, 300, count=1, price=9.0)
    new = Sheet("sheet", "ply", 1220, 610, price=32.5)
    sheets = (LaidSheet(offcut, 1, ()), LaidSheet(new, 1, ()), LaidSheet(new, 2, ()))
    layout = Layout("ply", sheets)
    assert (layout.bought, layout.cost) == (2, 65.0)
    assert [laid.name for laid in sheets] == ["end of a board", "sheet 1", "sheet 2"]
