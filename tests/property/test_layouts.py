"""Layouts of random jobs, looked at by a checker that shares no code with them."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import pytest

from dryfit.workflow import Request, lay, read_text, sheets_record
from tests.helpers.laid import laid, wrong_with
from tests.helpers.random_jobs import random_job
from tests.helpers.sheet_checker import straight, wrongs

if TYPE_CHECKING:
    from collections.abc import Callable

QUICK = Request(quick=True)
SAMPLE = 16
LONG = 500

TRAYS = """format = 1
title = "Trays"
times = 3
[piece]
form = "tray"
outside = [330, 220, 70]
[stock.ply]
material = "birch plywood"
nominal = 9
readings = [9.0, 9.1, 8.9]
sheet = [1220, 610]
[sheet.end]
stock = "ply"
size = [400, 300]
defects = [[200, 100, 260, 140]]
[cutter]
kind = "router"
diameter = 3.175
[layout]
spacing = 6
margin = 8
travel = [800, 610]
[panel.front]
grain = "x"
"""


@pytest.mark.parametrize("seed", range(SAMPLE))
def test_nothing_is_wrong_with_the_layout_of_a_random_job(seed: int) -> None:
    assert wrong_with(laid(random_job(seed), QUICK)) == []


@pytest.mark.prove
@pytest.mark.parametrize("seed", range(SAMPLE, LONG))
def test_nothing_is_wrong_with_many(seed: int) -> None:
    assert wrong_with(laid(random_job(seed), QUICK)) == []


def _first(data: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = data["stocks"][0]["sheets"][-1]
    return found


def _near(data: dict[str, Any]) -> None:
    one, other = _first(data)["placed"][:2]
    other.update(x_mm=one["x_mm"] + one["width_mm"] + 5.9, y_mm=one["y_mm"])


def _out(data: dict[str, Any]) -> None:
    _first(data)["placed"][0].update(x_mm=7.9)


def _beyond(data: dict[str, Any]) -> None:
    _first(data)["placed"][0].update(x_mm=700.0)


def _missing(data: dict[str, Any]) -> None:
    _first(data)["placed"].pop()


def _twice(data: dict[str, Any]) -> None:
    _first(data)["placed"].append(dict(_first(data)["placed"][0]))


def _across(data: dict[str, Any]) -> None:
    front = next(p for p in _all(data) if p["part"] == "front")
    front["quarter_turns"] = (front["quarter_turns"] + 1) % 4


def _all(data: dict[str, Any]) -> list[dict[str, Any]]:
    return [p for s in data["stocks"] for sheet in s["sheets"] for p in sheet["placed"]]


def _mirrored(data: dict[str, Any]) -> None:
    placed = next(p for p in _all(data) if p["part"] == "left")
    placed["face_up"] = {"a": "b", "b": "a"}[placed["face_up"]]


def _spoilt(data: dict[str, Any]) -> None:
    sheet = next(s for s in data["stocks"][0]["sheets"] if s["sheet"] == "end")
    sheet["placed"][0].update(x_mm=150.0, y_mm=60.0)


def _again(data: dict[str, Any]) -> None:
    sheets = data["stocks"][0]["sheets"]
    end = next(s for s in sheets if s["sheet"] == "end")
    sheets.append({**end, "placed": []})


@pytest.mark.parametrize(
    "spoil",
    [_near, _out, _beyond, _missing, _twice, _across, _mirrored, _spoilt, _again],
)
def test_the_checker_sees_what_is_wrong(spoil: Callable[[dict[str, Any]], None]) -> None:
    found = laid(TRAYS, QUICK)
    parts = {order.job: order.parts for order in found.orders}
    data = sheets_record(found)
    assert wrongs(data, parts, {1: 3}, found.supply) == []
    spoilt = copy.deepcopy(data)
    spoil(spoilt)
    assert wrongs(spoilt, parts, {1: 3}, found.supply) != []


def test_a_pinwheel_cannot_be_cut_straight_through() -> None:
    wheel = [(0, 0, 60, 30), (66, 0, 96, 60), (36, 66, 96, 96), (0, 36, 30, 96)]
    assert not straight(wheel, 6.0)
    assert straight(wheel[:3], 6.0)


def test_two_jobs_share_sheets_and_a_batch_gains() -> None:
    """Twenty trays together take less than twenty times one."""
    job = read_text(TRAYS)
    alone = lay([job], Request(times=1, quick=True)).cost
    twenty = lay([job], Request(times=20, quick=True))
    assert wrong_with(twenty) == []
    assert twenty.cost.used < 20 * alone.used
    both = lay([job, read_text(TRAYS.replace("330", "300"))], Request(times=2, quick=True))
    assert wrong_with(both) == []
    assert both.pieces == 4


def test_only_one_part_is_cut_anew_and_spares_are_added() -> None:
    job = read_text(TRAYS)
    only = lay([job], Request(only=("front",), quick=True))
    assert [p.part for plan in only.plan.stocks for p in plan.layout.placed] == ["front"]
    spare = lay([job], Request(times=3, spare=True, quick=True))
    assert sum(len(plan.layout.placed) for plan in spare.plan.stocks) == 5 * (3 + 1)


def test_walls_in_sequence_lie_in_order_along_the_grain() -> None:
    walls = ("front", "right", "back", "left")
    text = TRAYS.replace("travel = [800, 610]", f"matched = {list(walls)}")
    found = laid(text, QUICK)
    assert wrong_with(found) == []
    for sheet in (s for plan in found.plan.stocks for s in plan.layout.sheets):
        for piece in {p.key.piece for p in sheet.placed if p.part in walls}:
            row = [p for p in sheet.placed if p.key.piece == piece and p.part in walls]
            names = [p.part for p in sorted(row, key=lambda p: p.x)]
            assert names in (list(walls), list(walls)[::-1])
            assert len({p.y for p in row}) == 1 or names == list(walls)[::-1]


def test_a_locked_part_stays_where_it_was_put() -> None:
    locked = TRAYS + '[lock.base]\nsheet = "ply"\nat = [300, 200]\nquarter_turns = 1\npiece = 2\n'
    found = laid(locked, QUICK)
    assert wrong_with(found) == []
    own = [
        p for plan in found.plan.stocks for p in plan.layout.placed
        if (p.part, p.key.piece) == ("base", 2)
    ]  # fmt: skip
    assert [(p.x, p.y, p.turned) for p in own] == [(300, 200, 1)]
