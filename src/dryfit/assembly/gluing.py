"""The glue-up: what is glued in one go, against the clock, and how it is clamped and checked.

A go is a run of steps whose faces can all be spread before the first of them begins to skin. What
stands at the end of a go is set before the next begins, so every go is a beginning of the order.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from dryfit.model.kind import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from dryfit.assembly.steps import Assembly, Step
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.glue import Glue
    from dryfit.model.panel import Panel

Vector = tuple[float, float, float]

DRY = (Kind.GROOVE, Kind.RUNNING)
"""Joints that are never glued: what sits in them has to move."""

_FACES = {Kind.HOUSING: 3, Kind.REBATE: 2, Kind.BUTT: 2, Kind.HALVING: 4}
"""Faces to spread where a joint is not divided: both walls of a trench and its floor. [-]"""

PAD = 0.1
"""Fingers that stand less proud than this sink into a soft pad (common practice, no source). [mm]
"""

_MINUTE = 60.0
_RING = 4


@dataclass(frozen=True, slots=True)
class Clamping:
    """Clamps in one direction.

    Parameters
    ----------
    way : tuple of float
        Along which they press; either sense. [-]
    faces : tuple of str
        The panels they press on.
    notched : tuple of tuple of str and float
        Those of them where fingers stand proud, and by how much [mm]: there the clamp needs a block
        with notches, or one that lies beside the fingers.
    """

    way: Vector
    faces: tuple[str, ...]
    notched: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Go:
    """What is glued in one go.

    Parameters
    ----------
    steps : tuple of int
        The steps by their numbers in the order, from 0.
    joints : tuple of str
        The joints that are glued.
    faces : int
        Faces to spread. [-]
    seconds : float
        Spreading them. [s]
    clamps : tuple of Clamping
        How they are pressed.
    """

    steps: tuple[int, ...]
    joints: tuple[str, ...]
    faces: int
    seconds: float
    clamps: tuple[Clamping, ...]


@dataclass(frozen=True, slots=True)
class Diagonal:
    """Two diagonals to be compared, from corner to corner of the outside.

    Parameters
    ----------
    across : tuple of float
        What the rectangle is square to. [-]
    length : float
        Both of them where it is square. [mm]
    """

    across: Vector
    length: float


@dataclass(frozen=True, slots=True)
class GlueUp:
    """The whole glue-up: its goes, and what is measured before the glue sets."""

    glue: Glue
    goes: tuple[Go, ...]
    diagonals: tuple[Diagonal, ...]
    dry: tuple[str, ...]

    @property
    def seconds(self) -> float:
        """Spreading everything. [s]"""
        return sum(go.seconds for go in self.goes)

    @property
    def too_long(self) -> tuple[Go, ...]:
        """Goes that no split makes shorter: one step by itself takes longer than the glue waits."""
        return tuple(go for go in self.goes if go.seconds > self.glue.open * _MINUTE)


def glue_up(assembly: Assembly, plans: Plans, panels: Sequence[Panel], glue: Glue) -> GlueUp:
    """How a piece is glued in the order of its assembly.

    Parameters
    ----------
    assembly : Assembly
        The steps.
    plans : Plans
        The joints.
    panels : sequence of Panel
        In the order of the piece.
    glue : Glue
        How long it waits.
    """
    joints = {joint.id: joint for joint in plans.joints}
    by_name = {panel.name: panel for panel in panels}
    goes = tuple(
        _go(assembly.steps, numbers, joints, by_name, glue)
        for numbers in _split(assembly.steps, joints, glue)
    )
    dry = tuple(joint.id for joint in plans.joints if joint.kind in DRY)
    return GlueUp(glue, goes, tuple(_diagonals(plans)), dry)


def faces_of(joint: Joint) -> int:
    """How many faces of a joint are spread; of fingers, both flanks at every boundary. [-]"""
    if joint.kind in DRY:
        return 0
    if joint.is_divided:
        return 2 * sum(plan.count - 1 for plan in joint.segments)
    return _FACES[joint.kind]


def _split(
    steps: Sequence[Step], joints: Mapping[str, Joint], glue: Glue
) -> Iterator[tuple[int, ...]]:
    """The numbers of the steps of each go, as many as the glue waits for."""
    own: list[int] = []
    seconds = 0.0
    for number, step in enumerate(steps):
        more = glue.spread * sum(faces_of(joints[name]) for name in step.joints)
        if seconds and seconds + more > glue.open * _MINUTE:
            yield tuple(own)
            own, seconds = [], 0.0
        own.append(number)
        seconds += more
    if own:
        yield tuple(own)


def _go(
    steps: Sequence[Step],
    numbers: tuple[int, ...],
    joints: Mapping[str, Joint],
    panels: Mapping[str, Panel],
    glue: Glue,
) -> Go:
    closed = [joints[name] for number in numbers for name in steps[number].joints]
    glued = [joint for joint in closed if faces_of(joint)]
    faces = sum(map(faces_of, glued))
    return Go(
        numbers,
        tuple(joint.id for joint in glued),
        faces,
        faces * glue.spread,
        tuple(_clamps(glued, panels)),
    )


def _clamps(joints: Sequence[Joint], panels: Mapping[str, Panel]) -> Iterator[Clamping]:
    """Clamps along the normal of every panel that another one is pressed into or against."""
    pressed: dict[Vector, dict[str, float]] = {}
    for joint in joints:
        # Fingers pass through both panels of a corner, elsewhere an edge bears on a face.
        both = joint.kind in (Kind.FINGER, Kind.HALVING)
        for name in (joint.lead, joint.follow) if both else (_face_of(joint),):
            proud = joint.proud_of(joint.other(name)) if joint.is_divided else 0.0
            faces = pressed.setdefault(_line(panels[name].frame.n), {})
            faces[name] = max(faces.get(name, 0.0), proud)
    for way, faces in pressed.items():
        notched = tuple((name, proud) for name, proud in faces.items() if proud > PAD)
        yield Clamping(way, tuple(faces), notched)


def _face_of(joint: Joint) -> str:
    """The panel whose face an edge is brought to: a tenon's lead, a trench's follower."""
    return joint.lead if joint.kind is Kind.TENON else joint.follow


def _line(vector: Vector) -> Vector:
    """A direction or its opposite, whichever comes first."""
    x, y, z = (round(value, 6) + 0.0 for value in vector)
    back = (-x + 0.0, -y + 0.0, -z + 0.0)
    return max((x, y, z), back)


def _diagonals(plans: Plans) -> Iterator[Diagonal]:
    """Of every rectangle of finger corners that run the same way: its outermost ones."""
    corners: dict[tuple[int, int], list[tuple[np.ndarray, np.ndarray]]] = {}
    for meeting, joint in zip(plans.joined, plans.joints, strict=True):
        if joint.kind is Kind.FINGER and meeting.lattice >= 0:
            box = np.array(meeting.low), np.array(meeting.high)
            corners.setdefault((meeting.lattice, meeting.axis), []).append(box)
    for (lattice, axis), boxes in sorted(corners.items()):
        others = [other for other in range(3) if other != axis]
        low, high = np.min([b[0] for b in boxes], axis=0), np.max([b[1] for b in boxes], axis=0)
        outer = {
            tuple(
                int(np.sign((b[0] + b[1] - low - high)[other])) if _at_edge(b, low, high, other)
                else 0 for other in others
            )
            for b in boxes
        }  # fmt: skip
        if len([corner for corner in outer if all(corner)]) == _RING:
            turn = plans.meetings.lattices[lattice].turn
            x, y, z = (np.round(turn[axis], 9) + 0.0).tolist()
            width, height = (high - low)[others].tolist()
            yield Diagonal((x, y, z), hypot(width, height))


def _at_edge(
    box: tuple[np.ndarray, np.ndarray], low: np.ndarray, high: np.ndarray, axis: int
) -> bool:
    """Whether a corner lies at either end of all corners along an axis."""
    return bool(box[0][axis] == low[axis] or box[1][axis] == high[axis])
