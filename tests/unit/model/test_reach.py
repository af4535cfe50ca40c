"""Where planes put panels, and how far joints let them reach."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from dryfit.errors import SizeError
from dryfit.model.kind import Kind
from dryfit.model.piece import Wish
from dryfit.model.planes import Layout, Member, Plane, divided
from dryfit.model.reach import reach
from tests.helpers.boxes import stock
from tests.helpers.oracle import reach_of

if TYPE_CHECKING:
    from dryfit.model.panel import Panel

BOX = (
    Plane("left", 0, 0.0), Plane("right", 0, 300.0), Plane("front", 1, 0.0),
    Plane("back", 1, 200.0), Plane("bottom", 2, 0.0), Plane("top", 2, 400.0),
)  # fmt: skip
SIDES = (Member("left", "left", stock(9.0)), Member("right", "right", stock(12.0)))


def placed(*members: Member, planes: tuple[Plane, ...] = BOX, **more: object) -> dict[str, Panel]:
    layout = Layout(planes, (*SIDES, *members), **more)  # type: ignore[arg-type]
    return {panel.name: panel for panel in reach(layout).panels}


def span(panel: Panel, axis: int) -> tuple[float, float]:
    low, high = reach_of(panel)
    return float(low[axis]), float(high[axis])


def shelf(edges: Wish, between: tuple[str, ...] = ()) -> dict[str, Panel]:
    planes = (*BOX, Plane("shelf", 2, 150.0))
    return placed(Member("shelf", "shelf", stock(6.0), between, edges=edges), planes=planes)


def test_a_boundary_is_an_outer_face_and_an_inner_plane_a_middle() -> None:
    found = shelf(Wish())
    assert span(found["left"], 0) == (0.0, 9.0)
    assert span(found["right"], 0) == (288.0, 300.0)
    assert span(found["shelf"], 2) == (147.0, 153.0)


@pytest.mark.parametrize(
    ("face", "expected"), [("low", (150, 156)), ("middle", (147, 153)), ("high", (144, 150))]
)
def test_the_face_that_lies_on_the_plane_can_be_chosen(
    face: str, expected: tuple[float, float]
) -> None:
    planes = (*BOX, Plane("shelf", 2, 150.0))
    found = placed(Member("shelf", "shelf", stock(6.0), face=face), planes=planes)
    assert span(found["shelf"], 2) == expected


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        (Wish(kind=Kind.TENON), (0, 300)),
        (Wish(kind=Kind.HOUSING, depth=4.0), (5, 292)),
        (Wish(kind=Kind.HOUSING), (6, 292)),
        (Wish(kind=Kind.GROOVE, depth=4.0, room=1.0), (6, 291)),
        (Wish(kind=Kind.GROOVE, depth=4.0), (5.5, 291.5)),
        (Wish(kind=Kind.BUTT), (9, 288)),
        (Wish(kind=Kind.RUNNING, clearance=0.3), (9.3, 287.7)),
        (Wish(kind=Kind.RUNNING), (9.5, 287.5)),
    ],
)
def test_an_edge_reaches_as_far_as_its_joint_goes(
    edges: Wish, expected: tuple[float, float]
) -> None:
    found = shelf(edges)
    assert span(found["shelf"], 0) == pytest.approx(expected)
    assert span(found["shelf"], 1) == (0.0, 200.0)


def test_a_corner_passes_on_unless_one_gives_way() -> None:
    back = Member("back", "back", stock(6.0))
    assert span(placed(back)["back"], 0) == (0.0, 300.0)
    rebated = placed(Member("back", "back", stock(6.0), edges=Wish(kind=Kind.REBATE, depth=3.0)))
    assert span(rebated["back"], 0) == (6.0, 291.0)
    assert span(rebated["left"], 1) == (0.0, 200.0)
    butted = placed(Member("back", "back", stock(6.0), edges=Wish(kind=Kind.BUTT)))
    assert span(butted["back"], 0) == (9.0, 288.0)


def test_who_leads_a_butted_corner_passes() -> None:
    wish = {frozenset(("left", "back")): Wish(kind=Kind.BUTT, leads="back")}
    found = placed(Member("back", "back", stock(6.0)), wishes=wish)
    assert span(found["back"], 0) == (0.0, 300.0)
    assert span(found["left"], 1) == (0.0, 194.0)


@pytest.mark.parametrize("parts", [2, 3, 7])
def test_divisions_leave_equal_clear_openings(parts: int) -> None:
    planes = (*BOX, *divided("shelf", 2, ("bottom", "top"), parts))
    names = [plane.name for plane in planes[6:]]
    shelves = [Member(name, name, stock(4.0 + k)) for k, name in enumerate(names)]
    ends = Member("base", "bottom", stock(10.0)), Member("lid", "top", stock(11.0))
    found = placed(*ends, *shelves, planes=planes)
    faces = [span(found[name], 2) for name in ("base", *names, "lid")]
    clear = [after[0] - before[1] for before, after in pairwise(faces)]
    assert clear == pytest.approx([clear[0]] * parts)
    assert clear[0] > 0


def test_what_spans_between_two_panels_ends_at_them() -> None:
    planes = (*BOX, Plane("upright", 0, 100.0), Plane("shelf", 2, 150.0))
    upright = Member("upright", "upright", stock(8.0), edges=Wish(kind=Kind.BUTT))
    low = Member(
        "shelf", "shelf", stock(6.0), ("upright", "right"), edges=Wish(kind=Kind.HOUSING, depth=2.0)
    )
    found = placed(upright, low, planes=planes)
    assert span(found["shelf"], 0) == (102.0, 290.0)


def test_two_joints_at_one_end_are_refused() -> None:
    planes = (*BOX, Plane("shelf", 2, 150.0), Plane("middle", 1, 100.0))
    low = Member("front half", "left", stock(9.0), ("front", "middle"))
    far = Member("back half", "left", stock(7.0), ("middle", "back"))
    level = Member("shelf", "shelf", stock(6.0), edges=Wish(kind=Kind.BUTT))
    layout = Layout(planes, (SIDES[1], low, far, level))
    with pytest.raises(SizeError, match=r"shelf would have to end at 7\.00 mm along x for back"):
        reach(layout)
