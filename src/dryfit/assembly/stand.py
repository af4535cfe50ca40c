"""A piece as its order sees it: who is in whose way, who touches whom, what is high and heavy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.assembly.blocking import SLACK, Blocking, blocking_of, share_space
from dryfit.assembly.bodies import bodies_of
from dryfit.assembly.leaning import leaning_blocking, leaning_of, ways_of
from dryfit.assembly.parting import locked_in
from dryfit.shapes.convex import clear_after

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.meeting import Meetings
    from dryfit.parts.part import Part

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

_UP = np.array((0.0, 0.0, 1.0))

_STEEP = 0.7
"""A way whose upright share is more goes up or down, any other sideways: about 45°. [-]"""


@dataclass(frozen=True, eq=False)
class Stand:
    """The parts of a piece in their places.

    Parameters
    ----------
    blocking : Blocking
        Who is in whose way.
    clear : array, shape (2 m, n, n)
        How far part i moves along a way until it is clear of part j, which it meets; 0 where they
        do not meet. [mm]
    height : array, shape (n,)
        How high the middle of each part lies. [mm]
    volume : array, shape (n,)
        What each part fills. [mm³]
    meets : array of bool, shape (n, n)
        Which parts meet or lie against each other.
    """

    blocking: Blocking
    clear: FloatArray
    height: FloatArray
    volume: FloatArray
    meets: BoolArray

    @property
    def count(self) -> int:
        """How many parts there are. [-]"""
        return self.blocking.count

    def rises(self, way: int) -> int:
        """Whether a way goes up (+1), down (-1) or sideways (0)."""
        share = float(self.blocking.ways[way] @ _UP)
        return int(share > _STEEP) - int(share < -_STEEP)

    def travel(self, way: int, leave: BoolArray, stay: BoolArray) -> float:
        """How far some parts move along a way until they are clear of all that they meet. [mm]"""
        return float(self.clear[way][np.ix_(leave, stay)].max(initial=0.0))


def stand_of(parts: Sequence[Part], meetings: Meetings, slack: float = SLACK) -> Stand | None:
    """The parts of a piece in their places; None where two of them need one space.

    Parameters
    ----------
    parts : sequence of Part
        In the order of the piece.
    meetings : Meetings
        Where they meet.
    slack : float
        What two parts must share in every direction to be in each other's way. [mm]
    """
    count = len(parts)
    both = [*((m.a, m.b) for m in meetings.meetings), *meetings.butts]
    pairs = np.array(both, dtype=np.intp).reshape(-1, 2)
    one, other = np.unique(np.concatenate((pairs, pairs[:, ::-1])), axis=0).T
    meets = np.zeros((count, count), dtype=bool)
    meets[one, other] = True
    lattices = meetings.lattices
    if len(lattices) == 1:
        bodies = bodies_of(parts, lattices[0].turn)
        if share_space(bodies, slack):
            return None
        blocking = blocking_of(bodies, slack)
        low, high = (bound.T for bound in bodies.bounds)
        far = np.concatenate((high[:, other] - low[:, one], high[:, one] - low[:, other]))
    else:
        body = leaning_of(parts)
        blocking = leaning_blocking(body, ways_of(parts, meetings), slack)
        if locked_in(blocking, np.ones(count, dtype=bool)) is not None:
            blocking = leaning_blocking(body, ways_of(parts, meetings, every=True), slack)
        mates = body.hulls.rows(one), body.hulls.rows(other)
        far = np.array([clear_after(*mates, way) for way in blocking.ways])
    clear = np.zeros((len(blocking.ways), count, count))
    clear[:, one, other] = np.maximum(far, 0.0)
    return Stand(blocking, clear, _heights(parts), np.array([part.volume for part in parts]), meets)


def _heights(parts: Sequence[Part]) -> FloatArray:
    """How high the middle of each part's box lies. [mm]"""
    frames = [part.panel.frame for part in parts]
    x0, y0, x1, y1 = np.array([part.as_cut.bounds for part in parts]).T
    middle = np.column_stack(((x0 + x1) / 2, (y0 + y1) / 2, [p.thickness / 2 for p in parts]))
    axes = np.array([(f.u, f.v, f.n) for f in frames])
    origin = np.array([f.origin for f in frames])
    return np.asarray((origin + np.einsum("ki,kij->kj", middle, axes)) @ _UP)
