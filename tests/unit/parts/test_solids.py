"""Parts as solid bodies: their volumes, their trenches and their places."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
import trimesh

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.panel import Face
from dryfit.model.piece import Piece, Wish
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.parts.solids import solid_of
from dryfit.shapes.profile import Profile
from tests.helpers.boxes import CASE, HAND, TRAY, Built, box, build, slab
from tests.helpers.oracle import reach_of

if TYPE_CHECKING:
    from dryfit.model.panel import Panel

CHORD = 1e-3
WAYS = dict(zip(CASE, (0, 3, 5, 6, 1, 2), strict=True))


def divided(depth: float, cutter: Cutter) -> Built:
    """A tray with two dividers that cross and a shelf, let into it by a depth. [mm]"""
    low = 9 - depth
    inside: tuple[Panel, ...] = (
        slab("long", (low, 70, low), (231 + depth, 76, 70), 1, rank=3),
        slab("across", (100, low, low), (106, 171 + depth, 70), 0, rank=3),
        slab("shelf", (9 - depth, 120, 30), (100, 171 + depth, 35), 2, rank=3),
    )
    tray = box((240, 180, 80), TRAY, 9.0, ways=WAYS, wish=Wish(width=18, flank_gap=0.1))
    return build(Piece((*tray.panels, *inside), tray.wish, tray.wishes), cutter)


def mesh(part: Part, chord: float = CHORD) -> trimesh.Trimesh:
    solid = solid_of(part, chord)
    return trimesh.Trimesh(solid.vertices, solid.triangles, process=False)


def as_cut_volume(part: Part) -> float:
    """What the cutter leaves of a part without trenches, arcs exact. [mm³]"""
    assert not part.cuts_for(Purpose.TRENCH)
    return part.as_cut.area * part.thickness


@pytest.mark.parametrize("depth", [0.0, 4.0, 9.0])
def test_by_hand_a_solid_has_the_volume_of_its_part(depth: float) -> None:
    """Depths in between make trenches, the full depth mortises."""
    for part in divided(depth, HAND).parts:
        found = mesh(part)
        assert found.is_volume
        assert found.volume == pytest.approx(part.volume, rel=1e-9)


@pytest.mark.parametrize("depth", [4.0, 9.0])
def test_from_the_router_it_strays_by_its_chords(depth: float) -> None:
    """Two thirds of the sagitta times the area of the curved walls."""
    for part in divided(depth, Cutter(Route.ROUTER, 3.0, Relief.DIAGONAL)).parts:
        bent = part.as_cut.edges[part.as_cut.edges[:, 4] != 0]
        walls = float(np.pi * 1.5 * len(bent) * part.thickness)
        assert mesh(part).is_volume
        assert mesh(part).volume == pytest.approx(part.volume, abs=CHORD * walls * 2 / 3 + 1e-3)


def test_the_rounds_that_the_cutter_leaves_are_on_it() -> None:
    laser = Cutter(Route.LASER, 0.4)
    for part in build(box((120, 90, 60), CASE, 6.0, ways=WAYS), laser).parts:
        assert as_cut_volume(part) > part.volume
        assert mesh(part).volume == pytest.approx(as_cut_volume(part), abs=0.3)


def test_solids_stand_in_their_places() -> None:
    for part in build(box((120, 90, 60), CASE, 9.0, ways=WAYS)).parts:
        found = mesh(part).bounds
        assert found == pytest.approx(np.array(reach_of(part.panel)), abs=1e-9)


@pytest.mark.parametrize("face", list(Face))
def test_a_trench_that_runs_out_leaves_no_film(face: Face) -> None:
    """From edge to edge across a board of 100 by 40 by 9 mm: 6 wide, 4 deep."""
    panel = slab("board", (0, 0, 0), (100, 40, 9), 2)
    outline = Profile.rectangle(0, 0, panel.width, panel.height)
    trench = Profile.rectangle(20, 0, 26, panel.height)
    cuts = (
        Cut(Purpose.OUTLINE, outline, Face.B, 0.0, 9.0),
        Cut(Purpose.TRENCH, trench, face, 0.0, 4.0),
    )
    found = mesh(Part(panel, cuts, outline, "board"))
    assert found.is_volume
    assert found.volume == pytest.approx(100 * 40 * 9 - 6 * 40 * 4, rel=1e-12)
    assert found.area == pytest.approx(
        2 * (100 * 40 + 100 * 9 + 40 * 9) + 2 * 40 * 4 - 2 * 6 * 4, rel=1e-12
    )
    within, beside = (2.0, 7.0) if face is Face.A else (7.0, 2.0)
    assert around(found, within) == pytest.approx(2 * (20 + 40) + 2 * (74 + 40), abs=1e-9)
    assert around(found, beside) == pytest.approx(2 * (100 + 40), abs=1e-9)


def around(found: trimesh.Trimesh, z: float) -> float:
    """Length of all outlines of a level section. [mm]"""
    section = found.section([0, 0, 1], [0, 0, z])
    assert section is not None
    return float(section.length)


def test_trenches_from_both_faces_may_cross() -> None:
    """Each 5 of 9 mm deep: where they cross, a hole goes right through."""
    panel = slab("board", (0, 0, 0), (100, 40, 9), 2)
    outline = Profile.rectangle(0, 0, 100, 40)
    cuts = (
        Cut(Purpose.OUTLINE, outline, Face.B, 0.0, 9.0),
        Cut(Purpose.TRENCH, Profile.rectangle(20, 10, 80, 16), Face.A, 0.0, 5.0),
        Cut(Purpose.TRENCH, Profile.rectangle(40, 5, 48, 35), Face.B, 0.0, 5.0),
    )
    part = Part(panel, cuts, outline, "board")
    found = mesh(part)
    assert found.is_volume
    assert found.euler_number == 0
    taken = 60 * 6 * 5 + 8 * 30 * 5 - 8 * 6 * 1
    assert found.volume == pytest.approx(100 * 40 * 9 - taken, rel=1e-12)
