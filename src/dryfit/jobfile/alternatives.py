"""Alternatives of a job: tables of the file, or lines typed beside it, as edits.

An alternative is a job file in small: what it says takes the place of what the job says. What it
thereby contradicts goes: readings of a stock that is another now, a count where a width is given.
A table of the job in whose place it says ``false`` goes too.
"""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

from dryfit.errors import Fault, JobFileError
from dryfit.findings import Edit
from dryfit.jobfile.faults import dotted, shown
from dryfit.jobfile.lines import scan

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from dryfit.jobfile.lines import Path

TABLE = "compare"
"""The table whose sub-tables are alternatives."""

_RIVALS = (
    ("width", "count"), ("inside", "outside"), ("flats", "flats_inside"),
)  # fmt: skip
_SIZES = ("diameter", "kerf", "blade", "relief")
_MEASURED = ("readings", "spread", "cup", "wind")
_BETWEEN = re.compile(r';(?=(?:[^"]*"[^"]*")*[^"]*$)')


def written_alternatives(text: str, source: str) -> dict[str, tuple[Edit, ...]]:
    """The alternatives in a job file, each as edits of it.

    Parameters
    ----------
    text : str
        The file, which has been read without fault.
    source : str
        What to call it in messages.

    Raises
    ------
    JobFileError
        If one of them is no table, or is empty.
    """
    data = tomllib.loads(text.replace("\r\n", "\n"))
    tables = data.get(TABLE, {})
    lines = scan(text.replace("\r\n", "\n"))
    if not isinstance(tables, dict):
        sentence = f"expected a table; write [{TABLE}.NAME] and not {shown(tables)}"
        raise JobFileError(source, (Fault(TABLE, lines.line((TABLE,)), sentence),))
    wrong = tuple(
        Fault(
            dotted((TABLE, name)),
            lines.line((TABLE, name)),
            'an alternative has at least 1 line, such as panel.shelf.stock = "thick"',
        )
        for name, table in tables.items()
        if not isinstance(table, dict) or not table
    )
    if wrong:
        raise JobFileError(source, wrong)
    return {name: edits_for(table, data) for name, table in tables.items()}


def typed_alternative(words: str, text: str) -> tuple[Edit, ...]:
    """An alternative typed beside the file: lines of a job file, with a semicolon between them.

    Parameters
    ----------
    words : str
        Such as ``stock.ply.nominal = 12``; quotes round a single word may be left out.
    text : str
        The file, which has been read without fault.

    Raises
    ------
    JobFileError
        If it is no line of a job file.
    """
    lines = [_quoted(line.strip()) for line in _BETWEEN.split(words) if line.strip()]
    try:
        said = tomllib.loads("\n".join(lines))
    except ValueError as error:
        raise _mistyped(words, str(error)) from None
    if not said:
        raise _mistyped(words, "it names 0 keys")
    return edits_for(said, tomllib.loads(text.replace("\r\n", "\n")))


def _mistyped(words: str, reason: str) -> JobFileError:
    sentence = (
        f"{shown(words)} is no line of a job file ({reason}); "
        "write 1 such as stock.ply.nominal = 12"
    )
    return JobFileError("--with", (Fault("", 0, sentence),))


def _quoted(line: str) -> str:
    """A line whose value is a bare word or a length, with quotes put round it."""
    key, equals, value = line.partition("=")
    value = value.strip()
    try:
        tomllib.loads(f"x = {value}")
    except ValueError:
        if equals and value and '"' not in value:
            return f'{key}= "{value}"'
    return line


def retold(error: JobFileError, name: str, text: str, source: str) -> JobFileError:
    """What is wrong with an alternative, told at its own line of the file.

    Parameters
    ----------
    error : JobFileError
        What is wrong with the job that it makes.
    name : str
        The alternative: a table of the file, or the words that were typed.
    text, source : str
        The file as it is, and what to call it.
    """
    line = scan(text.replace("\r\n", "\n")).line((TABLE, name))
    if not line:
        faults = tuple(Fault(fault.path, 0, fault.sentence) for fault in error.faults)
        return JobFileError(f"--with {shown(name)}", faults)
    above = dotted((TABLE, name))
    return JobFileError(
        source,
        tuple(
            Fault(f"{above}.{fault.path}" if fault.path else above, line, fault.sentence)
            for fault in error.faults
        ),
    )


def edits_for(said: Mapping[str, object], data: Mapping[str, object]) -> tuple[Edit, ...]:
    """Edits that put what is said in place of what the job says.

    Parameters
    ----------
    said : mapping
        Tables as the parser gives them.
    data : mapping
        The job, likewise.
    """
    own = dict(_leaves(said))
    tables = [path for path, value in own.items() if value is False and _is_table(path, data)]
    for path in tables:
        del own[path]
    gone = [*tables, *(path for path in _contradicted(own, data) if path not in own)]
    return (
        *(Edit(path, None) for path in dict.fromkeys(gone)),
        *(Edit(path, value) for path, value in own.items()),  # type: ignore[arg-type]
    )


def _is_table(path: Path, data: Mapping[str, object]) -> bool:
    """Whether the job has a table there, which ``false`` in its place takes out."""
    place: object = data
    for name in path:
        place = place.get(name) if isinstance(place, dict) else None
    return isinstance(place, dict)


def _leaves(table: Mapping[str, object], above: Path = ()) -> Iterator[tuple[Path, object]]:
    for name, value in table.items():
        if isinstance(value, dict):
            yield from _leaves(value, (*above, name))
        else:
            yield (*above, name), value


def _contradicted(own: Mapping[Path, object], data: Mapping[str, object]) -> Iterator[Path]:
    """Keys of the job that no longer hold beside what an alternative says."""
    for path in own:
        above, key = path[:-1], path[-1]
        for pair in _RIVALS:
            if key in pair:
                yield from ((*above, other) for other in pair if other != key)
        if path == ("cutter", "kind"):
            yield from (("cutter", size) for size in _SIZES)
        if path[0] == "stock" and key in ("nominal", "material"):
            yield from ((*above, measured) for measured in _MEASURED)
            yield from _of_panels(str(path[1]), data)
        if path[0] == "panel" and key == "stock":
            yield from ((*above, measured) for measured in _MEASURED)


def _of_panels(stock: str, data: Mapping[str, object]) -> Iterator[Path]:
    """What was measured on panels of a stock."""
    piece, panels = data.get("piece", {}), data.get("panel", {})
    usual = piece.get("stock", stock) if isinstance(piece, dict) else stock
    for name, table in panels.items() if isinstance(panels, dict) else ():
        if table.get("stock", usual) == stock:
            yield from (("panel", name, measured) for measured in _MEASURED)
