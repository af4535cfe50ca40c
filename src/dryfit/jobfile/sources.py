"""The text of a file and the values in it, before anybody asks what they mean."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.chunks import read_chunks
from dryfit.jobfile.lines import DEEPEST, scan

if TYPE_CHECKING:
    from pathlib import Path

LARGEST = 1_000_000
"""The largest job file that is read. [bytes]"""


MOST_KEYS = 2000
"""The most keys and tables in one file. [-]"""

_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def read_source(path: Path) -> str:
    """The text of a job file, line ends as they stand.

    Raises
    ------
    JobFileError
        If it is missing, no file, larger than 1 MB or not UTF-8.
    """
    source = str(path)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise whole_fault(source, "there is no such file; check its name and its folder") from None
    except IsADirectoryError:
        raise whole_fault(source, "this is a folder; name 1 job file in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise whole_fault(source, f"the file cannot be opened: {reason}; try another") from None
    if len(data) > LARGEST:
        raise too_large(source)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        sentence = f"byte {error.start + 1} of the file is not UTF-8; save the file as UTF-8 text"
        raise JobFileError(source, (Fault("", line, sentence),)) from None


def whole_fault(source: str, sentence: str) -> JobFileError:
    """A fault of a file as a whole."""
    return JobFileError(source, (Fault("", 0, sentence),))


def too_large(source: str) -> JobFileError:
    """A file that no job needs."""
    return whole_fault(
        source, "the file is larger than 1 MB; a job needs a few kB, name another file"
    )


def parsed(text: str, source: str) -> dict[str, object]:
    """The values of a TOML text.

    Raises
    ------
    JobFileError
        If it is not TOML, nests too deep or holds more keys than a job can need.
    """
    plain = text.replace("\r\n", "\n")
    data = read_chunks(plain, MOST_KEYS)
    if data is None:
        _check_shape(plain, source)
        data = _parse(text, source)
    return data


def _check_shape(text: str, source: str) -> None:
    """Refuse a text that nests too deep for the parser, or holds more than a job can need."""
    found = scan(text)
    if found.too_deep:
        sentence = f"the file nests more than {DEEPEST} deep; a job needs at most 4"
        raise JobFileError(source, (Fault("", found.too_deep, sentence),))
    if len(found.lines) > MOST_KEYS:
        raise whole_fault(
            source, f"the file has {len(found.lines)} keys; a job needs at most {MOST_KEYS}"
        )


def _parse(text: str, source: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobFileError(source, (_broken(str(error), text),)) from None
    except ValueError:  # Python reads no whole number longer than this
        raise whole_fault(source, "a number has more than 4300 digits; shorten it") from None


def _broken(message: str, text: str) -> Fault:
    """The parser's complaint as a fault with its line."""
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    line = int(place[1]) if place and place[1] else len(text.splitlines()) if place else 0
    column = f" at column {place[2]}" if place and place[2] else ""
    said = f"{said[:1].lower()}{said[1:]}".rstrip(".")
    return Fault("", line, f"this is not TOML{column}: {said}; write 1 key = value on each line")
