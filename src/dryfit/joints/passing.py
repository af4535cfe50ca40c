"""Joints where a panel passes into or through another: tenons, housings and halvings.

Vocabulary
----------
tenon
    A finger in the edge of one panel that passes through a mortise in the face of another. The
    face keeps both ends of every stretch, so tenons are set back from the ends.
housing
    A trench of part depth in a face that holds a whole edge.
halving
    Two panels slotted half the height they share; the one that owns the low half is slotted from
    above.

A third panel may claim a stretch of the meeting; what is left over is planned piece by piece.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.joints.joint import End, Extent, FingerPlan
from dryfit.joints.plan import choose_count
from dryfit.model.kind import Kind
from dryfit.model.meeting import MeetingKind
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.joints.plan import Proportion
    from dryfit.model.meeting import Meeting, Meetings
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece, Wish

OPEN = (End(None, 0.0, 0.0), End(None, 0.0, 0.0))
"""Ends that no third panel shares."""


def kind_of(meeting: Meeting, wish: Wish) -> Kind:
    """The joint that a meeting takes; of trenches of part depth, the one that was wished."""
    if meeting.kind is MeetingKind.CORNER:
        return Kind.FINGER
    if meeting.kind is MeetingKind.CROSSING:
        return Kind.HALVING
    if meeting.through:
        return Kind.TENON
    return wish.kind if wish.kind is not None and wish.kind.is_captive else Kind.HOUSING


def stopped(meeting: Meeting, kind: Kind, wish: Wish) -> list[tuple[float, float]]:
    """Stretches at the ends where a housing stops and its face keeps the wood. [mm]"""
    if kind is not Kind.HOUSING or wish.stop is None:
        return []
    low, high = meeting.low[meeting.axis], meeting.high[meeting.axis]
    ends = (low, low + wish.stop[0]), (high - wish.stop[1], high)
    return [(begin, end) for begin, end in ends if end - begin > SAME]


def free(meeting: Meeting, taken: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches of a meeting that nobody else takes, from its low end. [mm]

    Parameters
    ----------
    meeting : Meeting
        A tee or a crossing.
    taken : sequence of pair of float
        Stretches in the lattice's axis. [mm]
    """
    begin, end = meeting.low[meeting.axis], meeting.high[meeting.axis]
    found, at = [], begin
    for low, high in sorted(taken):
        if low - at > SAME:
            found.append((at - begin, low - begin))
        at = max(at, high)
    if end - at > SAME:
        found.append((at - begin, end - begin))
    # A meeting of which nothing is left is planned whole; the dry fit will say that it overlaps.
    return [(round(low, 9), round(high, 9)) for low, high in found] or [(0.0, end - begin)]


def yielded(meeting: Meeting) -> list[tuple[float, float]]:
    """Stretches that neither of the two panels may have. [mm]"""
    return [(claim.low, claim.high) for claim in meeting.claims if claim.yields]


def tenon_plans(
    stretches: Sequence[tuple[float, float]],
    members: tuple[str, str],
    proportion: Proportion,
    count: int | None,
) -> tuple[FingerPlan, ...]:
    """An odd plan for every stretch, led by the face.

    Parameters
    ----------
    stretches : sequence of pair of float
        What there is to divide, from the meeting's low end. [mm]
    members : pair of str
        The two panels.
    proportion : Proportion
        Wanted, least and most width. [mm]
    count : int, optional
        The number of divisions that was asked for, odd and at least 3.
    """
    plans = []
    for low, high in stretches:
        extent = Extent(round(high - low, 9), (0.0, 0.0), (None, None), members)
        chosen = count if count is not None else choose_count(extent, proportion, odd=True)
        plans.append(FingerPlan(low, extent.length, chosen, OPEN))
    return tuple(plans)


def whole_plans(stretches: Sequence[tuple[float, float]], count: int) -> tuple[FingerPlan, ...]:
    """Every stretch divided into `count`: 1 for a housing, 2 for a halving. [mm]"""
    return tuple(FingerPlan(low, round(high - low, 9), count, OPEN) for low, high in stretches)


class Crossings:
    """Who owns which half where two panels pass through each other.

    All panels of one direction are treated alike: the direction of the smaller rank, then of the
    larger faces, owns the halves beside a third panel that both end at, or else the low ones,
    wherever both slots then run out at an edge. What the maker asked for comes first.
    """

    def __init__(self, piece: Piece, meetings: Meetings) -> None:
        self.meetings = meetings
        self.rows = {
            panel: row for lattice in meetings.lattices for row, panel in enumerate(lattice.panels)
        }
        self.pairs = {(m.a, m.b): m for m in meetings.meetings if m.kind is MeetingKind.CROSSING}
        self.ends_at: dict[int, set[int]] = {}
        for meeting in meetings.meetings:
            if meeting.edge >= 0:
                self.ends_at.setdefault(meeting.edge, set()).add(meeting.face)
        order = self._precedence(piece.panels)
        self.low_owner = {
            pair: self._decide(piece, meeting, order) for pair, meeting in self.pairs.items()
        }

    def _decide(
        self, piece: Piece, meeting: Meeting, order: Mapping[int, tuple[float, ...]]
    ) -> int:
        pair = sorted((meeting.a, meeting.b), key=lambda panel: order[panel])
        if self._stands_high(meeting):
            pair.reverse()
        wish = piece.wish_for(*(piece.panels[panel].name for panel in pair))
        asked = [panel for panel in pair if piece.panels[panel].name == wish.leads]
        slotted = [panel for panel in pair if self._runs_out(meeting, panel)]
        return (asked or slotted or pair)[0]

    def _precedence(self, panels: Sequence[Panel]) -> dict[int, tuple[float, ...]]:
        """Precedence of every panel, the same for all of one direction and rank."""
        totals: dict[tuple[int, int], float] = {}
        home: dict[int, tuple[int, int]] = {}
        for number, lattice in enumerate(self.meetings.lattices):
            for row, panel in enumerate(lattice.panels):
                home[panel] = number, int(lattice.axes[row, 2])
                area = panels[panel].width * panels[panel].height
                totals[home[panel]] = totals.get(home[panel], 0.0) + area
        return {
            panel: (float(panels[panel].rank), -round(totals[where], 6), float(where[1]))
            for panel, where in home.items()
        }

    def _stands_high(self, meeting: Meeting) -> bool:
        """Whether a third panel that both end at lies at the high end, and none at the low one."""
        lattice, axis = self.meetings.lattices[meeting.lattice], meeting.axis
        middle = (meeting.low[axis] + meeting.high[axis]) / 2
        ends = self.ends_at.get(meeting.a, set()) & self.ends_at.get(meeting.b, set())
        rows = [self.rows[face] for face in ends]
        across = [row for row in rows if int(lattice.axes[row, 2]) == axis]
        return bool(across) and not any(lattice.low[row, axis] < middle for row in across)

    def _runs_out(self, meeting: Meeting, low_owner: int) -> bool:
        """Whether both slots run out at an edge when this panel owns the low half."""
        lattice, axis = self.meetings.lattices[meeting.lattice], meeting.axis
        own, other = self.rows[low_owner], self.rows[meeting.a + meeting.b - low_owner]
        above = abs(lattice.high[own, axis] - meeting.high[axis]) < SAME
        below = abs(lattice.low[other, axis] - meeting.low[axis]) < SAME
        return bool(above and below)

    def slots_run_out(self, meeting: Meeting) -> bool:
        """Whether both slots of a crossing run out at an edge, so that it can be put together."""
        return self._runs_out(meeting, self.low_owner[meeting.a, meeting.b])

    def claims(self, housing: Meeting) -> list[tuple[float, float]]:
        """Stretches of a housing that belong to a panel which crosses its edge panel there. [mm]

        Where two panels that cross both sit in trenches of one face, the block goes to the one
        that owns the half on that face's side.
        """
        lattice = self.meetings.lattices[housing.lattice]
        found = []
        for claim in housing.claims:
            if claim.yields:
                continue
            pair = min(housing.edge, claim.third), max(housing.edge, claim.third)
            crossing = self.pairs[pair]
            face = self.rows[housing.face]
            at_low = lattice.low[face, crossing.axis] < crossing.low[crossing.axis] + SAME
            owner = self.low_owner[pair] if at_low else sum(pair) - self.low_owner[pair]
            if owner != housing.edge:
                found.append((claim.low, claim.high))
        return found
