"""Plain boxes: a ring, a tray, a pair of panels at one corner, and a crate with dividers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.forms.form import Builder, Form, Taken, box_planes, count, several
from dryfit.model.kind import Kind
from dryfit.model.piece import Wish
from dryfit.model.planes import Plane

if TYPE_CHECKING:
    from dryfit.model.forms.form import Options, Request
    from dryfit.model.panel import Vector
    from dryfit.model.planes import Layout

WALLS = ("front", "back", "left", "right")
"""The four walls of a box."""


def walled(request: Request, sizes: Vector, *more: tuple[str, str]) -> Builder:
    """A box with its four walls and `more` panels as (name, plane); sizes [mm]."""
    made = Builder(request, box_planes(sizes))
    for name in WALLS:
        made.add(name, name)
    for name, on in more:
        made.add(name, on)
    return made


def ring_taken(_: Request) -> tuple[Taken, Taken, Taken]:
    """Two walls each way, nothing in height."""
    return Taken(("left", "right")), Taken(("front", "back")), Taken()


def _tray_taken(request: Request) -> tuple[Taken, Taken, Taken]:
    x, y, _ = ring_taken(request)
    return x, y, Taken(("base",))


def _ring(request: Request, sizes: Vector) -> Layout:
    return walled(request, sizes).layout()


def _tray(request: Request, sizes: Vector) -> Layout:
    return walled(request, sizes, ("base", "bottom")).layout()


def _pair(request: Request, sizes: Vector) -> Layout:
    made = Builder(request, box_planes(sizes))
    made.add("front", "front")
    made.add("side", "left")
    return made.layout()


def _crate_names(options: Options) -> tuple[str, ...]:
    along, across = count(options, "along"), count(options, "across")
    return (
        *WALLS, "base",
        *(several("along", along) if along else ()),
        *(several("across", across) if across else ()),
    )  # fmt: skip


def _crate(request: Request, sizes: Vector) -> Layout:
    """Dividers both ways stand on the base, end in the walls and are halved over each other."""
    made = walled(request, sizes, ("base", "bottom"))
    top = (
        sizes[2]
        if "divider" not in request.options
        else (request.thickness("base") + request.length("divider", 0.0))
    )
    spans: tuple[str, ...] = ()
    if top < sizes[2]:
        made.planes.append(_plane("divider top", top))
        spans = ("bottom", "divider top")
    made.add_several("along", request.count("along"), 1, ("front", "back"), spans)
    made.add_several("across", request.count("across"), 0, ("left", "right"), spans)
    for member in made.members[5:]:
        made.wish(member.name, "base", Wish(kind=Kind.BUTT))
    return made.layout()


def _plane(name: str, at: float) -> Plane:
    return Plane(name, 2, at)


BOXES = (
    Form("ring", "four walls", (), lambda _: WALLS, ring_taken, _ring),
    Form("tray", "four walls and a base", (), lambda _: (*WALLS, "base"), _tray_taken, _tray),
    Form(
        "pair", "front and side meeting at one corner", (), lambda _: ("front", "side"),
        lambda _: (Taken(("side",)), Taken(("front",)), Taken()), _pair,
    ),
    Form(
        "crate", "four walls, a base, and dividers both ways that cross",
        ("along", "across", "divider"), _crate_names, _tray_taken, _crate,
    ),
)  # fmt: skip
"""The forms of this module."""
