"""Whatever the box, the bodies of its parts are what the parts say they are."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings

from dryfit.parts.solids import solid_of
from dryfit.shapes.solid import overlap
from tests.helpers.boxes import build
from tests.property.test_volumes import pieces

if TYPE_CHECKING:
    from dryfit.model.piece import Piece

CHORD = 1e-3


@settings(max_examples=40)
@given(pieces())
def test_volumes_are_those_of_the_parts(piece: Piece) -> None:
    for part in build(piece).parts:
        solid = solid_of(part, CHORD)
        found = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
        assert found.is_volume
        assert solid.volume == pytest.approx(part.volume, rel=1e-6)
        assert found.volume == pytest.approx(part.volume, rel=1e-6)


@settings(max_examples=15)
@given(pieces())
def test_parts_without_gaps_touch_and_share_nothing(piece: Piece) -> None:
    solids = [solid_of(part, CHORD) for part in build(piece).parts]
    for one, other in combinations(solids, 2):
        assert overlap(one, other, np.eye(3)).volume == 0.0
