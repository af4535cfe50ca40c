"""Strips of Hopper and Turton, whose best height is known; see tests/helpers/hopper_turton.py."""

from __future__ import annotations

import pytest

from dryfit.layout.bound import bound_of
from dryfit.layout.greedy import greedy
from dryfit.layout.search import Effort, has_engine, search
from dryfit.layout.valid import is_valid
from tests.helpers.hopper_turton import STRIPS
from tests.helpers.strips import height_of, strip_problem


@pytest.mark.parametrize("name", STRIPS)
def test_the_pieces_fill_the_strip(name: str) -> None:
    strip = STRIPS[name]
    lost = strip.width * strip.height - sum(width * height for width, height in strip.pieces)
    assert 0 <= lost <= 50


@pytest.mark.parametrize("name", ["C1.1", "C2.1", "C4.1"])
def test_nothing_beats_the_known_height(name: str) -> None:
    problem, strip = strip_problem(STRIPS[name]), STRIPS[name]
    found = greedy(problem)
    assert is_valid(problem, found)
    assert strip.height <= height_of(problem, found) <= 2 * strip.height
    assert bound_of(problem).used * 2 * strip.height <= strip.height + 1e-6


@pytest.mark.skipif(not has_engine(), reason="no such engine for this Python")
@pytest.mark.parametrize("name", ["C1.1", "C1.3"])
def test_the_first_class_is_solved(name: str) -> None:
    problem = strip_problem(STRIPS[name])
    found = search(problem, Effort(rounds=1)).filled
    assert height_of(problem, found) == pytest.approx(STRIPS[name].height)
