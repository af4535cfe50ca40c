"""``dryfit sheets``: the parts on their sheets, how good that is, and what it costs."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryfit import workflow
from dryfit.cli.say import Wide, complain, listed, plain, tell, write
from dryfit.cli.shop import own_shop
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import RenderableType

    from dryfit.workflow import Laid, Rehearsal, Request

_MOST = 86_400


def sheets(  # noqa: PLR0913, PLR0917 - the options of a command
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="One job file or several.")],
    times: Annotated[
        int | None,
        typer.Option("--times", metavar="N", min=1, max=10_000, help="How many of each piece."),
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option("--only", metavar="PART", help="One part to cut anew; may be repeated."),
    ] = None,
    spare: Annotated[
        bool, typer.Option("--spare", help="Add the route's scrap allowance.")
    ] = False,
    seconds: Annotated[
        float | None,
        typer.Option("--seconds", metavar="S", min=0.1, max=_MOST, help="How long to search."),
    ] = None,
    quick: Annotated[bool, typer.Option("--quick", help="Take the first layout found.")] = False,
    into: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="FOLDER", help="Write an SVG and a DXF of each sheet."),
    ] = None,
    accept: Annotated[
        bool, typer.Option("--accept", help="Keep the layout beside the job file.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that hold something else.")
    ] = False,
) -> int:
    """Lay the parts on the sheets in hand and those to buy, and say what it costs.

    A first layout stands at once and is then bettered; Ctrl-C takes the best so far.
    """
    rehearsals = [workflow.read(file, own_shop()) for file in files]
    request = workflow.Request(times, tuple(only or ()), spare, seconds, quick)
    laid = laid_of(rehearsals, request)
    made = workflow.sheet_files(laid) if into is not None else {}
    if into is not None:
        workflow.save(made, into, force=force)
    kept = workflow.keep(files[0], laid, force=force) if accept else None
    if json:
        from json import dumps

        write(dumps(workflow.sheets_data(laid), allow_nan=False) + "\n")
    else:
        tell(*_whole(laid))
        if into is not None:
            tell("", f"Written into {plain(into)}: {plain(listed(list(made)))}.")
        if kept is not None:
            tell("", f"Kept: {plain(kept)}; check and make go by it while the job stays as it is.")
    stops = any(finding.severity == "stop" for finding in workflow.say_sheets(laid)[1])
    return 1 if stops else 0


def laid_of(rehearsals: Sequence[Rehearsal], request: Request) -> Laid:
    """Jobs laid together; Ctrl-C once takes the best so far."""
    import signal

    stopped: list[bool] = []

    def stop(_number: int, _frame: object) -> None:
        stopped.append(True)

    try:
        before = signal.signal(signal.SIGINT, stop)
    except ValueError:  # not in the main thread: nobody presses keys there
        return workflow.lay(rehearsals, request)
    try:
        laid = workflow.lay(rehearsals, request, stop=lambda: bool(stopped))
    finally:
        signal.signal(signal.SIGINT, before)
    if stopped:
        complain("Stopped; this is the best layout so far.")
    return laid


def _whole(laid: Laid) -> Iterator[RenderableType]:
    from rich.text import Text

    from dryfit.cli import show

    titles = listed([plain(each.job.title) for each in laid.rehearsals])
    yield Text(titles, style="bold")
    pieces = f"{laid.pieces} piece{'s' if laid.pieces > 1 else ''}"
    if laid.request.only:
        pieces = f"To be cut anew: {plain(listed(list(laid.request.only)))}"
    yield Text(f"{pieces}.")
    verdict, findings = workflow.say_sheets(laid)
    yield show.heading("Is there enough stock?")
    yield show.indented(Text(plain(verdict)))
    if findings:
        yield ""
        yield show.indented(show.findings(findings))
    yield from _sheets(laid)
    yield from _shopping(laid)
    if not laid.request.only and laid.cost.whole:
        yield from _quote(laid)


def _sheets(laid: Laid) -> Iterator[RenderableType]:
    from dryfit.cli import show

    unit, rows = laid.rehearsals[0].job.unit, []
    for plan in laid.plan.stocks:
        for sheet, left in zip(plan.layout.sheets, plan.leftovers, strict=True):
            counts = Counter(placed.part for placed in sheet.placed)
            names = [f"{count} × {name}" if count > 1 else name for name, count in counts.items()]
            size = _by((sheet.sheet.length, sheet.sheet.width), unit)
            over = _by(left, unit) if min(left) > 0 else "nothing"
            rows.append((plain(sheet.name), size, plain(listed(names)), over))
    yield show.heading("Sheets")
    heads = ("sheet", f"size [{unit}]", "parts", f"largest left over [{unit}]")
    yield Wide(show.indented(show.table(heads, rows)))


def _by(size: tuple[float, float], unit: str) -> str:
    return " × ".join(show_length(side, unit, 0).replace(f" {unit}", "", 1) for side in size)


def _shopping(laid: Laid) -> Iterator[RenderableType]:
    from rich.text import Text

    from dryfit.cli import show

    listed_ = workflow.shopping(laid)
    if not listed_:
        return
    money = laid.supply.rates.currency
    yield show.heading("To buy")
    for stock, count, price in listed_:
        cost = "" if price is None else f", {price:.2f} {money}".rstrip()
        yield show.indented(Text(plain(f"{count} × {stock}{cost}")))


def _quote(laid: Laid) -> Iterator[RenderableType]:
    from rich.text import Text

    from dryfit.cli import show

    rates, rows = laid.supply.rates, []
    quote = [cost for cost in laid.quote if cost.whole]
    for cost in quote:
        alone = quote[0].each
        gain = f"{100 * (1 - cost.each / alone):.0f} %" if alone else "-"
        rows.append(
            (
                str(cost.pieces),
                str(cost.bought),
                f"{cost.used:.2f}",
                f"{cost.sheets:.2f}",
                f"{cost.wear:.2f}",
                f"{cost.machine:.2f}",
                f"{cost.bench:.2f}",
                f"{cost.each:.2f}",
                gain,
            )
        )
    if not rows:
        return
    money = f" [{plain(rates.currency)}]" if rates.currency else ""
    yield show.heading(f"Quote{money}")
    heads = ("pieces", "buy", "used", "sheets", "wear", "machine", "bench", "each", "gain")
    yield Wide(show.indented(show.table(heads, rows, tuple(range(9)))))
    if not (rates.bench or rates.machine):
        words = "State rates under [costs] to have time and wear in the quote."
        yield show.indented(Text(words))
