"""The book as JSON, to be carried to another shop computer and kept as a copy.

Entries are named by their uid, so that reading the same file in twice changes nothing. What is read
in is checked like what is typed.
"""

from __future__ import annotations

import json
import re
from dataclasses import asdict, fields
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from dryfit.errors import BookError
from dryfit.shopbook.book import Draft
from dryfit.shopbook.records import RECORDS, Kind, SocketResult
from dryfit.shopbook.schema import TABLES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from dryfit.shopbook.book import Entry
    from dryfit.shopbook.records import Record

FORMAT = 1
"""Format of the exported file."""

LARGEST = 50_000_000
"""No larger file is read in. [bytes]"""

_UID = re.compile(r"[A-Za-z0-9-]{1,80}")
_STAMP = "%Y-%m-%dT%H:%M:%SZ"


def to_json(entries: Iterable[Entry]) -> str:
    """The entries as text, in their order."""
    listed = list(entries)
    uids = {entry.id: entry.uid for entry in listed}
    data = {
        "format": FORMAT,
        "entries": [
            {
                "uid": entry.uid,
                "kind": entry.kind.value,
                "at": entry.at.strftime(_STAMP),
                "supersedes": None if entry.supersedes is None else uids[entry.supersedes],
                "record": None if entry.record is None else asdict(entry.record),
            }
            for entry in listed
        ],
    }
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def from_json(text: str) -> list[Draft]:
    """The entries of a text.

    Raises
    ------
    BookError
        If it is no exported book, with the number of the entry to blame.
    """
    if len(text) > LARGEST:
        raise BookError(f"The file has {len(text)} characters; the most is {LARGEST}.")
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise BookError(
            f"The file is no exported shop book: it is not JSON ({error}). Give one that "
            "dryfit book export wrote."
        ) from error
    if not isinstance(data, dict) or not isinstance(data.get("entries"), list):
        raise BookError(
            'The file is no exported shop book: it has no list of "entries". Give one that '
            "dryfit book export wrote."
        )
    if data.get("format") != FORMAT:
        raise BookError(
            f"The file has format {str(data.get('format'))[:40]}, and this dryfit reads {FORMAT}; "
            "export it anew or bring dryfit up to date."
        )
    return [_draft(each, number) for number, each in enumerate(data["entries"], start=1)]


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} is not a finite number")


def _draft(data: object, number: int) -> Draft:
    try:
        return _read_entry(data)
    except BookError as error:
        raise BookError(f"Entry {number} of the file: {error}") from error


def _read_entry(data: object) -> Draft:
    if not isinstance(data, dict):
        raise BookError("it is not an object.")
    uid, before, said = data.get("uid"), data.get("supersedes"), data.get("record")
    if not isinstance(uid, str) or not _UID.fullmatch(uid):
        raise BookError("its uid is not 1 to 80 letters, digits and hyphens.")
    if before is not None and not isinstance(before, str):
        raise BookError("what it supersedes is not a uid.")
    kind = _kind(data.get("kind"))
    record = None if said is None else _record(kind, said)
    return Draft(uid, kind, _time(data.get("at")), before, record)


def _kind(word: object) -> Kind:
    known = [kind.value for kind in Kind]
    if word not in known:
        raise BookError(f"{str(word)[:40]!r} is no kind; known are {', '.join(known)}.")
    return Kind(word)


def _time(text: object) -> datetime:
    try:
        return datetime.strptime(str(text), _STAMP).replace(tzinfo=UTC)
    except ValueError as error:
        raise BookError(
            f"{str(text)[:40]!r} is no time; it is written as 2026-11-25T00:00:00Z."
        ) from error


def _record(kind: Kind, said: object) -> Record:
    record: Record = _made(RECORDS[kind], said, TABLES[kind].many)
    return record


def _made(maker: Callable[..., Any], said: object, many: str = "") -> Any:
    """A record from an object with exactly its fields."""
    names = [field.name for field in fields(maker)]  # type: ignore[arg-type]
    if not isinstance(said, dict) or set(said) != set(names):
        raise BookError(f"it does not have the fields {', '.join(names)}, and no others.")
    values = dict(said)
    if many:
        if not isinstance(values[many], list):
            raise BookError(f"{many} is not a list.")
        rows = values[many]
        if many == "results":
            rows = [_made(SocketResult, row) for row in rows]
        values[many] = tuple(rows)
    return maker(**values)
