"""The covers of crossing plates against a polygon engine and against slicing by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shapes.profile import Loop, Profile
from dryfit.shapes.section import PLACES, SHARES, Views, cover

CHORD = 1e-3


def random_profile(rng: np.random.Generator) -> Profile:
    """A star of lines and arcs; some of its points lie on whole millimetres."""
    while True:
        count = int(rng.integers(4, 11))
        angles = np.sort(rng.uniform(0, 2 * math.pi, count))
        radii = rng.uniform(6, 20, count)
        points = np.column_stack((radii * np.cos(angles), radii * np.sin(angles)))
        if rng.random() < 0.5:
            points = np.round(points)
        if len(np.unique(points, axis=0)) < count:
            continue
        bulges = np.where(rng.random(count) < 0.6, rng.uniform(-0.9, 0.9, count), 0.0)
        profile = Profile(Loop(np.column_stack((points, bulges))))
        shape = polygon(profile)
        if shape.is_valid and profile.area > 20 and shape.exterior.is_ccw:
            return profile


def polygon(profile: Profile) -> shapely.Polygon:
    return shapely.Polygon(profile.outer.dense(CHORD))


def views(one: Profile, other: Profile, windows: np.ndarray, span: np.ndarray,
          below: tuple[bool, bool]) -> Views:  # fmt: skip
    counts = [len(one.edges), len(other.edges)]
    side = np.repeat([0, 1], counts)
    return Views(
        np.zeros(sum(counts), dtype=np.int64), side, np.vstack((one.edges, other.edges)),
        windows[side], np.array(below)[side], span[None, :],
    )  # fmt: skip


def filled(shape: shapely.Geometry, s: np.ndarray) -> np.ndarray:
    """Length of each line s = const inside a shape, by GEOS."""
    lines = shapely.linestrings(
        np.stack((np.column_stack((s, s)), np.tile([-99.0, 99.0], (len(s), 1))), axis=2)
    )
    return np.asarray(shapely.length(shapely.intersection(shape, lines)))


def both_filled(one: shapely.Geometry, other: shapely.Geometry, span: np.ndarray) -> float:
    """∫ a b over a span: between vertices both are straight lines in s, so two places suffice."""
    stops = np.concatenate(
        [shapely.get_coordinates(one)[:, 0], shapely.get_coordinates(other)[:, 0], span]
    )
    stops = np.unique(stops[(stops >= span[0]) & (stops <= span[1])])
    middle, half = (stops[1:] + stops[:-1]) / 2, np.diff(stops) / 2
    # Gauss's two places integrate a square exactly.
    places = (middle + half * sign / math.sqrt(3) for sign in (-1, 1))
    return float(sum((filled(one, s) * filled(other, s)) @ half for s in places))


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_covers_of_random_profiles(seed: int) -> None:
    rng = np.random.default_rng(seed)
    pair = random_profile(rng), random_profile(rng)
    windows = np.sort(rng.uniform(-22, 22, (2, 2)), axis=1)
    span = np.sort(rng.uniform(-22, 22, 2))
    below = bool(rng.random() < 0.5), bool(rng.random() < 0.5)
    made = cover(views(*pair, windows, span, below), span[None, :])
    clips = [
        polygon(profile).intersection(shapely.box(span[0], low, span[1], high))
        for profile, (low, high) in zip(pair, windows, strict=True)
    ]
    assert made.width.sum() == pytest.approx(span[1] - span[0], abs=1e-8)
    # A chord takes less than its own height of either cover, over less than 44 mm of the other.
    arcs = sum(np.count_nonzero(profile.outer.vertices[:, 2]) for profile in pair)
    near = 1e-3 + CHORD * 44 * 20 * arcs
    expected = both_filled(clips[0], clips[1], span)
    assert made.overlap().sum() == pytest.approx(expected, abs=min(near, 1e-3 + expected))
    for side in (0, 1):
        area = made.filled(span[None, :])[side, 0]
        assert area == pytest.approx(clips[side].area, abs=1e-3 + CHORD * 20 * arcs)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_the_smaller_cover_along_a_stretch(seed: int) -> None:
    rng = np.random.default_rng(seed)
    one, other = random_profile(rng), random_profile(rng)
    windows, span = np.array([[-30.0, 30.0], [-3.0, 7.0]]), np.array([-5.0, 6.0])
    made = cover(views(one, other, windows, span, (True, False)), span[None, :])
    widest = int(made.width.argmax())
    found = made.smaller(widest, 33)
    s = made.begin[widest] + np.linspace(0, made.width[widest], 33)[1:-1]
    clips = [
        polygon(profile).intersection(shapely.box(-99, low, 99, high))
        for profile, (low, high) in zip((one, other), windows, strict=True)
    ]
    expected = np.minimum(filled(clips[0], s), filled(clips[1], s))
    assert found[1:-1] == pytest.approx(expected, abs=0.02)


@settings(max_examples=40)
@given(
    st.floats(2.0, 10.0), st.floats(-6.0, 6.0), st.floats(0.5, 9.0), st.floats(-3, 3), st.booleans()
)
def test_a_disc_seen_through_a_window(
    radius: float, low: float, height: float, shift: float, below: bool
) -> None:
    """Its circle rises and falls within one stretch; the mate fills the whole of its window."""
    disc = Profile(Loop.of([(shift - radius, 0, 1.0), (shift + radius, 0, 1.0)]))
    mate = Profile.rectangle(-50, -50, 50, 50)
    windows = np.array([[low, low + height], [0.0, 2.0]])
    span = np.array([-4.0, 7.0])
    made = cover(views(disc, mate, windows, span, (below, False)), span[None, :])
    clip = shapely.box(span[0], low, span[1], low + height)
    area = polygon(disc).intersection(clip).area
    # A chord takes two thirds of its height of the disc, all along its circle.
    near = 1e-3 + CHORD * 2 * math.pi * radius
    assert made.overlap().sum() == pytest.approx(2 * area, abs=2 * near)
    assert made.filled(span[None, :])[0, 0] == pytest.approx(area, abs=near)


def test_pairs_do_not_mix() -> None:
    """A thousand pairs at once give what each gives alone."""
    rng = np.random.default_rng(5)
    profiles = [random_profile(rng) for _ in range(6)]
    singles, many = [], []
    for number in range(30):
        one, other = profiles[number % 6], profiles[(number * 5 + 1) % 6]
        windows = np.sort(rng.uniform(-15, 15, (2, 2)), axis=1)
        span = np.sort(rng.uniform(-15, 15, 2))
        view = views(one, other, windows, span, (True, False))
        singles.append(float(cover(view, span[None, :]).overlap().sum()))
        many.append((number, view))
    joined = Views(
        np.concatenate([view.pair + number for number, view in many]),
        np.concatenate([view.side for _, view in many]),
        np.vstack([view.edges for _, view in many]),
        np.vstack([view.window for _, view in many]),
        np.concatenate([view.below for _, view in many]),
        np.vstack([view.spans for _, view in many]),
    )
    made = cover(joined, joined.spans)
    together = np.bincount(made.pair, made.overlap(), len(many))
    assert together == pytest.approx(singles, abs=1e-9)
    assert sum(value > 1.0 for value in singles) > 10


def test_square_shapes_are_exact() -> None:
    """Steps of halves: every product is a short binary number."""
    one = Profile(Loop.of([(0, 0), (4, 0), (4, 3), (2.5, 3), (2.5, 1.5), (1, 1.5), (1, 3), (0, 3)]))
    other = Profile.rectangle(0.5, 0.0, 3.5, 2.0)
    windows, span = np.array([[0.5, 3.0], [0.0, 1.25]]), np.array([0.0, 4.0])
    made = cover(views(one, other, windows, span, (False, True)), span[None, :])
    # a is 2.5, 1.0, 2.5 over 0..1, 1..2.5, 2.5..4; b is 1.25 over 0.5..3.5.
    assert made.overlap().sum() == 1.25 * (0.5 * 2.5 + 1.5 * 1.0 + 1.0 * 2.5)
    assert made.filled(span[None, :])[:, 0].tolist() == [2.5 + 1.5 + 3.75, 1.25 * 3.0]


def test_the_quadrature_takes_the_root_out_of_an_arc() -> None:
    """∫ √(s (1 - s)) ds = π / 8, and its square 1 / 6: the ends have upright tangents."""
    assert SHARES.sum() == pytest.approx(1.0, abs=1e-6)
    root = np.sqrt(PLACES * (1 - PLACES))
    assert root @ SHARES == pytest.approx(math.pi / 8, abs=1e-6)
    assert root**2 @ SHARES == pytest.approx(1 / 6, abs=1e-6)
