"""Cutting on the command line: ``dryfit cut`` and ``dryfit readback``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import listed, plain, tell
from dryfit.cli.shop import own_shop
from dryfit.errors import DryfitError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.findings import Finding
    from dryfit.workflow.cutting import SheetReport

JobFile = Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")]
MachineFile = Annotated[
    Path | None,
    typer.Option("--machine", metavar="MACHINE.toml", help="The machine; else a plain one."),
]
Name = Annotated[
    str, typer.Option("--name", metavar="NAME", help="Which machine of the file, of several.")
]
Force = Annotated[bool, typer.Option("--force", help="Overwrite files that hold something else.")]


def cut(
    file: JobFile,
    into: Annotated[
        Path,
        typer.Option("--out", "-o", metavar="FOLDER", help="The folder for the programs."),
    ],
    *,
    machine: MachineFile = None,
    name: Name = "",
    sheet: Annotated[
        str,
        typer.Option("--sheet", metavar="SIZE", help="Size of a sheet; else the job's."),
    ] = "",
    force: Force = False,
) -> int:
    """Write machine programs that were read back and compared with the parts.

    One RS-274 program for each sheet, and its nominal drawing; nothing at all when anything stops.
    """
    from dryfit.cli import show
    from dryfit.workflow.cutting import cut as cut_job
    from dryfit.workflow.cutting import machine_of

    rehearsal = workflow.read(file, own_shop())
    if rehearsal.report.stops:
        refused = "Nothing was written. Mend what stops, then cut it."
        tell(*show.head(rehearsal), *show.answers(rehearsal), "", refused)
        return 1
    made = cut_job(rehearsal, machine_of(machine, name), sheet)
    tell(*show.head(rehearsal))
    _tell_sheets(made.sheets)
    _tell_findings(made.findings)
    if made.stops:
        tell("", "Nothing was written: what stops comes first.")
        return 1
    workflow.save(made.files, into, force=force)
    tell(
        "",
        plain(f"Written to {into}: {', '.join(made.files)}."),
        "Z0 and the spoil depth stand at the top of each program; run it in the air first.",
        plain(f"Feed and speed are a starting point ({made.speed})."),
        *show.cautions(rehearsal),
    )
    return 0


def _tell_sheets(sheets: Sequence[SheetReport]) -> None:
    """A paragraph for each sheet."""
    from dryfit.cli.show import heading

    tell(heading("Sheets, as read back"))
    for each in sheets:
        lines = [
            (
                f"  {each.name}: {_many(each.parts, 'part')}, {_many(each.programs, 'program')}, "
                f"about {max(1, each.seconds / 60):.0f} min, {_many(each.tabs, 'tab')}, "
                f"{_many(each.skins, 'skin')}."
            ),
            f"    Cut inside parts {each.inside:.4f} mm at most, wood left {each.left:.4f} mm.",
        ]
        if each.travel:
            lines.append(
                f"    Travel {each.travel:.0f} mm; no order has less than {each.bound:.0f}, as "
                f"listed it would be {each.listed:.0f}."
            )
        tell(*map(plain, lines))


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _tell_findings(found: Sequence[Finding]) -> None:
    from dryfit.cli.show import findings, indented

    if found:
        tell("", indented(findings(list(found))))


def readback(
    program: Annotated[Path, typer.Argument(metavar="PROGRAM", help="The machine program.")],
    file: JobFile,
    *,
    machine: MachineFile = None,
    name: Name = "",
    stock: Annotated[
        str, typer.Option("--stock", metavar="NAME", help="What it cuts; else most parts' stock.")
    ] = "",
    output: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="FILE", help="Where to draw; else beside the program."),
    ] = None,
    force: Force = False,
) -> int:
    """Read any RS-274 program back and say what it makes of a job.

    The parts that would fall out are recognised and compared both ways, and drawn as SVG.
    """
    from dryfit.workflow.cutting import machine_of, read_program
    from dryfit.workflow.cutting import readback as read_it

    target = output or program.with_suffix(".svg")
    if target.resolve() in {program.resolve(), file.resolve()}:
        raise DryfitError(f"{target} is 1 of the files that are read; name another with -o.")
    text = read_program(program)
    rehearsal = workflow.read(file, own_shop())
    made = read_it(text, rehearsal, machine_of(machine, name), stock)
    tell(
        plain(f"{program}: parts that come out, {len(made.found)}: {listed(made.found)}."),
        plain(
            f"Cut inside parts {made.inside:.4f} mm at most, wood left on them {made.left:.4f} mm; "
            f"about {made.seconds / 60:.1f} min."
        ),
        *([f"Pieces that are no part of the job: {made.strange}."] if made.strange else []),
    )
    _tell_findings(made.findings)
    workflow.save({target.name: made.picture}, target.parent, force=force)
    tell(plain(f"Written: {target}, to be opened in a browser."))
    return 1 if made.stops else 0
