"""From joints to parts: every panel with its four sides, its relief and its as-cut shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.model.panel import Face
from dryfit.parts.ascut import cut_and_left
from dryfit.parts.outline import PLAIN, Side, finger_side, outline
from dryfit.parts.part import Cut, Part, Purpose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.cutter import Cutter
    from dryfit.model.meeting import Lattice, Meeting
    from dryfit.model.piece import Piece


def make_parts(piece: Piece, plans: Plans, cutter: Cutter) -> tuple[Part, ...]:
    """Cut every joint into its panels.

    Parameters
    ----------
    piece : Piece
        The panels.
    plans : Plans
        Their joints.
    cutter : Cutter
        What cuts, and how it relieves inside corners.

    Returns
    -------
    tuple of Part
        One for each panel, in the order of the piece.
    """
    sides: list[list[Side]] = [[PLAIN] * 4 for _ in piece.panels]
    places = _places(plans.meetings.lattices)
    for meeting, joint in zip(plans.corners, plans.joints, strict=True):
        lattice = plans.meetings.lattices[meeting.lattice]
        for own, mate in ((meeting.a, meeting.b), (meeting.b, meeting.a)):
            number, side = _side(piece, meeting, joint, (own, mate), (lattice, places))
            sides[own][number] = side
    return tuple(
        _part(piece, index, (own[0], own[1], own[2], own[3]), cutter)
        for index, own in enumerate(sides)
    )


def own_spans(piece: Piece, plans: Plans) -> dict[tuple[str, str], tuple[float, float]]:
    """Where along its corner each joint runs, blocks of third panels left out. [mm]

    Parameters
    ----------
    piece : Piece
        The panels.
    plans : Plans
        Their joints.

    Returns
    -------
    dict
        From the names of two parts to the low and the high end, in the axes of their lattice.
    """
    spans = {}
    for meeting, joint in zip(plans.corners, plans.joints, strict=True):
        low, high = meeting.low[meeting.axis], meeting.high[meeting.axis]
        mates = (joint.lead, joint.follow)
        shares = [
            end.block if end.owner is not None and end.owner not in mates else 0.0
            for end in joint.plan.ends
        ]
        names = piece.panels[meeting.a].name, piece.panels[meeting.b].name
        spans[names] = (low + shares[0], high - shares[1])
    return spans


def _places(lattices: Sequence[Lattice]) -> dict[int, int]:
    """Row of each panel in its lattice."""
    return {panel: row for lattice in lattices for row, panel in enumerate(lattice.panels)}


def _side(
    piece: Piece,
    meeting: Meeting,
    joint: Joint,
    panels: tuple[int, int],
    where: tuple[Lattice, dict[int, int]],
) -> tuple[int, Side]:
    """Which side of a panel a corner lies on, and that side."""
    own, mate = panels
    lattice, places = where
    row, mate_row = places[own], places[mate]
    axes = lattice.axes[row].tolist()
    signs = lattice.signs[row].tolist()
    across = axes.index(int(lattice.axes[mate_row, 2]))
    along = axes.index(meeting.axis)
    at_low = lattice.low[mate_row, axes[across]] <= lattice.low[row, axes[across]]
    far = at_low == (signs[across] < 0)
    number = {(1, False): 0, (0, True): 1, (1, True): 2, (0, False): 3}[across, bool(far)]
    length = piece.panels[own].width if along == 0 else piece.panels[own].height
    # The walk is counter-clockwise: with u along the bottom, with v up the right side, then back.
    backward = (signs[along] < 0) != (number in (2, 3))
    offset = meeting.low[meeting.axis] - float(lattice.low[row, meeting.axis])
    name = piece.panels[own].name
    side = finger_side(
        joint.plan,
        leads=joint.lead == name,
        walk=(offset, length, backward),
        levels=(joint.proud_of(name), -piece.panels[mate].thickness),
        flank_gap=joint.flank_gap,
    )
    return number, side


def _part(piece: Piece, index: int, sides: tuple[Side, Side, Side, Side], cutter: Cutter) -> Part:
    panel = piece.panels[index]
    loop, inside = outline(panel, sides)
    drawn, left = cut_and_left(loop, inside, cutter)
    face = panel.good_face or Face.B
    cut = Cut(Purpose.OUTLINE, drawn, face, 0.0, panel.thickness)
    return Part(panel, (cut,), left, label=panel.name)
