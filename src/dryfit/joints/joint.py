"""A joint: a meeting, the plan that divides it and who owns what.

Vocabulary
----------
division
    One finger of one panel, which is one socket of the other.
plan length
    The stretch of the corner that the plan divides evenly: the corner's length less each end
    block owned by a third panel, and less each block wider than a division.
end block
    The piece of the corner at one end that a third panel's reach shares.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from dryfit.model.kind import Kind


@dataclass(frozen=True, slots=True)
class End:
    """One end of a finger plan.

    Parameters
    ----------
    owner : str, optional
        Panel that owns the end block; None where no third panel reaches into the end.
    block : float
        Length of the end block along the corner; 0 where there is none. [mm]
    carried : float
        What the end finger carries beyond its even width: the block, where the block is owned by
        one of the two panels and is not narrower than a division; else 0. [mm]
    """

    owner: str | None
    block: float
    carried: float


@dataclass(frozen=True, slots=True)
class FingerPlan:
    """The division of one corner into fingers and sockets.

    Parameters
    ----------
    start : float
        Where the even divisions begin, from the low end of the corner. [mm]
    length : float
        Plan length L. [mm]
    count : int
        Number of divisions n. [-]
    ends : pair of End
        The low end (the datum) and the high end.
    """

    start: float
    length: float
    count: int
    ends: tuple[End, End]

    @property
    def width(self) -> float:
        """Width of every division, L / n, before gaps. [mm]"""
        return self.length / self.count

    @property
    def sockets(self) -> int:
        """Sockets on the lead panel, N. [-]"""
        return self.count // 2

    @property
    def boundaries(self) -> tuple[float, ...]:
        """The n + 1 boundaries of the divisions, from the low end of the corner. [mm]"""
        return tuple(self.start + self.length * k / self.count for k in range(self.count + 1))


@dataclass(frozen=True, slots=True)
class Extent:
    """A corner, before it is divided.

    Parameters
    ----------
    length : float
        The whole corner, end blocks included. [mm]
    blocks : pair of float
        Length of the end block at the low and the high end, 0 where there is none. [mm]
    owners : pair of str, optional
        Who owns each end block; None where there is none.
    members : pair of str
        The two panels.
    beside : bool
        Whether the even divisions run beside every end block, also where one would fit inside the
        end finger: at corners that are not square.
    """

    length: float
    blocks: tuple[float, float]
    owners: tuple[str | None, str | None]
    members: tuple[str, str]
    beside: bool = False

    @property
    def open_length(self) -> float:
        """The corner less each block that a third panel owns: what the two can share. [mm]"""
        return self.length - sum(
            block
            for block, owner in zip(self.blocks, self.owners, strict=True)
            if owner is not None and owner not in self.members
        )

    def plan(self, count: int) -> FingerPlan:
        """The plan of `count` even divisions.

        An end block of one of the two panels lies inside its end finger when that is wider. When
        it is not, the even divisions run beside the block, and the end finger carries it.
        """
        carried = [0.0, 0.0]
        length = self.open_length
        # Leaving a block out makes the divisions narrower still, so one more pass settles both.
        for _ in range(2):
            for end in (0, 1):
                if self.owners[end] in self.members and carried[end] == 0.0:
                    inside = self.blocks[end] < length / count and not self.beside
                    carried[end] = 0.0 if inside else self.blocks[end]
            length = self.open_length - sum(carried)
        third = self.owners[0] is not None and self.owners[0] not in self.members
        start = (self.blocks[0] if third else 0.0) + carried[0]
        ends = (
            End(self.owners[0], self.blocks[0], carried[0]),
            End(self.owners[1], self.blocks[1], carried[1]),
        )
        return FingerPlan(start, length, count, ends)


@dataclass(frozen=True, slots=True)
class Joint:
    """One meeting, planned.

    Parameters
    ----------
    id : str
        The two panels' names in the order of the piece, joined by ``+``.
    kind : Kind
        How the meeting is shared.
    lead, follow : str
        The panel that owns the first division from the datum, and the other.
    extent : Extent
        The corner before it was divided.
    plan : FingerPlan
        Who owns which stretch.
    flank_gap : float
        Air at one flank. [mm]
    proud : mapping of str to float
        Extra length of each panel's fingers. [mm]
    others : tuple of FingerPlan
        Further plans, where panels that pass through divide the meeting.
    room : float
        Depth that a groove leaves beyond the edge it holds. [mm]
    """

    id: str
    kind: Kind
    lead: str
    follow: str
    extent: Extent
    plan: FingerPlan
    flank_gap: float
    proud: tuple[tuple[str, float], ...]
    others: tuple[FingerPlan, ...] = ()
    room: float = 0.0

    @property
    def segments(self) -> tuple[FingerPlan, ...]:
        """Every plan of the joint, from the low end."""
        return (self.plan, *self.others)

    @property
    def is_divided(self) -> bool:
        """Whether it is divided into fingers or tenons."""
        return self.kind in (Kind.FINGER, Kind.TENON)

    @property
    def fingers(self) -> dict[str, int]:
        """Number of fingers of each panel. [-]"""
        counts = [plan.count for plan in self.segments]
        return {
            self.lead: sum((count + 1) // 2 for count in counts),
            self.follow: sum(count // 2 for count in counts),
        }

    def owned(self, panel: str) -> list[tuple[float, float]]:
        """Stretches that `panel` owns, from the meeting's low end, less carried blocks. [mm]"""
        first = 0 if panel == self.lead else 1
        return [
            stretch
            for plan in self.segments
            for stretch in list(pairwise(plan.boundaries))[first::2]
        ]

    def proud_of(self, panel: str) -> float:
        """Extra length of that panel's fingers. [mm]"""
        return dict(self.proud)[panel]

    def other(self, panel: str) -> str:
        """The panel that `panel` meets here."""
        return self.follow if panel == self.lead else self.lead
