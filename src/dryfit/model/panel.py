"""Panels and the frames they lie in.

A panel's *frame* has an origin and three unit vectors u, v, n, right-handed. Its *reach* fills
``0..width`` along u, ``0..height`` along v and ``0..thickness`` along n. Face *a* lies at n = 0,
face *b* at n = thickness; forms turn n outward, so that b is the outside of a box.

A panel that is no rectangle has an *outline*: the corners of its outside, face b. Its reach is that
polygon as deep as the panel is thick, its edges square to its faces.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.model.opening import KeepOut, Opening, ShapedCorner
    from dryfit.model.stock import Stock

Vector = tuple[float, float, float]


class Face(StrEnum):
    """The two faces of a panel."""

    A = "a"
    B = "b"


class Grain(StrEnum):
    """The way the grain runs in the panel's own frame."""

    U = "u"
    V = "v"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Frame:
    """Origin [mm] and unit vectors of a panel in the piece."""

    origin: Vector
    u: Vector
    v: Vector
    n: Vector


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat member of the piece, before its joints are cut.

    Parameters
    ----------
    name : str
        The maker's name for it, unique in the piece.
    frame : Frame
        Where it lies.
    width, height : float
        Its reach along u and v; of an outline, the box round it. [mm]
    stock : Stock
        What it is cut from; carries the panel's own readings where it has some.
    good_face : Face, optional
        The face that shows; None where both faces are alike.
    grain : Grain
        The way the grain runs; ``free`` where it has none or does not matter.
    rank : int
        Who takes precedence where a choice is free: the panel with the smaller rank leads.
    openings, keep_outs, shaped : tuple
        Holes through it, places where nothing is cut, and corners that are shaped.
    outline : tuple of pair of float
        Corners (u, v) of face b, counter-clockwise and convex, within width and height; empty for
        a rectangle. [mm]
    """

    name: str
    frame: Frame
    width: float
    height: float
    stock: Stock
    good_face: Face | None = None
    grain: Grain = Grain.FREE
    rank: int = 0
    openings: tuple[Opening, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    shaped: tuple[ShapedCorner, ...] = ()
    outline: tuple[tuple[float, float], ...] = ()

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Corners (u, v) of face b, counter-clockwise; side k begins at corner k. [mm]"""
        return self.outline or (
            (0.0, 0.0),
            (self.width, 0.0),
            (self.width, self.height),
            (0.0, self.height),
        )

    @property
    def thickness(self) -> float:
        """Mean thickness of its stock. [mm]"""
        return self.stock.thickness
