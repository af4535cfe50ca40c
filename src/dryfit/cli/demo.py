"""What is said of files that were written, and where to look next."""

from __future__ import annotations

from shlex import quote
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dryfit.cli.say import plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from rich.console import RenderableType

NAME = "type-tray.toml"
"""The demo's job file."""


def written(names: Sequence[str], folder: Path) -> Iterator[RenderableType]:
    """The files of a folder and what each is for."""
    yield Padding(Text(plain(f"Written into {folder}:"), style="bold"), (1, 0, 0, 0))
    for names_alike, purpose in _purposes(names):
        yield Padding(Text(f"{', '.join(names_alike)}: {purpose}"), (0, 0, 0, 2))


def _purposes(names: Sequence[str]) -> Iterator[tuple[list[str], str]]:
    """Names of files with one purpose together, and the purpose."""
    known = {
        NAME: "the job, to be read and changed",
        "piece.svg": "the piece put together, for a browser",
        "cut-list.csv": "size, grain and good face of every part, for a spreadsheet",
        "traveller.pdf": "the paper for the bench, to be printed at 100 %",
    }
    for name, purpose in known.items():
        if name in names:
            yield [name], purpose
    sheets = [name for name in names if name.startswith("sheet-")]
    if sheets:
        yield sheets, "one sheet each with the parts in their places"
    rest = [name for name in names if name not in known and name not in sheets]
    for suffix, purpose in (
        (".dxf", "one part each at full size, for the program that drives the machine"),
        (".svg", "the same parts, for a laser program or a printer"),
    ):
        same = [name for name in rest if name.endswith(suffix)]
        if same:
            yield same, purpose


def next_steps(folder: Path) -> Iterator[RenderableType]:
    """What to look at after the demo."""
    job = quote(str(folder / NAME))
    steps = (
        f"Open {folder / 'piece.svg'} in a browser: the piece put together.",
        f"Open {folder / 'front.svg'}: one part at full size, as the cutter follows it.",
        f"dryfit mend {job} shows what the mends above would change.",
        (
            f"Change width = 10 under [fingers] to 14, then dryfit check {job} divides every "
            "corner anew, and both of its panels keep in step."
        ),
        "dryfit new case my-case.toml begins a job of your own; dryfit --help has the rest.",
    )
    yield Padding(Text("Look at these next:", style="bold"), (1, 0, 0, 0))
    grid = Table.grid(padding=(0, 1, 0, 0))
    for number, step in enumerate(steps, start=1):
        grid.add_row(f"{number}.", Text(plain(step)))
    yield Padding(grid, (0, 0, 0, 2))
