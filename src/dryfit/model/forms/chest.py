"""Boxes with a captive bottom: a chest with its lid, and a drawer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.forms.boxes import WALLS, ring_taken, walled
from dryfit.model.forms.form import Builder, Form, Taken, let
from dryfit.model.kind import Kind
from dryfit.model.piece import Wish
from dryfit.model.planes import Member, Plane
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.model.forms.form import Options, Request
    from dryfit.model.panel import Vector
    from dryfit.model.planes import Layout

INSET = 6.0
"""How far a captive bottom lies above the edge, where nothing is asked (common practice). [mm]"""

CLEATS = 30.0
"""Width of the cleats under a lid, where nothing is asked (common practice). [mm]"""

SLACK = 0.25
"""Air at each face of a lid that slides in its groove (common practice). [mm]"""

LIDS = ("lip", "cleats", "sliding")
"""Lids of a chest: lifted off, with an inner lip or two cleats; or sliding in grooves."""


def _under_lid(options: Options) -> tuple[str, ...]:
    lid = options.get("lid", "lip")
    return {"lip": ("lip",), "cleats": ("cleat left", "cleat right")}.get(str(lid), ())


def _names(options: Options) -> tuple[str, ...]:
    return (*WALLS, "base", "lid", *_under_lid(options))


def _taken(request: Request) -> tuple[Taken, Taken, Taken]:
    x, y, _ = ring_taken(request)
    beside = request.length("inset", INSET)
    sliding = request.options.get("lid") == "sliding"
    return x, y, Taken(("base", "lid"), beside + (_above(request) if sliding else 0.0))


def _above(request: Request) -> float:
    """How much of the walls stands over a sliding lid. [mm]"""
    return request.length("above", INSET)


def _chest(request: Request, sizes: Vector) -> Layout:
    made = walled(request, sizes)
    made.planes.append(Plane("base", 2, request.length("inset", INSET)))
    made.add("base", "base", face="low", edges=let(Kind.GROOVE))
    if request.options.get("lid") == "sliding":
        _slide(made, sizes[2])
    else:
        _lift_off(made, sizes[2])
    return made.layout()


def _slide(made: Builder, height: float) -> None:
    """A lid in grooves of three walls; the front ends under it."""
    request = made.request
    made.planes.append(Plane("lid", 2, height - _above(request)))
    made.add("lid", "lid", face="high", edges=let(Kind.GROOVE))
    for wall in WALLS[1:]:
        made.wish(wall, "lid", Wish(flank_gap=SLACK))
    front = next(k for k, member in enumerate(made.members) if member.name == "front")
    stock = request.stocks["front"]
    made.members[front] = Member("front", "front", stock, ("bottom", "lid"))
    made.wish("front", "lid", Wish(kind=Kind.RUNNING, leads="lid"))


def _lift_off(made: Builder, height: float) -> None:
    """A lid that lies on the walls, kept in place by a lip or by cleats inside them."""
    request = made.request
    made.add("lid", "top")
    for wall in WALLS:
        made.wish(wall, "lid", Wish(kind=Kind.BUTT, leads="lid"))
    made.planes.append(Plane("under lid", 2, height - request.thickness("lid")))
    air = let(Kind.RUNNING, clearance=request.length("clearance", 0.5))
    if request.options.get("lid") == "cleats":
        wide = request.length("cleat", CLEATS)
        outer = made.planes[1].at or 0.0
        made.planes.append(Plane("cleat left", 0, request.thickness("left") + wide))
        made.planes.append(Plane("cleat right", 0, outer - request.thickness("right") - wide))
        made.add("cleat left", "under lid", ("left", "cleat left"), "high", air)
        made.add("cleat right", "under lid", ("cleat right", "right"), "high", air)
    else:
        made.add("lip", "under lid", face="high", edges=air)


def _drawer_taken(request: Request) -> tuple[Taken, Taken, Taken]:
    x, y, _ = ring_taken(request)
    return x, y, Taken(("base",), request.length("inset", INSET))


def _from_opening(request: Request) -> Vector | None:
    """Outer sizes of a drawer for its opening, less its air, its coats and its seasons. [mm]"""
    opening = request.options.get("opening")
    if opening is None:
        return None
    assert isinstance(opening, tuple)
    coat = 2 * request.length("coat", 0.0)
    sides = 2 * request.length("side_clearance", 1.0) + coat
    top = request.length("top_clearance", 2.0) + coat + request.length("season", 0.0)
    back = request.length("back_clearance", 0.0)
    x, y, z = (size - less for size, less in zip(opening, (sides, back, top), strict=True))
    z /= 1 + request.swell
    if min(x, y, z) <= 0:
        unit = request.unit
        raise SizeError(
            f"the opening leaves a drawer of {show_length(x, unit)} by {show_length(y, unit)} by "
            f"{show_length(z, unit)}; make the opening larger or the clearances less",
            ("piece", "opening"),
        )
    return x, y, z


def _drawer(request: Request, sizes: Vector) -> Layout:
    """The bottom slides in under the back and sits in grooves of the other three walls."""
    made = walled(request, sizes)
    made.planes.append(Plane("base", 2, request.length("inset", INSET)))
    made.add("base", "base", face="low", edges=let(Kind.GROOVE))
    back = next(k for k, member in enumerate(made.members) if member.name == "back")
    made.members[back] = Member("back", "back", request.stocks["back"], ("base", "top"))
    made.wish("back", "base", Wish(kind=Kind.BUTT, leads="base"))
    return made.layout()


CHESTS = (
    Form(
        "chest", "four walls, a captive base, and a lid that lifts off or slides",
        ("lid", "inset", "above", "clearance", "cleat"), _names, _taken, _chest,
    ),
    Form(
        "drawer", "four walls and a base in grooves under the back",
        ("opening", "side_clearance", "top_clearance", "back_clearance", "coat", "season", "inset"),
        lambda _: (*WALLS, "base"), _drawer_taken, _drawer, _from_opening,
    ),
)  # fmt: skip
"""The forms of this module."""
