"""Boards with trenches for tests, what their faces add up to, and the same board as a solid.

The solid is carved by a boolean kernel, which knows nothing of layers, levels and walls.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import manifold3d
import numpy as np

from dryfit.drafting.prism import Side, sides
from dryfit.model.panel import Face, Frame, Panel
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.shapes.profile import Loop, Profile
from tests.helpers.boxes import stock

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
Ditch = tuple[tuple[float, float, float, float], str, float]
"""A trench: low u, low v, high u, high v [mm], the face, and the depth [mm]."""


def board(
    outline: Sequence[Sequence[float]],
    trenches: Iterable[Ditch] = (),
    holes: tuple[Loop, ...] = (),
    thickness: float = 10.0,
    frame: Frame = FLAT,
) -> Part:
    """A board cut along an outline, with trenches; holes run clockwise. [mm]"""
    profile = Profile(Loop.of(outline), holes)
    x0, y0, x1, y1 = profile.bounds
    panel = Panel("board", frame, x1 - x0, y1 - y0, stock(thickness))
    cuts = [Cut(Purpose.OUTLINE, profile, Face.B, 0.0, thickness)]
    cuts += [
        Cut(Purpose.TRENCH, Profile.rectangle(*where), Face(face), 0.0, depth)
        for where, face, depth in trenches
    ]
    return Part(panel, tuple(cuts), profile, "board")


def oblong(width: float, height: float) -> list[tuple[float, float]]:
    """Corners of an upright rectangle. [mm]"""
    return [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]


def areas(solid: Iterable[Side]) -> list[float]:
    """Area of every face, smallest first. [mm²]"""
    return sorted(float(np.linalg.norm(vector(side))) for side in solid)


def vector(side: Side) -> np.ndarray:
    """The area of a face along its normal, holes taken off. [mm²]"""
    return np.asarray(sum(_spread(loop) for loop in side.face.loops) / 2)


def _spread(loop: np.ndarray) -> np.ndarray:
    corners = loop - loop[0]
    return np.asarray(np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0))


def enclosed(solid: Iterable[Side]) -> float:
    """Volume that faces enclose, by the divergence theorem. [mm³]"""
    return sum(float(side.face.loops[0][0] @ vector(side)) / 3 for side in solid)


def edges(solid: Iterable[Side]) -> tuple[float, float]:
    """Length of all edges of all faces, and of those that are real. [mm]"""
    total = real = 0.0
    for side in solid:
        for k, loop in enumerate(side.face.loops):
            length = np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1)
            inked = side.face.inked[k] if side.face.inked else np.ones(len(loop), dtype=bool)
            total, real = total + float(length.sum()), real + float(length[inked].sum())
    return total, real


def carved(part: Part, chord: float = 0.02) -> manifold3d.Manifold:
    """The as-cut part by a boolean solid kernel, arcs as the same chords [mm]."""
    loops = [loop.dense(chord) for loop in part.as_cut.loops]
    body = manifold3d.Manifold.extrude(manifold3d.CrossSection(loops), part.thickness)
    for cut in part.cuts_for(Purpose.TRENCH):
        floor = manifold3d.CrossSection([cut.profile.outer.dense(chord)])
        low = cut.depth_from if cut.face is Face.A else part.thickness - cut.depth_to
        ditch = manifold3d.Manifold.extrude(floor, cut.depth_to - cut.depth_from)
        body -= ditch.translate([0, 0, low])
    return body


def closed(part: Part) -> list[Side]:
    """The faces of a part, once they are known to close and to enclose its volume."""
    solid = list(sides(part, 0))
    areas_out = np.array([vector(side) for side in solid])
    assert np.abs(areas_out.sum(axis=0)).max() < 1e-6
    assert all(side.normal @ out > 0 for side, out in zip(solid, areas_out, strict=True))
    return solid
