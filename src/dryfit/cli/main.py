"""The command line: arguments in, the workflow called, sentences out.

Exit codes: 0 when nothing stops, 1 when a finding stops, 2 when the file or the arguments are
wrong. NumPy and the rest are loaded by the commands that need them, so that help comes at once.
"""

from __future__ import annotations

import os
from difflib import get_close_matches
from pathlib import Path
from shlex import quote
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated

import typer

from dryfit import __version__, workflow
from dryfit.cli.book import app as book_app
from dryfit.cli.card import card
from dryfit.cli.comb import comb
from dryfit.cli.compare import compare
from dryfit.cli.cutting import cut, readback
from dryfit.cli.order import order
from dryfit.cli.say import be_ready, complain, plain, tell, write
from dryfit.cli.sheets import laid_of, sheets
from dryfit.cli.shop import own_shop
from dryfit.cli.traveller import traveller
from dryfit.errors import DryfitError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.workflow import Rehearsal

FINE, STOPS, WRONG = 0, 1, 2
_INTERRUPTED = 130
_MODELS = MappingProxyType(
    {
        ".glb": "the piece to be looked at from all sides",
        ".3mf": "one mesh a part, in millimetres",
        ".step": "one body a part, with true arcs",
    }
)
"""What a model is good for, by the ending of its file."""

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("card")(card)
app.command("comb")(comb)
app.command("order")(order)
app.command("traveller")(traveller)
app.command("compare")(compare)
app.command("sheets")(sheets)
app.command("cut")(cut)
app.command("readback")(readback)
app.add_typer(book_app, name="book")

JobFile = Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")]
JobFiles = Annotated[list[Path], typer.Argument(metavar="FILE", help="One job file or several.")]
Force = Annotated[bool, typer.Option("--force", help="Overwrite files that hold something else.")]


def main(args: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code; `args` are those of the program where not given."""
    be_ready()
    try:
        code = app(args, prog_name="dryfit", standalone_mode=False)
    except DryfitError as error:
        complain(str(error))
    except Exception as error:  # the last net: a maker gets a sentence
        if os.environ.get("DRYFIT_TRACEBACK"):
            raise
        complain(_trouble(error))
    else:
        if code == _INTERRUPTED:
            complain("Interrupted.")
        return int(code or FINE)
    return WRONG


def _trouble(error: Exception) -> str:
    """A sentence for what is none of our own exceptions."""
    # The library's usage errors have no name that it promises to keep, but all can say themselves.
    usage = getattr(error, "format_message", None)
    if usage is not None:
        said = usage().strip().rstrip(".")
        return f"{said}{'' if said.endswith('?') else '.'} See: dryfit --help"
    if isinstance(error, OSError) and error.filename is None:
        return f"The output cannot be written: {error.strerror or error}."
    return (
        f"dryfit itself failed ({type(error).__name__}: {error}). Please report it with the job "
        "file; DRYFIT_TRACEBACK=1 before the command shows where it happened."
    )


def _version(asked: bool) -> None:
    if asked:
        write(f"dryfit {__version__}\n")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def dryfit(
    context: typer.Context,
    version: Annotated[  # noqa: ARG001 - the callback answers it
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> int:
    """Know that it fits before you cut.

    Rehearses boxes, trays and cases whose corners interlock with fingers. Exit codes: 0 nothing
    stops, 1 a finding stops, 2 the file or the arguments are wrong.
    """
    if context.invoked_subcommand is None:
        write(context.get_help() + "\n")
    return FINE


@app.command("try")
def try_out(
    into: Annotated[Path, typer.Option(metavar="FOLDER", help="The folder for the demo.")] = Path(
        "dryfit-try"
    ),
    force: Force = False,
) -> int:
    """Write, check and make a job of our own, to look round in."""
    from dryfit.cli import demo, show

    text = workflow.new_text("tray")
    rehearsal = workflow.read_text(text, demo.NAME)
    files = {demo.NAME: text.encode()} | workflow.files(rehearsal)
    workflow.save(files, into, force=force)
    tell(
        *show.head(rehearsal),
        *show.answers(rehearsal),
        *demo.written(list(files), into),
        *demo.next_steps(into),
        *show.cautions(rehearsal),
    )
    return _verdict(rehearsal)


@app.command()
def new(
    form: Annotated[
        str, typer.Argument(metavar="FORM", help="tray, case, chest, drawer, crate and others.")
    ],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to write.")],
    force: Force = False,
) -> int:
    """Write a job file with comments, ready to be changed."""
    _save_one(file, workflow.new_text(form).encode(), force)
    tell(
        plain(f"Written: {file}, a {form} with sizes and readings to be put right."),
        plain(f"Then: dryfit check {quote(str(file))}"),
    )
    return FINE


@app.command()
def check(
    file: JobFile,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
) -> int:
    """Answer the questions, and list joints and parts."""
    rehearsal = workflow.read(file, own_shop())
    if json:
        from json import dumps

        write(dumps(workflow.as_data(rehearsal), allow_nan=False) + "\n")
    else:
        from dryfit.cli import show

        tell(*show.whole(rehearsal))
    return _verdict(rehearsal)


@app.command()
def odds(
    file: JobFile,
    output: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FILE", help="Draw the curve, as SVG.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
    force: Force = False,
) -> int:
    """Tell the odds that everything goes together, and what would change them."""
    rehearsal = workflow.read(file, own_shop())
    if output is not None:
        _spare_the_job(file, output, "OUT.svg")
        _save_one(output, workflow.odds_picture(rehearsal).encode(), force)
    if json:
        from json import dumps

        write(dumps(workflow.odds_data(rehearsal), allow_nan=False) + "\n")
    else:
        from dryfit.cli import chances

        tell(*chances.whole(rehearsal))
        if output is not None:
            tell(f"Written: {plain(output)}, to be opened in a browser.")
    return _verdict(rehearsal)


@app.command()
def make(
    files: JobFiles,
    folder: Annotated[
        Path, typer.Option("--out", "-o", metavar="FOLDER", help="The folder for the files.")
    ],
    times: Annotated[
        int | None,
        typer.Option("--times", metavar="N", min=1, max=10_000, help="How many of each piece."),
    ] = None,
    force: Force = False,
) -> int:
    """Write the files to cut from.

    One DXF and one SVG for each part, the cut list, the picture of the piece and the traveller; and
    of each sheet, where sheets are stated. Several jobs are laid together. Nothing at all is
    written when a finding stops.
    """
    from dryfit.cli import demo, show

    rehearsals = [workflow.read(file, own_shop()) for file in files]
    stopped = [each for each in rehearsals if each.report.stops]
    if stopped:
        refused = "Nothing was written. Mend what stops, then make it again."
        for each in stopped:
            tell(*show.head(each), *show.answers(each))
        tell("", refused)
        return STOPS
    made, laid = _made(rehearsals, files, times)
    if laid is not None and not laid.cost.whole:
        sentence, _ = workflow.say_sheets(laid)
        complain(f"{sentence} Nothing was written; dryfit sheets says more.")
        return STOPS
    workflow.save(made, folder, force=force)
    for each in rehearsals:
        tell(*show.head(each), *show.answers(each))
    tell(*demo.written(list(made), folder), *show.cautions(rehearsals[0]))
    return FINE


def _made(
    rehearsals: Sequence[Rehearsal], files: Sequence[Path], times: int | None
) -> tuple[dict[str, bytes], workflow.Laid | None]:
    """The files of jobs, and their layout where sheets are stated."""
    if len(rehearsals) == 1 and times is None and rehearsals[0].job.supply is None:
        return workflow.files(rehearsals[0]), None
    laid = laid_of(rehearsals, workflow.Request(times=times))
    return workflow.make_together(laid, [file.stem for file in files]), laid


@app.command()
def picture(
    file: JobFile,
    output: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="FILE", help="Where; else beside the job file."),
    ] = None,
    apart: Annotated[
        float,
        typer.Option("--apart", metavar="SHARE", min=0, max=2, help="Draw the parts apart."),
    ] = 0.0,
    force: Force = False,
) -> int:
    """Draw the piece put together, as SVG."""
    rehearsal = workflow.read(file, own_shop())
    if output is None and not file.is_file():
        raise DryfitError(f"{file} has no folder to draw into; say where with -o OUT.svg.")
    target = output or file.with_suffix(".svg")
    _spare_the_job(file, target, "OUT.svg")
    _save_one(target, rehearsal.picture(apart).encode(), force)
    tell(f"Written: {plain(target)}, to be opened in a browser.")
    return _told_of_stops(rehearsal, file)


@app.command()
def model(
    file: JobFile,
    output: Annotated[
        Path, typer.Option("--out", "-o", metavar="FILE", help="Ends in .glb, .3mf or .step.")
    ],
    force: Force = False,
) -> int:
    """Write the piece put together as solid bodies, to be modelled on.

    The ending of the file says which format: .glb to look at, .3mf as meshes in millimetres,
    .step with true arcs; that one needs a library of its own.
    """
    kind = output.suffix.lower()
    if kind not in _MODELS:
        raise DryfitError(f"{output} ends in none of {', '.join(_MODELS)}; name the file by one.")
    _spare_the_job(file, output, f"OUT{kind}")
    rehearsal = workflow.read(file, own_shop())
    if kind == ".step":
        data = workflow.step_bytes(rehearsal)
    else:
        data = workflow.models(rehearsal)[f"piece{kind}"]
    _save_one(output, data, force)
    tell(f"Written: {plain(output)}, {_MODELS[kind]}.")
    return _told_of_stops(rehearsal, file)


@app.command()
def planes(
    file: JobFile,
    output: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FILE", help="Where; else it is printed.")
    ] = None,
    force: Force = False,
) -> int:
    """Write a job of a form as planes and panels, to go on from freely.

    What the file says of stock, cutter and joints stays, with its comments.
    """
    text = workflow.planes_text(file)
    if output is None:
        write(text)
        return FINE
    _save_one(output, text.encode(), force)
    tell(f"Written: {plain(str(output))}, the same piece as planes and panels.")
    return FINE


@app.command()
def mend(
    file: JobFile,
    code: Annotated[
        str, typer.Option(metavar="CODE", help="Mend only findings of this code.")
    ] = "",
    write_back: Annotated[
        bool, typer.Option("--write", help="Write the file; else the text is printed.")
    ] = False,
) -> int:
    """Apply the mends of the findings to the job file.

    Comments and order are kept. Without --write the changed text is printed and the file left
    alone. Notes are mended only when --code names them.
    """
    if code and code not in workflow.codes():
        raise DryfitError(_no_such_code(code))
    text, done = workflow.mend_all(file, code, own_shop())
    lines = [f"Mended: {sentence}" for sentence in done] or ["There was nothing to mend."]
    if write_back:
        if done:
            _save_one(file.resolve(), text.encode(), force=True)
        tell(*map(plain, lines))
    else:
        # Aside from the text, so that the text can be sent on to a file.
        complain("\n".join(lines))
        write(text)
    return _verdict(workflow.read_text(text, str(file), own_shop()))


def _spare_the_job(file: Path, target: Path, example: str) -> None:
    """Stop before the job file is lost: --force is no leave to draw over it."""
    if target.resolve() == file.resolve():
        raise DryfitError(f"{target} is the job file itself; name another file with -o {example}.")


def _save_one(path: Path, data: bytes, force: bool) -> None:
    if not path.name:
        raise DryfitError(f"{path} is a folder; give the name of a file in it.")
    workflow.save({path.name: data}, path.parent, force=force)


def _told_of_stops(rehearsal: Rehearsal, file: Path) -> int:
    """The verdict, with a word that the job is not to be cut where something stops it."""
    if rehearsal.report.stops:
        complain(f"Something stops this job; dryfit check {quote(str(file))} says what.")
    return _verdict(rehearsal)


def _no_such_code(code: str) -> str:
    codes = workflow.codes()
    near = [known for known in codes if code in known] or get_close_matches(code, codes, n=1)
    way_out = f"the nearest is {near[0]}" if near else "docs/findings.md lists all codes"
    return f"No finding has the code {code!r}; {way_out}."


def _verdict(rehearsal: Rehearsal) -> int:
    return STOPS if rehearsal.report.stops else FINE
