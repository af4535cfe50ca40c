"""The fit comb on the command line: ``dryfit comb``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import plain, tell, write
from dryfit.cli.shop import own_shop

OFFCUT = "200x80mm"


def comb(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")],
    folder: Annotated[
        Path, typer.Option("--out", "-o", metavar="FOLDER", help="The folder for the files.")
    ],
    *,
    offcut: Annotated[
        str, typer.Option("--offcut", metavar="SIZE", help="What it is cut from.")
    ] = OFFCUT,
    sockets: Annotated[
        int | None, typer.Option("--sockets", metavar="N", help="How many; else what fits.")
    ] = None,
    stock: Annotated[
        str, typer.Option("--stock", metavar="NAME", help="Which stock; else that of most panels.")
    ] = "",
    own_tongues: Annotated[
        bool, typer.Option("--own-tongues", help="Each socket is tried on a tongue of its own.")
    ] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that hold something else.")
    ] = False,
) -> int:
    """Write a fit comb: a test piece that tells how tight this shop cuts.

    Its sockets have the gaps that tell most. Cut it, grade it on its card, and enter the grades in
    the shop book.
    """
    from dryfit.workflow.comb import make_comb

    made = make_comb(
        workflow.read(file, own_shop()), offcut, sockets, stock, own_tongues=own_tongues
    )
    workflow.save(made.files, folder, force=force)
    lines = [f"Written to {folder}: {', '.join(made.files)}."]
    if len(made.gaps) > 1:
        gaps = ", ".join(f"{gap:+.2f}" for gap in made.gaps)
        lines += [
            f"{len(made.gaps)} sockets with flank gaps of {gaps} mm.",
            (
                f"Graded, they should tell the misfit to {made.rest:.3f} mm, where now it is known "
                f"to {made.before:.3f} mm (standard deviations)."
            ),
        ]
    tell(*(plain(line) for line in lines), "Then type, with the grades:")
    # As it stands: a line that was broken could not be typed on.
    write(plain(made.command) + "\n")
    return 0
