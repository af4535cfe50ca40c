"""The canonical pose: the same for every way a group of boxes can stand."""

from __future__ import annotations

from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.joints.pose import Pose, canonical_pose, mirrors

WAYS = [(axes, signs) for axes in permutations(range(3)) for signs in product((1, -1), repeat=3)]
NO_WISH = np.empty((0, 5))


def group(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Boxes on a coarse grid, so that many are alike; traits and wishes of few kinds."""
    count = int(rng.integers(2, 7))
    low = rng.integers(0, 3, (count, 3)).astype(float) * 10
    high = low + rng.integers(1, 3, (count, 3)) * 10.0
    traits = rng.integers(0, 2, (count, 2)).astype(float)
    pairs = np.array([sorted(rng.choice(count, 2, replace=False)) for _ in range(2)])
    pairs = np.unique(pairs, axis=0)
    rest = np.column_stack(
        (rng.integers(-1, 2, len(pairs)), rng.integers(0, 3, len(pairs)), np.zeros(len(pairs)))
    )
    return low, high, traits, np.column_stack((pairs, rest)).astype(float)


def table(pose: Pose, traits: np.ndarray) -> np.ndarray:
    return np.column_stack((pose.low, pose.high, traits[pose.order]))


@settings(max_examples=120)
@given(st.integers(0, 2**32 - 1), st.sampled_from(WAYS))
def test_one_pose_for_all_48_ways_and_every_order(
    seed: int, way: tuple[tuple[int, ...], tuple[int, ...]]
) -> None:
    rng = np.random.default_rng(seed)
    low, high, traits, wishes = group(rng)
    axes, signs = list(way[0]), np.array(way[1])
    order = rng.permutation(len(low))
    place = np.argsort(order)
    one, other = low[:, axes] * signs, high[:, axes] * signs
    shift = rng.integers(-9, 9, 3)
    pairs = place[wishes[:, :2].astype(int)]
    moved = np.column_stack((pairs, wishes[:, 2:]))
    straight = canonical_pose(low, high, traits, wishes)
    turned = canonical_pose(
        np.minimum(one, other)[order] + shift, np.maximum(one, other)[order] + shift,
        traits[order], moved,
    )  # fmt: skip
    assert (table(straight, traits) == table(turned, traits[order])).all()
    assert placed(wishes, straight.order) == placed(moved, turned.order)


def placed(wishes: np.ndarray, order: np.ndarray) -> list[tuple[float, ...]]:
    """Wishes by the canonical numbers of their panels; +1 asks the smaller number to lead."""
    number = {int(panel): k for k, panel in enumerate(order)}
    found = []
    for one, other, leads, *rest in wishes.tolist():
        a, b = number[int(one)], number[int(other)]
        found.append((min(a, b), max(a, b), leads if a < b else -leads, *rest))
    return sorted(found)


@pytest.mark.parametrize("way", WAYS)
def test_who_is_asked_to_lead_breaks_a_symmetry(
    way: tuple[tuple[int, ...], tuple[int, ...]],
) -> None:
    """Of two equal walls one is to lead: which of them it is, is the same in every way."""
    low = np.array([[0.0, 0, 0], [0, 0, 0]])
    high = np.array([[90.0, 9, 60], [9, 90, 60]])
    axes, signs = list(way[0]), np.array(way[1])
    one, other = low[:, axes] * signs, high[:, axes] * signs
    low, high = np.minimum(one, other), np.maximum(one, other)
    asked = [
        placed(wish, canonical_pose(low[order], high[order], np.zeros((2, 1)), wish).order)
        for order, wish in (
            ([0, 1], np.array([[0.0, 1, 1, 5, 0]])),
            ([1, 0], np.array([[0.0, 1, -1, 5, 0]])),
            ([0, 1], np.array([[0.0, 1, -1, 5, 0]])),
        )
    ]
    assert asked[0] == asked[1] == asked[2]


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1))
def test_a_pose_is_the_group_itself(seed: int) -> None:
    """Undone, the pose gives the boxes back, but for where they stand."""
    low, high, traits, wishes = group(np.random.default_rng(seed))
    pose = canonical_pose(low, high, traits, wishes)
    for axis in range(3):
        own = pose.axis_of(axis)
        size = pose.high[:, own] - pose.low[:, own]
        assert (size == (high - low)[pose.order, axis]).all()
        lows = low[pose.order, axis] - low[:, axis].min()
        if pose.reverses(axis):
            lows = high[:, axis].max() - high[pose.order, axis]
        assert (pose.low[:, own] == lows).all()


def test_mirrors_of_a_ring_and_of_a_lopsided_one() -> None:
    low = np.array([[0.0, 0, 0], [0, 90, 0], [0, 0, 0], [110, 0, 0]])
    high = np.array([[120.0, 10, 60], [120, 100, 60], [10, 100, 60], [120, 100, 60]])
    ranks = np.array([[0.0], [0], [1], [1]])
    found = []
    for row, rank in ((0, 0.0), (1, 2.0), (3, 5.0)):
        ranks[row] = rank
        pose = canonical_pose(low, high, ranks, NO_WISH)
        found.append(len(mirrors(pose, ranks[pose.order])))
    assert found == [3, 2, 1]


def test_a_mirror_swaps_the_walls_that_face_each_other() -> None:
    low = np.array([[0.0, 0, 0], [0, 90, 0]])
    high = np.array([[120.0, 10, 60], [120, 100, 60]])
    pose = canonical_pose(low, high, np.zeros((2, 1)), NO_WISH)
    images = sorted(image.tolist() for image in mirrors(pose, np.zeros((2, 1))))
    assert images == [[0, 1], [0, 1], [1, 0]]
