"""The order of assembly as a maker reads it: steps, and the clock of the glue."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from dryfit.assembly.locks import lock_of
from dryfit.assembly.order import moves_of
from dryfit.assembly.parting import orders
from dryfit.assembly.stand import stand_of
from dryfit.model.kind import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.assembly.order import Move
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.parts.part import Part

Vector = tuple[float, float, float]

COUNTED = 10
"""Up to how many parts the orders are counted. [-]"""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a part, or some that are together already, is brought to those that stand.

    Parameters
    ----------
    moving : tuple of str
        What is moved.
    standing : tuple of str
        What it is brought to; none where something is begun.
    way : tuple of float, optional
        The direction it moves in; None where something is begun. [-]
    travel : float
        How far it moves, from clear of all that it will meet. [mm]
    joints : tuple of str
        The joints that close, all at once.
    turned : bool
        Whether it comes another way than what came before it.
    """

    moving: tuple[str, ...]
    standing: tuple[str, ...]
    way: Vector | None
    travel: float
    joints: tuple[str, ...]
    turned: bool

    @property
    def begins(self) -> bool:
        """Whether something is begun with it."""
        return not self.standing


@dataclass(frozen=True, slots=True)
class Locked:
    """Why there is no order; see :class:`dryfit.assembly.locks.Lock`."""

    parts: tuple[str, ...]
    bars: tuple[tuple[str, str], ...]
    smallest: bool


@dataclass(frozen=True, slots=True)
class Assembly:
    """How a piece goes together.

    Parameters
    ----------
    steps : tuple of Step
        In order; none where something is locked.
    locked : Locked, optional
        What is locked.
    orders : int, optional
        In how many orders the parts go in one by one; None in a piece of more than a few. [-]
    """

    steps: tuple[Step, ...]
    locked: Locked | None
    orders: int | None

    @property
    def two_handed(self) -> tuple[Step, ...]:
        """The steps in which several parts are brought in as one."""
        return tuple(step for step in self.steps if len(step.moving) > 1)


def assemble(parts: Sequence[Part], plans: Plans, slack: float) -> Assembly | None:
    """How the parts of a piece go together; None where two of them need one space.

    Parameters
    ----------
    parts : sequence of Part
        In the order of the piece.
    plans : Plans
        Their joints.
    slack : float
        What two parts must share in every direction to be in each other's way. [mm]
    """
    names = [part.name for part in parts]
    if not parts:
        return Assembly((), None, None)
    stand = stand_of(parts, plans.meetings, slack)
    if stand is None:
        return None
    moves = moves_of(stand)
    many = orders(stand.blocking) if len(names) <= COUNTED else None
    if moves is None:
        lock = lock_of(stand)
        assert lock is not None, "what comes together in no order has a lock in it"
        bars = tuple((names[a], names[b]) for a, b in lock.bars)
        locked = Locked(tuple(names[part] for part in lock.parts), bars, lock.smallest)
        return Assembly((), locked, many)
    return Assembly(_steps(moves, names, stand.blocking.ways, plans), None, many)


def _steps(
    moves: Sequence[Move], names: Sequence[str], ways: np.ndarray, plans: Plans
) -> tuple[Step, ...]:
    closing: dict[str, list[Joint]] = {name: [] for name in names}
    for joint in plans.joints:
        closing[joint.lead].append(joint)
        closing[joint.follow].append(joint)
    steps, before = [], None
    for move in moves:
        moving, standing = (
            tuple(names[k] for k in which) for which in (move.moving, move.standing)
        )
        way = None if not standing else _triple(ways[move.way])
        own, mates = set(moving), set(standing)
        joints = tuple(
            joint.id for name in moving for joint in closing[name]
            if name in own and joint.other(name) in mates and joint.kind is not Kind.RUNNING
        )  # fmt: skip
        turned = way is not None and before is not None and way != before
        steps.append(Step(moving, standing, way, move.travel, joints, turned))
        before = way
    return tuple(steps)


def _triple(vector: np.ndarray) -> Vector:
    x, y, z = (np.round(vector, 9) + 0.0).tolist()
    return x, y, z
