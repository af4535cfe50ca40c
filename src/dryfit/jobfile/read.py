"""Read a job file into a job, or say everything that is wrong with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.jobfile.build import build_job, layout_of
from dryfit.jobfile.faults import Faults
from dryfit.jobfile.sources import LARGEST, parsed, read_source, too_large
from dryfit.jobfile.tables import check_tables
from dryfit.jobfile.unfold import check_unfolds, unfolded

if TYPE_CHECKING:
    from pathlib import Path

    from dryfit.jobfile.tables import Tables
    from dryfit.model.piece import Job


def read_job(path: Path) -> Job:
    """Read a job file.

    Parameters
    ----------
    path : Path
        The file; its name is the title of a job that has none.

    Returns
    -------
    Job
        The piece with its panels in place, the cutter and the wishes.

    Raises
    ------
    JobFileError
        With every fault in the file, each with its path, its line and a sentence.
    """
    return read_text(read_source(path), str(path), title=path.stem)


def read_text(text: str, source: str, title: str = "Job") -> Job:
    """Read the text of a job file.

    Parameters
    ----------
    text : str
        TOML of format 1.
    source : str
        What to call the text in messages.
    title : str
        The title of a job that has none.

    Raises
    ------
    JobFileError
        With every fault in the text, each with its path, its line and a sentence.
    """
    return build_job(*_checked(text, source, title))


def read_unfolded(text: str, source: str) -> str:
    """The text of a job of a form, written as planes and panels.

    Raises
    ------
    JobFileError
        With every fault in the text, or if it has no form that can be written so.
    """
    tables, _, faults = _checked(text, source, "")
    check_unfolds(tables.piece.text("form"), source)
    return unfolded(text, source, tables, layout_of(tables, faults))


def _checked(text: str, source: str, title: str) -> tuple[Tables, str, Faults]:
    """The tables of a text, its title and the faults so far."""
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        raise too_large(source)
    faults = Faults(source, text.replace("\r\n", "\n"))
    data = parsed(text, source)
    return check_tables(data, faults), title, faults
