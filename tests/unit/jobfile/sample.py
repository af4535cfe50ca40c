"""A sound job file, and ways to spoil it."""

from __future__ import annotations

import pytest

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.read import read_text

TRAY = """\
format = 1
title = "Type tray"
unit = "mm"

[piece]
form = "tray"
outside = [330, 220, 70]

[stock.walls]
material = "birch plywood"
nominal = "9 mm"
readings = [8.76, 8.81, 8.74]

[cutter]
kind = "router"
diameter = 3.175

[fingers]
width = 10
flank_gap = 0.05
"""


def swapped(old: str, new: str) -> str:
    """The sound file with one piece of its text changed."""
    assert TRAY.count(old) == 1
    return TRAY.replace(old, new)


def faults(text: str) -> tuple[Fault, ...]:
    """Every fault of a text that must have some."""
    with pytest.raises(JobFileError) as refused:
        read_text(text, "tray.toml")
    return refused.value.faults


def fault(text: str) -> Fault:
    """The only fault of a text."""
    found = faults(text)
    assert len(found) == 1, found
    return found[0]
