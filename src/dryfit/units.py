"""Lengths: millimetres inside, the maker's units at the edges.

A length is a number with a unit of its own or with the job's default. It may be whole, decimal, a
fraction or a mixed number, and feet may be followed by inches: ``330``, ``8.78 mm``,
``5 1/2 in``, ``3/8"``, ``2 ft 3 1/4 in``, ``5'-6 1/2"``.

Numbers are read as the exact fractions that were written and rounded once, so that ``0.1`` with
the default inch and ``"0.1 in"`` are the same length.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import ceil, floor

from dryfit.errors import UnitError

MM_PER = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10), "ft": Fraction(3048, 10)}
"""Millimetres in one of each unit, exactly; the inch is the international inch of 1959."""

UNITS = tuple(MM_PER)
"""The units a length may be written and printed in."""

LONGEST = 100_000
"""No length beyond this is read: 100 m. [mm]"""

_WAY_OUT = 'write a length such as 330, "8.78 mm", "5 1/2 in" or "2 ft 3 1/4 in"'
_LONGEST_TEXT = 60  # keeps the fractions small, whatever the file holds
_EXTRA_PLACES = {"mm": 0, "cm": 1, "in": 2, "ft": 3}

_MARKS = str.maketrans(
    {"\u2032": "'", "\u2019": "'", "\u2033": '"', "\u201d": '"', "\u2212": "-", "\u2044": "/"}
)
_TERM = re.compile(
    r"""
    (?: (?: (?P<whole>\d+) (?:\ +|\ *-\ *) )? (?P<top>\d+) \ */\ * (?P<bottom>\d+)
      | (?P<decimal> (?:\d+\.?\d*|\.\d+) (?:e[+-]?\d{1,3})? ) )
    \ * (?P<unit> mm\b | cm\b | in\b | ft\b | " | ' )? \ *
    """,
    re.VERBOSE | re.ASCII,
)
_NAMES = {"'": "ft", '"': "in"}


def read_length(value: object, default_unit: str) -> float:
    """Read one length.

    Parameters
    ----------
    value : str, int or float
        What the maker wrote.
    default_unit : str
        The unit of a bare number; one of `UNITS`.

    Returns
    -------
    float
        The length, negative where it was written so. [mm]

    Raises
    ------
    UnitError
        If it is no length, has a comma or a zero denominator, is not finite or passes 100 m.

    Examples
    --------
    >>> read_length("5 1/2 in", "mm")
    139.7
    >>> read_length(8.78, "mm")
    8.78
    """
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise UnitError(f"{_shown(value)} is no length; {_WAY_OUT}")
    if isinstance(value, str):
        length = _from_text(value, default_unit)
    else:
        length = _from_number(value) * MM_PER[default_unit]
    if abs(length) > LONGEST:
        raise UnitError(
            f"{_shown(value)} is longer than 100 m; check the number and its unit "
            f"(bare numbers are in {default_unit})"
        )
    return float(length)


def show_length(mm: float, unit: str, places: int = 2, *, sixty_fourths: bool = False) -> str:
    """Print a length in one of the units.

    Parameters
    ----------
    mm : float
        The length. [mm]
    unit : str
        One of `UNITS`.
    places : int
        Decimal places for millimetres; centimetres get one more, inches two and feet three, so
        that nothing is lost by the choice of unit.
    sixty_fourths : bool
        Add the nearest 1/64 in beside decimal inches and feet.

    Examples
    --------
    >>> show_length(139.7, "in", sixty_fourths=True)
    '5.5000 in (5 1/2)'
    >>> show_length(8.784, "mm")
    '8.78 mm'
    """
    digits = places + _EXTRA_PLACES[unit]
    number = round(mm / float(MM_PER[unit]), digits) + 0.0  # the sum turns -0.0 into 0.0
    text = f"{number:.{digits}f} {unit}"
    if not sixty_fourths or unit not in ("in", "ft"):
        return text
    return f"{text} ({inch_fraction(mm) if unit == 'in' else feet_and_inches(mm)})"


def inch_fraction(mm: float) -> str:
    """The length in inches to the nearest 1/64, without the unit: ``5 1/2``.

    `mm` is the length. [mm]
    """
    return _mixed(_nearest_64th(mm))


def feet_and_inches(mm: float) -> str:
    """The length in feet and inches to the nearest 1/64: ``5' 6 1/2"``.

    `mm` is the length. [mm]
    """
    inches = _nearest_64th(mm)
    sign = "-" if inches < 0 else ""
    feet, rest = divmod(abs(inches), 12)
    return f"{sign}{feet}' {_mixed(rest)}\""


def _nearest_64th(mm: float) -> Fraction:
    return Fraction(round(Fraction(mm) / MM_PER["in"] * 64), 64)


def _mixed(inches: Fraction) -> str:
    whole, rest = divmod(abs(inches), 1)
    sign = "-" if inches < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def _from_number(value: float) -> Fraction:
    if isinstance(value, int):
        return Fraction(value)
    if value - value != 0:  # true for infinity and NaN alike
        raise UnitError(f"{value} is not a finite number; {_WAY_OUT}")
    return Fraction(repr(value))


def _from_text(text: str, default_unit: str) -> Fraction:
    """The length in millimetres, exactly as written."""
    plain = " ".join(text.translate(_MARKS).split()).lower()
    if len(plain) > _LONGEST_TEXT:
        raise UnitError(f"{_shown(text)} has {len(plain)} characters; {_WAY_OUT}")
    if "," in plain:
        raise UnitError(
            f"{_shown(text)} has a comma, which could mean tenths or thousands; "
            "write 5.5 for five and a half and 1200 for twelve hundred"
        )
    if plain.lstrip("+-") in ("nan", "inf", "infinity"):
        raise UnitError(f"{_shown(text)} is not a finite number; {_WAY_OUT}")
    sign = -1 if plain.startswith("-") else 1
    return sign * _sum(text, plain.removeprefix("-").removeprefix("+").strip(), default_unit)


def _sum(text: str, plain: str, default_unit: str) -> Fraction:
    """One term, or feet followed by inches."""
    first = _TERM.match(plain)
    if first is None:
        raise UnitError(f"{_shown(text)} is no length; {_WAY_OUT}")
    length = _term(first, text, default_unit)
    rest = plain[first.end() :].removeprefix("-").lstrip()
    if not rest:
        if plain.endswith("-"):
            raise UnitError(f"{_shown(text)} ends with a dash; {_WAY_OUT}")
        return length
    second = _TERM.fullmatch(rest)
    if second is None or not _feet_then_inches(first, second):
        raise UnitError(
            f'{_shown(text)} cannot be read after "{plain[: first.end()].strip()}"; {_WAY_OUT}'
        )
    return length + _term(second, text, default_unit)


def _feet_then_inches(first: re.Match[str], second: re.Match[str]) -> bool:
    return first["unit"] in ("ft", "'") and second["unit"] in ("in", '"')


def _term(term: re.Match[str], text: str, default_unit: str) -> Fraction:
    unit = _NAMES.get(term["unit"], term["unit"]) or default_unit
    if term["decimal"] is not None:
        return Fraction(term["decimal"]) * MM_PER[unit]
    if int(term["bottom"]) == 0:
        raise UnitError(
            f"{_shown(text)} divides by zero; write a fraction such as 3/8 with a number other "
            "than 0 under the line"
        )
    fraction = Fraction(int(term["top"]), int(term["bottom"]))
    return (int(term["whole"] or 0) + fraction) * MM_PER[unit]


def _shown(value: object) -> str:
    """The value as it may stand in a sentence: on one line, safe and not too long."""
    try:
        text = repr(value) if isinstance(value, str) else str(value)
    except ValueError:  # a whole number of more than 4300 digits
        text = "a number of thousands of digits"
    return text if len(text) <= _LONGEST_TEXT else f"{text[:40]}..."


def in_100(odds: float, *, least: bool = False) -> str:
    """Odds as a maker says them, never better than they are: "97 in 100".

    Parameters
    ----------
    odds : float
        From 0 to 1. [-]
    least : bool
        Whether these are the odds of a mishap, so that more is worse.

    Examples
    --------
    >>> in_100(0.9749)
    '97 in 100'
    """
    if odds >= 0.995:
        return "more than 99 in 100"
    if odds < 0.01:
        return "fewer than 1 in 100"
    hundredths = round(100 * odds, 6)
    return f"{ceil(hundredths) if least else floor(hundredths)} in 100"
