"""Corners at any angle, found from the panels' outer faces.

Two panels meet in a corner where the polygons of their outsides, face b, share a stretch of edge
that they run along in opposite senses and the piece bends away from it. The angle follows from
their normals. One rule serves walls that meet walls at any angle, leaning walls, and bases of any
number of sides; panels square to one another that touch no such corner are left to the lattices
of :mod:`dryfit.model.meeting`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.errors import SizeError
from dryfit.shapes.cells import overlapping_pairs
from dryfit.shapes.tolerances import EDGE, PARALLEL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]

_TURN = 1e-7
"""Edges of outlines and normals of panels that differ by less run on without a corner. [rad]"""


@dataclass(frozen=True, slots=True)
class AngledCorner:
    """Two panels that share an outer edge.

    Parameters
    ----------
    a, b : int
        The panels' indices, a < b.
    sides : pair of int
        Which side of each panel's outline the edge lies on. [-]
    low, high : pair of float
        Where the shared stretch begins and ends along a's side and along b's. The two sides run
        against each other: where the stretch begins on the one, it ends on the other. [mm]
    angle : float
        Inside the piece, between the inner faces. [rad]
    """

    a: int
    b: int
    sides: tuple[int, int]
    low: tuple[float, float]
    high: tuple[float, float]
    angle: float

    @property
    def length(self) -> float:
        """Length of the shared edge. [mm]"""
        return self.high[0] - self.low[0]


@dataclass(frozen=True, eq=False)
class Edges:
    """The sides of every panel's outside in the piece, one row a side.

    Parameters
    ----------
    panel, side : array, shape (k,)
        Whose side it is, and which. [-]
    begin : array, shape (k, 3)
        Where it begins. [mm]
    along, out : array, shape (k, 3)
        Unit vectors along it, and away from the panel in the panel's plane. [-]
    normal : array, shape (k, 3)
        The panel's normal. [-]
    length : array, shape (k,)
        Its length. [mm]
    """

    panel: npt.NDArray[np.intp]
    side: npt.NDArray[np.intp]
    begin: FloatArray
    along: FloatArray
    out: FloatArray
    normal: FloatArray
    length: FloatArray


def find_angled(
    panels: Sequence[Panel], lattice_of: Sequence[int]
) -> tuple[tuple[AngledCorner, ...], frozenset[int]]:
    """The corners at any angle, and the panels that take part in them.

    Parameters
    ----------
    panels : sequence of Panel
        The panels of the piece.
    lattice_of : sequence of int
        The lattice of each panel: panels of one number are square to each other. [-]

    Returns
    -------
    tuple of AngledCorner
        In the order of the piece. Where a panel has one such corner, all panels that hang together
        with it by outer edges are planned in this way, their square corners too.
    frozenset of int
        The panels to be kept out of the lattices: those, and every panel with an outline.

    Raises
    ------
    SizeError
        If an outline is not convex and counter-clockwise, or leaves the box of its panel.
    """
    outlined = {index for index, panel in enumerate(panels) if panel.outline}
    if not outlined and len(set(lattice_of)) < 2:
        return (), frozenset()
    for index in outlined:
        check_outline(panels[index])
    corners = _shared_edges(outer_edges(panels))
    seeds = outlined | {
        panel for c in corners if lattice_of[c.a] != lattice_of[c.b] for panel in (c.a, c.b)
    }
    members = _hanging_together(corners, seeds)
    return tuple(c for c in corners if c.a in members), frozenset(members)


def check_outline(panel: Panel) -> None:
    """Refuse an outline that no part can be made from.

    Raises
    ------
    SizeError
        If it is not convex and counter-clockwise, or leaves the box of its panel.
    """
    points = np.array(panel.corners)
    path = ("panel", panel.name, "outline")
    if len(points) < 3:
        raise SizeError(
            f"the outline of {panel.name} has {len(points)} corners; give 3 or more", path
        )
    onward = np.roll(points, -1, axis=0) - points
    before = np.roll(onward, 1, axis=0)
    turn = before[:, 0] * onward[:, 1] - before[:, 1] * onward[:, 0]
    total = np.arctan2(turn, (before * onward).sum(axis=1)).sum()
    wrong = np.flatnonzero(turn <= _TURN * np.hypot(*before.T) * np.hypot(*onward.T))
    if len(wrong) or abs(total - 2 * math.pi) > 1e-6:
        number = int(wrong[0]) + 1 if len(wrong) else 1
        raise SizeError(
            f"the outline of {panel.name} does not turn left at corner {number}; list its corners "
            "counter-clockwise as seen from outside, without hollows",
            path,
        )
    off = max(-points.min(), *(points.max(axis=0) - (panel.width, panel.height)))
    if off > EDGE:
        raise SizeError(
            f"the outline of {panel.name} lies {off:.3f} mm outside its width and height; make "
            "them the box round the outline",
            path,
        )


def outer_edges(panels: Sequence[Panel]) -> Edges:
    """The sides of every panel's outside, in the order of the panels and counter-clockwise."""
    counts = [len(panel.corners) for panel in panels]
    owner = np.repeat(np.arange(len(panels)), counts)
    side = np.concatenate([np.arange(count) for count in counts])
    flat = np.concatenate([np.array(panel.corners) for panel in panels])
    after = np.concatenate([np.roll(panel.corners, -1, axis=0) for panel in panels])
    frames = np.array([(p.frame.u, p.frame.v, p.frame.n) for p in panels])[owner]
    outside = np.array([
        np.add(p.frame.origin, p.thickness * np.array(p.frame.n)) for p in panels
    ])[owner]  # fmt: skip
    begin = outside + np.einsum("ki,kij->kj", flat, frames[:, :2])
    onward = np.einsum("ki,kij->kj", after - flat, frames[:, :2])
    length = np.linalg.norm(onward, axis=1)
    along = onward / length[:, None]
    normal = frames[:, 2]
    return Edges(owner, side, begin, along, np.cross(along, normal), normal, length)


def _shared_edges(edges: Edges) -> list[AngledCorner]:
    """Every pair of sides that share a stretch of edge at which the piece bends away."""
    finish = edges.begin + edges.along * edges.length[:, None]
    low, high = np.minimum(edges.begin, finish), np.maximum(edges.begin, finish)
    pairs = overlapping_pairs(low - EDGE, high + EDGE)
    i, j = pairs[edges.panel[pairs[:, 0]] != edges.panel[pairs[:, 1]]].T
    opposite = np.linalg.norm(edges.along[i] + edges.along[j], axis=1) * edges.length[j] < EDGE
    between = edges.begin[j] - edges.begin[i]
    # j runs against i: it ends where its own length has been taken off its beginning.
    high_i = (between * edges.along[i]).sum(axis=1)
    off = np.linalg.norm(between - high_i[:, None] * edges.along[i], axis=1)
    begins = np.maximum(high_i - edges.length[j], 0.0)
    ends = np.minimum(high_i, edges.length[i])
    bends = (edges.normal[j] * edges.out[i]).sum(axis=1)
    meets = opposite & (off < EDGE) & (ends - begins > EDGE) & (bends > PARALLEL)
    found = [
        _corner(edges, int(i[k]), int(j[k]), (float(begins[k]), float(ends[k])), float(high_i[k]))
        for k in np.flatnonzero(meets)
    ]
    return sorted(found, key=lambda corner: (corner.a, corner.b))


def _corner(edges: Edges, i: int, j: int, stretch: tuple[float, float], top: float) -> AngledCorner:
    """The corner along a stretch of side i; side j begins at `top` along i and runs back. [mm]"""
    begin, end = _snapped(*stretch, float(edges.length[i]))
    first, last = _snapped(top - end, top - begin, float(edges.length[j]))
    normals = edges.normal[i], edges.normal[j]
    turn = math.atan2(float(np.linalg.norm(np.cross(*normals))), float(normals[0] @ normals[1]))
    corner = AngledCorner(
        int(edges.panel[i]), int(edges.panel[j]), (int(edges.side[i]), int(edges.side[j])),
        (begin, first), (end, last), math.pi - turn,
    )  # fmt: skip
    return corner if corner.a < corner.b else _swapped(corner)


def _snapped(low: float, high: float, length: float) -> tuple[float, float]:
    """A stretch of a side, its ends laid on the side's own where they are the same."""
    return (0.0 if abs(low) < EDGE else low), (length if abs(high - length) < EDGE else high)


def _swapped(corner: AngledCorner) -> AngledCorner:
    """The same corner seen from its other panel."""
    return AngledCorner(
        corner.b, corner.a, corner.sides[::-1], corner.low[::-1], corner.high[::-1], corner.angle
    )


def _hanging_together(corners: Sequence[AngledCorner], seeds: set[int]) -> set[int]:
    """The seeds, and every panel that is joined to one by outer edges, over any number."""
    mates: dict[int, set[int]] = defaultdict(set)
    for corner in corners:
        mates[corner.a].add(corner.b)
        mates[corner.b].add(corner.a)
    members, ahead = set(seeds), list(seeds)
    while ahead:
        for mate in mates[ahead.pop()] - members:
            members.add(mate)
            ahead.append(mate)
    return members


def share_space(one: Panel, other: Panel) -> bool:
    """Whether the reaches of two panels share space, by separating axes."""
    (points, axes, sides), (others, more, edges) = _prism(one), _prism(other)
    crosses = np.cross(sides[:, None, :], edges[None, :, :]).reshape(-1, 3)
    lengths = np.linalg.norm(crosses, axis=1)
    keep = lengths > PARALLEL
    candidates = np.concatenate((axes, more, crosses[keep] / lengths[keep, None]))
    mine, theirs = points @ candidates.T, others @ candidates.T
    apart = np.maximum(mine.min(axis=0) - theirs.max(axis=0), theirs.min(axis=0) - mine.max(axis=0))
    return bool(apart.max() < -EDGE)


def _prism(panel: Panel) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Corners of a reach [mm], the normals of its faces, and the directions of its edges."""
    edges, normal = outer_edges([panel]), np.array(panel.frame.n)
    inside = edges.begin - panel.thickness * normal
    return (
        np.concatenate((inside, edges.begin)),
        np.concatenate((normal[None], edges.out)),
        np.concatenate((normal[None], edges.along)),
    )
