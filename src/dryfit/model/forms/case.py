"""Cases, closed or open, with shelves and uprights; and a stand of frames and rails."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.forms.boxes import WALLS, ring_taken
from dryfit.model.forms.form import Builder, Form, Taken, box_planes, count, let, several
from dryfit.model.kind import Kind
from dryfit.model.opening import Opening
from dryfit.model.piece import Wish
from dryfit.model.planes import Member, Plane

if TYPE_CHECKING:
    from dryfit.model.forms.form import Options, Request
    from dryfit.model.panel import Vector
    from dryfit.model.planes import Layout

BACKS = ("finger", "rebate", "groove", "none")
"""How the back of a case is held."""

BACK_INSET = 9.0
"""How far in from the rear edges a grooved back lies (common practice). [mm]"""

RAIL = 60.0
"""Width of the legs and rails of a stand, where nothing is asked. [mm]"""


def _case_names(options: Options) -> tuple[str, ...]:
    shelves, uprights = count(options, "shelves"), count(options, "uprights")
    walls = tuple(
        name
        for name in WALLS
        if not (name == "front" and options.get("open"))
        and not (name == "back" and options.get("back") == "none")
    )
    return (
        *walls, "base", "lid",
        *(several("shelf", shelves) if shelves else ()),
        *(several("upright", uprights) if uprights else ()),
    )  # fmt: skip


def _case_taken(request: Request) -> tuple[Taken, Taken, Taken]:
    x, _, _ = ring_taken(request)
    names = _case_names(request.options)
    y = tuple(name for name in ("front", "back") if name in names)
    beside = BACK_INSET if request.options.get("back") == "groove" else 0.0
    return x, Taken(y, request.length("inset", beside)), Taken(("base", "lid"))


def _case(request: Request, sizes: Vector) -> Layout:
    made = Builder(request, box_planes(sizes))
    names = _case_names(request.options)
    for name in names[: names.index("base")]:
        if name == "back":
            _back(made, sizes)
        else:
            made.add(name, name)
    made.add("base", "bottom")
    made.add("lid", "top")
    spans = ("front", "back")
    made.add_several("shelf", request.count("shelves"), 2, ("bottom", "top"), spans)
    made.add_several("upright", request.count("uprights"), 0, ("left", "right"), spans)
    if request.options.get("back", "finger") in ("finger", "none"):
        return made.layout()
    for name in names[names.index("lid") + 1 :]:
        # A thin back is no place for a trench: what stands before it stops at its face.
        made.wish(name, "back", Wish(kind=Kind.BUTT))
    return made.layout()


def _back(made: Builder, sizes: Vector) -> None:
    """Add the back in the way it is held."""
    way = made.request.options.get("back", "finger")
    if way != "groove":
        made.add("back", "back", edges=let(Kind.REBATE) if way == "rebate" else None)
        return
    inset = made.request.length("inset", BACK_INSET)
    made.planes[3] = Plane("rear", 1, sizes[1])
    made.planes.append(Plane("back", 1, sizes[1] - inset))
    made.add("back", "back", face="high", edges=let(Kind.GROOVE))


def _stand_names(_: Options) -> tuple[str, ...]:
    return ("left", "right", "front rail", "back rail", "low rail")


def _stand_taken(_: Request) -> tuple[Taken, Taken, Taken]:
    return Taken(("left", "right")), Taken(("front rail", "back rail")), Taken()


def _stand(request: Request, sizes: Vector) -> Layout:
    """Two end frames, each cut in one piece as legs and rails, joined by three rails."""
    made = Builder(request, box_planes(sizes))
    wide = request.length("rail", RAIL)
    window = sizes[1] - 2 * wide, sizes[2] - 2 * wide
    radius = min(wide / 3, *(side / 2 for side in window))
    for name in ("left", "right"):
        made.members.append(
            Member(
                name, name, request.stocks[name],
                openings=(Opening(f"{name} window", None, window, radius),),
            )
        )  # fmt: skip
    made.planes += [
        Plane("under rail", 2, sizes[2] - wide), Plane("over low rail", 2, 0.9 * wide),
        Plane("middle", 1, sizes[1] / 2),
    ]  # fmt: skip
    made.add("front rail", "front", ("under rail", "top"))
    made.add("back rail", "back", ("under rail", "top"))
    made.add("low rail", "middle", ("bottom", "over low rail"))
    return made.layout()


CASES = (
    Form(
        "case", "closed, or open at the front, with shelves and uprights",
        ("open", "back", "shelves", "uprights", "inset"), _case_names, _case_taken, _case,
    ),
    Form(
        "stand", "an open frame: two ends cut as legs and rails, joined by three rails",
        ("rail",), _stand_names, _stand_taken, _stand,
    ),
)  # fmt: skip
"""The forms of this module."""
