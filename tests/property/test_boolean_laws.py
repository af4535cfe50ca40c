"""Laws of the algebra of sets, for profiles with arcs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.shapes.boolean import difference, intersection, union
from dryfit.shapes.profile import Loop, Profile
from tests.corpus.awkward import disc

if TYPE_CHECKING:
    from collections.abc import Sequence

FRAME = Profile.rectangle(-50, -50, 50, 50)
coarse = st.integers(-8, 8).map(lambda n: n / 2)
# Outlines a few nanometres apart are one to the program, so the examples stay on a finer grid.
fine = st.floats(-6, 6).map(lambda x: round(x, 6))
place = st.one_of(coarse, fine)
size = st.one_of(st.integers(1, 8).map(float), st.floats(0.5, 8).map(lambda x: round(x, 6)))


@st.composite
def plates(draw: st.DrawFn) -> Profile:
    """Rectangles, discs, rings and rounded plates, many with edges on one another."""
    x, y, w, h = draw(place), draw(place), draw(size), draw(size)
    kind = draw(st.sampled_from(["rectangle", "disc", "ring", "bowed", "turned"]))
    if kind == "rectangle":
        return Profile.rectangle(x, y, x + w, y + h)
    if kind == "disc":
        return disc(x, y, w)
    if kind == "ring":
        return Profile(disc(x, y, w).outer, (disc(x, y, w / 2).outer.reversed(),))
    if kind == "bowed":
        bulge = draw(st.floats(0.05, 1.0))
        return Profile(Loop.of([(x, y), (x + w, y, bulge), (x + w, y + h), (x, y + h)]))
    turn = draw(st.floats(0, 2 * math.pi))
    return Profile.rectangle(0, 0, w, h).transformed(_turn(turn), (x, y))


def _turn(angle: float) -> np.ndarray:
    return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


def area(profiles: Sequence[Profile]) -> float:
    return sum(one.area for one in profiles)


def apart(one: Sequence[Profile], other: Sequence[Profile]) -> float:
    """Area where two results differ. [mm²]"""
    return area(difference(one, other)) + area(difference(other, one))


NEAR = pytest.approx(0.0, abs=1e-6)
few = settings(max_examples=60)


@few
@given(plates(), plates())
def test_areas_add_up(a: Profile, b: Profile) -> None:
    both = area(union([a, b])) + area(intersection([a], [b]))
    assert both == pytest.approx(a.area + b.area, abs=1e-6)


@few
@given(plates(), plates())
def test_order_does_not_matter(a: Profile, b: Profile) -> None:
    assert apart(union([a, b]), union([b, a])) == NEAR
    assert apart(intersection([a], [b]), intersection([b], [a])) == NEAR


@few
@given(plates())
def test_a_profile_with_itself(a: Profile) -> None:
    assert apart(union([a, a]), [a]) == NEAR
    assert apart(intersection([a], [a]), [a]) == NEAR
    assert difference([a], [a]) == []


@few
@given(plates(), plates())
def test_de_morgan_within_a_frame(a: Profile, b: Profile) -> None:
    without = [difference([FRAME], [one]) for one in (a, b)]
    assert apart(difference([FRAME], union([a, b])), intersection(*without)) == NEAR
    joined = union([*without[0], *without[1]])
    assert apart(difference([FRAME], intersection([a], [b])), joined) == NEAR


@few
@given(plates(), plates(), plates())
def test_intersection_spreads_over_union(a: Profile, b: Profile, c: Profile) -> None:
    left = intersection([a], union([b, c]))
    right = union([*intersection([a], [b]), *intersection([a], [c])])
    assert apart(left, right) == NEAR


@few
@given(plates(), plates(), st.floats(0, 6.28), st.booleans())
def test_turned_and_mirrored_alike(a: Profile, b: Profile, angle: float, mirror: bool) -> None:
    matrix = _turn(angle) @ np.diag([-1.0 if mirror else 1.0, 1.0])
    moved = [one.transformed(matrix, (1.7, -2.3)) for one in (a, b)]
    kept = difference([a], [b])
    assert (
        apart(
            difference([moved[0]], [moved[1]]),
            [one.transformed(matrix, (1.7, -2.3)) for one in kept],
        )
        == NEAR
    )
