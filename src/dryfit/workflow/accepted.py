"""The layout that a maker has accepted: kept beside the job file, read while it still fits."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

from dryfit.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from dryfit.layout.data import Item
    from dryfit.layout.plan import Plan
    from dryfit.layout.problem import Problem

_FORMAT = 1
_LARGEST = 20_000_000
"""The largest file that is read. [bytes]"""


def accepted_path(job: Path) -> Path:
    """Where the accepted layout of a job file is kept: ``tray.toml`` has ``tray.layout.json``."""
    return job.with_name(f"{job.stem}.layout.json")


def read_accepted(job: Path) -> str:
    """The text of the layout that was accepted for a job file; empty where there is none."""
    path = accepted_path(job)
    try:
        if not path.is_file() or path.stat().st_size > _LARGEST:
            return ""
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError) as error:
        raise OutputError(
            f"{path} cannot be read; take it away or accept the layout anew"
        ) from error


def accepted_text(plan: Plan) -> str:
    """A plan as the text that is kept."""
    from dryfit.layout.wire import filled_data

    stocks = [
        {
            "stock": each.stock,
            "engine": each.outcome.engine,
            "filled": filled_data(each.problem, each.outcome.filled),
        }
        for each in plan.stocks
    ]
    key = key_of([each.problem for each in plan.stocks])
    return json.dumps({"format": _FORMAT, "key": key, "stocks": stocks}, indent=1) + "\n"


def key_of(problems: Sequence[Problem]) -> str:
    """What tells one state of a job's layout from another: its boxes, bins and rules."""
    from dryfit.layout.wire import Task, task_line

    said = hashlib.sha256()
    for problem in problems:
        said.update(problem.stock.encode())
        said.update(task_line(Task(problem, 0.0, 0)).encode())
        said.update(repr([item.members for item in problem.items]).encode())
    return said.hexdigest()


def restored(
    text: str, stated: Sequence[tuple[Problem, tuple[Item, ...]]], bare: Sequence[str]
) -> Plan | None:
    """The plan that was accepted; None where it belongs to another state, or is none at all.

    It is checked like any other: a file that was changed by hand is believed in nothing.
    """
    from dryfit.layout.plan import Plan, StockPlan
    from dryfit.layout.search import Outcome
    from dryfit.layout.valid import is_valid
    from dryfit.layout.wire import read_filled

    try:
        data = json.loads(text)
        if data["format"] != _FORMAT or data["key"] != key_of([each for each, _ in stated]):
            return None
        plans = []
        for (problem, large), own in zip(stated, data["stocks"], strict=True):
            filled = read_filled(problem, own["filled"])
            if not is_valid(problem, filled):
                return None
            plans.append(StockPlan(problem, Outcome(filled, str(own["engine"])), large))
    except (KeyError, TypeError, ValueError, IndexError, AttributeError):
        return None
    return Plan(tuple(plans), tuple(bare))
