"""Known answers for joinery: free moves, numbers of orders and of two-handed partitions.

Source: brute force over voxels along the six axes, worked out for this project. The directional
blocking graphs are those of R. H. Wilson and J.-C. Latombe, Artificial Intelligence 71 (1994): a
set leaves along a way if and only if nothing in it hits what stays.
"""

from __future__ import annotations

import pytest

from tests.helpers.known_orders import KNOWN, found


@pytest.mark.parametrize("name", KNOWN)
def test_the_known_answers_are_found(name: str) -> None:
    assert found(name) == KNOWN[name][1]
