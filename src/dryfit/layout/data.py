"""A layout as data: what is to be laid, and what lies where.

Vocabulary
----------
item
    What is laid as one: a part, or parts that are cut in sequence from one strip.
box
    The upright rectangle round a part as it lies.
turned
    Quarter turns counter-clockwise from the part's own drawing, after it was turned over where its
    face a looks up.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from dryfit.model.panel import Face

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.sheets import Sheet

Matrix = tuple[tuple[float, float], tuple[float, float]]

_TURNS: tuple[Matrix, ...] = (
    ((1.0, 0.0), (0.0, 1.0)),
    ((0.0, -1.0), (1.0, 0.0)),
    ((-1.0, 0.0), (0.0, -1.0)),
    ((0.0, 1.0), (-1.0, 0.0)),
)


@dataclass(frozen=True, slots=True)
class Key:
    """Which part of which piece: the job and the piece are counted from 1."""

    part: str
    piece: int = 1
    job: int = 1


@dataclass(frozen=True, slots=True)
class Member:
    """A part of an item, and where its box lies in the item's when that is not turned.

    Parameters
    ----------
    key : Key
        Which part.
    x, y : float
        Lower left corner of its box in the item's. [mm]
    width, height : float
        Size of its box in the item. [mm]
    turned : int
        Its own quarter turns in the item. [-]
    """

    key: Key
    x: float
    y: float
    width: float
    height: float
    turned: int = 0


@dataclass(frozen=True, slots=True)
class Item:
    """What is laid as one.

    Parameters
    ----------
    width, height : float
        Its box when it is not turned, without spacing. [mm]
    turns : tuple of int
        Quarter turns that it may be laid with. [-]
    members : tuple of Member
        The parts of it; one, unless they are cut in sequence.
    up : Face
        The face of its parts that looks up.
    outline : tuple of pair of float
        Corners of its outline within its box, face `up` towards you and not turned,
        counter-clockwise; empty where its box stands for it. [mm]
    """

    width: float
    height: float
    turns: tuple[int, ...]
    members: tuple[Member, ...]
    up: Face = Face.B
    outline: tuple[tuple[float, float], ...] = ()

    @property
    def name(self) -> str:
        """The names of its parts."""
        return " + ".join(member.key.part for member in self.members)

    def size(self, turned: int) -> tuple[float, float]:
        """Its box when it is turned. [mm]"""
        return (self.height, self.width) if turned % 2 else (self.width, self.height)


@dataclass(frozen=True, slots=True)
class Placed:
    """A part in its place on a sheet.

    Parameters
    ----------
    key : Key
        Which part of which piece and job.
    x, y : float
        Lower left corner of its box, from the lower left corner of the sheet. [mm]
    width, height : float
        Size of its box as it lies. [mm]
    turned : int
        Quarter turns counter-clockwise, 0 to 3. [-]
    up : Face
        The face that looks up: with face b the part lies as its drawing shows it; with face a it is
        turned over about its v axis first.
    """

    key: Key
    x: float
    y: float
    width: float
    height: float
    turned: int = 0
    up: Face = Face.B

    @property
    def part(self) -> str:
        """The panel's name."""
        return self.key.part

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Low x, low y, high x, high y. [mm]"""
        return self.x, self.y, self.x + self.width, self.y + self.height

    def motion(
        self, bounds: tuple[float, float, float, float]
    ) -> tuple[Matrix, tuple[float, float]]:
        """Matrix and shift [mm] that carry the part's own (u, v) to the sheet.

        Parameters
        ----------
        bounds : tuple of float
            Bounds of the part's outline to cut, ``part.profile.bounds``. [mm]
        """
        matrix = laid_matrix(self.turned, self.up)
        corners = [(u, v) for u in bounds[::2] for v in bounds[1::2]]
        low_x, low_y = (min(row[0] * u + row[1] * v for u, v in corners) for row in matrix)
        return matrix, (self.x - low_x, self.y - low_y)


def laid_matrix(turned: int, up: Face) -> Matrix:
    """The matrix of a part's own (u, v) as it lies: turned over for face a, then turned."""
    (a, b), (c, d) = _TURNS[turned % 4]
    return ((-a, b), (-c, d)) if up is Face.A else ((a, b), (c, d))


@dataclass(frozen=True, slots=True)
class LaidSheet:
    """One sheet and the parts on it; `number` counts those of the same kind from 1."""

    sheet: Sheet
    number: int
    placed: tuple[Placed, ...]

    @property
    def name(self) -> str:
        """The sheet's name, numbered where there are several."""
        return self.sheet.name if self.sheet.count == 1 else f"{self.sheet.name} {self.number}"


@dataclass(frozen=True, slots=True)
class Layout:
    """Parts of one stock on sheets.

    Parameters
    ----------
    stock : str
        Name of the stock.
    sheets : tuple of LaidSheet
        The sheets in use, offcuts first, the least full last.
    unplaced : tuple of Item
        What no sheet had room for.
    engine : str
        What found it.
    """

    stock: str
    sheets: tuple[LaidSheet, ...] = ()
    unplaced: tuple[Item, ...] = ()
    engine: str = field(default="greedy", compare=False)

    @property
    def placed(self) -> tuple[Placed, ...]:
        """Every part that lies on a sheet."""
        return tuple(placed for laid in self.sheets for placed in laid.placed)

    @property
    def bought(self) -> int:
        """How many of the sheets have to be bought."""
        return sum(laid.sheet.to_buy for laid in self.sheets)

    @property
    def cost(self) -> float:
        """What the bought sheets cost; those without a price count nothing. [-]"""
        return sum(laid.sheet.price or 0.0 for laid in self.sheets if laid.sheet.to_buy)


def placed_members(item: Item, x: float, y: float, turned: int) -> Sequence[Placed]:
    """The parts of an item in their places.

    Parameters
    ----------
    item : Item
        What is placed.
    x, y : float
        Lower left corner of its box. [mm]
    turned : int
        Its quarter turns. [-]
    """
    found = []
    for member in item.members:
        left, low, width, height = member.x, member.y, member.width, member.height
        for turn in range(turned % 4):
            across = item.size(turn)[1]
            left, low, width, height = across - low - height, left, height, width
        key, own = member.key, (member.turned + turned) % 4
        found.append(Placed(key, x + left, y + low, width, height, own, item.up))
    return found
