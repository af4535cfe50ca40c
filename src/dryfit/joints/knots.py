"""Knots: places where three panels pass through one another and nobody can have the wood.

Each pair of panels shares out its own meeting. Where two of three cross, the three shares need not
agree: a panel keeps the block that all three have in common only if it keeps it against both
others. Where not exactly one panel does, or where all three cross or end at one another in a ring,
the piece cannot be cut as it is stated.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.kind import Kind
from dryfit.shapes.tolerances import JUMP

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.joints.joint import Joint
    from dryfit.model.meeting import Block, Meeting, Meetings
    from dryfit.model.panel import Panel


def tangled(
    panels: Sequence[Panel], meetings: Meetings, joined: Sequence[tuple[Meeting, Joint]]
) -> tuple[tuple[str, str, str], ...]:
    """The names of every three panels whose joints do not agree on who has their block.

    Parameters
    ----------
    panels : sequence of Panel
        The panels.
    meetings : Meetings
        Where they meet.
    joined : sequence of pair of Meeting and Joint
        Their joints.
    """
    if not meetings.knots:
        return ()
    joints = {(meeting.a, meeting.b): (meeting, joint) for meeting, joint in joined}
    found = []
    for knot in meetings.knots:
        shares = [
            [_share(panels, joints, knot, panel, other) for other in knot.panels if other != panel]
            for panel in knot.panels
        ]
        keep = sum(min(share) > 1 - JUMP for share in shares)
        lose = sum(min(share) < JUMP for share in shares)
        if (keep, lose) != (1, 2) or _hopeless(joints, knot):
            one, two, three = (panels[panel].name for panel in knot.panels)
            found.append((one, two, three))
    return tuple(found)


def _hopeless(joints: Mapping[tuple[int, int], tuple[Meeting, Joint]], knot: Block) -> bool:
    """Whether three panels all cross, or all end at one another: slots and trenches then meet."""
    a, b, c = knot.panels
    held = [joints[pair] for pair in ((a, b), (a, c), (b, c)) if pair in joints]
    if len(held) < len(knot.panels):
        return False
    crossing = all(joint.kind is Kind.HALVING for _, joint in held)
    return crossing or {meeting.edge for meeting, _ in held} == set(knot.panels)


def _share(
    panels: Sequence[Panel],
    joints: Mapping[tuple[int, int], tuple[Meeting, Joint]],
    knot: Block,
    panel: int,
    other: int,
) -> float:
    """How much of a block a panel has against one of the two others, as a share of it. [-]"""
    pair = joints.get((min(panel, other), max(panel, other)))
    if pair is None:
        return 1.0
    meeting, joint = pair
    axis, name = meeting.axis, panels[panel].name
    low, high = (place[axis] - meeting.low[axis] for place in (knot.low, knot.high))
    by_edge = joint.kind is Kind.TENON or joint.kind.is_trench
    owner = panels[meeting.edge].name if by_edge else name
    owned = sum(max(0.0, min(end, high) - max(begin, low)) for begin, end in joint.owned(owner)) / (
        high - low
    )
    # The face of a tee has all that the edge has not.
    return owned if owner == name else 1 - owned
