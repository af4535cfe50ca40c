"""Laws of loops, arcs and offsets."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shapes import arc
from dryfit.shapes.boolean import difference
from dryfit.shapes.offset import offset
from dryfit.shapes.profile import Loop, Profile

coordinate = st.floats(-1000, 1000)
bulge = st.floats(0.01, 3).flatmap(lambda b: st.sampled_from([b, -b]))


def _edge(x: float, y: float, length: float, angle: float, bend: float) -> np.ndarray:
    return np.array([[x, y, x + length * math.cos(angle), y + length * math.sin(angle), bend]])


edges = st.builds(_edge, coordinate, coordinate, st.floats(0.1, 500), st.floats(0, 6.28), bulge)


@given(edges)
def test_bulge_there_and_back(edge: np.ndarray) -> None:
    """Centre, radius and angles give the bulge again."""
    middle, r = arc.centre(edge)[0], arc.radius(edge)[0]
    for column in (0, 2):
        assert math.dist(edge[0, column : column + 2], middle) == pytest.approx(r, rel=1e-9)
    first = math.atan2(edge[0, 1] - middle[1], edge[0, 0] - middle[0])
    last = math.atan2(edge[0, 3] - middle[1], edge[0, 2] - middle[0])
    turn = (last - first) % (2 * math.pi) if edge[0, 4] > 0 else -((first - last) % (2 * math.pi))
    assert math.tan(turn / 4) == pytest.approx(edge[0, 4], rel=1e-6)


@given(edges)
def test_chords_approach_the_arc(edge: np.ndarray) -> None:
    loop = Loop(np.array([[*edge[0, :2], edge[0, 4]], [*edge[0, 2:4], 0.0]]))
    points = loop.dense(1e-3)
    x, y = (np.concatenate((points, points[:1])) - points[0]).T
    area = float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2
    assert abs(loop.area - area) <= 1e-3 * loop.length
    middle = (points + np.roll(points, -1, axis=0))[:-1] / 2
    off = arc.radius(edge) - np.hypot(*(middle - arc.centre(edge)).T)
    assert off.min() >= -1e-9
    assert off.max() <= 1e-3 + 1e-9


@given(edges)
def test_extremes_hold_the_arc_and_touch_it(edge: np.ndarray) -> None:
    low_x, low_y, high_x, high_y = arc.extremes(edge)[0]
    points = arc.along(np.repeat(edge, 721, axis=0), np.linspace(0, 1, 721))
    near = arc.radius(edge)[0] * (math.pi / 720) ** 2 + 1e-9
    for value, sampled in (
        (low_x, points[:, 0].min()),
        (low_y, points[:, 1].min()),
        (-high_x, -points[:, 0].max()),
        (-high_y, -points[:, 1].max()),
    ):
        assert value - 1e-9 <= sampled <= value + near


@given(edges, st.floats(0, 6.28), st.booleans())
def test_motion_keeps_area_and_length(edge: np.ndarray, angle: float, mirror: bool) -> None:
    loop = Loop(np.array([[*edge[0, :2], edge[0, 4]], [*edge[0, 2:4], 0.0]]))
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    moved = loop.transformed(turn @ np.diag([-1.0 if mirror else 1.0, 1.0]), (5.0, -7.0))
    near = 1e-9 * (1000 + abs(loop.area))
    assert moved.area == pytest.approx(loop.area, abs=near)
    assert moved.length == pytest.approx(loop.length, rel=1e-9)
    assert moved.reversed().area == pytest.approx(-loop.area, abs=near)


@st.composite
def convex(draw: st.DrawFn) -> Profile:
    """A polygon on a circle, some of its sides bowed out as far as the circle at most."""
    steps = draw(st.lists(st.integers(1, 6), min_size=3, max_size=8))
    angles = 2 * math.pi * np.cumsum(steps) / sum(steps)
    bows = draw(st.lists(st.sampled_from([0.0, 0.5, 1.0]), min_size=8, max_size=8))
    turn = 2 * math.pi * np.roll(steps, -1) / sum(steps)
    rows = [
        (10 * math.cos(a), 10 * math.sin(a), bow * math.tan(t / 4))
        for a, t, bow in zip(angles, turn, bows, strict=False)
    ]
    return Profile(Loop.of(rows))


@settings(max_examples=40)
@given(convex(), st.one_of(st.floats(0.01, 20), st.integers(1, 12).map(float)))
def test_convex_out_then_in_is_itself(profile: Profile, distance: float) -> None:
    grown = offset(profile, distance)
    back = [deep for part in grown for deep in offset(part, -distance)]
    apart = difference([profile], back) + difference(back, [profile])
    assert sum(one.area for one in apart) == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=40)
@given(convex(), st.floats(0.01, 20))
def test_steiner(profile: Profile, distance: float) -> None:
    """Area of a parallel body: A + L d + π d² (Steiner, 1840; from memory)."""
    wanted = profile.area + profile.length * distance + math.pi * distance**2
    grown = offset(profile, distance)
    assert sum(one.area for one in grown) == pytest.approx(wanted, abs=1e-6)
