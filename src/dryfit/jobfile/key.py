"""What may stand in a job file: kinds of values, keys and tables."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from dryfit.units import LONGEST


class Kind(StrEnum):
    """What may stand behind a key."""

    TEXT = "text"
    WORD = "one of the words"
    LENGTH = "length"
    SIZES = "three lengths, along x, y and z"
    PAIR = "two lengths, across and up"
    ENDS = "a length, or two, for the low and the high end"
    NAMES = "list of names"
    DEGREES = "number of degrees"
    NUMBER = "number"
    NUMBERS = "two numbers"
    WEIGHT = "weight, in kg or in lb"
    READINGS = "list of lengths"
    OWNED = "list of lengths, one for each there is"
    RECTANGLES = "list of rectangles, each left, low, right and high"
    COUNT = "whole number"
    FLAG = "true or false"


@dataclass(frozen=True, slots=True)
class Key:
    """One key.

    Parameters
    ----------
    name : str
        As it is typed.
    kind : Kind
        What may stand behind it.
    meaning : str
        What it says, in a few words.
    example : str
        A value as TOML writes it.
    default : str
        What holds when it is left out, in words; empty where it must be given.
    words : tuple of str
        The words it takes, for kind ``WORD``; for other kinds words it takes beside its values.
    low, high : float
        The least and the greatest value. [mm] for lengths, [-] for whole numbers
    beyond : str
        Why a number has no greater value, as the end of a sentence; empty where that is plain.
    """

    name: str
    kind: Kind
    meaning: str
    example: str
    default: str = ""
    words: tuple[str, ...] = ()
    low: float = 0.0
    high: float = LONGEST
    beyond: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file; `named` says what its sub-tables are named after, if it has any."""

    name: str
    meaning: str
    keys: tuple[Key, ...]
    named: str = ""
    required: bool = False

    def key(self, name: str) -> Key | None:
        """The key of that name, or None."""
        return next((key for key in self.keys if key.name == name), None)

    @property
    def header(self) -> str:
        """The table's heading as it is typed; empty at the top of the file."""
        if not self.name:
            return ""
        return f"[{self.name}.NAME]" if self.named else f"[{self.name}]"
