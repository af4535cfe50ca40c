"""From joints to parts: every panel with its sides, its relief and its as-cut shape."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from dryfit.model.meeting import MeetingKind
from dryfit.model.panel import Face
from dryfit.parts.ascut import cut_and_left, mortise
from dryfit.parts.facets import facets
from dryfit.parts.features import Features, Share, add
from dryfit.parts.outline import laid_out, outline
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.parts.shaped import WEB, opening, shaped, with_room
from dryfit.parts.trench import trench
from dryfit.shapes.profile import Profile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.planning import Plans
    from dryfit.model.cutter import Cutter
    from dryfit.model.lattice import Lattice
    from dryfit.model.opening import Opening, ShapedCorner
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece
    from dryfit.parts.features import Rectangle, Trench
    from dryfit.parts.outline import Side, Stretch


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
    features = [Features() for _ in piece.panels]
    places = _places(plans.meetings.lattices)
    edged = facets(piece, plans)
    for meeting, joint in zip(plans.joined, plans.joints, strict=True):
        if meeting.kind is MeetingKind.ANGLED:
            continue
        seats = plans.meetings.lattices[meeting.lattice].seats
        for own, mate in ((meeting.a, meeting.b), (meeting.b, meeting.a)):
            where = seats[places[own]], seats[places[mate]]
            add(Share(piece, *where, meeting, joint, own, mate), features[own])
    return tuple(
        _part(panel, asked, edged.get(index), cutter)
        for index, (panel, asked) in enumerate(zip(piece.panels, features, strict=True))
    )


def own_spans(piece: Piece, plans: Plans) -> dict[tuple[str, str], list[tuple[float, float]]]:
    """Where along its meeting each joint runs, what third panels claim left out. [mm]

    Parameters
    ----------
    piece : Piece
        The panels.
    plans : Plans
        Their joints.

    Returns
    -------
    dict
        From the names of two parts to low and high ends, in the axes of their lattice.
    """
    spans = {}
    for meeting, joint in zip(plans.joined, plans.joints, strict=True):
        if meeting.kind is MeetingKind.ANGLED:
            continue
        low = meeting.low[meeting.axis]
        stretches = []
        for plan in joint.segments:
            first, last = (end.carried for end in plan.ends)
            begin = low + plan.start - first
            stretches.append((begin, begin + first + plan.length + last))
        names = piece.panels[meeting.a].name, piece.panels[meeting.b].name
        spans[names] = stretches
    return spans


def _places(lattices: Sequence[Lattice]) -> dict[int, int]:
    """Row of each panel in its lattice."""
    return {panel: row for lattice in lattices for row, panel in enumerate(lattice.panels)}


@dataclass(frozen=True, slots=True)
class _Order:
    """What one panel is cut by, whatever it is called and wherever it stands.

    `size` is its width, height and thickness [mm], `sides` what lies along each of them.
    """

    size: tuple[float, float, float]
    good_face: Face | None
    openings: tuple[Opening, ...]
    shaped: tuple[ShapedCorner, ...]
    sides: tuple[tuple[Stretch, ...], ...]
    mortises: tuple[tuple[Rectangle, bool], ...]
    trenches: tuple[Trench, ...]
    cutter: Cutter


def _part(panel: Panel, asked: Features, edged: tuple[Side, ...] | None, cutter: Cutter) -> Part:
    order = _Order(
        (panel.width, panel.height, panel.thickness),
        panel.good_face,
        tuple(with_room(panel, [zone for _, zone in asked.zones], min(cutter.radius, WEB))),
        panel.shaped,
        tuple((*asked.bases[k], *asked.stretches[k], *asked.slots[k]) for k in range(4)),
        tuple(asked.mortises),
        tuple(asked.trenches),
        cutter,
    )
    cuts, as_cut = (
        _shapes(order, panel, edged) if edged else remembered_shapes(_Blank(order, panel))
    )
    return Part(panel, cuts, as_cut, panel.name, tuple(asked.zones))


@dataclass(frozen=True, slots=True)
class _Blank:
    """An order with the panel that placed it, which does not count when two are compared."""

    order: _Order
    panel: Panel = field(compare=False)


@lru_cache(maxsize=2048)
def remembered_shapes(blank: _Blank) -> tuple[tuple[Cut, ...], Profile]:
    """The shapes of a rectangular panel: shelves repeat, and an edit leaves most panels alone."""
    return _shapes(blank.order, blank.panel, _sides(blank.order))


def _sides(order: _Order) -> tuple[Side, ...]:
    """The four sides of a panel square to its mates."""
    width, height, _ = order.size
    # The walk is counter-clockwise: with u along the bottom, with v up the right side, then back.
    return tuple(
        laid_out(stretches, length, backward=k > 1)
        for k, (stretches, length) in enumerate(
            zip(order.sides, (width, height, width, height), strict=True)
        )
    )


def _shapes(
    order: _Order, panel: Panel, sides: tuple[Side, ...]
) -> tuple[tuple[Cut, ...], Profile]:
    """What to cut, outline first, and what the ideal cutter leaves."""
    cutter = order.cutter
    loop, inside = shaped(panel, *outline(panel, sides))
    drawn, left = cut_and_left(loop, inside, cutter)
    holes = [mortise(*each, cutter) for each in order.mortises]
    face = panel.good_face or Face.B
    cuts = [Cut(Purpose.OUTLINE, drawn, face, 0.0, panel.thickness)]
    cuts += [Cut(Purpose.MORTISE, hole, face, 0.0, panel.thickness) for hole, _ in holes]
    cuts += [
        Cut(Purpose.TRENCH, trench(panel, each, cutter.radius), each.face, 0.0, each.depth)
        for each in order.trenches
    ]
    cuts += [
        Cut(Purpose.OPENING, opening(panel, each), face, 0.0, panel.thickness)
        for each in order.openings
    ]
    taken = [hole for _, hole in holes]
    taken += [cut.profile.outer for cut in cuts if cut.purpose is Purpose.OPENING]
    return tuple(cuts), Profile(left.outer, (*left.holes, *(hole.reversed() for hole in taken)))
