"""Moisture, movement and thickness against the Wood Handbook, trade bodies and standards.

@book{wh190, title = {Wood Handbook}, number = {FPL-GTR-190}, year = {2010}}
@book{wh282, title = {Wood Handbook}, number = {FPL-GTR-282}, year = {2021}}

The values and how well each is known stand in ``tests/helpers/wood.py``; ``docs/validation.md``
lists them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.materials.movement import EVEN, wood_strain
from dryfit.materials.species import SPECIES
from tests.helpers.wood import EDGES, Check, all_checks, by_equation, moisture_table
from tools.wood_evidence import wood_page


@pytest.mark.parametrize("check", list(all_checks()), ids=lambda check: check.what[:60])
def test_a_published_value_is_reproduced(check: Check) -> None:
    assert abs(check.ours - check.printed) <= check.allowed


@pytest.mark.parametrize(("fahrenheit", "humidity", "printed"), list(moisture_table()))
def test_the_moisture_table_is_reproduced(fahrenheit: int, humidity: int, printed: float) -> None:
    """Wood Handbook Table 4-2: to the printed 0.1, but for seven points on a rounding edge."""
    ours = by_equation(fahrenheit, humidity)
    if (fahrenheit, humidity) in EDGES:
        assert abs(abs(ours - printed) - 0.05) < 0.003
    else:
        assert round(ours, 1) == printed


def test_the_two_equations_of_movement_meet_at_ten_percent() -> None:
    """Eq. 13-2 and 13-3 agree at 10 %, and differ by little over the range of the first."""
    for species in SPECIES.values():
        rate = species.tangential
        low, high = EVEN
        for start, end in ((10.0, low), (10.0, high)):
            beyond = wood_strain(rate, start, end + (0.01 if end > start else -0.01))
            assert wood_strain(rate, start, end) == pytest.approx(beyond, rel=0.004)


def test_the_docs_list_every_published_check() -> None:
    """As they stand today: another value of ours would not be on the page."""
    page = (Path(__file__).parents[2] / "docs" / "validation.md").read_text(encoding="utf-8")
    assert "\n".join(wood_page()) in page
