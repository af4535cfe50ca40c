"""Large pieces for the benchmarks, as job text, and edits of one panel."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

from dryfit.model.opening import Opening

if TYPE_CHECKING:
    from collections.abc import Callable

    from dryfit.model.panel import Panel
    from dryfit.model.piece import Job

BAYS = (7, 8, 7, 8, 7, 8)
"""Shelves in each bay of the cabinet. [-]"""

CABINET_PANELS = 4 + (len(BAYS) - 1) + len(BAYS) + sum(BAYS)
"""Carcase, uprights, backs and shelves of the cabinet. [-]"""

HOLES = 15
"""Panels of one case of pigeon-holes: five round it, six shelves, four uprights. [-]"""

_STOCKS = """
[stock.carcase]
material = "birch plywood"
nominal = 18
readings = [17.72, 17.80, 17.76, 17.69]

[stock.shelves]
material = "birch plywood"
nominal = 12
readings = [11.81, 11.76, 11.84, 11.79]

[stock.backs]
material = "MDF"
nominal = 6
readings = [6.02, 5.98, 6.01]
"""

_CUTTER = """
[cutter]
kind = "router"
diameter = 3.175
relief = "diagonal"
"""


def cabinet() -> str:
    """A cabinet for the bindery: bays between uprights, shelves housed in them, grooved backs."""
    walls = ["left", *(f"upright {k}" for k in range(1, len(BAYS))), "right"]
    lines = [
        "format = 1",
        'title = "Cabinet"',
        "",
        "[piece]",
        'stock = "carcase"',
        _STOCKS,
        _CUTTER,
    ]
    lines += [
        _plane("left", "x", 0), _plane("right", "x", 420 * len(BAYS)), _plane("front", "y", 0),
        _plane("before the back", "y", 330), _plane("back", "y", 340), _plane("rear", "y", 350),
        _plane("bottom", "z", 0), _plane("top", "z", 2000),
    ]  # fmt: skip
    lines += [_plane(f"upright {k}", "x", 420 * k) for k in range(1, len(BAYS))]
    lines += [_panel("base", "bottom"), _panel("lid", "top")]
    lines += [_panel(wall, wall) for wall in walls]
    for bay, shelves in enumerate(BAYS):
        sides = walls[bay], walls[bay + 1]
        lines.append(
            _panel(
                f"bay {bay + 1} back", "back", *sides, stock="backs", edges="groove", face="low",
                depth=5,
            )
        )  # fmt: skip
        for shelf in range(1, shelves + 1):
            name = f"bay {bay + 1} shelf no {shelf}"
            lines.append(_plane(name, "z", 2000 * shelf // (shelves + 1) + 7 * (bay % 2)))
            lines.append(
                _panel(
                    name, name, *sides, "front", "before the back", stock="shelves",
                    edges="housing", depth=5,
                )
            )  # fmt: skip
    return "\n".join(lines)


def pigeon_holes(cases: int) -> str:
    """A wall of cases, four high, in each of them shelves and uprights halved across each other.

    No two cases are of one size, so that none has its shapes from another.
    """
    lines = ["format = 1", 'title = "Pigeon-holes"', "", "[piece]", 'stock = "shelves"', _STOCKS]
    lines += [_CUTTER, _plane("front", "y", 0), _plane("rear", "y", 250)]
    for number, (across, up) in zip(range(cases), product(range(cases), range(4)), strict=False):
        left, bottom = 600 * across, 500 * up
        own = {
            name: f"case {number + 1} {name}"
            for name in ("left", "right", "bottom", "top", "shelf", "upright", "back")
        }
        ends = own["left"], own["right"], own["bottom"], own["top"]
        lines += [
            _plane(own["left"], "x", left),
            _plane(own["right"], "x", left + 590 - number / 8),
        ]
        lines += [
            _plane(own["bottom"], "z", bottom),
            _plane(own["top"], "z", bottom + 490 - number / 8),
        ]
        lines += [
            _divided(own["shelf"], own["bottom"], own["top"], 7),
            _divided(own["upright"], own["left"], own["right"], 5),
        ]
        for name, face in (("left", "low"), ("right", "high"), ("bottom", "low"), ("top", "high")):
            span = ends[2:] if name in ("left", "right") else ends[:2]
            lines.append(_panel(own[name], own[name], *span, face=face))
        lines.append(_panel(own["back"], "rear", *ends, stock="backs", edges="rebate"))
        lines.append(_panel(own["shelf"], own["shelf"], *ends[:2]))
        lines.append(_panel(own["upright"], own["upright"], *ends[2:]))
    return "\n".join(lines)


def _plane(name: str, axis: str, at: float) -> str:
    return f'[plane."{name}"]\n{axis} = {at}\n'


def _divided(name: str, low: str, high: str, parts: int) -> str:
    return f'[plane."{name}"]\nbetween = ["{low}", "{high}"]\nparts = {parts}\n'


def _panel(name: str, on: str, *between: str, **more: str | float) -> str:
    lines = [f'[panel."{name}"]', f'on = "{on}"']
    if between:
        names = ", ".join(f'"{each}"' for each in between)
        lines.append(f"between = [{names}]")
    lines += [
        f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}"
        for key, value in more.items()
    ]
    return "\n".join((*lines, ""))


def changed(job: Job, name: str, change: Callable[[Panel], Panel]) -> Job:
    """The job with one panel changed."""
    piece = job.piece
    panels = tuple(change(panel) if panel.name == name else panel for panel in piece.panels)
    return job.with_piece(replace(piece, panels=panels))


def measured(job: Job, step: int) -> Job:
    """The job with one more caliper reading of one shelf."""

    def change(panel: Panel) -> Panel:
        readings = (*panel.stock.readings, 11.75 + step / 1000)
        return replace(panel, stock=replace(panel.stock, readings=readings))

    return changed(job, "bay 2 shelf no 3", change)


def moved(job: Job, step: int) -> Job:
    """The job with one shelf moved up, a quarter of a millimetre for each step."""

    def change(panel: Panel) -> Panel:
        x, y, z = panel.frame.origin
        return replace(panel, frame=replace(panel.frame, origin=(x, y, z + step / 4)))

    return changed(job, "bay 3 shelf no 2", change)


def opened(job: Job, step: int) -> Job:
    """The job with a hole for a cable through one upright."""

    def change(panel: Panel) -> Panel:
        hole = Opening("cable", (290.0, 40.0 + step / 4), (30.0, 30.0), 15.0)
        return replace(panel, openings=(hole,))

    return changed(job, "upright 4", change)


EDITS = {"another reading": measured, "a moved shelf": moved, "a hole in an upright": opened}
"""Edits of one panel of the cabinet, each by a step of its own."""
