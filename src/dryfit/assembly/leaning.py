"""Who stands in whose way where parts are not square to one another.

The parts are prisms on convex pieces of their shapes, and the ways are those along which a joint
can let go at all: square to a panel, along it and square to an edge at which it meets another,
along such an edge, and square to two of them at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.blocking import SLACK, Blocking, covering_boxes, covering_parts
from dryfit.assembly.bodies import Bodies
from dryfit.model.dihedrals import outer_edges
from dryfit.parts.layers import standing
from dryfit.shapes.convex import Prisms, convex_pieces, prisms_of, runs_into
from dryfit.shapes.tolerances import PARALLEL

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from dryfit.model.meeting import Meetings
    from dryfit.parts.part import Part

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

_SAME_WAY = 1e-6
"""Ways that differ by less are one. [rad]"""

_MOST_WAYS = 120
"""More ways than this are not looked at. [-]"""


@dataclass(frozen=True, eq=False)
class Leaning:
    """Parts at any angle: all their prisms, the largest of each, and the hull of each.

    `first` says where the prisms of each part begin, and where the last ones end.
    """

    pieces: Prisms
    cores: Prisms
    hulls: Prisms
    first: IntArray


def leaning_of(parts: Sequence[Part]) -> Leaning:
    """Parts as prisms on convex pieces."""
    rows = []
    hulls = []
    for number, part in enumerate(parts):
        frame = part.panel.frame
        place = np.array(frame.origin), np.array((frame.u, frame.v, frame.n))
        own = [
            (number, polygon, (layer.low, layer.high), place)
            for layer in part.layers
            for polygon in convex_pieces(standing(part.as_cut, layer.trenches))
        ]
        rows += sorted(own, key=lambda row: -float(np.prod(np.ptp(row[1], axis=0))))
        corners = np.concatenate([row[1] for row in own])
        hulls.append((number, _hull(corners), (0.0, part.thickness), place))
    pieces = _prisms(rows)
    first = np.searchsorted(pieces.owner, np.arange(len(parts) + 1))
    return Leaning(pieces, pieces.rows(first[:-1]), _prisms(hulls), first)


def _prisms(
    rows: Iterable[tuple[int, FloatArray, tuple[float, float], tuple[FloatArray, FloatArray]]],
) -> Prisms:
    owners, polygons, heights, frames = zip(*rows, strict=True)
    return prisms_of(owners, polygons, heights, frames)


def _hull(points: FloatArray) -> FloatArray:
    """The convex polygon round points, counter-clockwise. [mm]"""
    ordered = sorted({(round(x, 6), round(y, 6)) for x, y in points.tolist()})
    half: list[list[tuple[float, float]]] = []
    for run in (ordered, ordered[::-1]):
        chain: list[tuple[float, float]] = []
        for point in run:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        half.append(chain[:-1])
    return np.array(half[0] + half[1])


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def ways_of(parts: Sequence[Part], meetings: Meetings, *, every: bool = False) -> FloatArray:
    """Ways along which joints can let go, one of each two that run against each other.

    Parameters
    ----------
    parts : sequence of Part
        In the order of the piece.
    meetings : Meetings
        Where they meet.
    every : bool
        Whether those square to any two outer edges are among them.

    Returns
    -------
    array, shape (m, 3)
        Unit vectors; the upright one is the third. [-]
    """
    found: list[FloatArray] = list(np.eye(3))
    panels = [part.panel for part in parts]
    found += [np.array(axis) for p in panels for axis in (p.frame.n, p.frame.u, p.frame.v)]
    seams = []
    for corner in meetings.angled:
        for panel, side in zip((corner.a, corner.b), corner.sides, strict=True):
            edges = outer_edges([panels[panel]])
            seams.append(edges.along[side])
            found += [edges.along[side], edges.out[side]]
    if every:
        found += [np.cross(one, other) for one, other in combinations(_apart(seams), 2)]
    return np.array(_apart(found)[:_MOST_WAYS])


def _apart(vectors: Sequence[FloatArray]) -> list[FloatArray]:
    """Unit vectors along them, each line once, in the order given."""
    kept: list[FloatArray] = []
    for vector in vectors:
        length = float(np.linalg.norm(vector))
        if length <= PARALLEL:
            continue
        unit = vector / length
        if all(abs(abs(float(unit @ other)) - 1) > _SAME_WAY**2 / 2 for other in kept):
            kept.append(np.round(unit, 12) + 0.0)
    return kept


def leaning_blocking(body: Leaning, ways: FloatArray, slack: float = SLACK) -> Blocking:
    """Who hits whom along ways, parts at any angle.

    Parameters
    ----------
    body : Leaning
        The parts.
    ways : array, shape (m, 3)
        Unit vectors, one of each two that run against each other. [-]
    slack : float
        What two parts must share in every direction to be in each other's way. [mm]
    """
    ahead = np.array([_ahead(body, way, slack) for way in ways])
    return Blocking.of(ways, ahead)


def _ahead(body: Leaning, way: FloatArray, slack: float) -> BoolArray:
    """Who hits whom along one way, (n, n): of pieces that cover each other, those that do."""
    count = len(body.first) - 1
    turn = square_to(way)
    spots = body.pieces.corners @ turn.T
    boxes = Bodies(turn, body.pieces.owner, spots.min(axis=1), spots.max(axis=1), count)
    hits = np.zeros((count, count), dtype=bool)
    for i, j in covering_parts(boxes, 0, slack):
        one, other = np.concatenate((i, j)), np.concatenate((j, i))
        does = runs_into(body.cores.rows(one), body.cores.rows(other), way, slack)
        hits[one[does], other[does]] = True
        open_ = ~does
        open_[open_] = runs_into(
            body.hulls.rows(one[open_]), body.hulls.rows(other[open_]), way, slack
        )
        for p, q in covering_boxes(boxes, one[open_], other[open_], 0, slack):
            does = runs_into(body.pieces.rows(p), body.pieces.rows(q), way, slack)
            hits[boxes.owner[p[does]], boxes.owner[q[does]]] = True
    return hits


def square_to(way: FloatArray) -> FloatArray:
    """Three unit vectors square to one another, the way first; rows."""
    beside = np.eye(3)[np.abs(way).argmin()]
    second = np.cross(way, beside)
    second /= np.linalg.norm(second)
    return np.array((way, second, np.cross(way, second)))
