"""Ratios and growth, which do not depend on the machine; the whole table is `make bench`."""

from __future__ import annotations

from tools.bench import (
    LEAST_QUICKER,
    LEAST_RATIO,
    MOST_EDIT,
    MOST_GROWTH,
    MOST_REREAD,
    edit_table,
    growth_table,
    kernel_table,
    odds_table,
    order_table,
    wall_table,
)

BUSY = 1.2
"""Slack for an edit on a machine that does other work beside: the two times are a few ms each."""


def test_time_grows_no_faster_than_the_panels() -> None:
    """From one case to ten, better of two runs: other work on the machine only slows."""
    assert min(growth_table([1, 10])[1] for _ in range(2)) <= MOST_GROWTH


def test_time_grows_no_faster_than_a_wall_of_pigeon_holes() -> None:
    """From text to report, from 30 panels to 120."""
    assert min(wall_table([2, 8])[1] for _ in range(2)) <= MOST_GROWTH


def test_the_order_of_assembly_grows_no_faster_than_the_panels() -> None:
    """From 60 panels to 180."""
    assert min(order_table([4, 12])[1] for _ in range(2)) <= MOST_GROWTH


def test_editing_one_panel_costs_a_quarter_of_a_full_run() -> None:
    assert min(edit_table()[1] for _ in range(3)) <= MOST_EDIT * BUSY


def test_editing_the_text_costs_little_more_than_a_third() -> None:
    assert min(edit_table()[2] for _ in range(3)) <= MOST_REREAD * BUSY


def test_the_dry_fit_beats_a_solid_kernel() -> None:
    assert max(kernel_table(10)[1] for _ in range(2)) >= LEAST_RATIO


def test_the_odds_beat_throws_of_equal_accuracy() -> None:
    """Better of three: the throws are NumPy over all at once."""
    assert max(odds_table(3)[1] for _ in range(3)) >= LEAST_QUICKER / BUSY
