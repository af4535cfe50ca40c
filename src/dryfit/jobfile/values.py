"""One value of a job file against its key: typed and within bounds, or one sentence why not."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, TypeAlias

from dryfit.errors import DryfitError, UnitError
from dryfit.jobfile.faults import nearest, shown
from dryfit.jobfile.key import Key, Kind
from dryfit.jobfile.schema import MOST_OWNED, MOST_READINGS
from dryfit.materials.loads import POUND
from dryfit.units import read_length, show_length

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

Four: TypeAlias = tuple[float, float, float, float]
Value: TypeAlias = str | bool | int | float | tuple[float, ...] | tuple[str, ...] | tuple[Four, ...]
"""A checked value; lengths are in mm."""

LONGEST_NAME = 200
"""The longest title or name. [characters]"""

# A name may hold any letter, but nothing that ends a line or turns the text around it.
_UNSAFE = ("Cc", "Cs", "Zl", "Zp")
_TURNS_TEXT = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class WrongValueError(DryfitError):
    """A value its key does not take; `sentences` says why, one for each thing wrong."""

    def __init__(self, *sentences: str) -> None:
        super().__init__("; ".join(sentences))
        self.sentences = sentences


class Checked:
    """The checked values of one table, each under its key.

    A key left out gives None, and so does one whose value is wrong; ``in`` tells them apart.
    `stands` says whether the file has the table at all.
    """

    def __init__(
        self, values: Mapping[str, Value], given: Collection[str], *, stands: bool = True
    ) -> None:
        self._values = values
        self._given = given
        self.stands = stands

    def __contains__(self, name: str) -> bool:
        return name in self._given

    def text(self, name: str) -> str | None:
        """A text or a word."""
        value = self._values.get(name)
        return value if isinstance(value, str) else None

    def length(self, name: str) -> float | None:
        """A length; None for a word such as auto too. [mm]"""
        value = self._values.get(name)
        return value if isinstance(value, float) else None

    def lengths(self, name: str) -> tuple[float, ...] | None:
        """A list of lengths. [mm]"""
        value = self._values.get(name)
        if not isinstance(value, tuple):
            return None
        return tuple(float(entry) for entry in value if not isinstance(entry, tuple))

    def pair(self, name: str) -> tuple[float, float] | None:
        """Two lengths, across and up or for the low and the high end. [mm]"""
        value = self.lengths(name)
        return None if value is None else (value[0], value[1])

    def rectangles(self, name: str) -> tuple[Four, ...]:
        """A list of rectangles: left, low, right, high; empty where there is none. [mm]"""
        value = self._values.get(name)
        if not isinstance(value, tuple):
            return ()
        return tuple(entry for entry in value if isinstance(entry, tuple))

    def names(self, name: str) -> tuple[str, ...]:
        """A list of names; empty where there is none."""
        value = self._values.get(name)
        return tuple(map(str, value)) if isinstance(value, tuple) else ()

    def value(self, name: str) -> Value | None:
        """Whatever stands there."""
        return self._values.get(name)

    def triple(self, name: str) -> tuple[float, float, float] | None:
        """Three lengths, along x, y and z. [mm]"""
        value = self.lengths(name)
        return None if value is None else (value[0], value[1], value[2])

    def count(self, name: str) -> int | None:
        """A whole number."""
        value = self._values.get(name)
        return value if isinstance(value, int) else None

    def number(self, name: str) -> float | None:
        """A bare number."""
        return self.length(name)

    def flag(self, name: str) -> bool:
        """Yes or no; no where it is left out."""
        return self._values.get(name) is True


def check(key: Key, value: object, unit: str) -> Value:
    """The value as its key takes it, lengths in mm.

    Raises
    ------
    WrongValueError
        With one sentence for each thing wrong.
    """
    if key.kind in _MEASURED:
        return _MEASURED[key.kind](key, value, unit)
    return _PLAIN[key.kind](key, value)


def wrong_name(name: str) -> str | None:
    """What is wrong with a name or title, as a sentence; None where nothing is."""
    if not name.strip():
        return "the name is empty; write at least 1 letter"
    if len(name) > LONGEST_NAME:
        return f"the name has {len(name)} characters; write at most {LONGEST_NAME}"
    # Nothing of what is looked for is printable, and few names hold anything else.
    for place, letter in () if name.isprintable() else enumerate(name, start=1):
        if unicodedata.category(letter) in _UNSAFE or letter in _TURNS_TEXT:
            return (
                f"character {place} of the name (U+{ord(letter):04X}) is a control character; "
                "take it out"
            )
    return None


def _text(key: Key, value: object) -> Value:
    if not isinstance(value, str):
        raise WrongValueError(
            f"expected text in quotes, such as {key.example}, found {shown(value)}"
        )
    sentence = wrong_name(value)
    if sentence:
        raise WrongValueError(sentence)
    return value


def _word(key: Key, value: object) -> Value:
    if not isinstance(value, str):
        raise WrongValueError(
            f"expected one of {', '.join(key.words)} in quotes, found {shown(value)}"
        )
    if value not in key.words:
        raise WrongValueError(f"{shown(value)} is not known here; {nearest(value, key.words)}")
    return value


def _length(key: Key, value: object, unit: str) -> Value:
    if isinstance(value, str) and value in key.words:
        return value
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        words = "".join(f', or "{word}"' for word in key.words)
        raise WrongValueError(
            f'expected a length such as 12, "12 mm" or "1/2 in"{words}, found {shown(value)}'
        )
    try:
        length = read_length(value, unit)
    except UnitError as error:
        raise WrongValueError(str(error)) from error
    _check_bounds(key, length, unit)
    return length


def _check_bounds(key: Key, length: float, unit: str) -> None:
    """Refuse a length [mm] outside the key's bounds, in the job's unit."""
    is_ = f"{key.name} is {show_length(length, unit)}"
    if length <= 0 < key.low:
        raise WrongValueError(f"{is_}; write a length of more than 0")
    if length < 0 and key.low == 0:
        raise WrongValueError(f"{is_}; write 0 or more")
    if length < key.low:
        raise WrongValueError(
            f"{key.name} is {show_length(length, unit, 3)}; "
            f"the least is {show_length(key.low, unit, 3)}, check the unit"
        )
    if length > key.high:
        raise WrongValueError(f"{is_}; the most is {show_length(key.high, unit)}, check the unit")


def _lengths(key: Key, value: list[object], unit: str) -> tuple[float, ...]:
    """Each entry as a length, with every wrong one told by its number in the list."""
    good: list[float] = []
    wrong: list[str] = []
    for place, entry in enumerate(value, start=1):
        try:
            length = _length(key, entry, unit)
        except WrongValueError as error:
            wrong.append(f"entry {place}: {error}")
        else:
            good.append(float(length) if isinstance(length, float) else 0.0)
    if wrong:
        raise WrongValueError(*wrong)
    return tuple(good)


def _sizes(key: Key, value: object, unit: str) -> Value:
    if not isinstance(value, list) or len(value) != 3:
        raise WrongValueError(
            f"expected 3 lengths [x, y, z], such as {key.example}, found {shown(value)}"
        )
    return _lengths(key, value, unit)


def _pair(key: Key, value: object, unit: str) -> Value:
    if not isinstance(value, list) or len(value) != 2:
        raise WrongValueError(
            f"expected 2 lengths [across, up], such as {key.example}, found {shown(value)}"
        )
    return _lengths(key, value, unit)


def _ends(key: Key, value: object, unit: str) -> Value:
    if not isinstance(value, list):
        length = _length(key, value, unit)
        assert isinstance(length, float)
        return length, length
    if len(value) != 2:
        raise WrongValueError(
            f"expected a length or 2 of them, such as {key.example}, found {shown(value)}"
        )
    return _lengths(key, value, unit)


def _names(key: Key, value: object) -> Value:
    if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
        raise WrongValueError(
            f"expected a list of names, such as {key.example}, found {shown(value)}"
        )
    return tuple(value)


def _readings(key: Key, value: object, unit: str) -> Value:
    if not isinstance(value, list):
        raise WrongValueError(f"expected a list, such as {key.example}, found {shown(value)}")
    if not value:
        raise WrongValueError(
            f"the list holds 0 readings; measure and write some, such as {key.example}, "
            "or take the line out"
        )
    if len(value) > MOST_READINGS:
        raise WrongValueError(f"the list holds {len(value)} readings; keep at most {MOST_READINGS}")
    return _lengths(key, value, unit)


def _owned(key: Key, value: object, unit: str) -> Value:
    if not isinstance(value, list):
        raise WrongValueError(f"expected a list, such as {key.example}, found {shown(value)}")
    if len(value) > MOST_OWNED:
        raise WrongValueError(f"the list holds {len(value)} {key.name}; keep at most {MOST_OWNED}")
    return _lengths(key, value, unit)


def _rectangles(key: Key, value: object, unit: str) -> Value:
    """Each entry as left, low, right and high, with every wrong one told by its number."""
    good: list[Four] = []
    wrong: list[str] = []
    if not isinstance(value, list):
        raise WrongValueError(f"expected a list, such as {key.example}, found {shown(value)}")
    for place, entry in enumerate(value, start=1):
        if not isinstance(entry, list) or len(entry) != 4:
            wrong.append(
                f"rectangle {place}: expected 4 lengths [left, low, right, high], "
                f"found {shown(entry)}"
            )
            continue
        try:
            left, low, right, high = _lengths(key, entry, unit)
        except WrongValueError as error:
            wrong += [f"rectangle {place}, {sentence}" for sentence in error.sentences]
            continue
        if left >= right or low >= high:
            wrong.append(f"rectangle {place}: left and low must be less than right and high")
        good.append((left, low, right, high))
    if wrong:
        raise WrongValueError(*wrong)
    return tuple(good)


def _count(key: Key, value: object) -> Value:
    if isinstance(value, bool) or not isinstance(value, int):
        raise WrongValueError(
            f"expected a whole number, such as {key.example}, found {shown(value)}"
        )
    if not key.low <= value <= key.high:
        span = f"a whole number from {key.low:.0f} to {key.high:.0f}"
        wanted = span if key.low < key.high else f"{key.low:.0f}, the only one there is"
        raise WrongValueError(f"{key.name} is {shown(value)}; write {wanted}")
    return value


def _degrees(key: Key, value: object) -> Value:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise WrongValueError(
            f"expected a number of degrees, such as {key.example}, found {shown(value)}"
        )
    if not key.low <= value <= key.high:
        raise WrongValueError(
            f"{key.name} is {shown(value)} degrees; write {key.low:.0f} to {key.high:.0f}"
        )
    return float(value)


def _number(key: Key, value: object) -> Value:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise WrongValueError(f"expected a number, such as {key.example}, found {shown(value)}")
    if not key.low <= value <= key.high:
        raise WrongValueError(
            f"{key.name} is {shown(value)}; write a number from {key.low:g} to {key.high:g}"
            + (f": {key.beyond}" if key.beyond and value > key.high else "")
        )
    return float(value)


def _numbers(key: Key, value: object) -> Value:
    if not isinstance(value, list) or len(value) != 2:
        raise WrongValueError(f"expected 2 numbers, such as {key.example}, found {shown(value)}")
    first, second = (_number(key, entry) for entry in value)
    assert isinstance(first, float)
    assert isinstance(second, float)
    return first, second


def _weight(key: Key, value: object) -> Value:
    """A weight in kilograms; bare numbers are kilograms."""
    number, factor = value, 1.0
    if isinstance(value, str):
        found = _WEIGHT.fullmatch(value)
        number = float(found[1]) if found else value
        factor = POUND if found and found[2] == "lb" else 1.0
    if isinstance(number, bool) or not isinstance(number, (int, float)):
        raise WrongValueError(f'expected a weight such as 25 or "55 lb", found {shown(value)}')
    if not key.low <= number * factor <= key.high:
        raise WrongValueError(
            f"{key.name} is {shown(value)}; write a weight from {key.low:g} to {key.high:g} kg"
        )
    return float(number * factor)


_WEIGHT = re.compile(r"\s*(-?\d{1,9}(?:\.\d{1,9})?)\s*(kg|lb)\s*", re.ASCII)


def _flag(key: Key, value: object) -> Value:
    if not isinstance(value, bool):
        raise WrongValueError(f"{key.name} is {shown(value)}; write true or false")
    return value


_PLAIN: dict[Kind, Callable[[Key, object], Value]] = {
    Kind.TEXT: _text,
    Kind.WORD: _word,
    Kind.COUNT: _count,
    Kind.FLAG: _flag,
    Kind.NAMES: _names,
    Kind.DEGREES: _degrees,
    Kind.NUMBER: _number,
    Kind.WEIGHT: _weight,
    Kind.NUMBERS: _numbers,
}
_MEASURED: dict[Kind, Callable[[Key, object, str], Value]] = {
    Kind.LENGTH: _length,
    Kind.SIZES: _sizes,
    Kind.PAIR: _pair,
    Kind.ENDS: _ends,
    Kind.READINGS: _readings,
    Kind.OWNED: _owned,
    Kind.RECTANGLES: _rectangles,
}
