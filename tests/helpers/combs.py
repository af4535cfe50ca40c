"""Combs cut and tried by a shop whose misfit and scatter are known, edge by edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.tolerance.evidence import Comb, Trial, Widths
from dryfit.tolerance.grades import Grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

GAPS = (-0.05, 0.0, 0.03, 0.06, 0.10, 0.15)
PINCH = 0.03


def graded(air: float, pinch: float = PINCH) -> Grade:
    """The grade by the air at a flank when the finger stands in the middle of its socket. [mm]"""
    if air >= 0.05:
        return Grade.LOOSE
    if air >= 0.0:
        return Grade.HAND
    return Grade.MALLET if air >= -pinch else Grade.NO


def tried(
    rng: np.random.Generator,
    misfit: float,
    edge: float,
    gaps: Sequence[float] = GAPS,
    *,
    same: bool = True,
    age: float = 0.0,
    name: str = "comb",
) -> Comb:
    """A comb: a tongue of two edges, or one for each socket, and sockets of two edges."""
    trials = []
    tongue = rng.normal(0.0, edge, 2)
    for gap in gaps:
        if not same:
            tongue = rng.normal(0.0, edge, 2)
        socket = rng.normal(0.0, edge, 2)
        finger_width = 10.0 - gap + misfit + tongue[1] - tongue[0]
        socket_width = 10.0 + gap - misfit + socket[1] - socket[0]
        trials.append(Trial(gap, graded((socket_width - finger_width) / 2), pinch=PINCH))
    return Comb(name, tuple(trials), same, age)


def calipered(
    rng: np.random.Generator,
    misfit: float,
    edge: float,
    count: int,
    *,
    age: float = 0.0,
    name: str = "widths",
) -> Widths:
    """Fingers, and as many sockets, measured without a caliper's error."""
    edges = rng.normal(0.0, edge, (2, count, 2))
    off = edges[..., 1] - edges[..., 0]
    return Widths(name, tuple(misfit + off[0]), tuple(-misfit + off[1]), age=age)
