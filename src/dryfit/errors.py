"""The tool's own trouble, as one tree of exceptions.

A bad design is never an exception: it is a :class:`dryfit.findings.Finding`.

::

    DryfitError
    ├── JobFileError        the job file cannot be used; carries every fault at once
    ├── UnitError           a length that cannot be read
    ├── SizeError           sizes from which no panel can be made
    ├── ShapeError          a profile that is not closed, not simple or not finite
    ├── OutputError         a file that may not or cannot be written
    ├── ProgramError        a machine program that cannot be read; carries its line
    └── BookError           a shop book that cannot be used, or an entry it does not take
        └── DoubtError      an entry that is hard to believe, until its maker says yes

Each message is one sentence with a number and a way out, fit to be printed as it stands.
"""

from __future__ import annotations

from dataclasses import dataclass


class DryfitError(Exception):
    """Anything dryfit says about its own trouble."""


class UnitError(DryfitError, ValueError):
    """A length that cannot be read."""


class SizeError(DryfitError, ValueError):
    """Sizes from which no panel can be made; `path` is the job key to blame, where known."""

    def __init__(self, sentence: str, path: tuple[str, ...] = ()) -> None:
        super().__init__(sentence)
        self.path = path


class ShapeError(DryfitError, ValueError):
    """A profile that is not closed, not simple or not finite."""


class OutputError(DryfitError, OSError):
    """A file that may not or cannot be written."""


class ProgramError(DryfitError, ValueError):
    """A machine program that cannot be read; `line` counts from 1, 0 is the whole program."""

    def __init__(self, sentence: str, line: int = 0) -> None:
        super().__init__(f"line {line}: {sentence}" if line else sentence)
        self.line = line


class BookError(DryfitError):
    """A shop book that cannot be used, or an entry it does not take."""


class DoubtError(BookError):
    """An entry that is hard to believe, until its maker says yes."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a job file.

    `path` is dotted, as in ``joint."front+left".count``; `line` counts from 1 and is 0 where
    the fault belongs to the whole file.
    """

    path: str
    line: int
    sentence: str

    def __str__(self) -> str:
        where = f"line {self.line}, " if self.line else ""
        return f"{where}{self.path}: {self.sentence}" if self.path else f"{where}{self.sentence}"


class JobFileError(DryfitError, ValueError):
    """A job file that cannot be used, with every fault that was found in it."""

    def __init__(self, source: str, faults: tuple[Fault, ...]) -> None:
        self.source = source
        self.faults = faults
        super().__init__("\n".join(f"{source}: {fault}" for fault in faults))
