"""New job files, with comments, ready to be read and changed."""

from __future__ import annotations

from dataclasses import dataclass
from string import Template
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.faults import dotted, nearest, shown
from dryfit.model.forms import ALL

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class _Start:
    """What a new job of a form begins with: title, size line, option lines, a joint to name."""

    title: str
    size: str
    options: str = ""
    joint: str = "front+left"
    panel: str = "front"
    thin: str = ""
    grain: str = "x"


_STARTS: Mapping[str, _Start] = MappingProxyType(
    {
        "ring": _Start("Frame for a tool chest", "outside = [420, 260, 180]"),
        "tray": _Start("Type tray", "outside = [330, 220, 70]"),
        "case": _Start(
            "Case for paper", "outside = [310, 230, 90]",
            "# open = true          # without a front\n"
            '# back = "rebate"      # finger, rebate, groove or none\n'
            "# shelves = 2\n# uprights = 1\n",
        ),
        "pair": _Start("Corner to try", "outside = [300, 200, 120]", joint="front+side"),
        "crate": _Start(
            "Crate for boards", "outside = [400, 300, 120]",
            "along = 1              # dividers along x\n"
            "across = 3             # dividers along y\n",
        ),
        "chest": _Start(
            "Tool chest", "outside = [420, 260, 180]",
            'lid = "lip"            # lip, cleats or sliding\n'
            "inset = 6              # how far the base lies above the lower edge\n",
            thin="base",
        ),
        "drawer": _Start(
            "Drawer for paper", "opening = [460, 340, 90]    # the drawer is made to run in it",
            "side_clearance = 1\ntop_clearance = 2\n"
            "coat = 0               # of finish, each face\n",
            thin="base",
        ),
        "stand": _Start(
            "Stand for a case", "outside = [500, 300, 400]",
            "rail = 60              # width of legs and rails\n",
            "left+front rail", "left", grain="y",
        ),
        "many-sided tray": _Start(
            "Six-sided tray for thread", "flats = 240             # square across, outside",
            "sides = 6\nheight = 60\n", "wall 1+wall 2", "wall 1", grain="",
        ),
        "splayed tray": _Start(
            "Splayed tray for offcuts", "outside = [330, 220, 80]    # at the top",
            "splay = 12             # degrees from upright\n", grain="",
        ),
    }
)  # fmt: skip

_TEMPLATE = Template("""\
# $meaning.
# Bare numbers are in the unit below; any length may carry its own: "9 mm", "3/8 in".
format = 1
title = "$title"
unit = "mm"            # mm, cm, in or ft
times = 1              # how many

[piece]
form = "$form"
# x runs left to right, y front to back, z up. Write inside = [...] for inside sizes instead.
$size
$options
[stock.walls]
material = "birch plywood"
nominal = "9 mm"
# Caliper readings where the joints fall, 50 mm in from the edges. Put yours here.
readings = [8.76, 8.81, 8.74, 8.80, 8.79]
$thin
[cutter]
kind = "router"        # router (diameter), laser (kerf), saw (blade) or hand
diameter = 3.175
relief = "flank"    # diagonal, flank, shoulder or none

[fingers]
width = 10             # wanted width of a finger; or count = 7
flank_gap = "auto"     # air at one flank: the least that the odds allow, or 0.05
proud = "auto"         # extra length, sanded flush

# Wishes for one corner, and for one panel:
# [joint."$joint"]
# count = 7
# leads = "$panel"
#
# [panel.$panel_key]
# good_face = "outside"    # outside, inside or both
$grain""")

_GRAIN = '# grain = "{}"              # x, y, z or free\n'

_THIN = Template("""
[stock.thin]
material = "birch plywood"
nominal = "4 mm"
readings = [3.92, 3.95, 3.90, 3.94, 3.93]

[panel.$panel]
stock = "thin"
""")


def new_job(form: str) -> str:
    """The text of a new job of a form, with comments, ready to be read and changed.

    Raises
    ------
    JobFileError
        If there is no such form.
    """
    if form not in ALL:
        sentence = f"there is no form {shown(form)}; {nearest(form, ALL)}"
        raise JobFileError("new job", (Fault("", 0, sentence),))
    start = _STARTS[form]
    thin = _THIN.substitute(panel=start.thin) if start.thin else ""
    options = start.options + ('stock = "walls"\n' if thin else "")
    return _TEMPLATE.substitute(
        meaning=f"{start.title}: a {form}, {ALL[form].meaning}",
        title=start.title, form=form, size=start.size, options=options, joint=start.joint,
        panel=start.panel,
        thin=thin, panel_key=dotted((start.panel,)),
        grain=_GRAIN.format(start.grain) if start.grain else "",
    )  # fmt: skip
