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

CASE = """\
format = 1
title = "Case for paper"

[stock.boards]
material = "birch plywood"
nominal = 9

[cutter]
kind = "router"
diameter = 3

[plane.left]
x = 0

[plane.right]
x = 400

[plane.front]
y = 0

[plane.back]
y = 300

[plane.bottom]
z = 0

[plane.top]
z = 240

[plane.shelf]
between = ["bottom", "top"]
parts = 3

[panel.left]
on = "left"

[panel.right]
on = "right"

[panel.base]
on = "bottom"

[panel.lid]
on = "top"

[panel.shelf]
on = "shelf"
edges = "housing"
stop = [12, 0]

[opening.handle]
panel = "left"
size = [90, 25]

[keep_out.hinge]
panel = "left"
at = [40, 200]
size = [30, 20]

[corner.ear]
panel = "shelf"
at = "top left"
round = 20
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
