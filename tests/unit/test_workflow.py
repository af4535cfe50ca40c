"""Rehearsals of pieces stated in Python, down to none at all."""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING

import pytest
import trimesh

from dryfit.errors import ShapeError
from dryfit.findings import Severity
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Job, Piece
from dryfit.workflow import Rehearsal, models, step_bytes
from tests.helpers.boxes import RING, box

if TYPE_CHECKING:
    from collections.abc import Callable

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


def test_models_hold_every_part_of_the_piece() -> None:
    made = models(rehearsed(box((120, 90, 60), RING)))
    assert set(made) == {"piece.glb", "piece.3mf"}
    scene = trimesh.load_scene(io.BytesIO(made["piece.glb"]), file_type="glb")
    assert set(scene.graph.nodes_geometry) == set(RING)
    model = zipfile.ZipFile(io.BytesIO(made["piece.3mf"])).read("3D/3dmodel.model").decode()
    assert [name for name in RING if f'name="{name}"' in model] == list(RING)


@pytest.mark.parametrize("write", [models, step_bytes])
def test_a_piece_without_panels_has_no_model(write: Callable[[Rehearsal], object]) -> None:
    with pytest.raises(ShapeError, match="0 parts"):
        write(rehearsed(Piece(())))
