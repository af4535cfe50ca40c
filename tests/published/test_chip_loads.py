"""Chip loads and feeds of two published charts.

Source: A, a tooling vendor's chart; B, a cutter vendor's; both read second-hand, converted from
inches, for production machines at a depth of one diameter. B prints .19 and .10 for two rows of
1/2 in, read as .019 and .010. The feeds are for 18 000 rpm and two flutes. At two diameters of
depth the charts take a quarter off, at three a half.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from dryfit.cutting.feeds import (
    Spindle,
    chart,
    chip_range,
    depth_share,
    plain_feed,
    starting_feed,
)
from dryfit.materials.sheets import MATERIALS

# Chart, material, cutter [in]; chip load [mm] and feed [mm/min], low and high.
ROWS = [
    ("A", "MDF/particleboard", "1/8", 0.102, 0.178, 3658, 6401),
    ("A", "MDF/particleboard", "1/4", 0.305, 0.381, 10973, 13716),
    ("A", "MDF/particleboard", "3/8", 0.432, 0.483, 15545, 17374),
    ("A", "MDF/particleboard", "1/2", 0.508, 0.635, 18288, 22860),
    ("A", "hardwood", "1/8", 0.051, 0.102, 1829, 3658),
    ("A", "hardwood", "1/4", 0.127, 0.178, 4572, 6401),
    ("A", "hardwood", "3/8", 0.33, 0.381, 11887, 13716),
    ("A", "hardwood", "1/2", 0.432, 0.483, 15545, 17374),
    ("A", "softwood", "1/8", 0.076, 0.127, 2743, 4572),
    ("A", "softwood", "1/4", 0.152, 0.203, 5486, 7315),
    ("A", "softwood", "3/8", 0.381, 0.432, 13716, 15545),
    ("A", "softwood", "1/2", 0.483, 0.533, 17374, 19202),
    ("A", "soft plastic", "1/8", 0.076, 0.127, 2743, 4572),
    ("A", "soft plastic", "1/4", 0.152, 0.229, 5486, 8230),
    ("A", "soft plastic", "3/8", 0.229, 0.279, 8230, 10058),
    ("A", "soft plastic", "1/2", 0.279, 0.356, 10058, 12802),
    ("A", "hard plastic", "1/8", 0.051, 0.102, 1829, 3658),
    ("A", "hard plastic", "1/4", 0.127, 0.203, 4572, 7315),
    ("A", "hard plastic", "3/8", 0.203, 0.254, 7315, 9144),
    ("A", "hard plastic", "1/2", 0.254, 0.33, 9144, 11887),
    ("A", "plywood", "1/8", 0.076, 0.127, 2743, 4572),
    ("A", "plywood", "1/4", 0.152, 0.229, 5486, 8230),
    ("A", "plywood", "3/8", 0.381, 0.457, 13716, 16459),
    ("A", "plywood", "1/2", 0.457, 0.533, 16459, 19202),
    ("B", "hardwood", "1/8", 0.076, 0.127, 2743, 4572),
    ("B", "hardwood", "1/4", 0.229, 0.279, 8230, 10058),
    ("B", "hardwood", "3/8", 0.381, 0.457, 13716, 16459),
    ("B", "hardwood", "1/2", 0.483, 0.533, 17374, 19202),
    ("B", "softwood/plywood", "1/8", 0.102, 0.152, 3658, 5486),
    ("B", "softwood/plywood", "1/4", 0.279, 0.33, 10058, 11887),
    ("B", "softwood/plywood", "3/8", 0.432, 0.508, 15545, 18288),
    ("B", "softwood/plywood", "1/2", 0.533, 0.584, 19202, 21031),
    ("B", "MDF/particleboard", "1/8", 0.102, 0.178, 3658, 6401),
    ("B", "MDF/particleboard", "1/4", 0.33, 0.406, 11887, 14630),
    ("B", "MDF/particleboard", "3/8", 0.508, 0.584, 18288, 21031),
    ("B", "MDF/particleboard", "1/2", 0.635, 0.686, 22860, 24689),
    ("B", "hard plastic", "1/8", 0.051, 0.102, 1829, 3658),
    ("B", "hard plastic", "1/4", 0.152, 0.229, 5486, 8230),
    ("B", "hard plastic", "3/8", 0.203, 0.254, 7315, 9144),
    ("B", "hard plastic", "1/2", 0.254, 0.305, 9144, 10973),
    ("B", "soft plastic", "1/8", 0.076, 0.152, 2743, 5486),
    ("B", "soft plastic", "1/4", 0.178, 0.254, 6401, 9144),
    ("B", "soft plastic", "3/8", 0.254, 0.305, 9144, 10973),
    ("B", "soft plastic", "1/2", 0.305, 0.406, 10973, 14630),
    ("B", "acrylic", "1/8", 0.076, 0.127, 2743, 4572),
    ("B", "acrylic", "1/4", 0.203, 0.254, 7315, 9144),
    ("B", "acrylic", "3/8", 0.254, 0.305, 9144, 10973),
    ("B", "acrylic", "1/2", 0.305, 0.381, 10973, 13716),
]
PRINTED = {(row.chart, row.material, round(row.diameter, 6)): row for row in chart()}


@pytest.mark.parametrize(("name", "material", "cutter", "low", "high", "slow", "fast"), ROWS)
def test_the_charts_are_reproduced(
    name: str, material: str, cutter: str, low: float, high: float, slow: int, fast: int
) -> None:
    row = PRINTED[name, material, round(float(Fraction(cutter)) * 25.4, 6)]
    assert (round(row.low, 3), round(row.high, 3)) == (low, high)
    assert round(plain_feed(18000, 2, row.low)) == slow
    assert round(plain_feed(18000, 2, row.high)) == fast
    assert row.source
    assert row.status.startswith("read")


def test_no_row_is_left_out() -> None:
    assert len(PRINTED) == len(ROWS) == 48
    misread = sorted(row.status for row in chart() if row.status != "read")
    assert misread == ["read; printed .10", "read; printed .19"]


@pytest.mark.parametrize(
    ("inches_a_minute", "rpm", "flutes", "inches"),
    [(500, 15000, 2, 0.0167)],
)
def test_a_worked_feed(inches_a_minute: float, rpm: float, flutes: int, inches: float) -> None:
    """500 in/min at 15 000 rpm and two flutes is .0167 in a tooth, in chart A's own words."""
    assert plain_feed(rpm, flutes, inches) == pytest.approx(inches_a_minute, rel=2.5e-3)


@pytest.mark.parametrize(
    ("inches", "diameters", "left"), [(0.018, 3, 0.009), (0.02, 2, 0.015), (0.02, 1, 0.02)]
)
def test_deeper_passes_take_thinner_chips(inches: float, diameters: int, left: float) -> None:
    """The charts' own examples: .018 × .5 = .009 and .02 × .75 = .015."""
    assert inches * depth_share(diameters * 6.35, 6.35) == pytest.approx(left, abs=1e-12)


def test_the_low_end_unless_the_machine_is_one_for_production() -> None:
    """Birch plywood, 1/4 in: A gives .006 to .009 in, B .011 to .013."""
    ply = MATERIALS["birch plywood"]
    assert chip_range(ply, 6.35) == pytest.approx((0.006 * 25.4, 0.013 * 25.4))
    low = starting_feed(ply, 6.35, 2, 6.35, Spindle(18000))
    high = starting_feed(ply, 6.35, 2, 6.35, Spindle(18000, production=True))
    assert low.feed == pytest.approx(5486.4)
    assert high.feed == pytest.approx(18000 * 2 * 0.013 * 25.4)
