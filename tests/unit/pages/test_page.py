from __future__ import annotations

import dataclasses

import pytest

from dryfit.pages.page import Fill, Page, Path, Role, Stroke, Text
from dryfit.shapes.profile import Loop


def test_a_path_keeps_every_number_of_its_loop() -> None:
    rows = [(0.1, 0.2, -1.0), (3.3, 0.2, 0.0), (1.0, 7.7, 0.25)]
    assert Path.of_loop(Loop.of(rows)) == Path(tuple(rows))


def test_a_closed_path_returns_to_its_start_and_an_open_one_does_not() -> None:
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    assert len(Path.polygon(*corners).edges) == 3
    assert Path.polygon(*corners).edges[-1] == ((1.0, 1.0, 0.0), (0.0, 0.0, 0.0))
    assert len(Path.line(*corners).edges) == 2


def test_roles_come_in_drawing_order_whatever_the_order_of_the_items() -> None:
    path = Path.polygon((0, 0), (1, 0), (1, 1))
    page = Page(
        "",
        1,
        1,
        fills=(Fill(Role.FACE, (path,), "#ffffff"),),
        strokes=(Stroke(Role.CUT_OUTSIDE, path), Stroke(Role.CUT_INSIDE, path)),
        texts=(Text(Role.LABEL, 0, 0, 1, "a"), Text(Role.CUT_INSIDE, 0, 0, 1, "b")),
    )
    assert page.roles == (Role.FACE, Role.CUT_INSIDE, Role.CUT_OUTSIDE, Role.LABEL)


def test_a_page_cannot_be_changed() -> None:
    page = Page("", 1, 1)
    with pytest.raises(dataclasses.FrozenInstanceError):
        page.width = 2.0  # type: ignore[misc]
