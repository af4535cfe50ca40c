"""What a form is: a ready-made piece that is written as planes and members.

Axes: x runs left to right, y front to back, z up. Walls reach over the whole outer face of the
box, so that two reaches share the prism of a corner and three the block where corners meet; who
owns what is settled later.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

from dryfit.errors import SizeError
from dryfit.materials.sheets import MATERIALS
from dryfit.model.piece import Wish
from dryfit.model.planes import AXES, Layout, Member, Plane, divided
from dryfit.model.reach import reach
from dryfit.model.stock import Stock
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from dryfit.model.kind import Kind
    from dryfit.model.panel import Panel, Vector
    from dryfit.model.piece import Pair

AGREED = 0.01
"""Inside and outside sizes that differ by less than this from the stock's thickness agree. [mm]"""

Option: TypeAlias = "str | bool | int | float | tuple[float, ...]"
Options: TypeAlias = "Mapping[str, Option]"

NOTHING: Options = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Request:
    """What a form is built from.

    Parameters
    ----------
    stocks : mapping of str to Stock
        The stock of each panel.
    outside, inside : triple of float, optional
        Sizes along x, y and z; one of them is enough. [mm]
    options : mapping of str to value
        What the form leaves to choose, by the names in :attr:`Form.options`; lengths in mm.
    unit : str
        The unit to speak of sizes in.
    swell : float
        How much walls grow upward after they are cut, where the program has to allow for it. [-]
    """

    stocks: Mapping[str, Stock]
    outside: Vector | None = None
    inside: Vector | None = None
    options: Options = field(default_factory=dict)
    unit: str = "mm"
    swell: float = 0.0

    def thickness(self, *names: str) -> float:
        """Thickness of some panels together. [mm]"""
        return sum(self.stocks[name].thickness for name in names)

    def length(self, name: str, usual: float) -> float:
        """A length among the options. [mm]

        Parameters
        ----------
        name : str
            Its name.
        usual : float
            What holds where it is not given. [mm]
        """
        value = self.options.get(name, usual)
        assert isinstance(value, float | int)
        return float(value)

    def count(self, name: str) -> int:
        """A whole number among the options; 0 where it is not given."""
        return count(self.options, name)


def count(options: Options, name: str) -> int:
    """A whole number among the options; 0 where it is not given."""
    value = options.get(name, 0)
    assert isinstance(value, int)
    return value


def several(name: str, number: int) -> tuple[str, ...]:
    """Names of a family of panels: ``shelf``, or ``shelf 1``, ``shelf 2`` and so on."""
    return (name,) if number == 1 else tuple(f"{name} {k + 1}" for k in range(number))


def box_planes(sizes: Vector) -> list[Plane]:
    """The six outer planes of a box of these `sizes` [mm]."""
    x, y, z = sizes
    return [
        Plane("left", 0, 0.0), Plane("right", 0, x), Plane("front", 1, 0.0), Plane("back", 1, y),
        Plane("bottom", 2, 0.0), Plane("top", 2, z),
    ]  # fmt: skip


def let(kind: Kind, clearance: float | None = None) -> Wish:
    """How an edge is let in; a running fit with its `clearance` [mm]."""
    return Wish(kind=kind, clearance=clearance)


@dataclass
class Builder:
    """Gathers the planes, members and wishes of a form."""

    request: Request
    planes: list[Plane]
    members: list[Member] = field(default_factory=list)
    wishes: dict[Pair, Wish] = field(default_factory=dict)

    def add(self, name: str, on: str, between: tuple[str, ...] = (), face: str = "",
            edges: Wish | None = None) -> None:  # fmt: skip
        """Add a member."""
        stock = self.request.stocks[name]
        self.members.append(Member(name, on, stock, between, face, edges or Wish()))

    def add_several(self, name: str, number: int, axis: int, between: tuple[str, str],
                    spans: tuple[str, ...] = ()) -> None:  # fmt: skip
        """Add planes of equal openings between two others, and a member on each."""
        self.planes += divided(name, axis, between, number + 1)
        for own in several(name, number) if number else ():
            self.add(own, own, spans)

    def wish(self, one: str, other: str, wish: Wish) -> None:
        """Wish something of one joint."""
        self.wishes[frozenset((one, other))] = wish

    def layout(self) -> Layout:
        """What was gathered."""
        return Layout(tuple(self.planes), tuple(self.members), self.wishes, unit=self.request.unit)


@dataclass(frozen=True, slots=True)
class Form:
    """A ready-made piece.

    Parameters
    ----------
    name : str
        What the maker calls it.
    meaning : str
        What it is, in a few words.
    options : tuple of str
        What it leaves to choose.
    names : callable
        The names of its panels for given options.
    taken : callable
        What stands between the outside and the inside along each axis: names of the panels, and a
        length beside them. [mm]
    draft : callable
        Its planes and members for a request and outer sizes.
    sized : callable, optional
        Outer sizes from the options, where the form has a way of its own to state them. [mm]
    """

    name: str
    meaning: str
    options: tuple[str, ...]
    names: Callable[[Options], tuple[str, ...]]
    taken: Callable[[Request], tuple[Taken, Taken, Taken]]
    draft: Callable[[Request, Vector], Layout]
    sized: Callable[[Request], Vector | None] | None = None

    @property
    def panels(self) -> tuple[str, ...]:
        """The names of its panels where nothing is chosen."""
        return self.names(NOTHING)

    def axes(self, options: Options) -> dict[str, int]:
        """The axis that each panel's thickness lies along: 0, 1 or 2 for x, y or z."""
        stock = Stock("any", MATERIALS["plywood"], 1.0)
        request = Request(dict.fromkeys(self.names(options), stock), options=options)
        layout = self.draft(request, (1e4, 1e4, 1e4))
        planes = {plane.name: plane.axis for plane in layout.planes}
        return {member.name: planes[member.on] for member in layout.members}

    def layout(self, request: Request) -> Layout:
        """The piece as planes and members.

        Raises
        ------
        SizeError
            If the box is thinner than its stock, or inside and outside sizes contradict.
        KeyError
            If a panel has no stock.
        """
        return self.draft(request, self.outer_sizes(request))

    def build(self, request: Request) -> tuple[Panel, ...]:
        """The panels in place; raises what :meth:`layout` and `reach` raise."""
        return reach(self.layout(request)).panels

    def outer_sizes(self, request: Request) -> Vector:
        """Outer sizes along x, y and z. [mm]

        Raises
        ------
        SizeError
            If the box is thinner than its stock, or inside and outside sizes contradict.
        """
        taken = self.taken(request)
        own = self.sized(request) if self.sized is not None else None
        outside = own or request.outside
        if outside is None:
            inside = request.inside
            if inside is None:
                raise SizeError("no size is given; give outside or inside", ("piece",))
            x, y, z = (
                size + each.length(request) for size, each in zip(inside, taken, strict=True)
            )
            return (x, y, z)
        for axis, size in enumerate(outside):
            _check_room(axis, size, taken[axis], request)
            if request.inside is not None:
                _check_inside(axis, size, taken[axis].length(request), request)
        return outside


@dataclass(frozen=True, slots=True)
class Taken:
    """What stands between outside and inside along one axis: panels, and a length. [mm]"""

    names: Sequence[str] = ()
    beside: float = 0.0

    def length(self, request: Request) -> float:
        """Thickness of the panels and what stands beside them. [mm]"""
        return request.thickness(*self.names) + self.beside


def _check_room(axis: int, size: float, taken: Taken, request: Request) -> None:
    if size > taken.length(request):
        return
    unit = request.unit
    have, need = show_length(size, unit), show_length(taken.length(request), unit)
    verb = "takes" if len(taken.names) == 1 else "take"
    raise SizeError(
        f"the box is {have} along {AXES[axis]}, but {' and '.join(taken.names)} alone {verb} "
        f"{need}; make it more than {need} or use thinner stock",
        ("piece", "outside"),
    )


def _check_inside(axis: int, outer: float, taken: float, request: Request) -> None:
    assert request.inside is not None
    inner, unit = request.inside[axis], request.unit
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
