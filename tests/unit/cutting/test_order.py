"""Travel and its bound, and the time that a program takes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.cutting.duration import seconds
from dryfit.cutting.interpret import interpret
from dryfit.cutting.onetree import path_bound
from dryfit.cutting.operation import Stage
from dryfit.cutting.order import travel_of
from dryfit.model.machine import Machine
from dryfit.workflow import Rehearsal
from tests.helpers.cutting import ROUTED, Made, example, sheets, small

if TYPE_CHECKING:
    from dryfit.cutting.moves import FloatArray


def shortest(start: FloatArray, between: FloatArray) -> float:
    """The shortest way by trying all. [mm]"""
    count = len(start)
    return min(
        float(start[order[0]]) + sum(float(between[a, b]) for a, b in pairwise(order))
        for order in permutations(range(count))
    )


@pytest.mark.parametrize("seed", range(12))
def test_the_bound_never_exceeds_the_shortest_way_and_comes_near_it(seed: int) -> None:
    rng = np.random.default_rng(seed)
    entries, shift = rng.uniform(0, 1000, (7, 2)), rng.normal(0, 40, (7, 2))
    between = np.hypot(*((entries + shift)[:, None] - entries[None]).transpose(2, 0, 1))
    start = np.hypot(*entries.T)
    bound, best = path_bound(start, between), shortest(start, between)
    assert bound <= best + 1e-6
    assert bound >= 0.9 * best


@pytest.fixture(scope="module")
def made() -> list[Made]:
    return [each for name in ROUTED[:4] for each in example(name)]


def test_travel_is_within_a_tenth_of_its_bound(made: list[Made]) -> None:
    for each in made:
        for tour in each.plan.tours:
            assert tour.travel == pytest.approx(travel_of(tour.paths))
            assert tour.bound <= tour.travel + 1e-6
            assert tour.travel <= 1.1 * tour.bound


def test_stages_follow_one_another(made: list[Made]) -> None:
    for each in made:
        for tour in each.plan.tours:
            stages = [path.operation.stage for path in tour.paths]
            assert stages == sorted(stages)


def test_inside_comes_before_the_outline_of_every_part() -> None:
    for each in example("press-stand"):
        seen: set[int] = set()
        for path in each.plan.tours[-1].paths:
            if path.operation.stage is Stage.INSIDE:
                assert path.operation.part not in seen
            else:
                seen.add(path.operation.part)


def test_many_parts_travel_half_of_what_they_would_as_listed() -> None:
    many = Rehearsal(replace(small("ring", "60, 50, 30").job, times=10))
    (each,) = sheets(many, sheet="600x400mm")
    (tour,) = each.plan.tours
    assert tour.travel <= 1.1 * tour.bound
    assert tour.travel < tour.listed


def test_the_same_job_gives_the_same_bytes() -> None:
    one, other = (next(iter(sheets(small(), sheet="300x260mm"))) for _ in range(2))
    assert one.text == other.text


PLAIN = Machine(acceleration=500.0, corner=0.05, rapid=6000.0)


def program(text: str) -> float:
    """How long a program takes on the plain machine. [s]"""
    return seconds(interpret("G21 G90\nG0 Z0\nM3 S100\n" + text + "\nM2\n"), PLAIN)


def test_a_long_move_is_a_trapezoid() -> None:
    """100 mm at 50 mm/s: v²/a = 5 mm of ramps in 0.2 s, 95 mm in 1.9 s."""
    assert program("G1 X100 F3000") == pytest.approx(2 * 50 / 500 + (100 - 5) / 50)


def test_a_short_move_is_a_triangle() -> None:
    assert program("G1 X2 F3000") == pytest.approx(2 * (2 / 500) ** 0.5)


def test_a_straight_corner_costs_nothing_and_a_sharp_one_does() -> None:
    straight = program("G1 X50 F3000\nX100")
    assert straight == pytest.approx(program("G1 X100 F3000"))
    square = program("G1 X50 F3000\nY50")
    back = program("G1 X50 F3000\nX0")
    assert straight < square < back


def test_a_tight_arc_is_slowed_and_dwells_count() -> None:
    """On a radius of 1 mm at 500 mm/s² no faster than √500 = 22.4 mm/s."""
    whole = program("G1 X1 F30000\nG3 X1 Y0 I-1 J0")
    assert whole > 2 * np.pi / 500**0.5
    assert program("G4 P2.5\nG1 X1 F600") == pytest.approx(2.5 + program("G1 X1 F600"))
