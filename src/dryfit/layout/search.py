"""The search for a layout: a first one at once, then better ones until it is told to stop.

The greedy engine comes first. The better engine then works in a process of its own, which can be
ended at any moment and cannot take the program down; whatever it sends is checked before it counts.
"""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
import time
from dataclasses import dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING

from dryfit.layout.greedy import greedy
from dryfit.layout.score import score_of
from dryfit.layout.second import second
from dryfit.layout.valid import is_valid
from dryfit.layout.wire import Task, read_filled, task_line

if TYPE_CHECKING:
    from collections.abc import Callable

    from dryfit.layout.problem import Filled, Problem
    from dryfit.layout.score import Score

ROUNDS = 1
"""How many neighbourhoods the usual effort packs anew. [-]"""

PATIENCE = 90.0
"""How long the usual effort may take before the engine is stopped. [s]"""

_GRACE = 15.0
"""How much longer than it was given the engine may take before it is stopped. [s]"""

_POLL = 0.05

GREEDY, ENGINE, SECOND = "greedy", "packingsolver", "rectpack"


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to search.

    Parameters
    ----------
    seconds : float, optional
        How long, for a search by the clock; None for one that repeats exactly. [s]
    rounds : int
        Neighbourhoods to pack anew in a search that repeats exactly. [-]
    quick : bool
        Whether the greedy engine will do.
    """

    seconds: float | None = None
    rounds: int = ROUNDS
    quick: bool = False


USUAL = Effort()
QUICK = Effort(quick=True)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a search found.

    Parameters
    ----------
    filled : tuple of Filled
        The best layout.
    engine : str
        Which engine found it.
    trouble : str
        What went wrong with the better engine, as a sentence; empty where nothing did.
    stopped : bool
        Whether it was told to stop before its end.
    """

    filled: tuple[Filled, ...]
    engine: str = GREEDY
    trouble: str = ""
    stopped: bool = False


def never() -> bool:
    """Never stop."""
    return False


def has_engine() -> bool:
    """Whether the better engine is installed; there is none for Python 3.11."""
    return find_spec("packingsolver") is not None


def search(
    problem: Problem,
    effort: Effort = USUAL,
    better: Callable[[tuple[Filled, ...]], None] = lambda _: None,
    stop: Callable[[], bool] = never,
) -> Outcome:
    """Search for the best layout.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    effort : Effort
        How hard.
    better : callable
        Told of every layout that is better than the last.
    stop : callable
        Asked all the time; once it says yes, the best so far is given.
    """
    first = greedy(problem, stop)
    better(first)
    outcome = Outcome(first)
    if effort.quick or not problem.items or stop():
        return Outcome(first, stopped=stop())
    if not has_engine():
        found = second(problem) if find_spec("rectpack") else ()
        if (
            found
            and is_valid(problem, found)
            and score_of(problem, found) < score_of(problem, first)
        ):
            better(found)
            outcome = Outcome(found, SECOND)
        return outcome
    return _Engine(problem, effort, outcome).run(better, stop)


class _Engine:
    """The worker, as it is watched."""

    def __init__(self, problem: Problem, effort: Effort, first: Outcome) -> None:
        self.problem = problem
        self.effort = effort
        self.best = first
        self.score: Score = score_of(problem, first.filled)
        self.done = False
        self.lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()

    def run(
        self, better: Callable[[tuple[Filled, ...]], None], stop: Callable[[], bool]
    ) -> Outcome:
        """Start it, listen, and end it whatever happens."""
        seconds = self.effort.seconds
        task = Task(
            self.problem, seconds or 0.0, 0 if seconds else self.effort.rounds,
            start=self.best.filled,
        )  # fmt: skip
        process = subprocess.Popen(
            [sys.executable, "-m", "dryfit.layout.worker"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        )  # fmt: skip
        listener = threading.Thread(
            target=self._listen, args=(process, task_line(task)), daemon=True
        )
        limit = time.monotonic() + (seconds + _GRACE if seconds else PATIENCE)
        stopped = False
        try:
            listener.start()
            while not self.done:
                if stop():
                    stopped = True
                    break
                if time.monotonic() > limit:
                    spent = seconds + _GRACE if seconds else PATIENCE
                    return self._ended(f"The engine was stopped after {spent:.0f} s")
                if not self._heard(better):
                    code = process.wait()
                    return self._ended(f"The engine ended early, with code {code}")
        except KeyboardInterrupt:
            stopped = True
        finally:
            process.kill()
            process.wait()
            listener.join()
        return Outcome(self.best.filled, self.best.engine, stopped=stopped)

    def _ended(self, what: str) -> Outcome:
        sentence = f"{what}; the best layout so far was kept."
        return Outcome(self.best.filled, self.best.engine, sentence)

    def _listen(self, process: subprocess.Popen[str], task: str) -> None:
        """Hand the task over and pass the lines on; None says that there will be no more."""
        assert process.stdin is not None
        assert process.stdout is not None
        try:
            process.stdin.write(task + "\n")
            process.stdin.close()
            for line in process.stdout:
                self.lines.put(line)
        except (OSError, ValueError):
            pass  # it has gone; that it sends no more says so
        finally:
            process.stdout.close()
            self.lines.put(None)

    def _heard(self, better: Callable[[tuple[Filled, ...]], None]) -> bool:
        """Take one line where there is one; no when there will be no more."""
        try:
            line = self.lines.get(timeout=_POLL)
        except queue.Empty:
            return True
        if line is None:
            return False
        data = json.loads(line)
        if "done" in data:
            self.done = True
            return True
        found = read_filled(self.problem, data["filled"])
        if is_valid(self.problem, found):
            score = score_of(self.problem, found)
            if score < self.score:
                self.best, self.score = Outcome(found, ENGINE), score
                better(found)
        return True
