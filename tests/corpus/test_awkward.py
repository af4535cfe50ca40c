"""Every awkward pair as it is, turned, mirrored and doubled."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.shapes import arc
from dryfit.shapes.boolean import difference, intersection, union
from dryfit.shapes.offset import closed_by_disc
from tests.corpus.awkward import CASES, Case, relieved, slotted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.profile import Profile

HALF_TURN = -np.eye(2)
MIRROR = np.diag([-1.0, 1.0])
SLANT = np.array([[0.6, -0.8], [0.8, 0.6]])
MOTIONS = pytest.mark.parametrize(
    "matrix", [np.eye(2), HALF_TURN, MIRROR, SLANT], ids=["as is", "turned", "mirrored", "slanted"]
)
SHIFT = (0.3, 0.7)


def _area(profiles: Sequence[Profile]) -> float:
    return sum(one.area for one in profiles)


@MOTIONS
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_areas_of_awkward_pairs(case: Case, matrix: np.ndarray) -> None:
    first, second = (one.transformed(matrix, SHIFT) for one in (case.first, case.second))
    near = 1e-6
    assert _area(intersection([first], [second])) == pytest.approx(case.shared, abs=near)
    assert _area(union([first, second])) == pytest.approx(
        first.area + second.area - case.shared, abs=near
    )
    assert _area(difference([first], [second])) == pytest.approx(first.area - case.shared, abs=near)
    assert _area(difference([second], [first])) == pytest.approx(
        second.area - case.shared, abs=near
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_doubled_pairs_give_twice_as_much(case: Case) -> None:
    away = [one.moved(100, 0) for one in (case.first, case.second)]
    one = union([case.first, case.second])
    two = union([case.first, case.second, *away])
    assert len(two) == 2 * len(one)
    assert _area(two) == pytest.approx(2 * _area(one), abs=1e-9)
    less = difference([case.first, away[0]], [case.second, away[1]])
    assert len(less) == 2 * len(difference([case.first], [case.second]))


@MOTIONS
@pytest.mark.parametrize("radius", [1.0, 1.5875, 3.0])
@pytest.mark.parametrize("share", [1.0, 1.001, 1.2, math.sqrt(2), 1.6])
def test_reliefs_that_merge(radius: float, share: float, matrix: np.ndarray) -> None:
    """Reliefs merge below a width of 2 sqrt 2 r; arcs keep their radius all the same.

    What two reliefs bite below the shoulder is two segments of a chord of sqrt 2 r, less what
    they share.
    """
    width = 2 * radius * share
    plate, discs = relieved(width, radius)
    made = difference(
        [plate.transformed(matrix, SHIFT)], [one.transformed(matrix, SHIFT) for one in discs]
    )
    arcs = made[0].edges[made[0].edges[:, 4] != 0]
    assert len(made) == 1
    assert arc.radius(arcs) == pytest.approx(radius, abs=1e-9)
    apart = width - math.sqrt(2) * radius
    shoulder = width - 2 * math.sqrt(2) * radius
    shared = _below(radius, apart) if shoulder < 0 else 0.0
    bite = 2 * (math.pi / 2 - 1) * radius**2 - shared
    assert plate.area - made[0].area == pytest.approx(bite, abs=1e-6)


def _below(radius: float, apart: float) -> float:
    """Area that two discs share more than r/√2 below the line of their centres. [mm²]

    By Simpson's rule over the half-chord: 2000 steps of a smooth integrand.
    """
    edge = math.sqrt(radius**2 - radius**2 / 2)
    half = edge - apart / 2
    x = np.linspace(0, half, 2001)
    depth = np.sqrt(radius**2 - (apart / 2 + x) ** 2) - edge
    weight = np.where(np.arange(2001) % 2, 4.0, 2.0)
    weight[[0, -1]] = 1.0
    return 2 * float(np.sum(weight * depth)) * half / 2000 / 3


@MOTIONS
@pytest.mark.parametrize("share", [0.999, 0.99999, 1.0, 1.00001, 1.001, 1.5, 3.0])
def test_slots_about_as_wide_as_the_cutter(share: float, matrix: np.ndarray) -> None:
    """A slot that takes the cutter keeps two fillets; a narrower one is dented at its mouth."""
    radius = 3.0
    width = 2 * radius * share
    plate = slotted(width).transformed(matrix, SHIFT)
    made = closed_by_disc(plate, radius)
    if share >= 1:
        added = (2 - math.pi / 2) * radius**2
    else:
        angle = 2 * math.asin(share)
        added = 15 * width - radius**2 * (angle - math.sin(angle)) / 2
    assert _area(made) - plate.area == pytest.approx(added, abs=1e-6)


@MOTIONS
@pytest.mark.parametrize("share", [1.0, 1.001, 1.2, math.sqrt(2), 1.6])
def test_a_relieved_socket_is_what_its_cutter_leaves(share: float, matrix: np.ndarray) -> None:
    """Reliefs have the cutter's own radius: it seats in them and adds nothing."""
    plate, discs = relieved(6.0 * share, 3.0)
    made = difference([plate], discs)[0].transformed(matrix, SHIFT)
    closed = closed_by_disc(made, 3.0)
    assert len(closed) == 1
    assert _area(difference(closed, [made])) == pytest.approx(0.0, abs=1e-6)
    assert _area(difference([made], closed)) == pytest.approx(0.0, abs=1e-6)
