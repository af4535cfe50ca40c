"""A plate with trenches in its faces: a solid of steps, and the flat faces that bound it.

Vocabulary
----------
layer
    A slice of the plate between two heights in which nothing begins or ends.
level
    A face square to the heights: what is left of the plate's own faces, and the trenches' floors.
wall
    A face along the heights. It runs on from layer to layer, and along its line from piece to
    piece, as one face, so a trench that runs out at an edge is a notch in the wall there.

The outlines are cut where they meet, once for all layers. What lies on either side of a piece in
each layer then says where walls stand, and what lies under and over a height, where levels do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes import trace
from dryfit.shapes.boolean import arranged, bounded
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.shapes.pieces import Pieces
    from dryfit.shapes.profile import Loop, Profile

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Trench:
    """What is gone of some layers.

    Parameters
    ----------
    profile : Profile
        Its outline, straight edges only. [mm]
    layers : array of bool, shape (m,)
        The layers that it crosses.
    """

    profile: Profile
    layers: BoolArray


@dataclass(frozen=True, eq=False)
class Level:
    """A level at a height [mm] that looks up or down."""

    profile: Profile
    height: float
    up: bool


@dataclass(frozen=True, eq=False)
class Wall:
    """A wall in its own plane: s along its line, and the height.

    Parameters
    ----------
    start : array, shape (2,)
        Where s is 0. [mm]
    way : array, shape (2,)
        Unit vector along the line; the wood lies to the left of it. [-]
    profile : Profile
        The wall in (s, height), counter-clockwise seen from outside. [mm]
    inked : tuple of arrays of bool
        For each loop of the profile, whether the edge that leaves a vertex is a real one.
    """

    start: FloatArray
    way: FloatArray
    profile: Profile
    inked: tuple[BoolArray, ...]


@dataclass(frozen=True, eq=False)
class _Edges:
    """Pieces with the wood to their left: nodes they start and end at, layers they stand in."""

    nodes: FloatArray
    start: IntArray
    end: IntArray
    layers: BoolArray
    outer: BoolArray


def stepped(
    plate: Profile, heights: FloatArray, trenches: Sequence[Trench], seams: FloatArray
) -> tuple[list[Level], list[Wall]]:
    """The faces of a plate with trenches.

    Parameters
    ----------
    plate : Profile
        The plate's outline, straight edges only. [mm]
    heights : array, shape (m + 1,)
        Where its m layers begin and end, rising. [mm]
    trenches : sequence of Trench
        What is gone. They may meet, cross and run out of the plate.
    seams : array, shape (q, 2)
        Vertices of the plate at which its wall runs on smoothly. [mm]

    Raises
    ------
    ShapeError
        If the outlines cannot be told apart.
    """
    kinds = sorted({tuple(trench.layers.tolist()) for trench in trenches})
    groups = [[t.profile for t in trenches if tuple(t.layers.tolist()) == kind] for kind in kinds]
    pieces, left, right = arranged([[plate], *groups])
    wood_left, wood_right = (_standing(count, kinds, len(heights) - 1) for count in (left, right))
    edges = _edges(pieces, wood_left, wood_right)
    smooth = _smooth(edges, seams)
    walls = [wall for chain in _chains(edges) for wall in _walls(edges, chain, heights, smooth)]
    return list(_levels(pieces, wood_left, wood_right, heights)), walls


def _standing(count: IntArray, kinds: Sequence[tuple[bool, ...]], layers: int) -> BoolArray:
    """Whether there is wood on a side of each piece in each layer; (k, m)."""
    wood = np.repeat(count[:, :1] > 0, layers, axis=1)
    for kind, gone in zip(kinds, count[:, 1:].T, strict=True):
        wood &= ~((gone > 0)[:, None] & np.array(kind))
    return wood


def _levels(
    pieces: Pieces, left: BoolArray, right: BoolArray, heights: FloatArray
) -> Iterator[Level]:
    """What has wood on one side of a height only."""
    bare = np.zeros((len(left), 1), dtype=bool)
    below, above = ([np.hstack(pair) for pair in pairs] for pairs in (
        ((bare, left), (bare, right)), ((left, bare), (right, bare)),
    ))  # fmt: skip
    for up, one, other in ((True, below, above), (False, above, below)):
        on_left, on_right = (a & ~b for a, b in zip(one, other, strict=True))
        for k in np.nonzero((on_left != on_right).any(axis=0))[0].tolist():
            for profile in bounded(pieces, on_left[:, k], on_right[:, k]):
                yield Level(profile, float(heights[k]), up)


def _edges(pieces: Pieces, left: BoolArray, right: BoolArray) -> _Edges:
    """Every piece that is a wall in some layer, once for each way it looks."""
    outer = np.zeros(len(left), dtype=bool)
    outer[pieces.bounds[pieces.bounds[:, 1] == 0, 0]] = True
    ahead, back = left & ~right, right & ~left
    on, off = np.nonzero(ahead.any(axis=1))[0], np.nonzero(back.any(axis=1))[0]
    ends = np.concatenate((pieces.ends[on], pieces.ends[off][:, ::-1]))
    layers = np.concatenate((ahead[on], back[off]))
    return _Edges(pieces.nodes, ends[:, 0], ends[:, 1], layers, outer[np.concatenate((on, off))])


def _smooth(edges: _Edges, seams: FloatArray) -> BoolArray:
    """Whether the plate's own wall runs on smoothly at each node in each layer; (nodes, m)."""
    at = {tuple(point) for point in seams.tolist()}
    seam = np.array([tuple(point) in at for point in edges.nodes.tolist()], dtype=bool)
    come, go, own = (np.zeros((len(seam), edges.layers.shape[1]), dtype=np.intp) for _ in range(3))
    np.add.at(come, edges.end, edges.layers)
    np.add.at(go, edges.start, edges.layers)
    for ends in (edges.start, edges.end):
        np.add.at(own, ends, edges.layers & edges.outer[:, None])
    return np.asarray(seam[:, None] & (come == 1) & (go == 1) & (own == 2))


def _chains(edges: _Edges) -> list[list[int]]:
    """Edges that follow one another on one line."""
    leaving: dict[int, list[int]] = {}
    for k, node in enumerate(edges.start.tolist()):
        leaving.setdefault(node, []).append(k)
    way = edges.nodes[edges.end] - edges.nodes[edges.start]
    after = {
        k: onward
        for k, node in enumerate(edges.end.tolist())
        for onward in leaving.get(node, [])
        if _goes_on(way[k], way[onward])
    }
    chains = []
    for k in sorted(set(range(len(way))) - set(after.values())):
        chain = [k]
        while chain[-1] in after:
            chain.append(after[chain[-1]])
        chains.append(chain)
    return chains


def _goes_on(one: FloatArray, other: FloatArray) -> bool:
    """Whether a step goes on along the line of the one before it."""
    a, b, c, d = (float(value) for value in (*one, *other))
    return a * c + b * d > 0 and abs(a * d - b * c) <= SAME * math.hypot(a + c, b + d)


def _walls(
    edges: _Edges, chain: Sequence[int], heights: FloatArray, smooth: BoolArray
) -> Iterator[Wall]:
    """The walls on one line."""
    nodes = np.append(edges.start[chain], edges.end[chain[-1]])
    points = edges.nodes[nodes]
    along = np.hypot(*(points - points[0]).T)
    border, ends = _border(edges.layers[chain], along, heights)
    carrier = np.full((len(border), 3), np.nan)
    way = (points[-1] - points[0]) / along[-1]
    for profile in trace.profiles(trace.loops(border, ends, carrier)):
        inked = tuple(_inked(loop, along, heights, smooth[nodes]) for loop in profile.loops)
        yield Wall(points[0], way, profile, inked)


def _border(filled: BoolArray, s: FloatArray, h: FloatArray) -> tuple[FloatArray, IntArray]:
    """Edges round the filled cells of a grid, counter-clockwise, and the nodes at their ends."""
    padded = np.pad(filled, 1)
    inner = padded[1:-1, 1:-1]
    found = []
    # Bottom, right, top, left: the neighbour, and the two corners of the cell.
    for beside, one, other in (
        (padded[1:-1, :-2], (0, 0), (1, 0)),
        (padded[2:, 1:-1], (1, 0), (1, 1)),
        (padded[1:-1, 2:], (1, 1), (0, 1)),
        (padded[:-2, 1:-1], (0, 1), (0, 0)),
    ):
        cell = np.argwhere(inner & ~beside)
        found.append(np.hstack((cell + one, cell + other)))
    i, j, k, m = np.concatenate(found).T
    edges = np.column_stack((s[i], h[j], s[k], h[m], np.zeros(len(i))))
    return edges, np.column_stack((i * len(h) + j, k * len(h) + m))


def _inked(loop: Loop, s: FloatArray, h: FloatArray, smooth: BoolArray) -> BoolArray:
    """Whether each edge of a wall is a real one: all but upright ones at which it runs on."""
    made = np.ones(len(loop.edges), dtype=bool)
    for k, (s0, h0, s1, h1, _) in enumerate(loop.edges.tolist()):
        if s0 == s1:
            low, high = sorted((np.searchsorted(h, h0), np.searchsorted(h, h1)))
            made[k] = not smooth[np.searchsorted(s, s0), low:high].all()
    return made
