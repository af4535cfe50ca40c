"""Counts and divisions of one corner, worked by hand and by brute force."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.joints.joint import Extent
from dryfit.joints.plan import Proportion, choose_count

MEMBERS = ("front", "left")


def extent(length: float, blocks: tuple[float, float] = (0.0, 0.0),
           owners: tuple[str | None, str | None] = (None, None)) -> Extent:  # fmt: skip
    return Extent(length, blocks, owners, MEMBERS)


def test_a_block_of_a_third_panel_is_left_out() -> None:
    plan = extent(109.0, (9.0, 0.0), ("base", None)).plan(5)
    assert (plan.start, plan.length, plan.width) == (9.0, 100.0, 20.0)
    assert plan.boundaries == (9.0, 29.0, 49.0, 69.0, 89.0, 109.0)


def test_a_block_of_its_own_lies_inside_a_wider_finger() -> None:
    plan = extent(100.0, (9.0, 0.0), ("front", None)).plan(5)
    assert (plan.start, plan.length, plan.width) == (0.0, 100.0, 20.0)
    assert [end.carried for end in plan.ends] == [0.0, 0.0]


def test_a_block_as_wide_as_a_finger_or_wider_is_carried() -> None:
    """At 20 mm the block is as wide as a fifth of the length; beside it four fifths remain."""
    plan = extent(100.0, (20.0, 0.0), ("front", None)).plan(5)
    assert (plan.start, plan.length, plan.width) == (20.0, 80.0, 16.0)
    assert [end.carried for end in plan.ends] == [20.0, 0.0]


def test_leaving_one_block_out_may_leave_out_the_other() -> None:
    """100 / 5 = 20 is wider than 18; with 30 left out 14 is not, so 18 goes too: 52 / 5."""
    for blocks in ((30.0, 18.0), (18.0, 30.0)):
        plan = extent(100.0, blocks, ("front", "left")).plan(5)
        assert tuple(end.carried for end in plan.ends) == blocks
        assert plan.length == 52.0
        assert plan.start == blocks[0]


@settings(max_examples=200)
@given(
    st.floats(60.0, 900.0),
    st.tuples(st.floats(1.0, 28.0), st.floats(1.0, 28.0)),
    st.tuples(*[st.sampled_from(["front", "left", "base"])] * 2),
    st.floats(2.0, 40.0),
    st.booleans(),
)
def test_a_typed_width_against_every_count(
    length: float,
    blocks: tuple[float, float],
    owners: tuple[str, str],
    wanted: float,
    odd: bool,
) -> None:
    corner = extent(length, blocks, owners)
    proportion = Proportion(wanted, 3.0, 18.0, typed=True)
    chosen = choose_count(corner, proportion, odd)
    off = [abs(corner.plan(n).width - wanted) for n in range(3 if odd else 2, 480 + int(odd), 2)]
    assert chosen % 2 == int(odd)
    assert abs(corner.plan(chosen).width - wanted) == min(off)


def test_out_of_every_proportion_the_nearest_is_taken() -> None:
    """A corner 8 mm long: three fingers of 2.67 are the widest that interlock."""
    assert choose_count(extent(8.0), Proportion(11.0, 4.5, 18.0), odd=True) == 3
    assert choose_count(extent(8.0), Proportion(11.0, 4.5, 18.0), odd=False) == 2


def test_where_both_parities_will_do_the_count_is_odd() -> None:
    assert choose_count(extent(100.0), Proportion(10.0, 3.0, 18.0), odd=None) in (9, 11)


def test_no_block_hangs_on_a_thin_neck() -> None:
    """17 divisions of 18.06 would leave a block of 18 mm a neck of 0.06; 15 leave it 2.47."""
    corner = extent(307.0, (18.0, 0.0), ("front", None))
    chosen = choose_count(corner, Proportion(18.0, 9.0, 36.0), odd=True)
    plan = corner.plan(chosen)
    assert plan.ends[0].carried == 18.0 or plan.width - 18.0 >= 4.5
