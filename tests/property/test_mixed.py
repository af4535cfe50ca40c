"""Random planes and panels with a random joint at every meeting: the volumes add up."""

from __future__ import annotations

from random import Random

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.helpers.layouts import planned, random_layout
from tests.property.test_passing import adds_up


@settings(max_examples=80)
@given(st.integers(0, 10**9))
def test_every_cell_has_one_owner_whatever_the_joints(seed: int) -> None:
    # What cannot be planned is said so by a finding; everything else adds up.
    made = planned(random_layout(Random(seed)))  # noqa: S311
    assume(made is not None)
    assert made is not None
    assert adds_up(made)
    assert made.deepest <= 2e-9


def test_most_random_pieces_can_be_planned() -> None:
    """So that the law above is not held by leaving everything out."""
    made = [planned(random_layout(Random(seed))) for seed in range(60)]  # noqa: S311
    assert sum(each is not None for each in made) >= 40
