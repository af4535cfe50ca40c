"""Square boxes, whole or in part: ring, tray, case, and a pair of panels at one corner.

Axes: x runs left to right, y front to back, z up. Every panel reaches over the whole outer face
of the box, so that two reaches share the prism of a corner and three the block where corners
meet; who owns what is settled later. Face b of every panel is its outside.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.panel import Face, Frame, Grain, Panel
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.model.panel import Vector
    from dryfit.model.stock import Stock

AXES = ("x", "y", "z")
"""The axes of a piece, as the maker writes them."""

AGREED = 0.01
"""Inside and outside sizes that differ by less than this from the stock's thickness agree. [mm]"""

GOOD_FACES: Mapping[str, Face | None] = MappingProxyType(
    {"outside": Face.B, "inside": Face.A, "both": None}
)
"""Which face shows, in the maker's words."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a box: where it lies and who takes precedence.

    `u`, `v` and `n` are the unit vectors of its frame, `n` pointing out of the box.
    """

    name: str
    u: Vector
    v: Vector
    n: Vector
    rank: int

    @property
    def axis(self) -> int:
        """The axis its thickness lies along: 0, 1 or 2 for x, y or z."""
        return _axis(self.n)

    def frame(self, sizes: Vector, thickness: float) -> Frame:
        """Its frame on a box of these outer `sizes` [mm], cut from stock of `thickness` [mm]."""
        origin = [0.0, 0.0, 0.0]
        for axis, size in enumerate(sizes):
            if self.u[axis] < 0 or self.v[axis] < 0:
                origin[axis] = size
            elif self.n[axis]:
                origin[axis] = size - thickness if self.n[axis] > 0 else thickness
        return Frame((origin[0], origin[1], origin[2]), self.u, self.v, self.n)

    @property
    def grains(self) -> dict[str, Grain]:
        """The ways its grain may run, by the maker's word for it."""
        return {AXES[_axis(self.u)]: Grain.U, AXES[_axis(self.v)]: Grain.V, "free": Grain.FREE}


def _axis(vector: Vector) -> int:
    return next(axis for axis, part in enumerate(vector) if part)


_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_MINUS_X, _MINUS_Y, _MINUS_Z = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)

# u runs along the horizontal length of every wall and along x on base and lid, so that the grain
# of solid wood runs along u unless the maker says otherwise.
_FRONT = Side("front", _X, _Z, _MINUS_Y, rank=0)
_BACK = Side("back", _MINUS_X, _Z, _Y, rank=0)
_LEFT = Side("left", _MINUS_Y, _Z, _MINUS_X, rank=1)
_RIGHT = Side("right", _Y, _Z, _X, rank=1)
_BASE = Side("base", _X, _MINUS_Y, _MINUS_Z, rank=2)
_LID = Side("lid", _X, _Y, _Z, rank=2)
_SIDE = Side("side", _MINUS_Y, _Z, _MINUS_X, rank=1)


@dataclass(frozen=True, slots=True)
class Request:
    """What a form is built from.

    Parameters
    ----------
    stocks : mapping of str to Stock
        The stock of each panel.
    outside, inside : triple of float, optional
        Sizes along x, y and z; one of them is enough. [mm]
    grains : mapping of str to str
        ``x``, ``y``, ``z`` or ``free`` for panels where the maker said so.
    good_faces : mapping of str to str
        ``outside``, ``inside`` or ``both`` for panels where the maker said so.
    unit : str
        The unit to speak of sizes in.
    """

    stocks: Mapping[str, Stock]
    outside: Vector | None = None
    inside: Vector | None = None
    grains: Mapping[str, str] = field(default_factory=dict)
    good_faces: Mapping[str, str] = field(default_factory=dict)
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class Form:
    """A ready-made piece: its name, what it is, and its sides."""

    name: str
    meaning: str
    sides: tuple[Side, ...]

    @property
    def panels(self) -> tuple[str, ...]:
        """The names of its panels."""
        return tuple(side.name for side in self.sides)

    def side(self, name: str) -> Side:
        """The side of that name.

        Raises
        ------
        KeyError
            If the form has no such side.
        """
        return {side.name: side for side in self.sides}[name]

    def meet(self, one: str, other: str) -> bool:
        """Whether two of its panels share a corner."""
        return self.side(one).axis != self.side(other).axis

    def corner_axis(self, one: str, other: str) -> int:
        """The axis that the corner of two panels runs along: 0, 1 or 2 for x, y or z."""
        return 3 - self.side(one).axis - self.side(other).axis

    def across(self, axis: int) -> tuple[str, ...]:
        """The panels whose thickness lies along an axis."""
        return tuple(side.name for side in self.sides if side.axis == axis)

    def build(self, request: Request) -> tuple[Panel, ...]:
        """The panels in place.

        Raises
        ------
        SizeError
            If the box is thinner than its stock, or inside and outside sizes contradict.
        KeyError
            If a panel has no stock, or grain or good face is a word the panel does not know.
        """
        sizes = self.outer_sizes(request)
        return tuple(_panel(side, sizes, request) for side in self.sides)

    def outer_sizes(self, request: Request) -> Vector:
        """Outer sizes along x, y and z. [mm]

        Raises
        ------
        SizeError
            If the box is thinner than its stock, or inside and outside sizes contradict.
        """
        taken = self._taken(request)
        if request.outside is None:
            inside = request.inside
            if inside is None:
                raise SizeError("no size is given; give outside or inside", ("piece",))
            return (inside[0] + taken[0], inside[1] + taken[1], inside[2] + taken[2])
        for axis, size in enumerate(request.outside):
            self._check_room(axis, size, taken[axis], request.unit)
            if request.inside is not None:
                _check_inside(axis, size, taken[axis], request.inside[axis], request.unit)
        return request.outside

    def _taken(self, request: Request) -> Vector:
        """What the panels' thickness takes of each axis. [mm]"""
        x, y, z = (
            sum(request.stocks[name].thickness for name in self.across(axis)) for axis in range(3)
        )
        return (x, y, z)

    def _check_room(self, axis: int, size: float, taken: float, unit: str) -> None:
        if size > taken:
            return
        have, need = show_length(size, unit), show_length(taken, unit)
        names = self.across(axis)
        verb = "takes" if len(names) == 1 else "take"
        raise SizeError(
            f"the box is {have} along {AXES[axis]}, but {' and '.join(names)} alone {verb} "
            f"{need}; make it more than {need} or use thinner stock",
            ("piece", "outside"),
        )


def _check_inside(axis: int, outer: float, taken: float, inner: float, unit: str) -> None:
    if abs(outer - taken - inner) <= AGREED:
        return
    if inner >= outer:
        against = f"no less than the outside of {show_length(outer, unit)}"
    else:
        left = show_length(outer - taken, unit)
        against = f"but the outside of {show_length(outer, unit)} leaves {left}"
    raise SizeError(
        f"inside is {show_length(inner, unit)} along {AXES[axis]}, {against}; "
        "give only one of inside and outside, the other follows from the stock",
        ("piece", "inside"),
    )


def _panel(side: Side, sizes: Vector, request: Request) -> Panel:
    stock = request.stocks[side.name]
    word = request.grains.get(side.name)
    usual = Grain.U if stock.material.solid else Grain.FREE
    return Panel(
        name=side.name,
        frame=side.frame(sizes, stock.thickness),
        width=sizes[_axis(side.u)],
        height=sizes[_axis(side.v)],
        stock=stock,
        good_face=GOOD_FACES[request.good_faces.get(side.name, "outside")],
        grain=usual if word is None else side.grains[word],
        rank=side.rank,
    )


_WALLS = (_FRONT, _BACK, _LEFT, _RIGHT)

FORMS: Mapping[str, Form] = MappingProxyType(
    {
        form.name: form
        for form in (
            Form("ring", "four walls", _WALLS),
            Form("tray", "four walls and a base", (*_WALLS, _BASE)),
            Form("case", "closed: four walls, base and lid", (*_WALLS, _BASE, _LID)),
            Form("pair", "front and side meeting at one corner", (_FRONT, _SIDE)),
        )
    }
)
"""Every form by name."""
