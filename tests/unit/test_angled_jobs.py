"""Trays with angled corners, rehearsed as any job is."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Piece, Wish
from dryfit.workflow import Rehearsal, as_data, files
from tests.helpers.angled import polygon_tray, splayed_tray
from tests.helpers.boxes import HAND

SCHEMA = json.loads((Path(__file__).parents[2] / "docs" / "check.schema.json").read_text())
TRAYS = [
    polygon_tray(3, wish=Wish()),
    polygon_tray(6, wish=Wish()),
    polygon_tray(8, wish=Wish()),
    splayed_tray(12.0, wish=Wish()),
]


def rehearsed(piece: Piece, cutter: Cutter = HAND) -> Rehearsal:
    return Rehearsal(Job("paper tray", piece, cutter))


@pytest.mark.parametrize("piece", TRAYS)
@pytest.mark.parametrize(
    "cutter",
    [HAND, Cutter(Route.LASER, 0.2), Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL)],
)
def test_a_tray_closes_and_can_be_cut(piece: Piece, cutter: Cutter) -> None:
    tray = rehearsed(piece, cutter)
    assert not tray.report.stops
    assert len(tray.touches) == len(tray.joints) == len(tray.plans.meetings.angled)
    data = as_data(tray)
    jsonschema.validate(data, SCHEMA)
    assert {joint["kind"] for joint in data["joints"]} == {"finger"}


def test_every_part_gets_its_files() -> None:
    made = files(rehearsed(polygon_tray(6)))
    names = {name.rsplit(".", 1)[0] for name in made}
    whole = {"piece", "cut-list", "traveller"}
    assert names == {*whole, "base", *(f"wall-{k + 1}" for k in range(6))}


def test_a_cutter_without_relief_is_stopped() -> None:
    tray = rehearsed(polygon_tray(6), Cutter(Route.ROUTER, 6.0))
    found = {finding.code for finding in tray.findings if finding.severity is Severity.STOP}
    assert "no-relief" in found


def test_wishes_that_cannot_be_granted_are_told() -> None:
    piece = replace(
        polygon_tray(6), wishes={frozenset(("wall 1", "base")): Wish(count=8, leads="wall 1")}
    )
    (denied,) = (f for f in rehearsed(piece).findings if f.code == "wish-denied")
    assert denied.place == "wall 1+base"
    assert "base owns the blocks at both ends" in denied.sentence


def test_the_picture_names_every_part() -> None:
    picture = rehearsed(polygon_tray(6)).picture()
    assert all(f">wall {k + 1}<" in picture for k in range(6))
    assert ">base<" in picture
