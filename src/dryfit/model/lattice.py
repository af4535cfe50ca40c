"""Lattices: panels that are square to one another, as upright boxes in one frame."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.shapes.tolerances import DECIMALS, ONE_PLACE, PARALLEL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.panel import Panel

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Seat:
    """One panel of a lattice: its reach [mm], and the axes and signs of its u, v and n."""

    low: list[float]
    high: list[float]
    axes: list[int]
    signs: list[float]


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

    @cached_property
    def seats(self) -> tuple[Seat, ...]:
        """The rows one by one, as plain numbers."""
        rows = (each.tolist() for each in (self.low, self.high, self.axes, self.signs))
        return tuple(Seat(*row) for row in zip(*rows, strict=True))


def homes(lattices: Sequence[Lattice], count: int) -> list[int]:
    """The lattice of each of `count` panels."""
    homes = [-1] * count
    for number, lattice in enumerate(lattices):
        for panel in lattice.panels:
            homes[panel] = number
    return homes


def lattices_of(panels: Sequence[Panel], alone: frozenset[int]) -> tuple[Lattice, ...]:
    """Panels by what they are square to; each of those `alone` is a lattice of its own."""
    frames = np.array([[p.frame.u, p.frame.v, p.frame.n] for p in panels]).reshape(-1, 3, 3)
    turns: list[FloatArray] = [np.eye(3)]
    members: list[list[int]] = [[]]
    upright = _square(frames)
    for index, frame in enumerate(frames):
        if index in alone:
            continue
        if upright[index]:
            members[0].append(index)
            continue
        for turn, group in zip(turns[1:], members[1:], strict=True):
            if _square(frame @ turn.T):
                group.append(index)
                break
        else:
            turns.append(frame)
            members.append([index])
    turns += [frames[index] for index in sorted(alone)]
    members += [[index] for index in sorted(alone)]
    return tuple(
        _lattice(panels, frames, turn, tuple(group))
        for turn, group in zip(turns, members, strict=True)
        if group
    )


def _square(turned: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether turned frames lie along the axes: every component is 0, 1 or -1."""
    off = np.minimum(np.abs(turned), np.abs(np.abs(turned) - 1))
    return np.asarray((off < PARALLEL).all(axis=(-2, -1)))


def _lattice(
    panels: Sequence[Panel], frames: FloatArray, turn: FloatArray, group: tuple[int, ...]
) -> Lattice:
    turned = np.rint(frames[list(group)] @ turn.T)
    # The axes are the first panel's own: off by 1e-12, they would move a far corner by 1e-9 mm.
    turn = turned[0].T @ frames[group[0]]
    origin = np.array([panels[i].frame.origin for i in group]) @ turn.T
    sizes = np.array([(panels[i].width, panels[i].height, panels[i].thickness) for i in group])
    far = origin + np.einsum("ki,kij->kj", sizes, turned)
    low, high = np.minimum(origin, far), np.maximum(origin, far)
    axes = np.abs(turned).argmax(axis=2)
    signs = np.take_along_axis(turned, axes[:, :, None], axis=2)[:, :, 0]
    low, high = _snapped(np.stack((low, high)))
    return Lattice(group, turn, low, high, axes, signs)


def _snapped(lengths: FloatArray) -> FloatArray:
    """Coordinates rounded, and on each axis those of one place made the least of them.

    Rounding alone can part what differs by less than any number: two that lie on either side of a
    half are then one step apart, which is `SAME`, and every question about them a toss.
    """
    lengths = np.round(lengths, DECIMALS) + 0.0
    for axis in range(3):
        values, which = np.unique(lengths[..., axis], return_inverse=True)
        begins = np.concatenate(([True], np.diff(values) > ONE_PLACE))
        places = values[begins][np.cumsum(begins) - 1]
        lengths[..., axis] = places[which].reshape(lengths.shape[:-1])
    return lengths
