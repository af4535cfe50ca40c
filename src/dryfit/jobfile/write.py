"""Change the text of a job file, comments and order kept.

The only module that knows the editing library.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.faults import dotted
from dryfit.jobfile.lines import DEEPEST, scan
from dryfit.jobfile.wishes import joint_panels

if TYPE_CHECKING:
    from collections.abc import MutableMapping
    from typing import Any

    from dryfit.findings import Edit
    from dryfit.jobfile.lines import Path


def apply_edits(text: str, edits: tuple[Edit, ...]) -> str:
    """The text with some values set or taken out; comments and order stay.

    Parameters
    ----------
    text : str
        A job file.
    edits : tuple of Edit
        Applied in order. Tables are made as needed; the two panels of a joint may stand in
        either order; a value of None takes the key out.

    Raises
    ------
    JobFileError
        If the text is not TOML, or an edit would put a key inside a plain value.
    """
    ends_in_crlf = "\r\n" in text
    document = _parse(text.replace("\r\n", "\n"))
    for edit in edits:
        _apply(document, edit)
    changed = tomlkit.dumps(document)
    return changed.replace("\n", "\r\n") if ends_in_crlf else changed


def _parse(text: str) -> tomlkit.TOMLDocument:
    if scan(text).too_deep:
        raise _not_edited(f"the file nests more than {DEEPEST} deep; a job needs at most 4")
    try:
        return tomlkit.parse(text)
    except (TOMLKitError, ValueError) as error:
        raise _not_edited(f"this is not TOML: {error}") from None


def _not_edited(sentence: str, path: Path = ()) -> JobFileError:
    return JobFileError("job file", (Fault(dotted(path), 0, sentence),))


def _apply(document: tomlkit.TOMLDocument, edit: Edit) -> None:
    table: MutableMapping[str, Any] = document
    *above, last = _as_written(document, edit.path)
    for depth, name in enumerate(above):
        if name not in table:
            if edit.value is None:
                return
            # Only the last heading is printed: [joint."front+left"], never a bare [joint].
            table[name] = tomlkit.table(is_super_table=depth < len(above) - 1)
        table = table[name]
        if not hasattr(table, "keys"):
            sentence = f"{name} holds a plain value, so {last} cannot be set in it"
            raise _not_edited(sentence, edit.path)
    if edit.value is not None:
        _set(table, last, edit.value)
    elif last in table:
        del table[last]


def _set(table: MutableMapping[str, Any], key: str, value: object) -> None:
    if key in table or not isinstance(table, Table):
        table[key] = value
        return
    table.append(key, tomlkit.item(value))


def _as_written(document: tomlkit.TOMLDocument, path: Path) -> Path:
    """The path with the joint named as the file names it."""
    joints = document.get("joint")
    if len(path) < 2 or path[0] != "joint" or joints is None:
        return path
    wanted = set(joint_panels(path[1]))
    for name in joints:
        if set(joint_panels(name)) == wanted:
            return ("joint", name, *path[2:])
    return path
