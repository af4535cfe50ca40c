"""What is said on the terminal: answers on standard output, trouble on standard error."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from dataclasses import dataclass
from io import TextIOWrapper
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console, ConsoleOptions, RenderableType, RenderResult

WIDTH = 80
"""The widest a line gets: what a terminal has when nobody has widened it. [characters]"""


def be_ready() -> None:
    """Let no character stop a sentence: what the terminal cannot show is written as an escape."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def plain(text: object) -> str:
    r"""A text without characters that would move the cursor or not show.

    Examples
    --------
    >>> plain("tray\x1b[31m")
    'tray\\x1b[31m'
    """
    return "".join(
        char if char.isprintable() or char == "\n" else ascii(char)[1:-1] for char in str(text)
    )


@dataclass(frozen=True, slots=True)
class Wide:
    """A block that keeps its width on a narrow terminal: a table would lose its names there."""

    block: RenderableType

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Lay the block out as on a terminal that nobody has narrowed."""
        yield from console.render(self.block, options.update(width=WIDTH))


def tell(*blocks: RenderableType) -> None:
    """Print blocks on standard output, in colour where it is a terminal that has some."""
    # Here, because the command line shows its help without it.
    from rich.console import Console

    console = Console(markup=False, highlight=False, emoji=False)
    console.width = min(console.width, WIDTH)
    with console.capture() as captured:
        for block in blocks:
            console.print(block, crop=False)
    lines = (line.rstrip(" ") for line in captured.get().split("\n"))
    write("\n".join(lines))


def write(text: str) -> None:
    """Write a text on standard output as it stands."""
    _write(sys.stdout, text)


def complain(text: str) -> None:
    """Write a sentence on standard error; where even that fails, the exit code has to do."""
    with contextlib.suppress(OSError):
        _write(sys.stderr, plain(text) + "\n")


def _write(stream: TextIO | None, text: str) -> None:
    """Write and flush; a reader who has gone away is no trouble of ours."""
    if stream is None:  # Python's sign that it was started with the stream closed
        raise OSError(errno.EBADF, "it is closed")
    try:
        stream.write(text)
        stream.flush()
    except BrokenPipeError:
        _close(stream)
    except OSError:
        _close(stream)
        raise


def _close(stream: TextIO) -> None:
    """Send what is still held to nowhere, or the interpreter would try to write it at its end."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def listed(names: Sequence[str], most: int = 6) -> str:
    """Names in a row, shortened after a few.

    Examples
    --------
    >>> listed(["front", "back", "left"], most=2)
    'front and 2 more'
    >>> listed(["front", "back", "left"])
    'front, back, left'
    """
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
