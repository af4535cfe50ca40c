"""Corners that are cut in one go: those for which jig and blade stay as they are set.

Vocabulary
----------
batch
    Corners with one setting of the jig.
datum edge
    The edge of a board from which a corner is counted; it bears on the pin, and takes the rule.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from dryfit.cutting.jig import Gang, gang, setting_of
from dryfit.cutting.marks import marks_of
from dryfit.joints.planning import joined
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from dryfit.cutting.jig import Board, Setting
    from dryfit.cutting.marks import Marks
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.cutter import Cutter
    from dryfit.model.meeting import Meeting
    from dryfit.model.panel import Vector
    from dryfit.model.piece import Piece

_EDGES = (("left edge", "right edge"), ("front edge", "back edge"), ("lower edge", "upper edge"))


@dataclass(frozen=True, slots=True)
class Batch:
    """Corners that share a setting.

    Parameters
    ----------
    settings : tuple of Setting
        One for each corner; they differ in the boards' names, thickness and depth alone.
    datum : str
        Which edge bears on the pin.
    times : int
        How often the piece is made. [-]
    """

    settings: tuple[Setting, ...]
    datum: str
    times: int

    @property
    def setting(self) -> Setting:
        """What all of them share."""
        return self.settings[0]

    @property
    def beside_a_third(self) -> bool:
        """Whether the divisions begin or end at a block of another panel."""
        first = self.setting
        members = (None, first.lead.panel, first.follow.panel)
        return any(owner not in members for owner in first.owners)

    @property
    def leads(self) -> tuple[Board, ...]:
        """The board that leads in each corner."""
        return tuple(each.lead for each in self.settings)

    @property
    def follows(self) -> tuple[Board, ...]:
        """The board that follows in each corner."""
        return tuple(each.follow for each in self.settings)

    def gang(self, boards: tuple[Board, ...]) -> Gang:
        """How the boards that lead, or those that follow, are ganged over all pieces."""
        thickest = max(boards, key=lambda board: board.thickness)
        many = len({board.panel for board in boards}) * self.times
        return gang(thickest, many, len(boards) * self.times, self.setting.tool.passes)


@dataclass(frozen=True, slots=True)
class MarkedBatch:
    """Corners that are marked out alike: the marks of each, and the edge they are counted from."""

    marks: tuple[Marks, ...]
    datum: str


def batches(
    piece: Piece, plans: Plans, cutter: Cutter, step_sd: float, times: int
) -> tuple[Batch, ...]:
    """The finger joints of a piece by their setting, in the order in which they are cut.

    Those beside a block of a third panel come first, while their datum edges are whole.

    Parameters
    ----------
    piece : Piece
        Its panels.
    plans : Plans
        Its joints.
    cutter : Cutter
        What cuts.
    step_sd : float
        Standard deviation of one step of the jig. [mm]
    times : int
        How often the piece is made. [-]

    Raises
    ------
    SizeError
        If the blade is wider than some socket.
    """
    found: dict[tuple[object, ...], list[Setting]] = {}
    for meeting, joint in _fingers(plans):
        mates = piece.panel(joint.lead), piece.panel(joint.follow)
        one = setting_of(joint, mates, cutter, step_sd)
        key = (
            one.tool, one.gap, one.count, one.start, round(one.length, 6), one.end, one.free,
            tuple(owner and _role(joint, owner) for owner in one.owners),
            datum_edge(piece, plans, meeting),
        )  # fmt: skip
        found.setdefault(key, []).append(one)
    made = [Batch(tuple(each), str(key[-1]), times) for key, each in found.items()]
    return tuple(sorted(made, key=lambda batch: not batch.beside_a_third))


def marked(piece: Piece, plans: Plans, grid: float) -> tuple[MarkedBatch, ...]:
    """The finger joints of a piece by their marks, in the order in which each first comes.

    Parameters
    ----------
    piece : Piece
        Its panels.
    plans : Plans
        Its joints.
    grid : float
        What the rule shows. [mm]

    Raises
    ------
    SizeError
        If some fingers are narrower than the rule's steps.
    """
    found: dict[tuple[object, ...], list[Marks]] = {}
    for meeting, joint in _fingers(plans):
        made = marks_of(joint, (piece.panel(joint.lead), piece.panel(joint.follow)), grid)
        key = made.marks, made.gap, datum_edge(piece, plans, meeting)
        found.setdefault(key, []).append(made)
    return tuple(MarkedBatch(tuple(each), str(key[-1])) for key, each in found.items())


def datum_edge(piece: Piece, plans: Plans, meeting: Meeting) -> str:
    """The edge of both boards from which their corner is counted, as it lies in the piece."""
    along = _along(piece, plans, meeting)
    axis = max(range(3), key=lambda k: (round(abs(along[k]), 6), k))
    return _EDGES[axis][along[axis] < 0]


def _along(piece: Piece, plans: Plans, meeting: Meeting) -> Vector:
    """The direction in which a corner is counted."""
    if meeting.kind is not MeetingKind.ANGLED:
        x, y, z = plans.meetings.lattices[meeting.lattice].turn[meeting.axis].tolist()
        return x, y, z
    corner = next(c for c in plans.meetings.angled if (c.a, c.b) == (meeting.a, meeting.b))
    panel = piece.panels[corner.a]
    begin = panel.corners[corner.sides[0]]
    end = panel.corners[(corner.sides[0] + 1) % len(panel.corners)]
    du, dv = end[0] - begin[0], end[1] - begin[1]
    size = hypot(du, dv)
    x, y, z = ((du * u + dv * v) / size for u, v in zip(panel.frame.u, panel.frame.v, strict=True))
    return x, y, z


def _fingers(plans: Plans) -> Iterator[tuple[Meeting, Joint]]:
    """The finger joints with their meetings."""
    pairs: Iterable[tuple[Meeting, Joint]] = zip(joined(plans.meetings), plans.joints, strict=True)
    for meeting, joint in pairs:
        if joint.kind is Kind.FINGER:
            yield meeting, joint


def _role(joint: Joint, owner: str) -> str:
    """Which of the two an owner is, or that it is a third."""
    return {joint.lead: "lead", joint.follow: "follow"}.get(owner, owner)
