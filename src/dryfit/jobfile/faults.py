"""Gathering every fault of a job file, each with its path, its line and one sentence."""

from __future__ import annotations

import difflib
import json
import re
from functools import cached_property
from typing import TYPE_CHECKING

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.lines import scan

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dryfit.jobfile.lines import Path, Scan

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LONGEST_SHOWN = 60
_FEW = 8


class Faults:
    """The faults found so far in one job file; its `text` tells their lines."""

    def __init__(self, source: str, text: str) -> None:
        self._source = source
        self._text = text
        self._found: list[Fault] = []

    @property
    def source(self) -> str:
        """What the file is called in messages."""
        return self._source

    @cached_property
    def _scan(self) -> Scan:
        return scan(self._text)

    def __bool__(self) -> bool:
        return bool(self._found)

    def add(self, path: Path, sentence: str) -> None:
        """Note one fault; its line is that of the key, or of the table that lacks it."""
        self._found.append(Fault(dotted(path), self._scan.line(path), sentence))

    def error(self) -> JobFileError:
        """Everything that was found, in the order of the lines."""
        found = sorted(self._found, key=lambda fault: fault.line)
        return JobFileError(self._source, tuple(found))


def dotted(path: Path) -> str:
    """The path as it would be typed, names that need quotes quoted and long ones cut."""
    return ".".join(part if _BARE.fullmatch(part) else shown(part) for part in map(_cut, path))


def shown(value: object) -> str:
    """A value as TOML writes it, on one line, safe to print and not too long."""
    if isinstance(value, str):
        return _printable(json.dumps(_cut(value), ensure_ascii=False))
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) >= 10**18:
        return "a number of more than 18 digits"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return str(value)


def alike(word: str, known: Iterable[str]) -> list[str]:
    """The known words most like a word, best first; at most three."""
    low = {name.casefold(): name for name in known}
    like = difflib.get_close_matches(_cut(word).casefold(), low, n=3, cutoff=0.6)
    return [low[name] for name in like]


def nearest(word: str, known: Iterable[str]) -> str:
    """The known words most like a word, as the end of a sentence; all of them where few are."""
    names = list(known)
    like = alike(word, names)
    if like:
        *most, last = like
        return f"the nearest is {', '.join(most)} or {last}" if most else f"the nearest is {last}"
    if len(names) <= _FEW:
        return f"known are {', '.join(names)}"
    return f"known are {', '.join(names[:6])} and {len(names) - 6} more"


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST_SHOWN else f"{text[: _LONGEST_SHOWN - 3]}..."


def _printable(text: str) -> str:
    """Characters that would not show, or would turn the line about, written as escapes."""
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)
