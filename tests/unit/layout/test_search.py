from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from dryfit.layout.greedy import greedy
from dryfit.layout.problem import Filled, laid
from dryfit.layout.score import score_of
from dryfit.layout.search import ENGINE, Effort, has_engine, search
from dryfit.layout.second import second
from dryfit.layout.valid import is_valid
from dryfit.layout.wire import Task, filled_data, read_filled, read_task, task_line
from dryfit.model.sheets import Sheet, SheetGrain
from tests.helpers.packing import APART, STRAIGHT, WORKSHOP, boxes, panels

if TYPE_CHECKING:
    from collections.abc import Callable

ENGINE_ONLY = pytest.mark.skipif(not has_engine(), reason="no such engine for this Python")


@pytest.mark.parametrize("rules", [APART, STRAIGHT])
@pytest.mark.parametrize("turns", [(0, 2), (1, 3), (0, 1, 2, 3)])
def test_the_greedy_engine_is_valid_and_repeats(rules: object, turns: tuple[int, ...]) -> None:
    own = Sheet("old", "ply", 500.0, 400.0, count=2, defects=((50.0, 60.0, 120.0, 90.0),))
    across = replace(WORKSHOP, name="new", grain=SheetGrain.ACROSS)
    problem = boxes(panels(3, 14), (own, across), rules, turns)  # type: ignore[arg-type]
    found = greedy(problem)
    assert is_valid(problem, found)
    assert score_of(problem, found)[0] == 0
    assert found == greedy(problem)


def test_what_is_wrong_is_not_taken() -> None:
    problem = boxes(panels(1, 8))
    found = greedy(problem)
    first, second_ = found[0].spots[:2]
    bad = {
        "twice": (first, first),
        "on one place": (first, replace(second_, x=first.x, y=first.y)),
        "outside": (replace(first, x=-1),),
        "turned": (replace(first, turned=True),),
    }
    for what, spots in bad.items():
        assert not is_valid(problem, [Filled(found[0].bin, spots)]), what
    single = boxes(panels(1, 4), (Sheet("old", "ply", 1220.0, 610.0, count=1),))
    once = greedy(single)[0]
    assert not is_valid(
        single, [Filled(once.bin, once.spots[:1]), Filled(once.bin, once.spots[1:])]
    )


def test_tasks_survive_the_wire() -> None:
    problem = boxes(panels(2, 9), (Sheet("old", "ply", 700.0, 300.0, count=1), WORKSHOP))
    found = greedy(problem)
    task = read_task(task_line(Task(problem, 1.0, 0, start=found)))
    assert task.problem.sizes == problem.sizes
    assert filled_data(task.problem, task.start) == filled_data(problem, found)
    assert read_filled(problem, filled_data(problem, found)) == found
    assert score_of(task.problem, task.start) == score_of(problem, found)


@ENGINE_ONLY
@pytest.mark.parametrize("rules", [APART, STRAIGHT])
def test_the_engine_is_never_worse_and_repeats(rules: object) -> None:
    problem = boxes(panels(5, 7), rules=rules)  # type: ignore[arg-type]
    told: list[tuple[float, ...]] = []
    effort = Effort(rounds=1)
    found = search(problem, effort, lambda filled: told.append(score_of(problem, filled)))
    assert not found.trouble
    assert told == sorted(told, reverse=True)
    assert score_of(problem, found.filled) == told[-1]
    assert is_valid(problem, found.filled)
    assert search(problem, effort).filled == found.filled


@ENGINE_ONLY
def test_the_second_engine_knows_its_limits() -> None:
    problem = boxes(panels(4, 12))
    assert second(boxes(panels(4, 12), rules=STRAIGHT)) == ()
    assert second(boxes(panels(4, 12), turns=(1, 3))) == ()
    if not has_engine():
        assert is_valid(problem, second(problem))


def _stopping(after: float) -> Callable[[], bool]:
    begun = time.monotonic()
    return lambda: time.monotonic() - begun > after


@ENGINE_ONLY
@pytest.mark.parametrize("after", [0.0, 0.3, 1.5])
def test_stopped_at_any_moment_it_gives_the_best_so_far(after: float) -> None:
    problem = boxes(panels(7, 40))
    begun = time.monotonic()
    found = search(problem, Effort(seconds=60), stop=_stopping(after))
    assert found.stopped
    assert is_valid(problem, found.filled)
    assert score_of(problem, found.filled)[0] == 0
    assert time.monotonic() - begun < after + 20  # a machine that is shared may be slow


@ENGINE_ONLY
def test_an_engine_that_is_killed_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[str]] = []

    class Watched(subprocess.Popen[str]):
        def __init__(self, *args: object, **kwargs: object) -> None:
            super().__init__(*args, **kwargs)  # type: ignore[call-overload]
            started.append(self)

    monkeypatch.setattr("dryfit.layout.search.subprocess.Popen", Watched)
    problem = boxes(panels(7, 30))

    def kill() -> bool:
        if started and started[0].poll() is None:
            os.kill(started[0].pid, signal.SIGKILL)
        return False

    found = search(problem, Effort(seconds=60), stop=kill)
    assert "ended early" in found.trouble
    assert is_valid(problem, found.filled)


@ENGINE_ONLY
def test_an_engine_out_of_time_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dryfit.layout.search.PATIENCE", 1.0)
    problem = boxes(panels(7, 40))
    found = search(problem)
    assert "stopped after 1 s" in found.trouble
    assert found.engine in ("greedy", ENGINE)
    assert score_of(problem, found.filled)[0] == 0


def test_the_worker_speaks_lines_and_ends() -> None:
    if not has_engine():
        pytest.skip("no such engine for this Python")
    problem = boxes(panels(1, 5))
    ran = subprocess.run(
        [sys.executable, "-m", "dryfit.layout.worker"], input=task_line(Task(problem, 0, 1)) + "\n",
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert ran.stdout.splitlines()[-1] == '{"done": true}'


def test_nothing_to_lay_and_nothing_to_lay_it_on() -> None:
    assert search(boxes([])).filled == ()
    nowhere = boxes(panels(1, 2), (Sheet("old", "ply", 60.0, 60.0, count=1),))
    layout = laid(nowhere, search(nowhere, Effort(quick=True)).filled, "greedy")
    assert len(layout.unplaced) == 2
    assert layout.sheets == ()
