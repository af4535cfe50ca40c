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
    """From one case to ten, in one of two runs: other work on the machine only slows."""
    assert any(growth_table([1, 10])[1] <= MOST_GROWTH for _ in range(2))


def test_time_grows_no_faster_than_a_wall_of_pigeon_holes() -> None:
    """From text to report, from 30 panels to 120."""
    assert any(wall_table([2, 8])[1] <= MOST_GROWTH for _ in range(3))


def test_the_order_of_assembly_grows_no_faster_than_the_panels() -> None:
    """From 60 panels to 180."""
    assert any(order_table([4, 12])[1] <= MOST_GROWTH for _ in range(3))


def test_editing_one_panel_costs_a_quarter_and_its_text_little_more_than_a_third() -> None:
    """Of a full run; each may be met by another of three tries."""
    job = text = False
    for _ in range(3):
        _, edited, reread = edit_table()
        job |= edited <= MOST_EDIT * BUSY
        text |= reread <= MOST_REREAD * BUSY
        if job and text:
            return
    assert job, "the job at hand"
    assert text, "the text"


def test_the_dry_fit_beats_a_solid_kernel() -> None:
    assert any(kernel_table(10)[1] >= LEAST_RATIO for _ in range(2))


def test_the_odds_beat_throws_of_equal_accuracy() -> None:
    """In one of three tries: the throws are NumPy over all at once."""
    assert any(odds_table(3)[1] >= LEAST_QUICKER / BUSY for _ in range(3))
