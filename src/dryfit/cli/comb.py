"""The fit comb on the command line: ``dryfit comb``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryfit.errors import DryfitError, UnitError
from dryfit.units import read_length

if TYPE_CHECKING:
    from dryfit.workflow.comb import Asked

Folder = Annotated[
    Path, typer.Option("--out", "-o", metavar="FOLDER", help="The folder for the files.")
]
Offcut = Annotated[
    str, typer.Option("--offcut", metavar="LxW", help="What there is to cut it from.")
]
Sockets = Annotated[
    int | None, typer.Option("--sockets", metavar="N", help="How many; else as many as fit.")
]
StockName = Annotated[
    str, typer.Option("--stock", metavar="NAME", help="The stock; else what most panels are of.")
]
OwnTongues = Annotated[bool, typer.Option("--own-tongues", help="Cut a tongue for each socket.")]

USUAL = "240x90mm"
MOST = 12


def asked(offcut: str, sockets: int | None, stock: str, *, own_tongues: bool) -> Asked:
    """What the maker asks, from the words of the options.

    Raises
    ------
    DryfitError
        If the sizes cannot be read or the number of sockets is out of reason.
    """
    from dryfit.workflow.comb import Asked

    if sockets is not None and not 3 <= sockets <= MOST:
        raise DryfitError(f"A comb of {sockets} sockets says little; ask for 3 to {MOST}.")
    return Asked(_sizes(offcut), sockets, stock, own_tongues)


def _sizes(text: str) -> tuple[float, float]:
    """Two lengths from ``240x90mm`` or ``10 in x 4 in``; a unit at the end counts for both. [mm]"""
    one, by, other = text.casefold().replace("×", "x").partition("x")
    if not by:
        raise DryfitError(f"{text[:40]!r} is no pair of sizes; write 2 lengths as {USUAL}.")
    unit = other.strip().lstrip("0123456789./ ").strip()
    first = one if any(sign.isalpha() or sign in "\"'" for sign in one) else f"{one} {unit}"
    try:
        sizes = read_length(first.strip(), "mm"), read_length(other.strip(), "mm")
    except UnitError as error:
        raise DryfitError(f"The offcut: {error}; write it as {USUAL}.") from error
    if min(sizes) <= 0:
        raise DryfitError(f"The offcut is {text[:40]}; write 2 sizes of more than 0, as {USUAL}.")
    return sizes
