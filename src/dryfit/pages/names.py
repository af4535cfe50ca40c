"""Names typed by users, made safe for file names, drawings and spreadsheets.

A whitelist lets letters, digits and a few signs through; all else goes. So a name cannot leave
its folder, end a comment of a machine program, start a formula or turn the writing round.
"""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

LONGEST_FILE_NAME = 60
LONGEST_TEXT = 80

_LETTERS_AND_DIGITS = frozenset(("Lu", "Ll", "Lo", "Lm", "Mn", "Mc", "Nd"))
_SIGNS = frozenset(" -_.,+/'&:×·°²³½¼¾")
_WINDOWS_DEVICES = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(?![^.])")
_FORMULA_STARTS = frozenset("=+-@|%＝＋－＠")


def plain_text(text: str, longest: int = LONGEST_TEXT) -> str:
    """Text for labels, layers and comments: letters and digits of any script and a few signs.

    Control characters, brackets, backslashes, percent signs, carets, direction marks and
    pictographs go; runs of white space become one space; what is longer than `longest`
    characters ends in an ellipsis of three dots.

    Examples
    --------
    >>> plain_text(") M3")
    'M3'
    """
    spaced = " ".join(unicodedata.normalize("NFC", text).split())
    kept = "".join(sign for sign in spaced if _is_plain(sign))
    tidy = " ".join(kept.split())
    return tidy if len(tidy) <= longest else tidy[: longest - 3].rstrip() + "..."


def _is_plain(sign: str) -> bool:
    """Whether a sign is a letter, a mark on a letter, a digit or one of a few signs."""
    return unicodedata.category(sign) in _LETTERS_AND_DIGITS or sign in _SIGNS


def file_name(text: str, fallback: str = "part") -> str:
    """A name without suffix that every file system takes: a-z, 0-9 and hyphens between them.

    Accents are dropped, everything else becomes a hyphen. A name of which nothing is left is the
    `fallback`, and names that one system keeps for its devices get that word in front.

    Examples
    --------
    >>> file_name("../Left side")
    'left-side'
    """
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    tidy = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")[:LONGEST_FILE_NAME].strip("-")
    if not tidy:
        return fallback
    return f"{fallback}-{tidy}" if _WINDOWS_DEVICES.match(tidy) else tidy


def file_names(
    texts: Iterable[str], fallback: str = "part", reserved: Iterable[str] = ()
) -> tuple[str, ...]:
    """File names for several texts, in their order, no two alike and none of those `reserved`.

    A later twin gets a number.
    """
    names = [file_name(text, fallback) for text in texts]
    return tuple(_without_twins(names, set(reserved)))


def plain_names(texts: Iterable[str], fallback: str = "part") -> tuple[str, ...]:
    """Plain texts in their order, no two alike; one of which nothing is left is the `fallback`."""
    return tuple(_without_twins([plain_text(text) or fallback for text in texts], set()))


def _without_twins(listed: list[str], taken: set[str]) -> Iterator[str]:
    """The names, each later twin with the first free number behind it."""
    firsts = set(listed)
    for name in listed:
        fresh, number = name, 2
        while fresh in taken or (fresh != name and fresh in firsts):
            fresh, number = f"{name}-{number}", number + 1
        taken.add(fresh)
        yield fresh


def csv_cell(text: str) -> str:
    """Text for a cell of a table that a spreadsheet will open.

    Control and format characters become spaces, and a text that a spreadsheet would run as a
    formula gets an apostrophe in front, as the page on CSV injection of [1]_ advises.

    References
    ----------
    .. [1] OWASP Foundation, community page "CSV Injection" (from memory).

    Examples
    --------
    >>> csv_cell("=cmd|' /C calc'!A0")
    "'=cmd|' /C calc'!A0"
    """
    shown = (" " if unicodedata.category(sign).startswith("C") else sign for sign in text)
    tidy = " ".join("".join(shown).split())
    return f"'{tidy}" if tidy[:1] in _FORMULA_STARTS and tidy else tidy


def listed(names: Sequence[str], most: int = 4) -> str:
    """Names as a sentence lists them, shortened after a few.

    Examples
    --------
    >>> listed(["front", "back", "left"])
    'front, back and left'
    """
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
