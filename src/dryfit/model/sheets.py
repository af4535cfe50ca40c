"""Sheets and offcuts to lay parts on, and the rules they are laid by.

Vocabulary
----------
sheet
    A rectangle of stock, its length along x and its width along y, lower left corner at (0, 0).
offcut
    A sheet in hand that is left from earlier work; used before any new one, oldest first.
spacing
    The least distance between two parts as they are drawn.
margin
    The least distance of a part from the edge of its sheet, from a clamp and from a defect.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Rectangle = tuple[float, float, float, float]
"""Low x, low y, high x, high y on a sheet. [mm]"""


class SheetGrain(StrEnum):
    """Which way the grain of a sheet runs: along its length x, across it, or no way at all."""

    ALONG = "along"
    ACROSS = "across"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Sheet:
    """Sheets of one kind: offcuts and sheets in hand, or such as can be bought.

    Parameters
    ----------
    name : str
        The maker's own name for it.
    stock : str
        Name of the stock it is of.
    length, width : float
        Along x and along y. [mm]
    count : int, optional
        How many there are in hand; None where as many can be bought as are needed.
    price : float, optional
        What one costs, in the maker's money; None where it is not stated. [-]
    grain : SheetGrain
        Which way its grain runs.
    defects : tuple of Rectangle
        Places that no part may touch. [mm]
    """

    name: str
    stock: str
    length: float
    width: float
    count: int | None = None
    price: float | None = None
    grain: SheetGrain = SheetGrain.ALONG
    defects: tuple[Rectangle, ...] = ()

    @property
    def to_buy(self) -> bool:
        """Whether it is not in hand and has to be bought."""
        return self.count is None

    @property
    def area(self) -> float:
        """Area of one. [mm²]"""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Lock:
    """A part that the maker has put in its place.

    Parameters
    ----------
    part : str
        Name of the panel.
    sheet : str
        Name of the sheet it lies on.
    number : int
        Which of several such sheets, counted from 1.
    x, y : float
        Where the lower left corner of its box lies. [mm]
    turned : int
        Quarter turns counter-clockwise from the part's own drawing. [-]
    piece : int
        Which of several pieces it belongs to, counted from 1.
    job : int
        Which of several jobs laid together it belongs to, counted from 1.
    """

    part: str
    sheet: str
    x: float
    y: float
    turned: int = 0
    number: int = 1
    piece: int = 1
    job: int = 1


@dataclass(frozen=True, slots=True)
class Rules:
    """How parts are laid.

    Parameters
    ----------
    spacing : float
        Least distance between two parts. [mm]
    margin : float
        Least distance from edges, clamps and defects. [mm]
    travel : pair of float, optional
        How far the cutter reaches along x and y from the sheet's lower left corner. [mm]
    clamps : tuple of Rectangle
        Places on every sheet where clamps stand. [mm]
    guillotine : bool
        Whether every cut runs straight through from edge to edge.
    matched : tuple of tuple of str
        Panels that are cut one behind the other along the grain, so that the figure runs on.
    locks : tuple of Lock
        Parts in places of the maker's choice.
    """

    spacing: float
    margin: float
    travel: tuple[float, float] | None = None
    clamps: tuple[Rectangle, ...] = ()
    guillotine: bool = False
    matched: tuple[tuple[str, ...], ...] = ()
    locks: tuple[Lock, ...] = ()


@dataclass(frozen=True, slots=True)
class Rates:
    """What time and tools cost, in the maker's money; 0 where it is not stated.

    Parameters
    ----------
    currency : str
        What the money is called.
    bench, machine : float
        An hour at the bench and at the machine. [-]
    bench_minutes : float
        Minutes at the bench for one piece. [-]
    sheet_minutes : float
        Minutes to bring a sheet to the machine, fix it and take it away. [-]
    feed : float
        How fast the machine cuts, a minute; 0 where its time is not reckoned. [mm]
    passes : int
        Passes to cut through. [-]
    cutter : float
        Price of a cutter. [-]
    cutter_life : float
        What it cuts before it is worn, all passes counted; 0 where wear is not reckoned. [m]
    """

    currency: str = ""
    bench: float = 0.0
    machine: float = 0.0
    bench_minutes: float = 0.0
    sheet_minutes: float = 0.0
    feed: float = 0.0
    passes: int = 1
    cutter: float = 0.0
    cutter_life: float = 0.0


NO_RATES = Rates()
"""Nothing stated."""


@dataclass(frozen=True, slots=True)
class Supply:
    """What a job has to be cut from: sheets, the rules they are laid by, and what time costs."""

    sheets: tuple[Sheet, ...]
    rules: Rules
    rates: Rates = NO_RATES

    def of(self, stock: str) -> tuple[Sheet, ...]:
        """The sheets of one stock."""
        return tuple(sheet for sheet in self.sheets if sheet.stock == stock)
