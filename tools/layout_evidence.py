"""The long evidence of layouts: a checker of its own, known optima, bounds, and growth.

Times are by the clock of the machine it runs on; an engine that shares its cores with others gets
less done. The page says how much processor time the engine had.
"""

from __future__ import annotations

import os
import resource
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.layout.bound import bound_of
from dryfit.layout.greedy import greedy
from dryfit.layout.score import score_of
from dryfit.layout.search import Effort, has_engine, never, search
from dryfit.layout.second import second
from dryfit.layout.valid import is_valid
from dryfit.workflow import Request
from tests.helpers.hopper_turton import STRIPS
from tests.helpers.laid import laid, wrong_with
from tests.helpers.packing import STRAIGHT, boxes, panels
from tests.helpers.random_jobs import random_job
from tests.helpers.strips import height_of, strip_problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.layout.problem import Filled, Problem

JOBS, WORKSHOPS, CUT_STRAIGHT = 500, 100, 10
SECONDS, STRIP_SECONDS = 20.0, 10.0
GAP = 0.045
"""What the mean gap to the bound may be. [-]"""

_FIRST_SEED = 100


@dataclass(frozen=True)
class Workshop:
    """One random job: sheets, full sheets and used share of the last, the bound, and others."""

    sheets: float
    least: int
    used: float
    bound: float
    rectpack: float
    greedy: float

    @property
    def gap(self) -> float:
        """How far over the bound. [-]"""
        return self.used / self.bound - 1


@dataclass(frozen=True)
class Growth:
    """Panels, seconds to the first full layout, its sheets and the least there can be."""

    panels: int
    seconds: float
    sheets: int
    least: int


@dataclass(frozen=True)
class Evidence:
    """Everything that was measured."""

    wrong: int
    jobs: int
    strips: tuple[tuple[str, float], ...]
    free: tuple[Workshop, ...]
    straight: tuple[Workshop, ...]
    growth: tuple[Growth, ...]
    load: float
    processor: float


def used_of(problem: Problem, filled: Sequence[Filled]) -> tuple[float, float]:
    """Sheets, and full sheets with the used share of the emptiest."""
    score, only = score_of(problem, filled), problem.bins[0]
    return score[1], score[1] + score[5] / (only.length * only.width)


def workshop(seed: int, seconds: float, *, straight: bool = False) -> Workshop:
    """One random job of 60 panels, searched for some seconds. [s]"""
    problem = boxes(panels(seed), rules=STRAIGHT) if straight else boxes(panels(seed))
    bound = bound_of(problem)
    stood_in = second(problem)
    found = search(problem, Effort(seconds=seconds), stop=never).filled
    assert is_valid(problem, found)
    return Workshop(
        *_both(problem, found, bound.bought),
        bound.used,
        used_of(problem, stood_in)[1] if stood_in else float("inf"),
        used_of(problem, greedy(problem))[1],
    )


def _both(problem: Problem, found: Sequence[Filled], least: int) -> tuple[float, int, float]:
    sheets, used = used_of(problem, found)
    return sheets, least, used


def _growth(count: int) -> Growth:
    problem = boxes(panels(1, count))
    begun = time.monotonic()
    found = greedy(problem)
    spent = time.monotonic() - begun
    return Growth(count, spent, int(score_of(problem, found)[1]), bound_of(problem).bought)


def evidence(scale: float) -> Evidence:
    """Measure; `scale` is a share of the full populations. [-]"""
    count = max(int(JOBS * scale), 1)
    wrong = sum(bool(wrong_with(laid(random_job(n), Request(quick=True)))) for n in range(count))
    seeds, strips = range(_FIRST_SEED, _FIRST_SEED + WORKSHOPS if has_engine() else _FIRST_SEED), {}
    free = [workshop(n, SECONDS) for n in seeds[: max(int(WORKSHOPS * scale), 1)]]
    cut = seeds[: max(int(CUT_STRAIGHT * scale), 1)]
    straight = [workshop(n, SECONDS, straight=True) for n in cut]
    for name, strip in STRIPS.items() if has_engine() else ():
        problem = strip_problem(strip)
        found = search(problem, Effort(seconds=STRIP_SECONDS)).filled
        strips[name] = height_of(problem, found) / strip.height - 1
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return Evidence(
        wrong, count, tuple(strips.items()), tuple(free), tuple(straight),
        tuple(_growth(n) for n in (60, 150, 300, 600)),
        os.getloadavg()[0], children.ru_utime + children.ru_stime,
    )  # fmt: skip


def layout_populations(found: Evidence) -> list[tuple[str, float, float]]:
    """Rows for the page: what, found, at most."""
    rows: list[tuple[str, float, float]] = [
        (f"{found.jobs} random jobs by the checker of layouts: wrong ones", found.wrong, 0)
    ]
    if found.free:
        count = len(found.free)
        gap = sum(each.gap for each in found.free) / count
        over = sum(each.sheets > each.least for each in found.free)
        worse = sum(each.used > each.rectpack + 1e-9 for each in found.free)
        head = f"{count} random workshop jobs, {SECONDS:g} s each"
        rows += [
            (f"{head}: mean gap to the bound", gap, GAP),
            ("same: more sheets than the bound", over, count / 5),
            ("same: worse than rectpack", worse, 0),
        ]
    return rows


def layout_page(found: Evidence) -> list[str]:
    """The tables as lines of Markdown."""
    lines = [
        "",
        "## Layouts",
        "",
        "60 random panels of 80 to 450 mm on sheets of 1220 by 610 mm, 6 mm apart, grain fixed.",
        "`used` is full sheets and the used share of the last, against the best bound by dual",
        f"feasible functions. The load of the machine was {found.load:.1f} when this ended; the",
        f"engines had {found.processor:.0f} s of processor time in all.",
        "",
        "| jobs | cuts | at the bound | mean gap | largest | rectpack | greedy engine |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, rows in (("free", found.free), ("straight", found.straight)):
        if rows:
            lines.append(_row(name, rows))
    lines += ["", "Strips of Hopper and Turton, gap to the known height after 10 s:", ""]
    lines += ["| strip | gap, % |", "|---|---|"]
    lines += [f"| {name} | {100 * gap:.1f} |" for name, gap in found.strips]
    lines += ["", "The first full layout of larger orders, by the greedy engine:", ""]
    lines += ["| panels | seconds | sheets | at least |", "|---|---|---|---|"]
    lines += [f"| {g.panels} | {g.seconds:.1f} | {g.sheets} | {g.least} |" for g in found.growth]
    return lines


def _row(name: str, rows: Sequence[Workshop]) -> str:
    def mean(values: Sequence[float]) -> str:
        return f"{100 * sum(values) / len(values):.1f} %"

    bound = sum(each.sheets <= each.least for each in rows)
    others = [each.rectpack / each.bound - 1 for each in rows]
    stood_in = mean(others) if max(others) < float("inf") else "-"
    return (
        f"| {len(rows)} | {name} | {bound} | {mean([each.gap for each in rows])} "
        f"| {100 * max(each.gap for each in rows):.1f} % | {stood_in} "
        f"| {mean([each.greedy / each.bound - 1 for each in rows])} |"
    )
