"""Loops cut where they meet: the pieces a boolean operation keeps or drops.

Vocabulary
----------
node
    A point where edges start, end, touch or cross; points nearer than
    :data:`dryfit.shapes.tolerances.SAME` are one node.
piece
    A line or an arc between two nodes that nothing else crosses. Edges that run over one
    another share their pieces, so a piece knows every profile it bounds, and on which side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes import arc, geos, meet
from dryfit.shapes.tolerances import COINCIDENT, SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.profile import Profile

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Pieces:
    """Pieces of many profiles.

    Parameters
    ----------
    nodes : array, shape (n, 2)
        The nodes. [mm]
    edges : array, shape (k, 5)
        Each piece as x0, y0, x1, y1, bulge. [mm]
    ends : array, shape (k, 2)
        The nodes at its two ends.
    carrier : array, shape (k, 3)
        Centre and radius of the circle it was cut from; nan for a line. [mm]
    bounds : array, shape (m, 3)
        Piece, profile, and 1 where the profile lies to the left of the piece, -1 to its right.
    """

    nodes: FloatArray
    edges: FloatArray
    ends: IntArray
    carrier: FloatArray
    bounds: IntArray


def cut(profiles: Sequence[Profile]) -> Pieces:
    """Cut the loops of all profiles where they meet."""
    edges = np.concatenate([profile.edges for profile in profiles])
    owner = np.repeat(np.arange(len(profiles)), [len(profile.edges) for profile in profiles])
    first, second = geos.box_pairs(_boxes(edges), SAME)
    apart = owner[first] != owner[second]
    which, points = meet.meetings(edges, first[apart], second[apart])
    nodes, node = _clustered(np.concatenate((edges[:, :2], edges[:, 2:4], points)), SAME)
    edge, places, at = _stops(edges, which, points, node)
    return _shared(edges, owner, nodes, edge, places, at)


def _boxes(edges: FloatArray) -> FloatArray:
    low = np.minimum(edges[:, :2], edges[:, 2:4])
    boxes = np.column_stack((low, np.maximum(edges[:, :2], edges[:, 2:4])))
    bent = edges[:, 4] != 0
    if bent.any():
        boxes[bent] = arc.extremes(edges[bent])
    return boxes


def _clustered(points: FloatArray, near: float) -> tuple[FloatArray, IntArray]:
    """Nodes, and the node of every point; a node keeps the coordinates of its first point."""
    packed = np.ascontiguousarray(points + 0.0).view(np.complex128).ravel()
    _, firsts, which = np.unique(packed, return_index=True, return_inverse=True)
    lead = np.arange(len(firsts))
    for a, b in zip(*geos.close_pairs(points[firsts], near), strict=True):
        one, other = _root(lead, a), _root(lead, b)
        early, late = (one, other) if firsts[one] < firsts[other] else (other, one)
        lead[late] = early
    roots = np.array([_root(lead, k) for k in range(len(lead))], dtype=np.intp)
    kept, node = np.unique(roots, return_inverse=True)
    return points[firsts[kept]], node[which]


def _root(lead: IntArray, k: int) -> int:
    while lead[k] != k:
        k = int(lead[k])
    return k


def _stops(
    edges: FloatArray, which: IntArray, points: FloatArray, node: IntArray
) -> tuple[IntArray, FloatArray, IntArray]:
    """Edge, share along it and node of every stop, in order along every edge."""
    count = len(edges)
    edge = np.concatenate((np.arange(count), np.arange(count), which))
    place = np.clip(meet.share(edges[which], points), 0.0, 1.0)
    place = np.concatenate((np.zeros(count), np.ones(count), place))
    rank = np.concatenate((np.zeros(count), np.full(count, 2), np.ones(len(which))))
    order = np.lexsort((place, rank, edge))
    edge, place, node = edge[order], place[order], node[order]
    fresh = np.ones(len(edge), dtype=bool)
    fresh[1:] = (edge[1:] != edge[:-1]) | (node[1:] != node[:-1])
    return edge[fresh], place[fresh], node[fresh]


def _shared(
    edges: FloatArray,
    owner: IntArray,
    nodes: FloatArray,
    edge: IntArray,
    place: FloatArray,
    node: IntArray,
) -> Pieces:
    """Pieces between consecutive stops, those that run over one another made one."""
    step = np.nonzero(edge[1:] == edge[:-1])[0]
    source, a, b = edge[step], node[step], node[step + 1]
    bulge = edges[source, 4].copy()
    split = (place[step] > 0) | (place[step + 1] < 1)
    turn = arc.included_angle(edges[source[split]]) * (place[step + 1] - place[step])[split]
    bulge[split] = np.tan(turn / 4)
    side = np.where(a < b, 1, -1)
    low, high = np.minimum(a, b), np.maximum(a, b)
    chord = np.hypot(*(nodes[high] - nodes[low]).T)
    bow = side * bulge * chord / 2
    order = np.lexsort((bow, high, low))
    new = np.ones(len(order), dtype=bool)
    low_o, high_o, bow_o = low[order], high[order], bow[order]
    new[1:] = (np.diff(low_o) != 0) | (np.diff(high_o) != 0) | (np.diff(bow_o) > COINCIDENT)
    piece = np.empty(len(order), dtype=np.intp)
    piece[order] = np.cumsum(new) - 1
    kept = order[new]
    made = np.column_stack((nodes[low[kept]], nodes[high[kept]], (side * bulge)[kept]))
    return Pieces(
        nodes,
        made,
        np.column_stack((low[kept], high[kept])),
        _carriers(edges[source[kept]]),
        np.column_stack((piece, owner[source], side)),
    )


def _carriers(edges: FloatArray) -> FloatArray:
    circles = np.full((len(edges), 3), np.nan)
    bent = edges[:, 4] != 0
    circles[bent, :2] = arc.centre(edges[bent])
    circles[bent, 2] = arc.radius(edges[bent])
    return circles
