"""The order of assembly as a page of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from dryfit import workflow
from dryfit.cli.say import plain
from dryfit.cli.show import findings, head, heading, indented

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import RenderableType

    from dryfit.workflow import Rehearsal


def whole(rehearsal: Rehearsal) -> Iterator[RenderableType]:
    """Everything that `order` says."""
    yield from head(rehearsal)
    yield heading("In this order")
    steps = workflow.order_sentences(rehearsal)
    yield indented(_numbered(steps) if steps else Text(_none(rehearsal)))
    own = [f for f in rehearsal.findings if f.code in workflow.ORDER]
    if own:
        yield ""
        yield indented(findings(own))
    if steps:
        count = rehearsal.assembly.orders if rehearsal.assembly else None
        if count is not None and count > 1:
            yield ""
            yield indented(Text(f"The parts go in one by one in {count} orders; this one is easy."))
        yield heading("The glue-up")
        for sentence in workflow.glue_sentences(rehearsal):
            yield indented(Text(plain(sentence)))


def _none(rehearsal: Rehearsal) -> str:
    if rehearsal.assembly is None:
        return "It cannot be told before every meeting has a joint that closes; see dryfit check."
    return "There is none."


def _numbered(sentences: Sequence[str]) -> Table:
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(justify="right", no_wrap=True)
    grid.add_column()
    for number, sentence in enumerate(sentences, 1):
        grid.add_row(Text(str(number)), Text(plain(sentence)))
    return grid
