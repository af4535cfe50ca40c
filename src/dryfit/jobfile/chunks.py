"""A job file parsed table by table, so that tables read before are not parsed again.

Vocabulary
----------
chunk
    The lines from one line that begins with a bracket to the next one; mostly a table with its
    header.

Where every chunk is valid TOML by itself, the file is those chunks one after the other: a string
or an array that ran on into the next chunk would leave its own unfinished. What is said twice, or
in any way that a job does not need, is left to the parser of whole files, which also tells faults.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from dryfit.jobfile.lines import scan

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.jobfile.lines import Path

_BEFORE_HEADER = re.compile(r"\n(?=[ \t]*\[)")
_LONGEST_HEADER = 2


@dataclass(frozen=True, slots=True)
class Chunk:
    """One table as it was parsed: the path in its header, its keys and how many lines name one.

    The path is empty for what stands above the first header.
    """

    path: Path
    table: Mapping[str, object]
    keys: int


def read_chunks(text: str, most_keys: int) -> dict[str, object] | None:
    """The values of a text as its parser gives them; None where that parser has to be asked.

    Parameters
    ----------
    text : str
        TOML with line ends as the parser wants them.
    most_keys : int
        A text with more keys and tables is left to its parser. [-]
    """
    chunks = [remembered_chunk(lines) for lines in _BEFORE_HEADER.split(text)]
    known = [chunk for chunk in chunks if chunk is not None]
    if len(known) < len(chunks) or sum(chunk.keys for chunk in known) > most_keys:
        return None
    return _joined(known)


def _joined(chunks: list[Chunk]) -> dict[str, object] | None:
    """The tables together; None where two of them speak of one place."""
    whole: dict[str, object] = {}
    families: dict[str, dict[str, object]] = {}
    for chunk in chunks:
        if not chunk.path:  # only the first has no header
            whole.update(chunk.table)
            continue
        first, last = chunk.path[0], chunk.path[-1]
        home = whole
        if len(chunk.path) == _LONGEST_HEADER:
            if first not in whole:
                whole[first] = families[first] = {}
            if first not in families:
                return None
            home = families[first]
        if last in home:
            return None
        home[last] = chunk.table
    return whole


@lru_cache(maxsize=4096)
def remembered_chunk(lines: str) -> Chunk | None:
    """A chunk parsed; None where it is not TOML by itself, or no table of one or two names."""
    found = scan(lines)
    if found.too_deep:
        return None
    try:
        table: object = tomllib.loads(lines)
    except ValueError:  # also what is no TOML
        return None
    path = next(iter(found.lines), ()) if lines.lstrip(" \t").startswith("[") else ()
    for name in path:
        table = table.get(name) if isinstance(table, dict) else None
    if len(path) > _LONGEST_HEADER or not isinstance(table, dict):
        return None
    return Chunk(path, table, len(found.lines))
