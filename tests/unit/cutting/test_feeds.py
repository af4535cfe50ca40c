from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.cutting.feeds import Spindle, chip_range, depth_share, starting_feed
from dryfit.errors import SizeError
from dryfit.materials.sheets import MATERIALS, Material

PLY = MATERIALS["birch plywood"]
materials = st.sampled_from(sorted(MATERIALS)).map(MATERIALS.__getitem__)


@given(materials, st.floats(0.5, 20), st.integers(1, 4), st.floats(0.5, 60),
       st.floats(3000, 30000), st.floats(200, 8000))  # fmt: skip
def test_the_machine_limits_the_feed_and_the_chip_stays(
    material: Material, diameter: float, flutes: int, depth: float, rpm: float, most: float
) -> None:
    free = starting_feed(material, diameter, flutes, depth, Spindle(rpm))
    held = starting_feed(
        material, diameter, flutes, depth, Spindle(rpm, most)
    )  # fmt: skip
    assert held.feed == pytest.approx(min(free.feed, most))
    assert held.chip == pytest.approx(free.chip)
    assert held.rpm <= rpm
    assert held.capped == (free.feed > most)
    assert held.chip == pytest.approx(held.low * held.share)


@given(materials, st.floats(0.5, 20), st.floats(0.5, 20))
def test_a_thicker_cutter_takes_no_thinner_chip(material: Material, one: float, two: float) -> None:
    thin, thick = sorted((one, two))
    low = chip_range(material, thin)
    high = chip_range(material, thick)
    assert low[0] <= high[0] + 1e-12
    assert low[1] <= high[1] + 1e-12
    assert low[0] <= low[1]


@given(st.floats(0.01, 10), st.floats(0.01, 10))
def test_a_deeper_pass_takes_no_thicker_chip(one: float, two: float) -> None:
    shallow, deep = sorted((one, two))
    assert 0.5 <= depth_share(deep, 1.0) <= depth_share(shallow, 1.0) <= 1.0


def test_a_spindle_that_turns_no_slower_is_said_to_rub() -> None:
    held = starting_feed(PLY, 6.35, 2, 6.0, Spindle(18000, 600, least_rpm=8000))
    assert (held.feed, held.rpm, held.capped, held.thin) == (600, 8000, True, True)
    assert held.chip == pytest.approx(600 / 16000)


def test_beyond_the_charts_is_said() -> None:
    usual = Spindle(18000)
    assert starting_feed(PLY, 2.0, 2, 2.0, usual).outside
    assert starting_feed(PLY, 16.0, 2, 2.0, usual).outside
    assert starting_feed(PLY, 3.175, 2, 12.0, usual).outside
    assert not starting_feed(PLY, 3.175, 2, 9.0, usual).outside


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((3.0, 2, 3.0, Spindle(0)), "a spindle at 0 rpm cuts nothing; write its speed, over 0"),
        ((3.0, 0, 3.0, Spindle(9000)), "a cutter with 0 flutes cuts nothing; write 1 or more"),
        ((3.0, 2, 0.0, Spindle(9000)), "a pass 0 mm deep cuts nothing; write more than 0 mm"),
        ((0.0, 2, 3.0, Spindle(9000)), "a cutter of 0 mm cuts nothing"),
        ((3.0, 2, 3.0, Spindle(9000, 0)), "a feed of 0 mm/min stands still"),
        ((3.0, 2, 3.0, Spindle(9000, 100, 9500)), "the slowest speed, 9500 rpm, is more than"),
    ],
)
def test_what_no_machine_has_is_refused(
    arguments: tuple[float, int, float, Spindle], sentence: str
) -> None:
    with pytest.raises(SizeError) as caught:
        starting_feed(PLY, *arguments)
    assert sentence in str(caught.value)
