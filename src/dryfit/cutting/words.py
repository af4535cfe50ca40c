"""The words of RS-274: what may stand on a line, and which words exclude one another.

Modal groups and the order of execution within a block are those of [1]_, restated.

References
----------
.. [1] T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3,
   NIST IR 6556, 2000: modal groups and order of execution.
"""

from __future__ import annotations

import re
from types import MappingProxyType

from dryfit.errors import ProgramError

_GROUPS = (
    ("motion", (0, 10, 20, 30, 382, 383, 384, 385, 800, *range(810, 900, 10), 730, 760, 330)),
    ("plane", (170, 180, 190)),
    ("distance", (900, 910)),
    ("arc centres", (901, 911)),
    ("feed mode", (930, 940, 950)),
    ("unit", (200, 210)),
    ("cutter compensation", (400, 410, 411, 420, 421)),
    ("length offset", (430, 431, 432, 490)),
    ("return", (980, 990)),
    ("coordinate system", (540, 550, 560, 570, 580, 590, 591, 592, 593)),
    ("path", (610, 611, 640)),
    ("single", (40, 100, 280, 281, 300, 301, 520, 530, 920, 921, 922, 923)),
)
G_GROUP = MappingProxyType({code: name for name, codes in _GROUPS for code in codes})
"""The modal group of each G word; words are counted in tenths, so that G90.1 is 901."""

M_GROUP = MappingProxyType(
    {
        0: "stop", 1: "stop", 2: "stop", 30: "stop", 60: "stop", 6: "tool change",
        3: "spindle", 4: "spindle", 5: "spindle", 48: "override", 49: "override",
        7: "coolant mist", 8: "coolant", 9: "coolant",
    }
)  # fmt: skip
"""The group of each M word; mist and flood may stand on one line."""

CYCLES = frozenset((*range(810, 900, 10), 730, 760))
"""Canned cycles: each controller has its own ideas of them."""

_REFUSED = MappingProxyType(
    {
        "motion": "probes or cuts threads, which is not read here; take it out",
        "cutter compensation": (
            "leaves the offset to the controller's table, which is not known here; write the path "
            "of the cutter's middle"
        ),
        "length offset": (
            "takes a length from the controller's table, which is not known here; set Z on the "
            "work and write G49"
        ),
        "coordinate system": "is another zero, whose place is not known here; write G54 alone",
        "feed mode": "is a feed mode that is not read here; write G94",
        "plane": "is another plane than X and Y; write G17",
        "single": "moves or zeroes by the controller's memory, which is not known here; take it "
        "out",
    }
)
"""Why a word is not guessed at, by its group."""

_COMMENT = re.compile(r"\([^()]*\)")
_WORDS = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
_WHOLE = re.compile(r"(?:[A-Z][+-]?(?:\d+\.?\d*|\.\d+))*")

Words = list[tuple[str, str]]


def words_of(text: str, line: int) -> Words:
    """The words of one line, letters with their numbers as they stand.

    Raises
    ------
    ProgramError
        If something on the line is neither a word nor a comment.
    """
    if "(" in text or ";" in text:
        text = _COMMENT.sub(" ", text).partition(";")[0]
    bare = text.upper().replace(" ", "").replace("\t", "")
    if not _WHOLE.fullmatch(bare):
        raise ProgramError(_not_words(bare), line)
    return _WORDS.findall(bare)


def _not_words(bare: str) -> str:
    """What a line holds that is no word, and what to do about it."""
    if any(sign in bare for sign in "#[]=") or bare.startswith("O"):
        return "variables, sums and subroutines are not read here; write 1 plain number a word"
    if bare.startswith("/"):
        return "a line behind / may be skipped or not; take the / or the 1 line out"
    if "(" in bare or ")" in bare:
        return "a comment is not closed on its line; write 1 ( and 1 ) a comment"
    rest = _WORDS.sub("", bare)[:12]
    return f"{rest!r} is no word of RS-274; write a letter and 1 number a word"


def g_code(number: str, line: int) -> int:
    """A G word's number in tenths.

    Raises
    ------
    ProgramError
        If it is none that is read here; nothing is guessed.
    """
    code = round(10 * float(number))
    group = G_GROUP.get(code)
    if group is None or abs(code - 10 * float(number)) > 1e-6:
        raise ProgramError(f"G{number} is not known here; write G0 to G3 and plain modes", line)
    if code in CYCLES:
        raise ProgramError(
            f"G{number} is a canned cycle, which is not read here; write its moves as G0 and G1",
            line,
        )
    taken = {0, 10, 20, 30, 800, 170, 940, 400, 490, 540, 40}
    if group in _REFUSED and code not in taken:
        raise ProgramError(f"G{number} {_REFUSED[group]}", line)
    return code


def m_code(number: str, line: int) -> int:
    """An M word's number.

    Raises
    ------
    ProgramError
        If it is none that is read here.
    """
    value = float(number)
    if value != int(value) or int(value) not in M_GROUP:
        known = ", ".join(f"M{code}" for code in sorted(M_GROUP))
        raise ProgramError(f"M{number} is not known here; known are {known}", line)
    return int(value)
