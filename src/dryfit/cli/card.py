"""The card for saw or bench on the command line: ``dryfit card``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.text import Text

from dryfit import workflow
from dryfit.cli.say import Wide, plain, tell
from dryfit.cli.shop import own_shop
from dryfit.cli.show import answers, head, heading, indented, table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType

    from dryfit.workflow.card import BenchCard


def card(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file.")],
    folder: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="FOLDER", help="Write the cards there, as SVG."),
    ] = None,
    *,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that hold something else.")
    ] = False,
) -> int:
    """Say how saw and jig are set, or how work by hand is marked out.

    On the saw: blades, pin, pitch, blade height, cuts to count and what to measure half way. By
    hand: running marks from one datum, gauges, and the order of sawing and chopping. Nothing at
    all while a finding stops.
    """
    from dryfit.workflow.card import make_cards

    rehearsal = workflow.read(file, own_shop())
    if rehearsal.report.stops:
        refused = "There is no card yet. Mend what stops, then ask again."
        tell(*head(rehearsal), *answers(rehearsal), "", refused)
        return 1
    made = make_cards(rehearsal)
    if made.instead:
        tell(made.instead)
        return 0
    if folder is not None:
        workflow.save(made.files, folder, force=force)
    for number, each in enumerate(made.cards):
        tell(*([""] if number else []), *_whole(each))
    if folder is not None:
        tell("", plain(f"Written to {folder}: {', '.join(made.files)}."))
    return 0


def _whole(card: BenchCard) -> Iterator[RenderableType]:
    """One card as a page of text."""
    yield Text(plain(card.title), style="bold")
    yield Text(plain(card.about))
    if card.grid is not None:
        yield heading("Marks")
        yield Wide(indented(table(card.grid.heads, map(_plain, card.grid.rows), (0, 1))))
    yield heading("Settings")
    yield Wide(indented(table(("what", "how much", ""), map(_plain, card.rows))))
    yield heading("In turn")
    for number, step in enumerate(card.steps, 1):
        yield indented(Text(plain(f"{number}. {step}")))
    yield heading("Before you cut")
    for caution in card.cautions:
        yield indented(Text(plain(caution)))


def _plain(cells: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(map(plain, cells))
