"""Errors planted into a joint, just beyond its slack and just within it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.panel import Frame
from dryfit.shapes.profile import Loop, Profile
from tests.helpers.boxes import PLACES, build, triple
from tests.helpers.flanks import places
from tests.helpers.oracle import frame_of, in_place, reach_of

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Wish
    from dryfit.parts.part import Part
    from tests.helpers.boxes import Built


class Fault(StrEnum):
    """What went wrong at the bench."""

    FINGER = "finger"
    """One flank stands out of its finger."""
    SHIFT = "shift"
    """Every flank of one joint is marked out from the wrong end."""
    FAT = "fat"
    """Every finger and every socket of one part is off at both flanks."""
    THICKNESS = "thickness"
    """The wood is thicker than what was measured."""
    SHOULDER = "shoulder"
    """One side's sockets are not as deep as the mate is thick."""


@dataclass(frozen=True)
class Spot:
    """Where a fault is planted: one part at one joint, and which of its flanks."""

    joint: Joint
    name: str
    flank: int = 0

    @property
    def mate(self) -> str:
        return self.joint.other(self.name)


def air(fault: Fault, joint: Joint) -> float:
    """What the joint forgives of a fault: its air at the flanks, nothing at the shoulder. [mm]"""
    return 0.0 if fault in (Fault.THICKNESS, Fault.SHOULDER) else joint.flank_gap


def planted(built: Built, spot: Spot, fault: Fault, error: float) -> Built:
    """The piece with one part off by an error. [mm]"""
    part = built.part(spot.name)
    if fault is Fault.FAT:
        return built.with_part(_fat(built, spot.name, error))
    if fault is Fault.THICKNESS:
        return built.with_part(thicker(part, error))
    if fault is Fault.SHOULDER:
        return built.with_part(_shallow(part, built, spot, error))
    edges = places(part, built.part(spot.mate), built.span_of(spot.joint))
    if fault is Fault.SHIFT:
        return built.with_part(_moved(part, dict.fromkeys(edges, error), _along(part, spot, built)))
    edge = edges[spot.flank % len(edges)]
    return built.with_part(_moved(part, {edge: error}))


def _fat(built: Built, name: str, error: float) -> Part:
    """The part as it comes out when each of its flanks recedes too little, by any route."""

    def tighter(wish: Wish) -> Wish:
        gap = built.piece.wish.flank_gap if wish.flank_gap is None else wish.flank_gap
        assert gap is not None
        return replace(wish, flank_gap=gap - 2 * error)

    wishes = {pair: tighter(wish) for pair, wish in built.piece.wishes.items()}
    piece = replace(built.piece, wish=tighter(built.piece.wish), wishes=wishes)
    return build(piece, built.cutter).part(name)


def _shallow(part: Part, built: Built, spot: Spot, error: float) -> Part:
    """One shoulder raised out of its wood."""
    across = np.abs(frame_of(built.part(spot.mate).panel)[1][2])
    points = in_place(part) @ across
    own = reach_of(part.panel)
    near = [
        edge
        for flank in places(part, built.part(spot.mate), built.span_of(spot.joint))
        for edge in ((flank - 1) % len(points), (flank + 1) % len(points))
    ]
    # Of the two edges beside a flank, a tip and a shoulder, the shoulder lies deeper in the reach.
    middle = (own[0] + own[1]) @ across / 2
    depth = {edge: abs(points[edge] - middle) for edge in near}
    shoulders = [edge for edge in near if depth[edge] < max(depth.values()) - 1]
    return _moved(part, {shoulders[spot.flank % len(shoulders)]: error})


def thicker(part: Part, error: float) -> Part:
    """A part whose wood is thicker on the inside of the box. [mm]"""
    return replace(part, panel=thicker_panel(part.panel, error))


def thicker_panel(panel: Panel, error: float) -> Panel:
    """The panel thicker on the inside of the box; its reach outside stays. [mm]"""
    stock = replace(panel.stock, nominal=panel.thickness + error, readings=())
    origin, rows = frame_of(panel)
    axis, at_high = PLACES[panel.name]
    outward = (rows[2, axis] > 0) == at_high
    if outward:
        origin = origin - error * rows[2]
    frame = Frame(triple(origin), panel.frame.u, panel.frame.v, panel.frame.n)
    return replace(panel, stock=stock, frame=frame)


def _along(part: Part, spot: Spot, built: Built) -> np.ndarray:
    """The corner's own direction in the part's (u, v)."""
    normals = [frame_of(built.part(name).panel)[1][2] for name in (spot.name, spot.mate)]
    return np.asarray(frame_of(part.panel)[1][:2] @ np.abs(np.cross(*normals)))


def _moved(part: Part, errors: dict[int, float], way: np.ndarray | None = None) -> Part:
    """Flanks moved along the corner: out of their own wood, or all the same way. [mm]"""
    vertices = part.as_cut.outer.vertices.copy()
    for k, error in errors.items():
        after = (k + 1) % len(vertices)
        on = vertices[after, :2] - vertices[k, :2]
        # The wood lies left of travel, so out of it is to the right.
        away = np.array([on[1], -on[0]]) / np.hypot(*on) if way is None else way
        vertices[[k, after], :2] += error * away
    return replace(part, as_cut=Profile(Loop(vertices), part.as_cut.holes))
