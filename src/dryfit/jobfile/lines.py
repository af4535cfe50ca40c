"""Where each key of a TOML text stands, and whether the text nests too deep.

The parser that gives the values tells no lines and overflows the stack on deep nesting, so this
scan runs before it. It never fails: a text that is not TOML gives lines as far as it goes.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

Path: TypeAlias = tuple[str, ...]
"""Keys from the top of a job file down to one value."""

DEEPEST = 20
"""The deepest nesting of brackets, and the longest dotted key, that is read. [-]"""

# Strings may lack their end, so that a text full of quotes is still walked only once.
_TOKEN = re.compile(
    r'''
    (?P<comment> \#[^\n]* )
  | (?P<triple> """(?:\\.|[^\\])*?(?:"""|\Z) | \'\'\'.*?(?:\'\'\'|\Z) )
  | (?P<string> "(?:\\[^\n]|[^"\\\n])*"? | '[^'\n]*'? )
  | (?P<newline> \n )
  | (?P<mark> [\[\]{}=,.] )
  | (?P<word> [^\s\#"'\[\]{}=,.]+ )
    ''',
    re.VERBOSE | re.DOTALL,
)


@dataclass
class Scan:
    """What the scan found: the line of each key, and the deepest nesting of brackets and dots.

    `too_deep` is the line where the scan gave up because of the nesting, 0 where it did not.
    """

    lines: dict[Path, int] = field(default_factory=dict)
    depth: int = 0
    too_deep: int = 0

    def line(self, path: Path) -> int:
        """Line of a key, else of the nearest table around it, else 0."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 0)


def scan(text: str, deepest: int = DEEPEST) -> Scan:
    """Walk a TOML text once, up to where it nests deeper than `deepest`."""
    walker = _Walker()
    line = 1
    for token in _TOKEN.finditer(text):
        value = token.group()
        kind = token.lastgroup or ""
        if kind == "newline":
            walker.end_of_line()
        elif kind == "mark":
            walker.mark(value, line)
        elif kind != "comment":
            walker.word(value)
        if walker.found.depth > deepest:
            walker.found.too_deep = line
            break
        line += value.count("\n")
    return walker.found


class _Walker:
    """State of the scan: the table, the key being read and the brackets that are open."""

    def __init__(self) -> None:
        self.found = Scan()
        self.table: Path = ()
        self.parts: list[str] = []
        self.here: Path = ()
        self.open: list[tuple[str, Path]] = []
        self.brackets = 0
        self.in_key = True
        self.header = False

    def end_of_line(self) -> None:
        if not self.open:
            self.in_key, self.header, self.parts = True, False, []

    def word(self, value: str) -> None:
        if self.in_key:
            self.parts.append(remembered_name(value))
            self.found.depth = max(self.found.depth, len(self.parts))

    def mark(self, value: str, line: int) -> None:
        if value in "[{":
            self._enter(value)
        elif value in "]}":
            self._leave(line)
        elif value == "=" and self.in_key:
            base = self.open[-1][1] if self.open else self.table
            self.here = (*base, *self.parts)
            self.found.lines.setdefault(self.here, line)
            self.in_key, self.parts = False, []
        elif value == "," and self.open and self.open[-1][0] == "{":
            self.in_key, self.parts = True, []

    def _enter(self, value: str) -> None:
        self.brackets += 1
        self.found.depth = max(self.found.depth, self.brackets)
        if not self.in_key:
            self.open.append((value, self.here))
            self.in_key = value == "{"
        elif value == "[" and not self.open and not self.parts:
            self.header = True

    def _leave(self, line: int) -> None:
        self.brackets -= 1
        if self.header:
            if self.parts:
                self.table = tuple(self.parts)
                self.found.lines.setdefault(self.table, line)
            self.parts = []
        elif self.open:
            _, self.here = self.open.pop()
            self.in_key = False


@lru_cache(maxsize=4096)
def remembered_name(word: str) -> str:
    """A key as the parser reads it; names come again and again."""
    if word[0] not in "\"'":
        return word
    try:
        return str(tomllib.loads(f"key = {word}")["key"])
    except tomllib.TOMLDecodeError:
        return word
