"""Ratios and growth, which do not depend on the machine; the whole table is `make bench`."""

from __future__ import annotations

from tools.bench import LEAST_RATIO, MOST_GROWTH, growth_table, kernel_table


def test_time_grows_no_faster_than_the_panels() -> None:
    """From one case to ten, better of two runs: other work on the machine only slows."""
    assert min(growth_table([1, 10])[1] for _ in range(2)) <= MOST_GROWTH


def test_the_dry_fit_beats_a_solid_kernel() -> None:
    assert max(kernel_table(10)[1] for _ in range(2)) >= LEAST_RATIO
