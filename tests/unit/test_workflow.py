"""Rehearsals of pieces stated in Python, down to none at all."""

from __future__ import annotations

import pytest

from dryfit.errors import ShapeError
from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Piece
from dryfit.workflow import Rehearsal
from tests.helpers.boxes import box

ROUTER = Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL)


def rehearsed(piece: Piece) -> Rehearsal:
    return Rehearsal(Job("Type tray", piece, ROUTER))


@pytest.mark.parametrize(("walls", "count"), [((), 0), (("front",), 1), (("front", "back"), 2)])
def test_panels_that_do_not_meet_are_a_stop(walls: tuple[str, ...], count: int) -> None:
    rehearsal = rehearsed(box((120, 90, 60), walls))
    (finding,) = [f for f in rehearsal.findings if f.severity is Severity.STOP]
    assert finding.code == "nothing-meets"
    assert finding.sentence.startswith(f"None of the {count} panels meets another")
    assert len(rehearsal.parts) == count


def test_nothing_cannot_be_drawn() -> None:
    with pytest.raises(ShapeError, match="0 parts cannot be drawn"):
        rehearsed(Piece(())).picture()
