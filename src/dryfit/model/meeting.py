"""Meetings: where two panels' reaches share space, found from their slabs.

Vocabulary
----------
lattice
    A set of panels whose frames are turned by right angles only against one another. Each lattice
    has one frame of its own, in which every slab is an upright box; a piece made square has one.
prism
    The box that two reaches share.
block
    The box that three reaches share, at the end of each of their three prisms.

Panels are named by their index in the piece. Finding meetings is one sweep over the boxes, not a
comparison of all pairs.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.cells import overlapping_pairs, shared
from dryfit.shapes.tolerances import DECIMALS, PARALLEL, SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]


class MeetingKind(StrEnum):
    """How two panels meet."""

    CORNER = "corner"
    OTHER = "other"


@dataclass(frozen=True, eq=False)
class Lattice:
    """Panels square to one another, as upright boxes in one frame.

    Parameters
    ----------
    panels : tuple of int
        Indices of the panels, in the order of the piece.
    turn : array, shape (3, 3)
        Rows are the lattice's axes in the piece. [-]
    low, high : array, shape (k, 3)
        The reach of each panel in the lattice's axes. [mm]
    axes : array, shape (k, 3)
        Which axis of the lattice each panel's u, v and n lie along. [-]
    signs : array, shape (k, 3)
        Whether they run with (+1) or against (-1) it. [-]
    """

    panels: tuple[int, ...]
    turn: FloatArray
    low: FloatArray
    high: FloatArray
    axes: npt.NDArray[np.intp]
    signs: FloatArray


@dataclass(frozen=True, slots=True)
class Block:
    """The box at a corner of corners that three reaches share; exactly one panel will own it."""

    panels: tuple[int, int, int]
    low: tuple[float, float, float]
    high: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two panels whose reaches share a prism.

    Parameters
    ----------
    a, b : int
        The panels' indices, a < b.
    kind : MeetingKind
        ``corner`` when both meet edge to edge at a right angle.
    lattice : int
        Index of the lattice both lie in; -1 for panels that are not square to each other.
    axis : int
        The lattice axis along which the corner runs; -1 where it is no corner. [-]
    low, high : tuple of float
        The shared prism in the lattice's axes. [mm]
    blocks : pair of int
        Index of the block at the low and at the high end; -1 where there is none.
    """

    a: int
    b: int
    kind: MeetingKind
    lattice: int
    axis: int
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    blocks: tuple[int, int] = (-1, -1)

    @property
    def length(self) -> float:
        """Length of the corner, blocks included. [mm]"""
        return self.high[self.axis] - self.low[self.axis]


@dataclass(frozen=True)
class Meetings:
    """Every meeting of a piece, its blocks and its lattices."""

    lattices: tuple[Lattice, ...]
    meetings: tuple[Meeting, ...]
    blocks: tuple[Block, ...]


def find_meetings(panels: Sequence[Panel]) -> Meetings:
    """Find every meeting among panels in general frames.

    Panels that are not square to each other and share space are reported as meetings of kind
    ``other``, as are tees and crossings.
    """
    lattices = _lattices(panels)
    meetings: list[Meeting] = []
    blocks: list[Block] = []
    for number, lattice in enumerate(lattices):
        _meet(number, lattice, meetings, blocks)
    meetings.extend(_askew(lattices))
    meetings.sort(key=lambda meeting: (meeting.a, meeting.b))
    return Meetings(lattices, tuple(meetings), tuple(blocks))


def _lattices(panels: Sequence[Panel]) -> tuple[Lattice, ...]:
    frames = np.array([[p.frame.u, p.frame.v, p.frame.n] for p in panels]).reshape(-1, 3, 3)
    turns: list[FloatArray] = [np.eye(3)]
    members: list[list[int]] = [[]]
    for index, frame in enumerate(frames):
        for turn, group in zip(turns, members, strict=True):
            if _square(frame @ turn.T):
                group.append(index)
                break
        else:
            turns.append(frame)
            members.append([index])
    return tuple(
        _lattice(panels, frames, turn, tuple(group))
        for turn, group in zip(turns, members, strict=True)
        if group
    )


def _square(turned: FloatArray) -> bool:
    """Whether a turned frame lies along the axes: every component is 0, 1 or -1."""
    return bool((np.minimum(np.abs(turned), np.abs(np.abs(turned) - 1)) < PARALLEL).all())


def _lattice(
    panels: Sequence[Panel], frames: FloatArray, turn: FloatArray, group: tuple[int, ...]
) -> Lattice:
    turned = np.rint(frames[list(group)] @ turn.T)
    origin = np.array([panels[i].frame.origin for i in group]) @ turn.T
    sizes = np.array([(panels[i].width, panels[i].height, panels[i].thickness) for i in group])
    far = origin + np.einsum("ki,kij->kj", sizes, turned)
    low, high = np.minimum(origin, far), np.maximum(origin, far)
    axes = np.abs(turned).argmax(axis=2)
    signs = np.take_along_axis(turned, axes[:, :, None], axis=2)[:, :, 0]
    return Lattice(group, turn, _snap(low), _snap(high), axes, signs)


def _snap(lengths: FloatArray) -> FloatArray:
    """Round, so that coordinates meant to be the same are the same."""
    return np.round(lengths, DECIMALS) + 0.0


def _meet(number: int, lattice: Lattice, meetings: list[Meeting], blocks: list[Block]) -> None:
    """Find the meetings and blocks of one lattice and add them to the lists."""
    pairs = overlapping_pairs(lattice.low, lattice.high)
    low, high, _ = shared(lattice.low, lattice.high, pairs)
    neighbours: dict[int, set[int]] = {}
    for i, j in pairs.tolist():
        neighbours.setdefault(i, set()).add(j)
        neighbours.setdefault(j, set()).add(i)
    found: dict[tuple[int, int, int], int] = {}
    for row, (i, j) in enumerate(pairs.tolist()):
        axis = _corner_axis(lattice, i, j, low[row], high[row])
        ends: tuple[int, int] | None = (-1, -1)
        for third in sorted(neighbours[i] & neighbours[j]):
            ends = _with_block(
                lattice, (i, j, third), (axis, low[row], high[row]), ends, found, blocks
            )
        corner = axis >= 0 and ends is not None
        meetings.append(
            Meeting(
                lattice.panels[i],
                lattice.panels[j],
                MeetingKind.CORNER if corner else MeetingKind.OTHER,
                number,
                axis if corner else -1,
                _triple(low[row]),
                _triple(high[row]),
                ends if corner and ends is not None else (-1, -1),
            )
        )


def _with_block(
    lattice: Lattice,
    trio: tuple[int, int, int],
    prism: tuple[int, FloatArray, FloatArray],
    ends: tuple[int, int] | None,
    found: dict[tuple[int, int, int], int],
    blocks: list[Block],
) -> tuple[int, int] | None:
    """The ends of a corner once a third panel is heeded; None when it meets the corner midway."""
    axis, prism_low, prism_high = prism
    members = np.array([trio], dtype=np.intp)
    low, high, real = (found_[0] for found_ in shared(lattice.low, lattice.high, members))
    if ends is None or axis < 0 or not real:
        return ends
    at_low = abs(low[axis] - prism_low[axis]) < SAME
    at_high = abs(high[axis] - prism_high[axis]) < SAME
    if at_low == at_high or ends[int(at_high)] >= 0:
        return None
    key = tuple(sorted(trio))
    name = (key[0], key[1], key[2])
    if name not in found:
        found[name] = len(blocks)
        a, b, c = sorted(lattice.panels[i] for i in name)
        blocks.append(Block((a, b, c), _triple(low), _triple(high)))
    return (found[name], ends[1]) if at_low else (ends[0], found[name])


def _corner_axis(lattice: Lattice, i: int, j: int, low: FloatArray, high: FloatArray) -> int:
    """The axis along which two panels meet edge to edge at a right angle, or -1.

    The prism must take the whole thickness of each and lie at an edge of the other.
    """
    normal_i, normal_j = int(lattice.axes[i, 2]), int(lattice.axes[j, 2])
    if normal_i == normal_j:
        return -1
    for own, normal, other_normal in ((i, normal_i, normal_j), (j, normal_j, normal_i)):
        whole = (
            abs(low[normal] - lattice.low[own, normal]) < SAME
            and abs(high[normal] - lattice.high[own, normal]) < SAME
        )
        at_edge = (
            abs(low[other_normal] - lattice.low[own, other_normal]) < SAME
            or abs(high[other_normal] - lattice.high[own, other_normal]) < SAME
        )
        if not (whole and at_edge):
            return -1
    return 3 - normal_i - normal_j


def _triple(values: FloatArray) -> tuple[float, float, float]:
    return float(values[0]), float(values[1]), float(values[2])


def _askew(lattices: Sequence[Lattice]) -> list[Meeting]:
    """Panels of different lattices whose slabs share space, by separating axes."""
    if len(lattices) < 2:
        return []
    centres = np.concatenate([(lat.low + lat.high) / 2 @ lat.turn for lat in lattices])
    halves = np.concatenate([(lat.high - lat.low) / 2 for lat in lattices])
    turns = np.concatenate([np.broadcast_to(lat.turn, (len(lat.panels), 3, 3)) for lat in lattices])
    home = np.concatenate([np.full(len(lat.panels), n) for n, lat in enumerate(lattices)])
    names = np.concatenate([np.array(lat.panels) for lat in lattices])
    reach = np.einsum("ki,kij->kj", halves, np.abs(turns))
    pairs = overlapping_pairs(centres - reach, centres + reach)
    return [
        Meeting(
            int(min(names[i], names[j])), int(max(names[i], names[j])),
            MeetingKind.OTHER, -1, -1, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0),
        )
        for i, j in pairs.tolist()
        if home[i] != home[j]
        and not _apart(centres[j] - centres[i], turns[i], halves[i], turns[j], halves[j])
    ]  # fmt: skip


def _apart(
    between: FloatArray,
    turn_a: FloatArray,
    half_a: FloatArray,
    turn_b: FloatArray,
    half_b: FloatArray,
) -> bool:
    """Whether one of the fifteen candidate axes separates two boxes."""
    crosses = np.cross(turn_a[:, None, :], turn_b[None, :, :]).reshape(-1, 3)
    lengths = np.linalg.norm(crosses, axis=1)
    axes = np.concatenate((turn_a, turn_b, crosses[lengths > PARALLEL]))
    axes = axes / np.linalg.norm(axes, axis=1)[:, None]
    spread = np.abs(axes @ turn_a.T) @ half_a + np.abs(axes @ turn_b.T) @ half_b
    return bool((np.abs(axes @ between) > spread - SAME).any())
