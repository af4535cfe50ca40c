"""A piece stated as planes and panels.

Vocabulary
----------
plane
    A place along x, y or z under a name: a distance, or one of the equal divisions between two
    other planes.
member
    A panel stated by the plane that it lies on and the planes that it spans between.
boundary
    The lowest and the highest plane along an axis. A panel on a boundary has its outer face there;
    on any other plane its middle, unless `face` says otherwise.
edges
    What a member's edges do where they end at another panel.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from dryfit.model.kind import Kind
from dryfit.model.piece import Wish

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from dryfit.model.opening import KeepOut, Opening, ShapedCorner
    from dryfit.model.piece import Pair
    from dryfit.model.stock import Stock

AXES = ("x", "y", "z")
"""The axes of a piece, as the maker writes them."""

FACES = ("low", "middle", "high")
"""What of a panel may lie on its plane: its face at the low end, its middle, the other face."""


@dataclass(frozen=True, slots=True)
class Plane:
    """A named plane.

    Parameters
    ----------
    name : str
        The maker's name for it.
    axis : int
        0, 1 or 2 for x, y or z.
    at : float, optional
        Where it lies. [mm]
    between : pair of str, optional
        Two planes between which it is one of the equal divisions.
    number, parts : int
        Which division it closes, counted from the lower plane, and how many openings there are.
    """

    name: str
    axis: int
    at: float | None = None
    between: tuple[str, str] | None = None
    number: int = 1
    parts: int = 1


@dataclass(frozen=True, slots=True)
class Member:
    """A panel as the maker states it.

    Parameters
    ----------
    name : str
        Its name.
    on : str
        The plane it lies on.
    between : tuple of str
        Planes it spans between, two of an axis; along an axis of which none is named it spans
        between the boundaries.
    stock : Stock
        What it is cut from.
    face : str
        What of it lies on the plane, of `FACES`; empty for the usual.
    edges : Wish
        How its edges are let into the panels that they end at.
    grain : str
        ``x``, ``y``, ``z`` or ``free``; empty for the usual.
    good_face : str
        ``outside``, ``inside`` or ``both``; empty for the usual.
    openings, keep_outs, shaped : tuple
        Holes through it, places where nothing is cut, and corners that are shaped.
    """

    name: str
    on: str
    stock: Stock
    between: tuple[str, ...] = ()
    face: str = ""
    edges: Wish = field(default_factory=Wish)
    grain: str = ""
    good_face: str = ""
    openings: tuple[Opening, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    shaped: tuple[ShapedCorner, ...] = ()


@dataclass(frozen=True)
class Layout:
    """A whole piece as planes and members, with what is wished of single joints.

    `tee` is the joint that an edge makes in a face where nobody says anything, `through` whether
    trenches then run out through the ends of their panels.
    """

    planes: tuple[Plane, ...]
    members: tuple[Member, ...]
    wishes: Mapping[Pair, Wish] = field(default_factory=dict)
    tee: Kind = Kind.TENON
    through: bool = False
    unit: str = "mm"


def divided(name: str, axis: int, between: tuple[str, str], parts: int) -> Iterator[Plane]:
    """The planes that divide the space between two others into equal clear openings.

    Named `name` where there is one, else `name 1`, `name 2` and so on.
    """
    for number in range(1, parts):
        own = name if parts == 2 else f"{name} {number}"
        yield Plane(own, axis, None, between, number, parts)
