"""A small tray with dividers let into it, to be written as a model and read back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.bodies import bodies_of
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Piece, Wish
from dryfit.parts.part import Purpose
from tests.helpers.boxes import HAND, TRAY, box, build, slab

if TYPE_CHECKING:
    from dryfit.pages.body import Body
    from dryfit.parts.part import Part

CHORD = 0.01
RADIUS = 1.5875
ROUTER = Cutter(Route.ROUTER, 2 * RADIUS, Relief.DIAGONAL)
CUTTERS = {"hand": HAND, "router": ROUTER}
ODD_NAMES = (
    "front & <b>'back'</b>",
    "front\x00\x1b[31m & b'back'b",
    "ארגז 前板 Öl",
    "\u202e\x07",
    "",
)
PLAIN_NAMES = ("front & b'back'/b", "front31m & b'back'b", "ארגז 前板 Öl", "part", "part-2")


def parts(cutter: Cutter) -> tuple[Part, ...]:
    """Trenches 4 mm deep take the dividers. [mm]"""
    tray = box((121.3, 90.7, 60.1), TRAY, 9.0, wish=Wish(width=12, flank_gap=0.1))
    inside = (
        slab("long", (5, 40, 5), (116.3, 46, 50), 1, rank=3),
        slab("across", (60, 5, 5), (66, 85.7, 50), 0, rank=3),
    )
    return build(Piece((*tray.panels, *inside), tray.wish), cutter).parts


def bodies(cutter: Cutter) -> tuple[Body, ...]:
    return bodies_of(parts(cutter), CHORD)


def oddly_named() -> tuple[Body, ...]:
    return tuple(
        replace(body, name=name, stock=name)
        for body, name in zip(bodies(HAND), ODD_NAMES, strict=False)
    )


def corners(part: Part) -> np.ndarray:
    """Lowest and highest coordinates of an as-cut part, from its profile alone. [mm]"""
    frame, (u0, v0, u1, v1) = part.panel.frame, part.as_cut.bounds
    axes = np.array((frame.u, frame.v, frame.n))
    ends = np.array(((u0, v0, 0.0), (u1, v1, part.thickness))) @ axes + frame.origin
    return np.sort(ends, axis=0)


def curved(part: Part) -> float:
    """Area of a part's curved walls, so that times two thirds of a chord it bounds a volume."""
    edges = [part.as_cut.edges, *(cut.profile.edges for cut in part.cuts_for(Purpose.TRENCH))]
    bent = sum(int(np.count_nonzero(each[:, 4])) for each in edges)
    return float(np.pi * RADIUS * bent * part.thickness)
