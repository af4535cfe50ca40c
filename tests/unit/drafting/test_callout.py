from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from dryfit.drafting.callout import LETTER, Callout, callout, letter
from dryfit.drafting.spot import Spot
from dryfit.pages.hand import text_width
from dryfit.pages.page import Anchor

BOUNDS = (0.0, 0.0, 100.0, 50.0)


def square(size: float) -> list[np.ndarray]:
    return [np.array([[0.0, 0.0], [size, 0.0], [size, size], [0.0, size]])]


def pointing(*heights: float) -> list[Callout]:
    return [
        Callout(f"part {k}", f"part {k}", Spot(80.0, y, 1.0), inside=False)
        for k, y in enumerate(heights)
    ]


def test_a_name_stands_on_a_face_that_has_room_and_else_beside_it() -> None:
    roomy, tight = (
        callout("side", "side", [square(20.0)], []),
        callout("side", "side", [square(5.0)], []),
    )
    assert roomy is not None
    assert tight is not None
    assert roomy.inside
    assert not tight.inside


def test_a_part_seen_by_its_edge_alone_is_pointed_at() -> None:
    found = callout("side", "side", [], [square(40.0)])
    assert found is not None
    assert not found.inside


@pytest.mark.parametrize("faces", [[], [square(0.5)]])
def test_a_part_of_which_a_sliver_is_seen_has_no_name(faces: list[list[np.ndarray]]) -> None:
    assert callout("side", "side", faces, []) is None


@pytest.mark.parametrize("heights", [(25.0, 25.0, 25.0), (10.0, 40.0, 11.0), (1.0,) * 9])
def test_names_in_a_column_keep_apart_and_keep_the_order_of_their_parts(
    heights: tuple[float, ...],
) -> None:
    names = letter(pointing(*heights), BOUNDS).names
    levels = [text.y + LETTER / 2 for text in names]
    assert all(above - below >= 1.5 * LETTER for above, below in pairwise(levels))
    assert min(levels) >= BOUNDS[1] - 1e-9
    spots = [heights[int(text.content.removeprefix("part "))] for text in names]
    assert spots == sorted(spots, reverse=True)


def test_leaders_run_from_the_column_to_a_dot_on_the_part() -> None:
    lettering = letter(pointing(25.0), BOUNDS)
    ((start, end),) = lettering.leaders[0].path.edges
    assert start[0] > BOUNDS[2]
    assert end[:2] == (80.0, 25.0)
    (left, right) = lettering.dots[0].paths[0].vertices
    assert ((left[0] + right[0]) / 2, left[1]) == (80.0, 25.0)
    assert lettering.names[0].anchor is Anchor.START


def test_a_part_on_the_left_is_named_on_the_left() -> None:
    each = Callout("a", "a", Spot(10.0, 25.0, 1.0), inside=False)
    (name,) = letter([each], BOUNDS).names
    assert name.x < BOUNDS[0]
    assert name.anchor is Anchor.END


def test_a_leader_breaks_where_it_would_run_through_a_name() -> None:
    over = Callout("shelf", "shelf", Spot(50.0, 25.0, 20.0), inside=True)
    lettering = letter([over, Callout("a", "a", Spot(30.0, 25.0, 1.0), inside=False)], BOUNDS)
    assert len(lettering.leaders) == 1
    lettering = letter([over, Callout("b", "b", Spot(70.0, 25.0, 1.0), inside=False)], BOUNDS)
    assert len(lettering.leaders) == 1
    far = Callout("c", "c", Spot(49.0, 24.0, 1.0), inside=False)
    through = Callout("shelf", "shelf", Spot(25.0, 24.0, 20.0), inside=True)
    outer, inner = letter([through, far], BOUNDS).leaders
    (name, *_) = letter([through, far], BOUNDS).names
    half = text_width(name.content, name.height) / 2
    assert outer.path.vertices[-1][0] == pytest.approx(name.x - half)
    assert inner.path.vertices[0][0] == pytest.approx(name.x + half)
    assert inner.path.vertices[-1][:2] == (49.0, 24.0)
