"""What an entry of the shop book may say, each kind a record of its own.

A record is checked when it is made, wherever it comes from: no record that exists is wrong in
itself. What is right but hard to believe is the business of :mod:`dryfit.shopbook.doubts`.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

from dryfit.errors import BookError

if TYPE_CHECKING:
    from collections.abc import Sequence

LONGEST_NAME, LONGEST_NOTE = 200, 2000
"""The longest name and the longest note. [characters]"""

MOST_VALUES = 1000
"""Results or readings in one entry at most. [-]"""

LONGEST = 100_000.0
"""No length of an entry is longer: 100 m. [mm]"""

GRADES = ("loose", "by hand", "mallet", "no")
"""How a trial or a job may have gone together, the tightest last."""

ROUTES = ("router", "laser", "saw", "hand")
"""How work may be cut."""

PARTS = ("finger", "socket")
"""What a calipered width may be of."""

# A name may hold any letter, but nothing that ends a line.
_UNSAFE = ("Cc", "Cs", "Zl", "Zp")


class Kind(StrEnum):
    """What an entry is about."""

    MACHINE = "machine"
    CUTTER = "cutter"
    STOCK = "stock"
    COMB = "comb"
    WIDTH = "width"
    JOB = "job"


@dataclass(frozen=True, slots=True)
class MachineRecord:
    """A machine of the shop: its name, and the route it cuts by."""

    name: str
    route: str
    note: str = ""

    def __post_init__(self) -> None:
        _named("machine", self.name)
        _word("route", self.route, ROUTES)
        _noted(self.note)


@dataclass(frozen=True, slots=True)
class CutterRecord:
    """A cutter by its key, as of :func:`dryfit.shopbook.keys.cutter_key`."""

    cutter: str
    note: str = ""

    def __post_init__(self) -> None:
        _named("cutter", self.cutter)
        _noted(self.note)


@dataclass(frozen=True, slots=True)
class StockRecord:
    """A sheet or board that was calipered.

    Parameters
    ----------
    name, material : str
        The maker's own name for it, and what it is made of.
    nominal : float
        The thickness it is sold as. [mm]
    readings : tuple of float
        Caliper readings. [mm]
    note : str
        Anything.
    """

    name: str
    material: str
    nominal: float
    readings: tuple[float, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        _named("stock", self.name)
        _named("material", self.material)
        _long("nominal thickness", self.nominal)
        _few("reading", self.readings, 0)
        for reading in self.readings:
            _long("reading", reading)
        _noted(self.note)


@dataclass(frozen=True, slots=True)
class SocketResult:
    """How one socket of a comb went.

    Parameters
    ----------
    gap : float
        Flank gap it was drawn with. [mm]
    grade : str
        One of `GRADES`.
    socket : int, optional
        Its number on the comb, where it has one. [-]
    """

    gap: float
    grade: str
    socket: int | None = None

    def __post_init__(self) -> None:
        _number("flank gap", self.gap)
        _word("grade", self.grade, GRADES)
        if self.socket is not None:
            _whole("socket", self.socket, 1, MOST_VALUES)


@dataclass(frozen=True, slots=True)
class CombRecord:
    """The results of one comb.

    Parameters
    ----------
    cutter, material : str
        What cut it, by its key, and what it is made of.
    results : tuple of SocketResult
        One for each socket that was tried.
    same_tongue : bool
        Whether all were tried on the same tongue.
    boundaries : int
        Boundaries of each trial: two for one finger in one socket. [-]
    note : str
        Anything.
    """

    cutter: str
    material: str
    results: tuple[SocketResult, ...]
    same_tongue: bool = True
    boundaries: int = 2
    note: str = ""

    def __post_init__(self) -> None:
        _named("cutter", self.cutter)
        _named("material", self.material)
        _few("result", self.results, 1)
        _flag("same_tongue", self.same_tongue)
        _whole("number of boundaries", self.boundaries, 2, 200)
        if self.same_tongue and self.boundaries != 2:
            raise BookError(
                f"A socket with {self.boundaries} boundaries cannot share its tongue in the book; "
                "say that each socket had a tongue of its own."
            )
        numbers = [each.socket for each in self.results if each.socket is not None]
        twice = next((number for number in numbers if numbers.count(number) > 1), None)
        if twice is not None:
            raise BookError(f"Socket {twice} of the comb has 2 results; give each socket 1.")
        _noted(self.note)


@dataclass(frozen=True, slots=True)
class WidthRecord:
    """Calipered widths of fingers, or of sockets, that were drawn alike.

    Parameters
    ----------
    cutter, material : str
        What cut them, by its key, and what they are cut from.
    part : str
        One of `PARTS`.
    drawn : float
        Their width as drawn, gaps and all. [mm]
    measured : tuple of float
        Their widths by the caliper. [mm]
    resolution : float
        Step in which the caliper reads. [mm]
    note : str
        Anything.
    """

    cutter: str
    material: str
    part: str
    drawn: float
    measured: tuple[float, ...]
    resolution: float = 0.01
    note: str = ""

    def __post_init__(self) -> None:
        _named("cutter", self.cutter)
        _named("material", self.material)
        _word("part", self.part, PARTS)
        _long("drawn width", self.drawn)
        _few("width", self.measured, 1)
        for width in self.measured:
            _long("width", width)
        _number("resolution", self.resolution)
        if not 0 <= self.resolution <= 1:
            raise BookError(
                f"A caliper that reads in steps of {self.resolution} mm is not taken; "
                "give 0 to 1 mm."
            )
        _noted(self.note)


@dataclass(frozen=True, slots=True)
class JobRecord:
    """A job that was made, and how its joints went together.

    Parameters
    ----------
    title : str
        Its name.
    cutter, material : str
        What cut it, by its key, and what it is made of.
    flank_gap : float
        Flank gap it was drawn with. [mm]
    went : str
        One of `GRADES`.
    note : str
        Anything.
    """

    title: str
    cutter: str
    material: str
    flank_gap: float
    went: str
    note: str = ""

    def __post_init__(self) -> None:
        _named("title", self.title)
        _named("cutter", self.cutter)
        _named("material", self.material)
        _number("flank gap", self.flank_gap)
        _word("how it went", self.went, GRADES)
        _noted(self.note)


Record: TypeAlias = (
    MachineRecord | CutterRecord | StockRecord | CombRecord | WidthRecord | JobRecord
)
"""What an entry says."""

RECORDS: dict[Kind, type[Record]] = {
    Kind.MACHINE: MachineRecord,
    Kind.CUTTER: CutterRecord,
    Kind.STOCK: StockRecord,
    Kind.COMB: CombRecord,
    Kind.WIDTH: WidthRecord,
    Kind.JOB: JobRecord,
}
"""The record of each kind."""


def kind_of(record: Record) -> Kind:
    """The kind a record is of."""
    return next(kind for kind, each in RECORDS.items() if isinstance(record, each))


def _text(what: str, value: object, least: int, most: int) -> None:
    if not isinstance(value, str):
        raise BookError(f"The {what} is not a text; write it in letters.")
    if not least <= len(value.strip()) or len(value) > most:
        raise BookError(
            f"The {what} has {len(value.strip())} characters; write {least} to {most} of them."
        )


def _named(what: str, name: object) -> None:
    _text(what, name, 1, LONGEST_NAME)
    for letter in str(name):
        if unicodedata.category(letter) in _UNSAFE:
            raise BookError(
                f"The {what} holds the control character U+{ord(letter):04X}; take it out."
            )


def _noted(note: object) -> None:
    _text("note", note, 0, LONGEST_NOTE)
    if any(unicodedata.category(letter) == "Cs" for letter in str(note)):
        raise BookError("The note holds half a character (a surrogate); take it out.")


def _word(what: str, value: object, known: Sequence[str]) -> None:
    if value not in known:
        raise BookError(f"{str(value)[:40]!r} is no {what}; known are {', '.join(known)}.")


def _number(what: str, value: object) -> None:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:  # noqa: PLR0124
        raise BookError(f"The {what} is no number; write a length in mm such as 0.05.")
    if abs(value) > LONGEST:
        raise BookError(f"The {what} is longer than 100 m; check the number and its unit.")


def _long(what: str, value: object) -> None:
    _number(what, value)
    assert isinstance(value, (int, float))
    if value <= 0:
        raise BookError(f"The {what} is {value:g} mm; write a length of more than 0.")


def _whole(what: str, value: object, least: int, most: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise BookError(
            f"The {what} is {str(value)[:40]}; write a whole number from {least} to {most}."
        )


def _flag(what: str, value: object) -> None:
    if not isinstance(value, bool):
        raise BookError(f"{what} is {str(value)[:40]}; write true or false.")


def _few(what: str, values: object, least: int) -> None:
    if not isinstance(values, tuple) or not least <= len(values) <= MOST_VALUES:
        count = len(values) if isinstance(values, tuple) else 0
        raise BookError(f"There are {count} {what}s; give {least} to {MOST_VALUES} of them.")
