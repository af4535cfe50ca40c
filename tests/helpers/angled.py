"""Trays with angled corners for tests, and the space that their parts ought to fill.

The oracle cuts half-spaces with manifold3d, from the panels' planes and the places of the plans
alone; it knows neither outlines of parts nor how levels are reckoned. Bevelled, every panel fills
its slab up to its mates' outer faces where it has a finger and up to their inner faces where it has
none; square-cut it stays short of that by what lies beyond a plane square to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold, OpType

from dryfit.joints.angled import lay_out
from dryfit.model.forms import many_sided, splayed
from dryfit.model.forms.leaning import Sheets, Wall, base_of, wall_of
from dryfit.model.panel import Frame, Panel
from dryfit.model.piece import Piece, Wish
from dryfit.parts.askew import fit_angled
from tests.helpers.boxes import BARE, stock, triple
from tests.helpers.oracle import frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.helpers.boxes import Built

FAR = 1e4


def polygon_tray(
    sides: int, across: float = 300.0, height: float = 80.0, walls: float = 9.0,
    base: float = 9.0, wish: Wish = BARE,
) -> Piece:  # fmt: skip
    """An upright tray; a base of no thickness is none."""
    sheets = Sheets(stock(walls), stock(base) if base else None)
    return Piece(many_sided.build(many_sided.ManySided(sides, height, sheets, across)), wish)


def splayed_tray(
    degrees: float, outside: tuple[float, float] = (300.0, 220.0), height: float = 80.0,
    walls: float = 9.0, base: float = 9.0, wish: Wish = BARE,
) -> Piece:  # fmt: skip
    sheets = Sheets(stock(walls), stock(base) if base else None)
    tray = splayed.Splayed(outside, height, math.radians(degrees), sheets)
    return Piece(splayed.build(tray), wish)


def closed(degrees: float, thick: float = 7.0) -> Piece:
    """A splayed tray with a lid on it, whose corners are sharp. [mm]"""
    tray = splayed_tray(degrees, base=6.0)
    frame = Frame((0.0, 0.0, 80.0 - thick), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return replace(tray, panels=(*tray.panels, Panel("lid", frame, 300.0, 220.0, stock(thick))))


def house() -> Piece:
    """Five upright walls on an uneven base: two corners are square, three are not."""
    ground = [(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (100.0, 190.0), (0.0, 100.0)]
    sheets = Sheets(stock(9.0), stock(6.0))
    walls = [
        wall_of(Wall(f"wall {k + 1}", ground[k], ground[(k + 1) % 5], 60.0), sheets)
        for k in range(5)
    ]
    return Piece((*walls, base_of(ground, sheets)), BARE)


def with_thicknesses(piece: Piece, thicknesses: Sequence[float]) -> Piece:
    """The walls cut from stock of several thicknesses in turn; their outsides stay."""
    panels = tuple(
        panel if panel.name == "base" else thickened(panel, thicknesses[k % len(thicknesses)])
        for k, panel in enumerate(piece.panels)
    )
    return replace(piece, panels=panels)


def thickened(panel: Panel, thickness: float) -> Panel:
    origin, rows = frame_of(panel)
    origin = origin + (panel.thickness - thickness) * rows[2]
    frame = Frame(triple(origin), panel.frame.u, panel.frame.v, panel.frame.n)
    return replace(panel, frame=frame, stock=stock(thickness))


def deepest(built: Built) -> float:
    """Deepest penetration of any pair. [mm]"""
    touches = (*built.fit(), *fit_angled(built.piece, built.plans, built.parts))
    return max((touch.penetration for touch in touches), default=0.0)


@dataclass(frozen=True)
class Half:
    """The half of space where x · normal <= offset."""

    normal: np.ndarray
    offset: float

    @property
    def other(self) -> Half:
        return Half(-self.normal, -self.offset)


def cut(body: Manifold, *halves: Half) -> Manifold:
    for half in halves:
        body = body.trim_by_plane(tuple((-half.normal).tolist()), -half.offset)
    return body


def outside(panel: Panel) -> Half:
    origin, rows = frame_of(panel)
    return Half(rows[2], float(origin @ rows[2]) + panel.thickness)


def inside(panel: Panel) -> Half:
    """The side of a panel's inner face that lies within the piece."""
    whole = outside(panel)
    return Half(whole.normal, whole.offset - panel.thickness)


@dataclass(frozen=True)
class Division:
    """A division on one side of a panel: whose it is, where it runs, where a square cut lies."""

    side: int
    mate: Panel
    own: bool
    span: tuple[Half, Half]
    square: Half
    at_end: tuple[bool, bool]


def divisions(built: Built, index: int) -> list[Division]:
    """All divisions round one panel, those at the ends running on without limit."""
    panels, found = built.piece.panels, []
    joints = {(m.a, m.b): j for m, j in zip(built.plans.joined, built.plans.joints, strict=True)}
    for pair, run in lay_out(panels, built.meetings.angled).items():
        if index not in pair:
            continue
        joint, panel = joints[pair], panels[index]
        mate, side = panels[sum(pair) - index], run.corner.sides[index == pair[1]]
        begin, along = edge_of(panel, side)
        edges = joint.plan.boundaries
        for k in range(joint.plan.count):
            low, high, with_it = run.place(index, edges[k], edges[k + 1])
            first, last = k == 0, k == joint.plan.count - 1
            ends = (first, last) if with_it else (last, first)
            own = (k % 2 == 0) == (joint.lead == panel.name)
            low, high = (-FAR if ends[0] else low), (FAR if ends[1] else high)
            at = float(begin @ along)
            span = Half(-along, -at - low), Half(along, at + high)
            square = square_cut(panel, mate, begin, along, own)
            found.append(Division(side, mate, own, span, square, ends))
    return found


def square_cut(
    panel: Panel, mate: Panel, begin: np.ndarray, along: np.ndarray, own: bool
) -> Half:  # fmt: skip
    """The farthest cut square to a panel that enters nothing of its mate, or does not stand out."""
    out = np.cross(along, np.array(panel.frame.n))
    plane = outside(mate) if own else inside(mate)
    reach = []
    for depth in (0.0, panel.thickness):
        point = begin - depth * np.array(panel.frame.n)
        reach.append((plane.offset - point @ plane.normal) / (out @ plane.normal))
    return Half(out, float(begin @ out) + min(reach))


def edge_of(panel: Panel, side: int) -> tuple[np.ndarray, np.ndarray]:
    origin, rows = frame_of(panel)
    corners = np.array(panel.corners)
    points = origin + panel.thickness * rows[2] + corners @ rows[:2]
    onward = points[(side + 1) % len(points)] - points[side]
    return points[side], onward / np.linalg.norm(onward)


def bevelled_and_wedges(built: Built, index: int) -> tuple[Manifold, Manifold]:
    """What one panel fills when its edges are bevelled, and what a square cut leaves of that."""
    panel, around = built.piece.panels[index], divisions(built, index)
    origin, rows = frame_of(panel)
    low, high = np.array(panel.corners).min(axis=0) - 100, np.array(panel.corners).max(axis=0) + 100
    flat = np.array([(u, v) for u in (low[0], high[0]) for v in (low[1], high[1])]) @ rows[:2]
    lids = [origin + flat + height * rows[2] for height in (0.0, panel.thickness)]
    slab = Manifold.hull_points(np.concatenate(lids))
    met = {division.side: division.mate for division in around}
    for side in set(range(len(panel.corners))) - set(met):
        begin, along = edge_of(panel, side)
        out = np.cross(along, rows[2])
        slab = cut(slab, Half(out, float(begin @ out)))
    pieces = [cut(slab, *(inside(mate) for mate in met.values()))]
    own = [division for division in around if division.own]
    for one in own:
        rest = [inside(mate) for side, mate in met.items() if side != one.side]
        pieces.append(cut(slab, outside(one.mate), *one.span, *rest))
    count = len(panel.corners)
    for one in own:
        for two in own:
            if two.side == (one.side + 1) % count and one.at_end[1] and two.at_end[0]:
                rest = [inside(m) for side, m in met.items() if side not in (one.side, two.side)]
                halves = (outside(one.mate), outside(two.mate), *one.span, *two.span, *rest)
                pieces.append(cut(slab, *halves))
    wedges = [cut(piece, each.square.other, *each.span) for piece in pieces for each in around]
    return union(pieces), union(wedges)


def union(bodies: Sequence[Manifold]) -> Manifold:
    """Of bodies that are something: one that was cut away wholly would spoil the rest."""
    return Manifold.batch_boolean([body for body in bodies if body.volume() > 0], OpType.Add)
