"""Alternatives side by side: from tables of the file, and typed beside it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from dryfit.cli.main import main
from dryfit.errors import DryfitError, JobFileError
from dryfit.jobfile.alternatives import typed_alternative
from dryfit.workflow import AS_IT_IS, changes, compare, compare_data

if TYPE_CHECKING:
    from pathlib import Path

JOB = """format = 1
title = "Shelves for paper"
[piece]
form = "case"
outside = [700, 300, 500]
open = true
shelves = 1
use = "books"
[stock.ply]
material = "birch plywood"
nominal = 12
readings = [11.8, 11.9, 12.0]
[cutter]
kind = "router"
diameter = 4
relief = "flank"
[fingers]
width = 18
[panel.back]
readings = [11.7]
"""
TABLES = """
[compare.thick]
stock.ply.nominal = 18

[compare.more]
fingers.count = 15
piece.uprights = 1
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "shelves.toml"
    path.write_text(JOB + TABLES, encoding="utf-8")
    return path


def test_tables_and_typed_lines_are_rehearsed_in_order(job: Path) -> None:
    sides = compare(job, ["stock.ply.material = MDF"])
    assert [side.name for side in sides] == [
        AS_IT_IS, "thick", "more", "stock.ply.material = MDF",
    ]  # fmt: skip
    now, thick, more, board = (side.rehearsal for side in sides)
    assert now.piece.panel("back").thickness == pytest.approx(11.7)
    # What was measured on another sheet says nothing of this one.
    assert {panel.thickness for panel in thick.piece.panels} == {18.0}
    assert {joint.plan.count for joint in more.joints if joint.kind == "finger"} == {15}
    assert "upright" in {panel.name for panel in more.piece.panels}
    assert {panel.stock.material.name for panel in board.piece.panels} == {"MDF"}


def test_what_it_costs_is_told_where_prices_are_known(job: Path) -> None:
    assert [side.cost for side in compare(job)[:1]] == [None]
    priced = JOB.replace("nominal = 12\n", "nominal = 12\nsheet = [1250, 1250]\nprice = 40\n")
    now, more = compare(_written(job, priced), ["times = 6; piece.shelves = 2"])
    assert now.cost is not None
    assert more.cost is not None
    assert more.cost[0] > now.cost[0] >= 1
    assert now.cost[1] is not None
    assert now.cost[1] >= 40 * now.cost[0]
    bare = compare(_written(job, priced.replace("price = 40\n", "")), ["times = 2"])
    assert bare[1].rehearsal.job.times == 2
    assert bare[0].cost == (now.cost[0], None)


def test_what_changes_is_told_by_question(job: Path) -> None:
    now, thick, *_ = compare(job)
    assert now.sag is not None
    assert thick.sag is not None
    assert thick.sag[1] < now.sag[1] / 2
    assert thick.weight is not None
    assert now.weight is not None
    assert thick.weight > now.weight
    goes = {finding.code for change in changes(now, thick) for finding in change.goes}
    assert "panel-sags" in goes
    assert changes(now, now) == ()


def test_a_job_file_with_alternatives_is_the_same_job(job: Path) -> None:
    first = compare(job)[0].rehearsal
    job.write_text(JOB, encoding="utf-8")
    second = compare(job, ["fingers.width = 18"])
    assert first.job.piece == second[0].rehearsal.job.piece
    assert changes(*second) == ()


def test_the_page_and_the_data_say_the_same(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", str(job), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data == json.loads(json.dumps(compare_data(compare(job))))
    assert [each["name"] for each in data["alternatives"]] == [AS_IT_IS, "thick", "more"]
    assert main(["compare", str(job)]) == 0
    page = capsys.readouterr().out
    for each in data["alternatives"]:
        assert f"{each['weight_kg']:.2f}" in page
    assert "No longer" in page
    assert max(map(len, page.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "edits"),
    [
        ("stock.ply.nominal = 12 mm", {("stock", "ply", "nominal"): "12 mm"}),
        ('piece.back = "none"; piece.shelves = 2', {
            ("piece", "back"): "none", ("piece", "shelves"): 2,
        }),
        ('joint."left+shelf".kind = tenon', {("joint", "left+shelf", "kind"): "tenon"}),
    ],
)  # fmt: skip
def test_lines_are_typed_as_in_a_job_file(words: str, edits: dict[tuple[str, ...], object]) -> None:
    found = {edit.path: edit.value for edit in typed_alternative(words, JOB) if edit.value}
    assert found == edits


def test_a_table_is_taken_out_where_it_is_said_to_be_false() -> None:
    found = {edit.path: edit.value for edit in typed_alternative("panel.back = false", JOB)}
    assert found == {("panel", "back"): None}
    kept = {edit.path: edit.value for edit in typed_alternative("piece.open = false", JOB)}
    assert kept == {("piece", "open"): False}


def test_another_cutter_leaves_the_size_of_this_one() -> None:
    found = typed_alternative("cutter.kind = laser; cutter.kerf = 0.2", JOB)
    assert ("cutter", "diameter") in {edit.path for edit in found if edit.value is None}
    assert ("cutter", "kerf") not in {edit.path for edit in found if edit.value is None}


@pytest.mark.parametrize("words", ["", ";", "thick", "= 3", "stock.ply.nominal = "])
def test_what_is_no_line_of_a_job_file_is_one_sentence(words: str) -> None:
    with pytest.raises(JobFileError) as refused:
        typed_alternative(words, JOB)
    (fault,) = refused.value.faults
    assert "is no line of a job file" in fault.sentence
    assert "\n" not in str(fault)


def test_a_wrong_alternative_is_told_at_its_own_line(job: Path) -> None:
    text = JOB + '[compare.worse]\nstock.ply.material = "stone"\n'
    job.write_text(text, encoding="utf-8")
    with pytest.raises(JobFileError) as refused:
        compare(job)
    (fault,) = refused.value.faults
    assert fault.path == "compare.worse.stock.ply.material"
    assert text.splitlines()[fault.line - 1] == "[compare.worse]"
    with pytest.raises(JobFileError, match="--with"):
        compare(_written(job, JOB), ["stock.ply.material = stone"])


@pytest.mark.parametrize("table", ["compare = 3", "[compare]\nthick = 3", "[compare.thick]"])
def test_an_alternative_that_is_none_is_one_sentence(job: Path, table: str) -> None:
    text = f"{table}\n{JOB}" if table.endswith("= 3") and "[" not in table else f"{JOB}{table}\n"
    with pytest.raises(JobFileError) as refused:
        compare(_written(job, text))
    assert len(refused.value.faults) == 1


def test_nothing_to_compare_is_said(job: Path) -> None:
    with pytest.raises(DryfitError, match="0 alternatives"):
        compare(_written(job, JOB))


def _written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path
