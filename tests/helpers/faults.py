"""Errors planted into a joint, just beyond its slack and just within it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.piece import Wish
from dryfit.shapes.profile import Loop, Profile
from tests.helpers.boxes import HAND, box, build

if TYPE_CHECKING:
    from dryfit.parts.part import Part
    from tests.helpers.boxes import Built

BEYOND = 0.02
"""How far a planted error lies beyond the slack, or within it. [mm]"""

KINDS = ("flank", "thickness", "shift")


def pair(rng: np.random.Generator) -> tuple[Built, float]:
    """A corner cut square, and the air at its flanks [mm].

    Three divisions or more: with two, a shift one way only opens the one flank.
    """
    gap = float(rng.uniform(0.03, 0.2))
    wish = Wish(count=int(rng.integers(3, 12)), flank_gap=gap, proud=0.0)
    sizes = (150.0, 150.0, float(rng.uniform(80.0, 200.0)))
    thick = {"front": float(rng.uniform(4.0, 18.0)), "left": float(rng.uniform(4.0, 18.0))}
    return build(box(sizes, ("front", "left"), thick, wish=wish), HAND), gap


def plant(rng: np.random.Generator) -> tuple[float, float]:
    """Penetration with an error beyond the slack, and with one within it. [mm]"""
    made, gap = pair(rng)
    kind = KINDS[int(rng.integers(len(KINDS)))]
    slack = 0.0 if kind == "thickness" else gap
    beyond, within = slack + BEYOND, max(slack - BEYOND, 0.0)
    part = made.parts[int(rng.integers(2))]
    flank = int(rng.integers(1 << 16))
    found = [
        made.with_part(wronged(part, kind, error, flank)).deepest for error in (beyond, within)
    ]
    return found[0], found[1]


def wronged(part: Part, kind: str, error: float, flank: int) -> Part:
    """A part with one flank, every flank or its thickness off by an error. [mm]"""
    if kind == "thickness":
        stock = replace(part.panel.stock, nominal=part.thickness + error, readings=())
        return replace(part, panel=replace(part.panel, stock=stock))
    edges = flanks(part)
    if kind == "shift":
        return replace(part, as_cut=moved(part, dict.fromkeys(edges, error), outward=False))
    chosen = edges[flank % len(edges)]
    return replace(part, as_cut=moved(part, {chosen: error}, outward=True))


def flanks(part: Part) -> list[int]:
    """Edges square to the corner (which runs along z) that lie between its ends, by number."""
    z = np.array((part.panel.frame.u[2], part.panel.frame.v[2]))
    points = part.as_cut.outer.vertices[:, :2]
    height = points @ z
    level = np.abs(np.roll(height, -1) - height) < 1e-9
    between = (height > height.min() + 1e-6) & (height < height.max() - 1e-6)
    return np.flatnonzero(level & between).tolist()


def moved(part: Part, errors: dict[int, float], *, outward: bool) -> Profile:
    """Flanks moved along the corner: out of their own wood, or all the same way. [mm]"""
    z = np.array((part.panel.frame.u[2], part.panel.frame.v[2]))
    vertices = part.as_cut.outer.vertices.copy()
    for k, error in errors.items():
        after = (k + 1) % len(vertices)
        way = vertices[after, :2] - vertices[k, :2]
        # The wood lies left of travel, so out of it is to the right.
        away = np.array([way[1], -way[0]]) / np.hypot(*way) if outward else z
        vertices[[k, after], :2] += error * away
    return Profile(Loop(vertices))
