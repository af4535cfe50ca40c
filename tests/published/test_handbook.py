"""Printed values of beams, plates, plywood, woods and shelves, each with its source beside it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import dryfit.materials
from dryfit.materials.data import rows
from dryfit.materials.loads import USES
from dryfit.materials.sheets import MATERIALS
from dryfit.materials.strength import strength
from tests.helpers.handbook import Printed, everything

STATUS = {"S", "S2", "MV", "MM", "M", "practice"}


@pytest.mark.parametrize("value", tuple(everything()), ids=lambda value: value.what)
def test_a_printed_value_is_reproduced(value: Printed) -> None:
    assert value.holds, (value.printed, value.ours)
    assert value.source
    assert value.status in STATUS


@pytest.mark.parametrize("table", ["strength", "boards", "creep", "loads"])
def test_every_row_of_the_tables_has_a_status_and_a_source(table: str) -> None:
    for row in rows(table):
        assert row["status"] in STATUS
        assert row.get("source") or row["table"] in ("5-3b", "5-5b")


def test_the_tables_are_plain_csv() -> None:
    folder = Path(dryfit.materials.__file__).parent
    for path in folder.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            lines = list(csv.reader(file))
        assert {len(line) for line in lines} == {len(lines[0])}, path.name


def test_every_sheet_has_a_strength_and_every_use_a_limit() -> None:
    for material in MATERIALS.values():
        if not material.solid:
            found = strength(material, 12.0)
            assert found is not None
            assert 0 < found.across <= found.along
            assert found.flank[0] <= found.flank[1]
    assert all(0 < use.limit(600.0) <= 600 / 100 for use in USES.values())
