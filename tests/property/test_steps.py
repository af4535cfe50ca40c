"""Boards with any trenches: their faces close, and enclose what a solid kernel leaves of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shapes.profile import Loop
from tests.helpers.steps import areas, board, carved, closed, edges, enclosed

if TYPE_CHECKING:
    from tests.helpers.steps import Ditch

T = 10.0
OUTLINE = [(0, 0), (60, 0), (60, 20), (70, 20), (70, 40), (30, 40), (30, 30), (20, 30), (20, 40),
           (0, 40)]  # fmt: skip
MORTISE = Loop.of([(40, 10), (40, 20), (50, 20), (50, 10)])

WOOD = shapely.Polygon(OUTLINE, [MORTISE.vertices[:, :2]])


@st.composite
def trenches(draw: st.DrawFn, grid: float) -> list[Ditch]:
    """A few trenches on a grid, so that they meet, cross, line up and run out of the board."""
    found: list[Ditch] = []
    for _ in range(draw(st.integers(1, 5))):
        u0, v0 = draw(st.integers(-1, 6)) * grid, draw(st.integers(-1, 3)) * grid
        across, along = draw(st.integers(1, 4)) * grid, draw(st.integers(1, 4)) * grid
        depth = draw(st.sampled_from([2.0, 3.0, 5.0, 8.0]))
        found.append(((u0, v0, u0 + across, v0 + along), draw(st.sampled_from("ab")), depth))
    return found


@pytest.mark.parametrize("grid", [10.0, 9.7])
@settings(max_examples=60)
@given(st.data())
def test_faces_close_and_enclose_the_volume(grid: float, data: st.DataObject) -> None:
    ditches = data.draw(trenches(grid))
    part = board(OUTLINE, ditches, (MORTISE,), T)
    solid = closed(part)
    kernel = carved(part)
    # A trench that takes no wood at all is no trench, and the part's own sum is not made for it.
    if all(WOOD.intersection(shapely.box(*where)).area > 0 for where, _, _ in ditches):
        assert enclosed(solid) == pytest.approx(part.volume, rel=1e-9)
    assert enclosed(solid) == pytest.approx(kernel.volume(), rel=1e-5)
    assert sum(areas(solid)) == pytest.approx(kernel.surface_area(), rel=1e-5)
    total, real = edges(solid)
    assert real == pytest.approx(total)
