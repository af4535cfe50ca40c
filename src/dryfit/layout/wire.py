"""Problems and layouts as lines of JSON, between the program and its worker."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from dryfit.layout.data import Item, Key, Member
from dryfit.layout.problem import STEP, Bin, Filled, Problem, Spot
from dryfit.model.sheets import Rules, Sheet

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Task:
    """What the worker is asked.

    Parameters
    ----------
    problem : Problem
        What is to be laid; names of parts are left out.
    seconds : float
        How long to search, where `rounds` is 0. [s]
    rounds : int
        How many neighbourhoods to pack anew in a search that repeats exactly. [-]
    seed : int
        Where chance begins.
    start : tuple of Filled
        The layout to improve on.
    """

    problem: Problem
    seconds: float
    rounds: int
    seed: int = 1
    start: tuple[Filled, ...] = ()


def task_line(task: Task) -> str:
    """A task as one line."""
    problem = task.problem
    return json.dumps(
        {
            "seconds": task.seconds,
            "rounds": task.rounds,
            "seed": task.seed,
            "spacing": problem.rules.spacing,
            "guillotine": problem.rules.guillotine,
            "boxes": [
                [*size, *ways, list(item.turns), [list(at) for at in item.outline]]
                for size, ways, item in zip(problem.sizes, problem.ways, problem.items, strict=True)
            ],
            "bins": [
                [b.number, b.length, b.width, b.sheet.to_buy, b.sheet.price, list(b.taken)]
                for b in problem.bins
            ],
            "start": filled_data(problem, task.start),
        }
    )


def read_task(line: str) -> Task:
    """The task of a line."""
    data: dict[str, Any] = json.loads(line)
    bins = []
    for place, (number, length, width, to_buy, price, taken) in enumerate(data["bins"]):
        size = length * STEP, width * STEP
        sheet = Sheet(str(place), "", *size, count=None if to_buy else 1, price=price)
        bins.append(Bin(sheet, number, length, width, tuple(tuple(box) for box in taken)))
    items = [
        Item(
            width * STEP - data["spacing"],
            height * STEP - data["spacing"],
            tuple(turns),
            (Member(Key(str(place)), 0.0, 0.0, width * STEP, height * STEP),),
            outline=tuple((x, y) for x, y in outline),
        )
        for place, (width, height, _, _, turns, outline) in enumerate(data["boxes"])
    ]
    problem = Problem(
        "",
        tuple(items),
        tuple((box[0], box[1]) for box in data["boxes"]),
        tuple((box[2], box[3]) for box in data["boxes"]),
        tuple(bins),
        Rules(data["spacing"], 0.0, guillotine=data["guillotine"]),
    )
    start = read_filled(problem, data["start"])
    return Task(problem, data["seconds"], data["rounds"], data["seed"], start)


def filled_line(problem: Problem, filled: Sequence[Filled]) -> str:
    """Filled bins as one line."""
    return json.dumps({"filled": filled_data(problem, filled)})


def read_filled(problem: Problem, data: Sequence[Any]) -> tuple[Filled, ...]:
    """Filled bins as they were sent."""
    return tuple(
        Filled(problem.bins[place], tuple(Spot(*spot) for spot in spots)) for place, spots in data
    )


def filled_data(problem: Problem, filled: Sequence[Filled]) -> list[Any]:
    """Filled bins as plain data."""
    places = {id(each): place for place, each in enumerate(problem.bins)}
    return [
        [places[id(each.bin)], [[s.box, s.x, s.y, s.turned, s.turn] for s in each.spots]]
        for each in filled
    ]
