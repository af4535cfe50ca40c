"""Random jobs of a small workshop, with sheets, offcuts and all that a layout has to mind."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_PIECES = (
    'form = "tray"\noutside = [{0}, {1}, {2}]',
    'form = "case"\noutside = [{0}, {1}, {2}]\nopen = true\nshelves = 2',
    'form = "crate"\noutside = [{0}, {1}, {2}]\nalong = 1\nacross = 2',
    'form = "drawer"\noutside = [{0}, {1}, {2}]',
    'form = "chest"\noutside = [{0}, {1}, {2}]',
    'form = "ring"\noutside = [{0}, {1}, {2}]',
    'form = "many-sided tray"\nflats = {0}\nheight = {2}',
    'form = "splayed tray"\noutside = [{0}, {1}, {2}]\nsplay = 15',
)
_SHEETS = ((1220, 610), (800, 600), (1525, 1525), (2440, 1220))
_CUTTERS = (
    'kind = "router"\ndiameter = 3.175\nrelief = "flank"', 'kind = "laser"\nkerf = 0.2',
    'kind = "saw"\nblade = 3.2', 'kind = "router"\ndiameter = 6\nrelief = "flank"',
)  # fmt: skip


def random_job(seed: int) -> str:
    """The text of a job file; the same for the same seed."""
    rng = random.Random(seed)  # noqa: S311
    sizes = [rng.randint(150, 420), rng.randint(120, 320), rng.randint(50, 180)]
    piece = rng.choice(_PIECES).format(*sizes)
    material = rng.choice(("birch plywood", "MDF", "oak"))
    grain = rng.choice(("", 'sheet_grain = "across"', 'sheet_grain = "none"'))
    head = f'format = 1\ntitle = "Job {seed}"\ntimes = {rng.choice((1, 2, 3, 7))}'
    stock = (
        f'[stock.board]\nmaterial = "{material}"\nnominal = 9\n{grain}\nreadings = [9.0, 9.1, 8.9]'
    )
    sheets = list(_offcuts(rng, turned="none" not in grain))
    if rng.random() < 0.85 or not sheets:
        length, width = rng.choice(_SHEETS)
        stock += f"\nsheet = [{length}, {width}]\nprice = 30"
    cutter = f"[cutter]\n{rng.choice(_CUTTERS)}"
    rules = ["[layout]", *_rules(rng)]
    more = []
    if "ring" in piece or 'form = "tray"' in piece:
        if rng.random() < 0.4:
            rules.append('matched = ["front", "right", "back", "left"]')
        elif rng.random() < 0.3:
            more.append('[panel.front]\ngrain = "z"')
    tables = [head, f"[piece]\n{piece}", stock, cutter, *sheets, *more, "\n".join(rules)]
    return "\n".join(tables) + "\n"


def _offcuts(rng: random.Random, *, turned: bool) -> Iterator[str]:
    """Offcuts, some with a defect, some with their grain the other way."""
    for number in range(rng.choice((0, 1, 1, 2, 3))):
        length, width = rng.randint(250, 900), rng.randint(200, 600)
        lines = [
            f'[sheet.offcut{number}]\nstock = "board"\nsize = [{length}, {width}]',
            f"count = {rng.choice((1, 1, 2))}",
        ]
        if rng.random() < 0.5:
            x, y = rng.uniform(0, length - 60), rng.uniform(0, width - 60)
            lines.append(f"defects = [[{x:.2f}, {y:.2f}, {x + 50:.2f}, {y + 30:.2f}]]")
        if turned and rng.random() < 0.3:
            lines.append(f'grain = "{rng.choice(("along", "across"))}"')
        yield "\n".join(lines)


def _rules(rng: random.Random) -> Iterator[str]:
    """Lines of the table of rules."""
    if rng.random() < 0.5:
        yield f"spacing = {rng.choice((6.0, 7.35, 12))}\nmargin = {rng.choice((0, 4, 10.5))}"
    if rng.random() < 0.25:
        yield "clamps = [[0, 0, 60, 40], [140, 0, 200, 40]]"
    if rng.random() < 0.25:
        yield f"travel = [{rng.randint(500, 900)}, {rng.randint(500, 900)}]"
    if rng.random() < 0.2:
        yield "straight = true"
