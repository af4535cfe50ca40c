"""Pieces moved as a whole, and outlines compared up to a motion."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.panel import Frame
from dryfit.model.piece import Piece
from tests.helpers.boxes import triple
from tests.helpers.oracle import frame_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.model.panel import Panel
    from dryfit.parts.part import Cut, Part

SQUARE_TURNS = tuple(
    turn
    for order in permutations(range(3))
    for signs in product((1.0, -1.0), repeat=3)
    if np.linalg.det(turn := np.diag(signs)[:, order]) > 0
)
"""The 24 rotations that keep the axes."""

MIRROR = np.diag([-1.0, 1.0, 1.0])


def rotation(quaternion: Sequence[float]) -> np.ndarray:
    """The rotation of a quaternion that is not zero."""
    w, x, y, z = np.array(quaternion) / np.linalg.norm(quaternion)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


def moved(piece: Piece, turn: np.ndarray, shift: Sequence[float] = (0.0, 0.0, 0.0)) -> Piece:
    """The piece under a turn or mirror and a shift; a mirrored panel keeps a right-handed frame."""
    return replace(
        piece, panels=tuple(_moved(panel, turn, np.array(shift)) for panel in piece.panels)
    )


def _moved(panel: Panel, turn: np.ndarray, shift: np.ndarray) -> Panel:
    origin, rows = frame_of(panel)
    origin, (u, v, n) = turn @ origin + shift, rows @ turn.T
    if np.linalg.det(turn) < 0:
        # Run u from the other side: the same box, and right-handed again.
        origin, u = origin + u * panel.width, -u
    return replace(panel, frame=Frame(triple(origin), triple(u), triple(v), triple(n)))


def renamed(piece: Piece, names: Mapping[str, str], order: Sequence[int]) -> Piece:
    """The piece with other names, its panels listed in another order."""
    panels = [replace(piece.panels[i], name=names[piece.panels[i].name]) for i in order]
    wishes = {
        frozenset(names[name] for name in pair): replace(
            wish, leads=None if wish.leads is None else names[wish.leads]
        )
        for pair, wish in piece.wishes.items()
    }
    return Piece(tuple(panels), piece.wish, MappingProxyType(wishes))


def solid(part: Part) -> np.ndarray:
    """Vertices of the part's two faces in the piece; shape (2 k, 3)."""
    origin, rows = frame_of(part.panel)
    low = origin + part.profile.outer.vertices[:, :2] @ rows[:2]
    return np.vstack((low, low + part.thickness * rows[2]))


def same_place(one: np.ndarray, other: np.ndarray, near: float = 1e-6) -> bool:
    """Whether two sets of points are the same, in any order."""
    if one.shape != other.shape:
        return False
    gaps = np.abs(one[:, None, :] - other[None, :, :]).max(axis=2) < near
    return bool((gaps.sum(axis=0) > 0).all() and (gaps.sum(axis=1) > 0).all())


def congruent(one: Part, other: Part, near: float = 1e-6) -> bool:
    """Whether one part can be laid on the other, turned over or mirrored or not.

    Its outline must fall on the other's, and under the same motion its mortises and trenches on
    the other's, each as deep, from the same face or all from the opposite one.
    """
    if abs(one.thickness - other.thickness) > near or len(one.cuts) != len(other.cuts):
        return False
    mine, theirs = _walk(one), _walk(other)
    if mine.shape != theirs.shape:
        return False
    back = np.column_stack((theirs[::-1, 0], np.roll(theirs[::-1, 1:], 1, axis=0)))
    points = other.profile.outer.vertices[:, :2]
    return any(
        np.abs(mine - np.roll(way, shift, axis=0)).max() < near
        and _cuts_fall(one, other, np.roll(begins, shift, axis=0), near)
        for way, begins in ((theirs, points), (back, np.roll(points[::-1], 1, axis=0)))
        for shift in range(len(mine))
    )


def _cuts_fall(one: Part, other: Part, onto: np.ndarray, near: float) -> bool:
    """Whether mortises and trenches fall on one another with the outline laid on points."""
    if len(one.cuts) == 1:
        return True
    turn, shift = _laid(one.profile.outer.vertices[:, :2], onto)
    return any(
        same_place(_cut_points(one, turn, shift, flip), _cut_points(other, np.eye(2), 0.0, 1), near)
        for flip in (1, -1)
    )


def _laid(points: np.ndarray, onto: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The turn or mirror, and the shift, that lay congruent points on others."""
    middles = points.mean(axis=0), onto.mean(axis=0)
    left, _, right = np.linalg.svd((onto - middles[1]).T @ (points - middles[0]))
    turn = left @ right
    return turn, middles[1] - turn @ middles[0]


def _cut_points(part: Part, turn: np.ndarray, shift: np.ndarray | float, flip: int) -> np.ndarray:
    """Corners of every cut but the outline, laid elsewhere, with its depth and its face."""
    return np.vstack(
        [
            np.column_stack(
                (
                    cut.profile.outer.vertices[:, :2] @ turn.T + shift,
                    np.full(len(cut.profile.outer.vertices), cut.depth_to - cut.depth_from),
                    np.full(len(cut.profile.outer.vertices), _side(part, cut) * flip),
                )
            )
            for cut in part.cuts[1:]
        ]
    )


def _side(part: Part, cut: Cut) -> int:
    """The face a trench is cut from, +1 or -1; 0 for what goes through."""
    if abs(cut.depth_to - cut.depth_from - part.thickness) < 1e-9:
        return 0
    return 1 if cut.face == "a" else -1


def _walk(part: Part) -> np.ndarray:
    """Length of each edge, and the sine and cosine of the turn at its beginning."""
    points = part.profile.outer.vertices[:, :2]
    edges = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(*edges.T)
    edges = edges / lengths[:, None]
    before = np.roll(edges, 1, axis=0)
    sine = before[:, 0] * edges[:, 1] - before[:, 1] * edges[:, 0]
    return np.column_stack((lengths, sine, (before * edges).sum(axis=1)))


def matched(ones: Sequence[Part], others: Sequence[Part]) -> bool:
    """Whether the parts of two pieces can be paired off, each with a congruent one."""
    left = list(others)
    for part in ones:
        twin = next((other for other in left if congruent(part, other)), None)
        if twin is None:
            return False
        left.remove(twin)
    return not left
