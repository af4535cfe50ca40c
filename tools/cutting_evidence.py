"""The long evidence of cutting: programs proved, digits changed, travel against its bound."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from dryfit.cutting.interpret import interpret
from dryfit.cutting.readback import lifted
from dryfit.errors import DryfitError, ProgramError
from dryfit.model.machine import Machine, Zero
from dryfit.workflow import Rehearsal, read_text
from tests.helpers.cutting import ROUTED, Made, example, mutated, sheets, small, spoilt

if TYPE_CHECKING:
    from collections.abc import Iterator


PARTS, MUTATIONS, TOURS = 300, 200, 20
MOST = 0.01

_FORMS = {
    "tray": "",
    "ring": "",
    "case": "",
    "drawer": "",
    "crate": "along = 1\nacross = 2\n",
    "open case": "open = true\nshelves = 1\nuprights = 1\n",
}


def random_job(seed: int) -> Rehearsal | None:
    """A job of a random form, sizes, cutter and relief, or None where a finding stops it."""
    rng = random.Random(seed)  # noqa: S311
    form = rng.choice(list(_FORMS))
    sizes = ", ".join(f"{rng.uniform(*span):.1f}" for span in ((120, 330), (90, 240), (50, 140)))
    diameter = rng.choice((2.0, 3.0, 3.175, 4.0))
    text = (
        f'format = 1\ntitle = "Random {seed}"\n[piece]\nform = "{form.removeprefix("open ")}"\n'
        f"outside = [{sizes}]\n{_FORMS[form]}[stock.ply]\n"
        'material = "birch plywood"\nnominal = 9\n'
        f"readings = [{', '.join(f'{rng.uniform(8.6, 8.9):.2f}' for _ in range(5))}]\n"
        f'[cutter]\nkind = "router"\ndiameter = {diameter}\n'
        f'relief = "{rng.choice(("flank", "diagonal", "shoulder"))}"\n'
        f"[fingers]\nwidth = {rng.uniform(3 * diameter + 1, 24):.2f}\n"
    )
    try:
        job = read_text(text)
    except DryfitError:
        return None
    return None if job.report.stops else job


def random_machine(seed: int) -> Machine:
    """A machine that differs from the plain one in what changes a path."""
    rng = random.Random(seed)  # noqa: S311
    return Machine(
        unit=rng.choice(("mm", "in")),
        zero=rng.choice(list(Zero)),
        climb=rng.random() < 0.5,
        ramp=rng.choice((4.0, 10.0, 20.0)),
        pass_depth=rng.choice((0.0, 1.5, 3.0)),
    )


def random_sheets(parts: int) -> Iterator[Made]:
    """Sheets of random jobs until so many parts lie on them."""
    count, seed = 0, 0
    while count < parts:
        seed += 1
        job = random_job(seed)
        if job is None:
            continue
        for made in sheets(job, random_machine(seed)):
            count += len(made.bed.lying)
            yield made


def proved(parts: int) -> list[tuple[str, float, float]]:
    """Rows for the page: the examples and random parts, read back."""
    rows = []
    groups = {
        f"{len(ROUTED)} examples": [made for name in ROUTED for made in example(name)],
        f"{parts} random parts": random_sheets(parts),
    }
    for what, found in groups.items():
        inside = left = 0.0
        troubles = count = sides = 0
        for made in found:
            reading = made.read()
            inside, left = max(inside, reading.inside), max(left, reading.left)
            troubles += len(reading.troubles)
            count += len(made.bed.lying)
            sides += made.bed.two_sided
        head = f"{what} ({count} parts, {sides} sheets from two sides) read back"
        rows += [
            (f"{head}: most cut inside a part, mm", inside, MOST),
            ("same: most wood left on a part, mm", left, MOST),
            ("same: troubles", troubles, 0),
        ]
    return rows


def mutations(made: Made, count: int, seed: int) -> tuple[list[str], int, int]:
    """Changed digits that were missed, how many were caught, and how many harmless.

    A program that passes is harmless only if the referee, which shares nothing with the sweep,
    finds no place at any part's edge that comes out otherwise.
    """
    rng = random.Random(seed)  # noqa: S311
    before = lifted(interpret(made.text), made.work)
    missed, caught, harmless = [], 0, 0
    others = [setting.text for setting in made.plan.settings[:-1]]
    for _ in range(count):
        text, line = mutated(made.text, rng)
        try:
            reading = made.read(*others, text)
        except ProgramError:
            caught += 1
            continue
        if reading.troubles:
            caught += 1
        elif spoilt(made, before, lifted(interpret(text), made.work)):
            missed.append(line)
        else:
            harmless += 1
    return missed, caught, harmless


def changed_digits(count: int) -> list[tuple[str, float, float]]:
    """Rows for the page: one digit changed in one line."""
    (made,) = sheets(small(), sheet="300x260mm")
    missed, caught, harmless = mutations(made, count, 8)
    what = f"{count} programs with 1 digit changed, {caught} caught, {harmless} harmless: missed"
    return [(what, len(missed), 0)]


def tours(count: int) -> list[tuple[str, float, float]]:
    """Rows for the page: travel against its bound and against the listed order."""
    over, seen = 0.0, 0
    share: list[float] = []
    for made in _many(count):
        (tour,) = made.plan.tours[-1:]
        over = max(over, tour.travel / tour.bound - 1)
        share.append(tour.travel / tour.listed)
        seen += 1
    return [
        (f"rapid travel of {seen} sheets over its bound, most, share", over, 0.1),
        ("same: of the listed order's, median share", sorted(share)[len(share) // 2], 0.6),
        ("same: of the listed order's, most share", max(share), 1.0),
    ]


def _many(count: int) -> Iterator[Made]:
    """So many sheets of jobs that are made four times over, each with ten parts or more."""
    seed = seen = 0
    while seen < count:
        seed += 1
        job = random_job(seed)
        if job is None:
            continue
        for made in sheets(Rehearsal(replace(job.job, times=4)), random_machine(seed)):
            if len(made.bed.lying) >= 10 and seen < count:
                seen += 1
                yield made


def cutting(scale: float) -> list[tuple[str, float, float]]:
    """Rows for the page: what, found, at most."""
    return [
        *proved(max(10, int(PARTS * scale))),
        *changed_digits(max(5, int(MUTATIONS * scale))),
        *tours(max(3, int(TOURS * scale))),
    ]
