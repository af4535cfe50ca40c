"""Which panels share an outer edge, at what angle, and what is refused."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import pytest

from dryfit.errors import SizeError
from dryfit.model.dihedrals import check_outline, share_space
from dryfit.model.meeting import MeetingKind, find_meetings
from dryfit.model.panel import Frame, Panel
from tests.helpers.angled import polygon_tray, splayed_tray
from tests.helpers.boxes import CASE, box, stock

S = math.sqrt(0.5)


@pytest.mark.parametrize("sides", [3, 5, 6, 7, 8, 12])
def test_every_corner_of_a_polygon_is_found(sides: int) -> None:
    found = find_meetings(polygon_tray(sides).panels)
    base = sides
    walls = [corner for corner in found.angled if base not in (corner.a, corner.b)]
    below = [corner for corner in found.angled if base in (corner.a, corner.b)]
    assert [corner.angle for corner in walls] == pytest.approx([math.pi * (1 - 2 / sides)] * sides)
    assert [corner.angle for corner in below] == pytest.approx([math.pi / 2] * sides)
    assert {meeting.kind for meeting in found.meetings} == {MeetingKind.ANGLED}
    assert len(found.meetings) == 2 * sides


@pytest.mark.parametrize("degrees", [1.0, 12.0, 45.0])
def test_the_angles_of_a_splayed_tray(degrees: float) -> None:
    """Between walls cos θ = -sin² of the splay (from their normals), to the base 90° and it."""
    splay = math.radians(degrees)
    found = find_meetings(splayed_tray(degrees, height=60.0).panels).angled
    between = [corner.angle for corner in found if corner.b < 4]
    assert [math.cos(angle) for angle in between] == pytest.approx([-(math.sin(splay) ** 2)] * 4)
    below = [corner.angle for corner in found if corner.b == 4]
    assert below == pytest.approx([math.pi / 2 + splay] * 4)


def test_square_work_is_left_to_the_lattices() -> None:
    for piece in (box((200, 150, 80), CASE), polygon_tray(4), splayed_tray(0.0)):
        found = find_meetings(piece.panels)
        assert found.angled == ()
        assert len(found.lattices) == 1
        assert {meeting.kind for meeting in found.meetings} == {MeetingKind.CORNER}


def test_part_of_a_side_is_enough() -> None:
    """A wall half as long as the side of a base with an outline."""
    tray = polygon_tray(6)
    wall = tray.panels[0]
    step = [wall.width / 4 * part for part in wall.frame.u]
    origin = tuple(o + s for o, s in zip(wall.frame.origin, step, strict=True))
    frame = replace(wall.frame, origin=(origin[0], origin[1], origin[2]))
    short = replace(wall, frame=frame, width=wall.width / 2)
    (corner,) = find_meetings((short, tray.panels[-1])).angled
    assert corner.length == pytest.approx(short.width)
    assert (corner.low[0], corner.high[0]) == (0.0, short.width)
    assert corner.low[1] == pytest.approx(wall.width / 4)


def leaning(name: str, *, far: float = 0.0) -> Panel:
    """A board that leans by 45 degrees and whose edge does not lie on another's."""
    frame = Frame((far, 0.0, 0.0), (0.0, 1.0, 0.0), (-S, 0.0, S), (S, 0.0, S))
    return Panel(name, frame, 100.0, 60.0, stock(9.0))


def test_what_shares_space_without_an_edge_is_other() -> None:
    upright = Panel(
        "upright", Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
        100.0, 80.0, stock(9.0),
    )  # fmt: skip
    near, away = leaning("leaning"), leaning("away", far=100.0)
    assert share_space(upright, near)
    assert not share_space(upright, away)
    found = find_meetings((upright, near, away))
    assert [(m.a, m.b, m.kind) for m in found.meetings] == [(0, 1, MeetingKind.OTHER)]


def test_a_hollow_corner_is_no_corner() -> None:
    """Outsides that face each other: the wood of both lies behind the edge."""
    tray = polygon_tray(6)
    one, two = tray.panels[:2]
    (ux, uy, uz), (vx, vy, vz), (nx, ny, nz) = two.frame.u, two.frame.v, two.frame.n
    # Turned inside out about its upper edge: its outside looks into the tray.
    origin = tuple(o + two.width * u + 2 * 9.0 * n for o, u, n in zip(
        two.frame.origin, two.frame.u, two.frame.n, strict=True))  # fmt: skip
    frame = Frame((origin[0], origin[1], origin[2]), (-ux, -uy, -uz), (vx, vy, vz), (-nx, -ny, -nz))
    assert find_meetings((one, replace(two, frame=frame))).angled == ()


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (((0.0, 0.0), (100.0, 0.0)), "has 2 corners"),
        (((0.0, 0.0), (0.0, 50.0), (100.0, 50.0), (100.0, 0.0)), "does not turn left"),
        (((0.0, 0.0), (100.0, 0.0), (50.0, 10.0), (100.0, 50.0), (0.0, 50.0)), "at corner 3"),
        (((0.0, 0.0), (130.0, 0.0), (100.0, 50.0), (0.0, 50.0)), "30.000 mm outside"),
    ],
)
def test_outlines_that_cannot_be_are_refused(
    outline: tuple[tuple[float, float], ...], words: str
) -> None:
    panel = replace(polygon_tray(6).panels[0], width=100.0, height=50.0, outline=outline)
    with pytest.raises(SizeError, match=words):
        check_outline(panel)
    with pytest.raises(SizeError, match=words):
        find_meetings((panel,))


def test_finding_corners_grows_with_the_panels() -> None:
    """Eight times the trays, far apart, in well under thirty-two times the time."""

    def seconds(count: int) -> float:
        tray = polygon_tray(8).panels
        panels = [
            replace(
                panel,
                name=f"{panel.name} {k}",
                frame=replace(panel.frame, origin=(x + 1000.0 * k, y, z)),
            )
            for k in range(count)
            for panel in tray
            for x, y, z in [panel.frame.origin]
        ]
        begin = time.perf_counter()
        assert len(find_meetings(panels).angled) == 16 * count
        return time.perf_counter() - begin

    few, many = min(seconds(10) for _ in range(3)), min(seconds(80) for _ in range(2))
    assert many < 24 * few
