"""What is remembered between rehearsals changes no answer: the same job gives the same bytes."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit import workflow
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Wish
from dryfit.parts.memory import Memory
from tools.furniture import cabinet, measured, moved, opened, pigeon_holes

if TYPE_CHECKING:
    from dryfit.model.piece import Job
    from dryfit.parts.touch import Touch

CABINET = workflow.read_text(cabinet()).job
HOLES = workflow.read_text(pigeon_holes(1)).job
PAIRS = tuple(frozenset((j.lead, j.follow)) for j in workflow.Rehearsal(HOLES).joints)
CUTTERS = (
    Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL),
    Cutter(Route.ROUTER, 6.0, Relief.NONE),
    Cutter(Route.HAND, 0.0),
)

steps = st.integers(-60, 60)


def pressed(job: Job, number: int, step: int) -> Job:
    """The job with another flank gap in one joint, so that its two parts gape or jam."""
    pair = PAIRS[number % len(PAIRS)]
    wish = replace(job.piece.wishes.get(pair, Wish()), flank_gap=step / 1000)
    return job.with_piece(replace(job.piece, wishes={**job.piece.wishes, pair: wish}))


def shown(job: Job) -> tuple[bytes, tuple[Touch, ...]]:
    """Everything that is said of a job, and the touches to the last bit."""
    rehearsal = workflow.Rehearsal(job)
    return json.dumps(workflow.as_data(rehearsal)).encode(), rehearsal.touches


def same_when_forgotten(job: Job) -> bool:
    """Whether a job is told alike with what is remembered, and anew."""
    remembered = shown(job)
    workflow.forget()
    return remembered == shown(job)


@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(st.sampled_from((measured, moved, opened)), steps), max_size=4))
def test_an_edited_cabinet_is_told_alike(edits: list[tuple[object, int]]) -> None:
    job = CABINET
    for edit, step in edits:
        assert callable(edit)
        job = edit(job, step)
        workflow.Rehearsal(job).report  # noqa: B018  fills the memory
    assert same_when_forgotten(job)


@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 61), steps), max_size=4), st.sampled_from(CUTTERS))
def test_edited_pigeon_holes_are_told_alike(edits: list[tuple[int, int]], cutter: Cutter) -> None:
    """Also where parts jam: there the touches come from sampling, and not from closed forms."""
    job = replace(HOLES, cutter=cutter)
    for number, step in edits:
        job = pressed(job, number, step)
        workflow.Rehearsal(job).report  # noqa: B018  fills the memory
    assert same_when_forgotten(job)


def test_files_are_the_same_when_forgotten() -> None:
    workflow.forget()
    fresh = workflow.files(workflow.Rehearsal(HOLES))
    workflow.Rehearsal(pressed(HOLES, 3, -40)).report  # noqa: B018  fills the memory
    assert workflow.files(workflow.Rehearsal(HOLES)) == fresh


@pytest.mark.parametrize(("asked", "worked_out"), [("ba", 0), ("abc", 1), ("cc", 2), ("bcda", 2)])
def test_only_what_is_unknown_is_worked_out(asked: str, worked_out: int) -> None:
    memory: Memory[str, str] = Memory(3)
    memory.all_of("ab", lambda places: ["AB"[place] for place in places])
    seen: list[int] = []

    def work_out(places: list[int]) -> list[str]:
        seen.extend(places)
        return [asked[place].upper() for place in places]

    assert memory.all_of(asked, work_out) == list(asked.upper())
    assert len(seen) == worked_out


def test_a_full_memory_lets_the_oldest_go() -> None:
    memory: Memory[int, int] = Memory(2)
    for key in (1, 2, 1, 3):
        memory.all_of([key], lambda places: [0 for _ in places])
    assert set(memory.known) == {1, 3}
    memory.cache_clear()
    assert not memory.known
