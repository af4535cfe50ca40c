"""Jobs whose parts go together in no order, each held by another kind of joint.

A pinwheel is four walls of which each is let into the face of the next: no wall leaves by itself,
but two and two part along x or y. What crosses both ways locks it.
"""

from __future__ import annotations

_HEAD = """format = 1
title = "{title}"

[stock.ply]
material = "birch plywood"
nominal = 12
readings = [11.9, 12.0, 11.95, 12.02, 11.98]

[cutter]
kind = "{cutter}"
{size}

[fingers]
width = {width}
flank_gap = 0.1
"""

_PINWHEEL = """
[plane.west]
x = 60
[plane.east]
x = 360
[plane.west_end]
x = 0
[plane.east_end]
x = 420
[plane.south]
y = 60
[plane.north]
y = 260
[plane.south_end]
y = 0
[plane.north_end]
y = 320
[plane.low]
z = 0
[plane.high]
z = 120

[panel.north]
on = "north"
between = ["west_end", "east"]
edges = "{edges}"
[panel.east]
on = "east"
between = ["south", "north_end"]
edges = "{edges}"
[panel.south]
on = "south"
between = ["west", "east_end"]
edges = "{edges}"
[panel.west]
on = "west"
between = ["south_end", "north"]
edges = "{edges}"
"""

_FLOOR = """
[plane.floor]
z = 30
[panel.floor]
on = "floor"
between = ["west", "east", "south", "north"]
edges = "{edges}"
{more}
"""

_GRID = """
[plane.left]
x = 0
[plane.one]
x = 100
[plane.two]
x = 200
[plane.right]
x = 300
[plane.front]
y = 0
[plane.a]
y = 100
[plane.b]
y = 200
[plane.back]
y = 300
[plane.low]
z = 0
[plane.high]
z = 60

[panel.one]
on = "one"
between = ["front", "back"]
[panel.two]
on = "two"
between = ["front", "back"]
[panel.a]
on = "a"
between = ["left", "right"]
[panel.b]
on = "b"
between = ["left", "right"]
{leads}
"""


def head(title: str, cutter: str = "router", width: int = 15) -> str:
    size = {"router": 'diameter = 3.175\nrelief = "diagonal"', "laser": "kerf = 0.2", "hand": ""}
    return _HEAD.format(title=title, cutter=cutter, size=size[cutter], width=width)


def pinwheel(edges: str = "housing", floor: str = "", more: str = "") -> str:
    text = head("Pinwheel") + _PINWHEEL.format(edges=edges)
    return text + (_FLOOR.format(edges=floor, more=more) if floor else "")


def woven(leads: str) -> str:
    return head("Woven dividers") + _GRID.format(leads=leads)


WEAVE = "".join(
    f'[joint."{one}+{other}"]\nleads = "{lead}"\n'
    for one, other, lead in (
        ("one", "a", "one"), ("one", "b", "b"), ("two", "a", "a"), ("two", "b", "two"),
    )
)  # fmt: skip

LOCKED = {
    "a bottom in stopped grooves": pinwheel("tenon", "groove", "depth = 3"),
    "a bottom on tenons": pinwheel("housing", "tenon"),
    "a bottom in stopped housings": pinwheel("tenon", "housing", "stop = 20"),
    "a bottom in stopped rebates": pinwheel("tenon", "rebate", "depth = 3"),
    "woven dividers": woven(WEAVE),
}
"""Jobs that nothing brings together, by what locks them."""
