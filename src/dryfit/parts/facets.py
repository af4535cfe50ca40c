"""The sides of panels that meet others in angled corners: fingers square to each outer edge.

Every side is walked the way its outline runs, and every stretch on it counted from where it begins.
Where a corner takes up only part of a side, the rest of it stays as it is.
"""

from __future__ import annotations

from math import hypot, inf
from typing import TYPE_CHECKING

from dryfit.joints.angled import lay_out
from dryfit.parts.outline import Stretch, laid_out
from dryfit.shapes.tolerances import EDGE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.joints.angled import Run
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece
    from dryfit.parts.outline import Side


def facets(piece: Piece, plans: Plans) -> dict[int, tuple[Side, ...]]:
    """The sides of every panel that has an outline or takes part in an angled corner.

    Parameters
    ----------
    piece : Piece
        The panels.
    plans : Plans
        Their joints.

    Returns
    -------
    dict
        From the index of a panel to its sides, counter-clockwise.
    """
    stretches: dict[int, list[list[Stretch]]] = {
        index: [[] for _ in panel.outline] for index, panel in enumerate(piece.panels)
        if panel.outline
    }  # fmt: skip
    joints = {(m.a, m.b): j for m, j in zip(plans.joined, plans.joints, strict=True)}
    for pair, run in lay_out(piece.panels, plans.meetings.angled).items():
        for panel, side in zip(pair, run.corner.sides, strict=True):
            own = stretches.setdefault(panel, [[] for _ in piece.panels[panel].corners])
            own[side] += _stretches(piece, run, joints[pair], panel)
    return {
        index: tuple(
            laid_out(own, length, backward=False)
            for own, length in zip(sides, side_lengths(piece.panels[index]), strict=True)
        )
        for index, sides in stretches.items()
    }


def side_lengths(panel: Panel) -> list[float]:
    """Length of each side of a panel's outside, counter-clockwise. [mm]"""
    corners = panel.corners
    return [
        hypot(u1 - u0, v1 - v0)
        for (u0, v0), (u1, v1) in zip(corners, corners[1:] + corners[:1], strict=True)
    ]


def _stretches(piece: Piece, run: Run, joint: Joint, panel: int) -> Iterator[Stretch]:
    """The shoulders of one corner over its whole edge, then its fingers."""
    own, corner = piece.panels[panel], run.corner
    second = panel == corner.b
    share = run.share(piece.panels, panel)
    ends = _run_out(
        corner.low[second], corner.high[second], side_lengths(own)[corner.sides[second]]
    )
    yield Stretch(*ends, share.shoulder, (0.0, 0.0))
    tip, half = share.tip + joint.proud_of(own.name), joint.flank_gap / 2
    last = joint.plan.boundaries[-1]
    for low, high in joint.owned(own.name):
        begin, end, along = run.place(panel, low, high)
        out = low == joint.plan.start, high == last
        first_out, last_out = out if along else out[::-1]
        yield Stretch(
            ends[0] if first_out else begin, ends[1] if last_out else end, tip, (half, half)
        )


def _run_out(low: float, high: float, length: float) -> tuple[float, float]:
    """The ends of a stretch of a side; infinite where they are the side's own. [mm]"""
    return (-inf if low < EDGE else low), (inf if high > length - EDGE else high)
