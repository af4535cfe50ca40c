"""Angled corners: everything adds up, nothing overlaps, and what is wrong is found."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.checks.answers import answer_all
from dryfit.checks.subject import Subject
from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Piece, Wish
from dryfit.parts.askew import fit_angled, in_place
from dryfit.shapes.profile import Loop, Profile
from tests.helpers.angled import (
    bevelled_and_wedges,
    closed,
    deepest,
    house,
    polygon_tray,
    splayed_tray,
    with_thicknesses,
)
from tests.helpers.boxes import HAND, Built, build
from tests.helpers.motion import matched, moved, rotation

if TYPE_CHECKING:
    from dryfit.parts.part import Part

ROUTER = st.sampled_from(
    [Cutter(Route.ROUTER, size, relief) for size in (1.5, 3.175) for relief in list(Relief)[:3]]
)
THICK = st.sampled_from([3.0, 6.0, 9.0, 12.0])


@st.composite
def trays(draw: st.DrawFn) -> Piece:
    """Any number of sides or any splay, sizes, thicknesses and counts, base or none."""
    gap = draw(st.floats(0.0, 0.15))
    wish = Wish(flank_gap=gap, proud=0.0, count=draw(st.sampled_from([None, None, 3, 4, 5])))
    walls, base = draw(THICK), draw(st.one_of(st.just(0.0), THICK))
    height = draw(st.floats(40.0, 120.0))
    if draw(st.booleans()):
        sides = draw(st.integers(3, 12))
        across = draw(st.floats(150.0, 300.0)) + 12 * walls
        piece = polygon_tray(sides, across, height, walls, base, wish)
    else:
        outside = draw(st.floats(330.0, 400.0)), draw(st.floats(330.0, 400.0))
        piece = splayed_tray(draw(st.floats(0.0, 45.0)), outside, height, walls, base, wish)
    return piece


def check_volumes(built: Built) -> None:
    """Every part and its wedges fill what it would fill bevelled; together, all of it."""
    bevelled = []
    for index, part in enumerate(built.parts):
        whole, wedges = bevelled_and_wedges(built, index)
        assert part.volume + wedges.volume() == pytest.approx(whole.volume(), abs=1e-3)
        bevelled.append(whole)
    # Disjoint, so their union is their sum. The union itself is not asked of the library: where
    # faces coincide within rounding, closing a ring of bodies has cost it a body.
    for one, other in combinations(bevelled, 2):
        assert (one ^ other).volume() < 1e-3


@pytest.mark.parametrize("sides", [n for n in range(3, 13) if n != 4])
@pytest.mark.parametrize("base", [0.0, 9.0])
@pytest.mark.parametrize("walls", [(6.0,), (9.0,), (6.0, 9.0, 11.0)])
def test_polygons_add_up(sides: int, base: float, walls: tuple[float, ...]) -> None:
    check_volumes(build(with_thicknesses(polygon_tray(sides, 320.0, 40.0, base=base), walls)))


@pytest.mark.parametrize("degrees", [2.0, 5.0, 20.0, 45.0])
@pytest.mark.parametrize("base", [0.0, 9.0])
@pytest.mark.parametrize("walls", [(6.0,), (9.0,), (6.0, 9.0, 11.0)])
def test_splayed_trays_add_up(degrees: float, base: float, walls: tuple[float, ...]) -> None:
    check_volumes(build(with_thicknesses(splayed_tray(degrees, height=60.0, base=base), walls)))


@pytest.mark.parametrize("piece", [house(), closed(10.0), closed(30.0), closed(45.0)])
def test_other_pieces_add_up(piece: Piece) -> None:
    """Square corners beside others, and sharp corners at both ends of slanted ones."""
    built = build(piece)
    assert len(built.meetings.angled) == len(built.meetings.meetings)
    assert deepest(built) == 0.0
    check_volumes(built)


@pytest.mark.parametrize("sides", [n for n in range(3, 13) if n != 4])
@pytest.mark.parametrize("thick", [3.0, 9.0, 12.0])
@pytest.mark.parametrize("base", [0.0, 6.0])
def test_upright_volumes_in_closed_form(sides: int, thick: float, base: float) -> None:
    """The area of a regular polygon D across is n D² tan(π/n) / 4 (as in test_polygons)."""
    across, height = 320.0, 50.0
    outer, inner = (
        sides * d**2 * math.tan(math.pi / sides) / 4 for d in (across, across - 2 * thick)
    )
    shell = (outer - inner) * (height - base) + outer * base
    cot = abs(1 / math.tan(math.pi - 2 * math.pi / sides))
    wedges = sides * (height - base) * thick**2 * cot
    built = build(polygon_tray(sides, across, height, thick, base))
    assert sum(part.volume for part in built.parts) == pytest.approx(shell - wedges, abs=1e-6)


@settings(max_examples=40)
@given(trays())
def test_divisions_are_even_and_lie_within_the_edge(piece: Piece) -> None:
    built = build(piece)
    for joint in built.plans.joints:
        edges, extent = joint.plan.boundaries, joint.extent
        widths = [after - before for before, after in pairwise(edges)]
        assert max(widths) - min(widths) < 1e-9
        assert extent.plan(joint.plan.count) == joint.plan
        assert edges[0] >= 0
        assert edges[-1] <= extent.length + 1e-9


@settings(max_examples=40)
@given(trays(), st.one_of(st.just(HAND), ROUTER))
def test_nothing_overlaps(piece: Piece, cutter: Cutter) -> None:
    built = build(piece, cutter)
    narrow = any(j.plan.width + j.flank_gap < cutter.size for j in built.plans.joints)
    assert deepest(built) <= 0.01 or narrow


@settings(max_examples=30)
@given(trays(), st.tuples(*[st.floats(-1, 1)] * 4), st.tuples(*[st.floats(-50, 50)] * 3))
def test_turned_pieces_have_the_same_parts(
    piece: Piece, quaternion: tuple[float, ...], shift: tuple[float, ...]
) -> None:
    turn = rotation(quaternion) if np.linalg.norm(quaternion) > 0.1 else np.eye(3)
    before, after = build(piece), build(moved(piece, turn, shift))
    assert [j.plan.count for j in before.plans.joints] == [j.plan.count for j in after.plans.joints]
    assert matched(before.parts, after.parts)


BLUNT = [polygon_tray(6), polygon_tray(8, across=320.0), splayed_tray(25.0)]
SHARP = [polygon_tray(3)]


@pytest.mark.parametrize("piece", [*BLUNT, *SHARP])
def test_a_finger_too_wide_is_as_deep_as_it_is_wide(piece: Piece) -> None:
    wide = replace(piece, wish=Wish(flank_gap=-0.1, proud=0.0))
    other = build(piece)
    built = other.with_part(build(wide).parts[0])
    assert deepest(built) == pytest.approx(0.05, abs=1e-4)


def test_a_shoulder_too_high_in_a_sharp_corner_enters_the_mate() -> None:
    """A right-angled wedge of legs a = 0.1 mm and b = a tan θ holds a cube of a b / (a + b)."""
    built = build(polygon_tray(3))
    corner = built.meetings.angled[0]
    wrong = built.with_part(raised(built.parts[corner.a], corner.sides[0], -1.0, 0.1))
    assert deepest(built) == 0.0
    slope = math.tan(corner.angle)
    assert deepest(wrong) == pytest.approx(0.1 * slope / (1 + slope), abs=1e-4)


@pytest.mark.parametrize("piece", BLUNT)
def test_a_shoulder_in_a_blunt_corner_has_room_before_the_mates_tip(piece: Piece) -> None:
    """A square-cut tip stays t_B cos² θ / sin θ short of the shoulder: derived in docs/theory.

    Beyond that its square corner is cut by e = 0.1 mm, over a = e / sin θ along the mate's
    thickness and b = e / |cos θ| along the mate: that corner holds a cube of a b / (a + b).
    """
    built = build(piece)
    corner = built.meetings.angled[0]
    part, sine = built.parts[corner.a], math.sin(corner.angle)
    room = 9.0 * math.cos(corner.angle) ** 2 / sine
    one, other = 0.1 / sine, 0.1 / abs(math.cos(corner.angle))
    for error, depth in ((room - 0.02, 0.0), (room + 0.1, one * other / (one + other))):
        wrong = built.with_part(raised(part, corner.sides[0], -1.0, error))
        assert deepest(wrong) == pytest.approx(depth, abs=1e-4)


@pytest.mark.parametrize("piece", [*BLUNT, *SHARP])
def test_a_finger_too_long_stands_out_and_adds_up_no_more(piece: Piece) -> None:
    """Nothing is in its way: it shows in the volumes, and stands 0.1 mm sin θ out of the mate."""
    built = build(piece)
    corner = built.meetings.angled[0]
    panel, mate = built.piece.panels[corner.a], built.piece.panels[corner.b]
    wrong = raised(built.parts[corner.a], corner.sides[0], 0.0, 0.1)
    normal = np.array(mate.frame.n)
    face = float(np.dot(mate.frame.origin, normal)) + mate.thickness
    for part, beyond in ((built.parts[corner.a], 0.0), (wrong, 0.1 * math.sin(corner.angle))):
        points = np.asarray(in_place(part).body.to_mesh64().vert_properties)[:, :3]
        assert float((points @ normal).max()) - face == pytest.approx(beyond, abs=1e-9)
    assert panel.name == wrong.name
    with pytest.raises(AssertionError):
        check_volumes(built.with_part(wrong))


def exchanged(angle_of: int, made_for: int, length: float = 150.0) -> tuple[Built, Built]:
    """A tray, and the same with wall 1 cut for a polygon with another number of sides."""
    right, other = (
        build(polygon_tray(n, length / math.tan(math.pi / n), 90.0, base=0.0))
        for n in (angle_of, made_for)
    )
    cut = other.part("wall 1")
    return right, right.with_part(replace(right.part("wall 1"), as_cut=cut.as_cut, cuts=cut.cuts))


def test_a_wall_cut_for_a_square_does_not_go_into_a_triangle() -> None:
    right, wrong = exchanged(3, 4)
    assert not stops(right)
    assert deepest(wrong) > 1.0
    assert stops(wrong)


@pytest.mark.parametrize(("angle_of", "made_for"), [(6, 5), (6, 8), (8, 6), (5, 6)])
def test_a_wall_cut_for_another_blunt_angle_does_not_add_up(angle_of: int, made_for: int) -> None:
    """It goes in, because square-cut tips leave room; but it does not add up."""
    right, wrong = exchanged(angle_of, made_for)
    assert deepest(right) == deepest(wrong) == 0.0
    with pytest.raises(AssertionError):
        check_volumes(wrong)


def stops(built: Built) -> bool:
    touches = fit_angled(built.piece, built.plans, built.parts)
    job = Job("paper tray", built.piece, HAND)
    subject = Subject(job, built.plans, built.parts, touches, built.odds)
    return any(
        finding.code == "parts-overlap" and finding.severity is Severity.STOP
        for finding in answer_all(subject).findings
    )


def raised(part: Part, side: int, height: float, error: float) -> Part:
    """The part with one edge of a side moved outward: a tip where `height` is 0, else a shoulder.

    The one nearest the middle of the side is taken. [mm]
    """
    corners = np.array(part.panel.corners)
    begin = corners[side]
    onward = np.roll(corners, -1, axis=0)[side] - begin
    along = onward / np.linalg.norm(onward)
    out = np.array([along[1], -along[0]])
    points = part.as_cut.outer.vertices.copy()
    after = np.roll(points, -1, axis=0)
    runs_along = np.abs((after - points)[:, :2] @ out) < 1e-6
    level = (points[:, :2] - begin) @ out
    levels = np.unique(np.round(level[runs_along & (level > -40)], 6))
    wanted = levels[-1] if height == 0 else levels[-2]
    place = ((points + after)[:, :2] / 2 - begin) @ along - np.linalg.norm(onward) / 2
    fits = np.flatnonzero(runs_along & (np.abs(level - wanted) < 1e-5))
    edge = int(fits[np.abs(place[fits]).argmin()])
    points[[edge, (edge + 1) % len(points)], :2] += error * out
    drawn = Profile(Loop(points))
    return replace(part, as_cut=drawn, cuts=(replace(part.cuts[0], profile=drawn),))


@pytest.mark.parametrize("kerf", [0.1, 0.2])
@pytest.mark.parametrize("sides", [3, 5, 6, 8])
def test_the_rounds_of_a_laser_crush_no_deeper_than_in_square_work(sides: int, kerf: float) -> None:
    check_rounds(polygon_tray(sides), kerf)


@pytest.mark.parametrize(("degrees", "air"), [(1.0, 0.05), (3.0, 0.0), (30.0, 0.0)])
def test_nor_in_walls_that_lean(degrees: float, air: float) -> None:
    """Nearly square, the rounds of two mates run into each other unless there is some air."""
    check_rounds(splayed_tray(degrees, wish=Wish(flank_gap=air, proud=0.0)), 0.2)


def check_rounds(piece: Piece, kerf: float) -> None:
    """No deeper than r (1 - 1/√2), a square corner in a round (docs/theory/dry-fit.md)."""
    built = build(piece, Cutter(Route.LASER, kerf))
    assert deepest(built) <= kerf / 2 * (1 - 1 / math.sqrt(2)) + 1e-6
