"""The shop book on the command line: ``dryfit book``.

Every option is a word of the maker's; the workflow makes records of them. The day is read from the
clock here and nowhere else.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from dryfit.cli.say import plain, tell
from dryfit.errors import BookError
from dryfit.workflow import book as workbook

if TYPE_CHECKING:
    from dryfit.workflow.book import Known

_SETTINGS = {"help_option_names": ["-h", "--help"]}

app = typer.Typer(
    help="Keep what this shop has measured, so that the next job uses it.",
    rich_markup_mode=None,
    context_settings=_SETTINGS,
    no_args_is_help=False,
)
add_app = typer.Typer(
    help="Enter what was measured: a comb, widths, a machine, a cutter, stock or a job.",
    rich_markup_mode=None,
    context_settings=_SETTINGS,
)
app.add_typer(add_app, name="add")

Place = Annotated[
    Path | None,
    typer.Option(
        "--book", metavar="FILE", envvar="DRYFIT_BOOK", help="The book; else your own one."
    ),
]
On = Annotated[str | None, typer.Option("--on", metavar="DAY", help="When; else today.")]
Yes = Annotated[bool, typer.Option("--yes", help="Keep what is hard to believe.")]
Note = Annotated[str | None, typer.Option("--note", metavar="TEXT", help="Anything.")]
CutterOf = Annotated[
    str, typer.Option("--cutter", metavar="CUTTER", help='Such as "router 3.175 mm".')
]
MachineOf = Annotated[str, typer.Option("--machine", metavar="NAME", help="The machine it is on.")]
MaterialOf = Annotated[
    str, typer.Option("--material", metavar="MATERIAL", help='Such as "birch plywood".')
]
Results = Annotated[
    list[str],
    typer.Option(
        "--result",
        metavar="GAP=GRADE",
        help="Drawn flank gap and how it went: loose, hand, mallet or no; once for each socket.",
    ),
]
Allowances = Annotated[
    bool, typer.Option("--allowances", help="The lengths are allowances, two flank gaps each.")
]
OwnTongues = Annotated[
    bool, typer.Option("--own-tongues", help="Each socket was tried on a tongue of its own.")
]
Number = Annotated[int, typer.Argument(metavar="ID", help="The entry, as the list numbers it.")]


@app.callback(invoke_without_command=True)
def book(context: typer.Context) -> None:
    """Keep what this shop has measured, so that the next job uses it."""
    if context.invoked_subcommand is None:
        tell(plain(context.get_help()))


@app.command("list")
def list_entries(
    kind: Annotated[
        str | None, typer.Argument(metavar="[KIND]", help="Only machine, cutter, stock and so on.")
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Those too that were corrected or withdrawn.")
    ] = False,
    place: Place = None,
) -> None:
    """List the entries."""
    from dryfit.cli.show import table

    found = workbook.entries(_place(place), kind)
    if not found:
        about = f" about a {kind}" if kind else ""
        raise BookError(f"The book has 0 entries{about} yet; dryfit book add enters one.")
    shown = [entry for entry in found if entry.stands or everything]
    rows = [
        (
            str(entry.id),
            entry.at.date().isoformat(),
            entry.kind.value,
            ("" if entry.stands else "[does not count] ") + _line(workbook.what(entry)),
        )
        for entry in shown
    ]
    hidden = len(found) - len(shown)
    if rows:
        tell(table(("id", "day", "kind", "what it says"), rows, (0,)))
    if hidden:
        more = "more " if rows else ""
        tell(f"{hidden} {more}entries were corrected or withdrawn; --all shows them.")


@add_app.command("comb")
def add_comb(  # noqa: PLR0913 - an argument for each option
    *,
    cutter: CutterOf,
    material: MaterialOf,
    result: Results,
    machine: MachineOf = "",
    allowances: Allowances = False,
    own_tongues: OwnTongues = False,
    note: Note = None,
    on: On = None,
    yes: Yes = False,
    place: Place = None,
) -> None:
    """Enter the results of a fit comb."""
    said = {
        "cutter": cutter,
        "machine": machine,
        "material": material,
        "results": result,
        "allowances": allowances,
        "same_tongue": not own_tongues,
        "note": note,
    }
    _enter("comb", said, on, yes, place)


@add_app.command("width")
def add_width(  # noqa: PLR0913 - an argument for each option
    *,
    cutter: CutterOf,
    material: MaterialOf,
    part: Annotated[
        str, typer.Option("--part", metavar="PART", help="What was calipered: finger or socket.")
    ],
    drawn: Annotated[str, typer.Option("--drawn", metavar="WIDTH", help="Width as drawn.")],
    measured: Annotated[
        list[str],
        typer.Option("--measured", metavar="WIDTH", help="By the caliper; once for each."),
    ],
    resolution: Annotated[
        str | None,
        typer.Option("--resolution", metavar="STEP", help="Step of the caliper; else 0.01 mm."),
    ] = None,
    machine: MachineOf = "",
    note: Note = None,
    on: On = None,
    yes: Yes = False,
    place: Place = None,
) -> None:
    """Enter calipered widths of fingers or sockets."""
    said = {
        "cutter": cutter,
        "machine": machine,
        "material": material,
        "part": part,
        "drawn": drawn,
        "measured": measured,
        "resolution": resolution,
        "note": note,
    }
    _enter("width", said, on, yes, place)


@add_app.command("machine")
def add_machine(
    name: Annotated[str, typer.Argument(metavar="NAME", help="What the shop calls it.")],
    route: Annotated[
        str, typer.Option("--route", metavar="ROUTE", help="router, laser, saw or hand.")
    ],
    note: Note = None,
    on: On = None,
    place: Place = None,
) -> None:
    """Enter a machine."""
    _enter("machine", {"name": name, "route": route, "note": note}, on, False, place)


@add_app.command("cutter")
def add_cutter(
    cutter: Annotated[str, typer.Argument(metavar="CUTTER", help='Such as "router 3.175 mm".')],
    machine: MachineOf = "",
    note: Note = None,
    on: On = None,
    place: Place = None,
) -> None:
    """Enter a cutter."""
    _enter("cutter", {"cutter": cutter, "machine": machine, "note": note}, on, False, place)


@add_app.command("stock")
def add_stock(  # noqa: PLR0913 - an argument for each option
    name: Annotated[str, typer.Argument(metavar="NAME", help="What the shop calls it.")],
    *,
    material: MaterialOf,
    nominal: Annotated[
        str, typer.Option("--nominal", metavar="THICKNESS", help="What it is sold as.")
    ],
    reading: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="THICKNESS", help="By the caliper; once for each."),
    ] = None,
    note: Note = None,
    on: On = None,
    yes: Yes = False,
    place: Place = None,
) -> None:
    """Enter stock and its caliper readings."""
    said = {
        "name": name,
        "material": material,
        "nominal": nominal,
        "readings": reading,
        "note": note,
    }
    _enter("stock", said, on, yes, place)


@add_app.command("job")
def add_job(  # noqa: PLR0913 - an argument for each option
    title: Annotated[str, typer.Argument(metavar="TITLE", help="The name of the job.")],
    *,
    cutter: CutterOf,
    material: MaterialOf,
    flank_gap: Annotated[
        str, typer.Option("--flank-gap", metavar="GAP", help="Flank gap it was drawn with.")
    ],
    went: Annotated[
        str, typer.Option("--went", metavar="GRADE", help="loose, hand, mallet or no.")
    ],
    machine: MachineOf = "",
    note: Note = None,
    on: On = None,
    yes: Yes = False,
    place: Place = None,
) -> None:
    """Enter a job that was made, and how its joints went together."""
    said = {
        "title": title,
        "cutter": cutter,
        "machine": machine,
        "material": material,
        "flank_gap": flank_gap,
        "went": went,
        "note": note,
    }
    _enter("job", said, on, yes, place)


@app.command()
def correct(  # noqa: PLR0913 - an argument for each option
    number: Number,
    *,
    cutter: Annotated[str | None, typer.Option("--cutter", metavar="CUTTER", help="As in add.")] = (
        None
    ),
    machine: Annotated[str | None, typer.Option("--machine", metavar="NAME", help="As in add.")] = (
        None
    ),
    material: Annotated[
        str | None, typer.Option("--material", metavar="MATERIAL", help="As in add.")
    ] = None,
    result: Annotated[
        list[str] | None,
        typer.Option("--result", metavar="GAP=GRADE", help="All of a comb's results anew."),
    ] = None,
    allowances: Allowances = False,
    own_tongues: Annotated[
        bool | None,
        typer.Option("--own-tongues/--same-tongue", help="What a comb's sockets were tried on."),
    ] = None,
    part: Annotated[str | None, typer.Option("--part", metavar="PART", help="As in add.")] = None,
    drawn: Annotated[
        str | None, typer.Option("--drawn", metavar="WIDTH", help="As in add.")
    ] = None,
    measured: Annotated[
        list[str] | None, typer.Option("--measured", metavar="WIDTH", help="All widths anew.")
    ] = None,
    resolution: Annotated[
        str | None, typer.Option("--resolution", metavar="STEP", help="As in add.")
    ] = None,
    name: Annotated[
        str | None, typer.Option("--name", metavar="NAME", help="Of a machine or stock.")
    ] = None,
    route: Annotated[
        str | None, typer.Option("--route", metavar="ROUTE", help="Of a machine.")
    ] = None,
    nominal: Annotated[
        str | None, typer.Option("--nominal", metavar="THICKNESS", help="As in add.")
    ] = None,
    reading: Annotated[
        list[str] | None, typer.Option("--reading", metavar="THICKNESS", help="All readings anew.")
    ] = None,
    title: Annotated[str | None, typer.Option("--title", metavar="TITLE", help="Of a job.")] = None,
    flank_gap: Annotated[
        str | None, typer.Option("--flank-gap", metavar="GAP", help="Of a job.")
    ] = None,
    went: Annotated[str | None, typer.Option("--went", metavar="GRADE", help="Of a job.")] = None,
    note: Note = None,
    on: On = None,
    yes: Yes = False,
    place: Place = None,
) -> None:
    """Say an entry anew; the old one is kept, but does not count any more."""
    said: dict[str, Any] = {
        "cutter": cutter,
        "machine": machine,
        "material": material,
        "results": result or None,
        "allowances": allowances or None,
        "same_tongue": None if own_tongues is None else not own_tongues,
        "part": part,
        "drawn": drawn,
        "measured": measured or None,
        "resolution": resolution,
        "name": name,
        "route": route,
        "nominal": nominal,
        "readings": reading or None,
        "title": title,
        "flank_gap": flank_gap,
        "went": went,
        "note": note,
    }
    given = {field: value for field, value in said.items() if value is not None}
    new = workbook.correct(_place(place), number, given, _day(on), sure=yes)
    tell(f"Entry {new} stands in the place of entry {number}.")


@app.command()
def withdraw(number: Number, on: On = None, place: Place = None) -> None:
    """Let an entry not count any more; it is kept."""
    new = workbook.withdraw(_place(place), number, _day(on))
    tell(f"Entry {number} does not count any more; entry {new} says so.")


@app.command()
def export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The JSON file to write.")],
    force: Annotated[bool, typer.Option("--force", help="Overwrite the file.")] = False,
    place: Place = None,
) -> None:
    """Write the whole book as JSON."""
    from dryfit.workflow import save

    text = workbook.export(_place(place))
    save({file.name: text.encode()}, file.parent, force=force)
    tell(plain(f"Written: {file}, every entry of the book."))


@app.command("import")
def read_in(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="What export wrote.")],
    place: Place = None,
) -> None:
    """Read an exported book in; what is there already stays as it is."""
    new = workbook.read_in(_place(place), file)
    tell(plain(f"{new} entries of {file} were new."))


@app.command()
def known(
    cutter: CutterOf,
    material: MaterialOf,
    machine: MachineOf = "",
    on: On = None,
    place: Place = None,
) -> None:
    """Say what the book knows of a cutter in a material."""
    day = _day(on)
    for line in _known(workbook.known(_place(place), cutter, material, day, machine), day):
        tell(plain(line))


def _known(found: Known, day: date) -> list[str]:
    """What is known, in sentences."""
    from dryfit.units import show_length

    learned = found.learned
    way = "tighter" if learned.misfit_mean > 0 else "looser"
    misfit, sd, edge = (
        show_length(mm, "mm", 3)
        for mm in (abs(learned.misfit_mean), learned.misfit_sd, learned.edge_sd)
    )
    ages = found.ages
    age = _days(max(ages)) if max(ages) == min(ages) else f"{min(ages)} to {_days(max(ages))}"
    ids = [str(entry.id) for entry in found.entries]
    return [
        f"{found.cutter} in {found.material}, by {day.isoformat()}:",
        f"Fits come out {misfit} {way} at a flank than drawn, give or take {sd}.",
        f"A cut edge scatters by {edge}, known as well as from {learned.freedom:.0f} edges.",
        (
            f"From {_count(learned.trials, 'socket')} and {_count(learned.widths, 'width')}, {age} "
            f"old, in {'entry' if len(ids) == 1 else 'entries'} {', '.join(ids)}."
        ),
        found.contradiction or "The results agree with each other.",
    ]


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _days(number: int) -> str:
    return _count(number, "day")


def _enter(kind: str, said: dict[str, Any], on: str | None, yes: bool, place: Path | None) -> None:
    day, record = _day(on), workbook.record_of(kind, said)
    number = workbook.enter(_place(place), record, day, sure=yes)
    tell(f"Entry {number}: {kind}, {day.isoformat()}.")


def _place(place: Path | None) -> Path:
    return workbook.usual_place() if place is None else place


def _day(on: str | None) -> date:
    return workbook.read_day(on, datetime.now().astimezone().date())


def _line(text: str) -> str:
    """A text on one line."""
    return plain(" ".join(text.split()))
