"""The saw's stepping jig: how pin, fence and blade are set for one corner, and what to expect.

Vocabulary
----------
jig
    A fence that rides past the blade, with a pin in it.
pin
    What the last socket is set over, so that the next lands one pitch on; as thick as a finger.
pitch
    From a socket to the next: 2 w - allowance, for a cut of width w.
set over
    To drop a socket on the pin.
slip
    A thin strip, a flank gap thick, that evens the air when the mate's first socket is cut.
drift
    How far the last finger strays: after k steps of standard deviation s, by s √k.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, sqrt
from typing import TYPE_CHECKING

from dryfit.cutting.tool import Tool, tool_for

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel

OVER = 5.0
"""How much wider than the finished part a board goes to the jig (common practice, no source). [mm]
"""

THICKEST_GANG = 45.0
"""Boards are cut together up to this thickness (common practice, no source). [mm]"""

OVER_BLADE = 50.0
"""How far backing and exit block stand over the blade (common practice, no source). [mm]"""

MOST_LIKELY = 1.96
"""95 in 100 of a normal spread lie within this many standard deviations. [-]"""


@dataclass(frozen=True, slots=True)
class Board:
    """One of the two boards of a corner, as it stands on the jig.

    Parameters
    ----------
    panel : str
        Its name.
    first : float
        From the datum edge to the near flank of its first socket; 0 or less where that socket runs
        out at the edge. [mm]
    sockets : int
        How many are cut. [-]
    depth : float
        Height of the blade over the jig's floor: the mate's thickness and what stands proud. [mm]
    thickness : float
        Its own thickness. [mm]
    stands, width : float
        How high it stands over the jig, and its size along the fingers. [mm]
    """

    panel: str
    first: float
    sockets: int
    depth: float
    thickness: float
    stands: float
    width: float


@dataclass(frozen=True, slots=True)
class Setting:
    """How the jig is set for one corner.

    Parameters
    ----------
    joint : str
        Its id.
    tool : Tool
        What cuts the sockets.
    gap : float
        Air at one flank. [mm]
    count : int
        Fingers and sockets together, n. [-]
    start, length, end : float
        Before the even divisions, their length as drawn, and what comes after. [mm]
    owners : pair of str, optional
        Who owns what lies before and after them; None where nothing does.
    free : bool
        Whether no other joint lies at the far edge, so that it can be ripped after.
    lead, follow : Board
        The board that has the first finger, and its mate.
    step_sd : float
        Standard deviation of one step of the jig. [mm]
    """

    joint: str
    tool: Tool
    gap: float
    count: int
    start: float
    length: float
    end: float
    owners: tuple[str | None, str | None]
    free: bool
    lead: Board
    follow: Board
    step_sd: float

    @property
    def allowance(self) -> float:
        """Air at a finger: two flank gaps. [mm]"""
        return 2 * self.gap

    @property
    def pitch(self) -> float:
        """From a socket to the next, 2 w - allowance. [mm]"""
        return round(2 * self.tool.cut - self.allowance, 9)

    @property
    def finger(self) -> float:
        """Width of a finger and of the pin, pitch - w. [mm]"""
        return round(self.pitch - self.tool.cut, 9)

    @property
    def lead_width(self) -> float:
        """Width of the lead at which its last finger is as wide as the others.

        N · pitch + (pitch - w) for N sockets between N + 1 fingers; N · pitch where the plan ends
        on a socket. Blocks before and after the divisions come on top. [mm]
        """
        sockets = self.count // 2
        last = self.finger if self.count % 2 else 0.0
        return round(self.start + sockets * self.pitch + last + self.end, 9)

    @property
    def whole(self) -> float:
        """Width of the finished boards: the corner as drawn. [mm]"""
        return round(self.start + self.length + self.end, 9)

    @property
    def last_finger(self) -> float:
        """How much wider than the others the last finger is, once ripped to the drawn width. [mm]

        Where the plan is even it is the mate's last finger.
        """
        return round(self.whole - self.lead_width, 9)

    @property
    def reaches(self) -> tuple[float, ...]:
        """From the pin's face to the near side of the blade, for each series of passes. [mm]

        The first series cuts the far flanks, which bear on the pin ever after; each further one
        comes a step nearer, and the last is a finger away.
        """
        tool = self.tool
        return tuple(round(self.finger + k * tool.step, 9) for k in range(tool.passes - 1, -1, -1))

    @property
    def pin(self) -> float:
        """The thickest that the pin may be: a finger, and loose in what the first series cuts. [mm]

        Only its face towards the blade is borne on.
        """
        return round(min(self.finger, self.tool.width - max(self.allowance, 0.0)), 9)

    @property
    def slip(self) -> float:
        """Thickness of the slip that evens the air; 0 for a press fit. [mm]"""
        return max(self.gap, 0.0)

    @property
    def board_width(self) -> float:
        """Least width of the boards before they are cut; over what they become, if free. [mm]"""
        return max(self.whole, self.lead_width) + OVER if self.free else self.whole

    @property
    def check_after(self) -> int:
        """Sockets of the lead after which to measure: half of them, one at least. [-]"""
        return max(1, (self.lead.sockets + 1) // 2)

    @property
    def check(self) -> float:
        """From the datum edge to the far flank of that socket, if all is well. [mm]"""
        return round(self.start + self.check_after * self.pitch, 9)

    def drift(self, steps: int) -> float:
        """How far the last of so many steps strays, 95 in 100. [mm]

        Notes
        -----
        Independent errors add up as a walk: s √k after k steps (docs/theory/odds.md).
        """
        return MOST_LIKELY * self.step_sd * sqrt(steps)

    def sockets_of(self, board: Board) -> tuple[tuple[float, float], ...]:
        """Low and high flank of each socket of a board, from its datum edge. [mm]"""
        return tuple(
            (board.first + k * self.pitch, board.first + k * self.pitch + self.tool.cut)
            for k in range(board.sockets)
        )

    def left_over(self, board: Board) -> float:
        """What a board keeps beyond a last socket that has to run out at the far edge. [mm]

        The mate's where the plan is odd, the lead's where it is even; 0 for the other board.
        """
        if not self._ends_on_a_socket(board):
            return 0.0
        far = self.sockets_of(board)[-1][1]
        return max(round(self.start + self.length - far, 9), 0.0)

    def wood(self, board: Board) -> tuple[tuple[float, float], ...]:
        """Where a board keeps its wood along the corner, once ripped and cleared. [mm]

        What lies before and after the divisions is its own only if it owns it.
        """
        begin, high = self.start, self.start + self.length
        begin = 0.0 if self.owners[0] in (None, board.panel) else begin
        high = self.whole if self.owners[1] in (None, board.panel) else high
        kept = []
        for near, far in self.sockets_of(board):
            if near > begin:
                kept.append((begin, min(near, high)))
            begin = max(begin, far)
        if not self._ends_on_a_socket(board):
            kept.append((begin, high))
        return tuple(kept)

    def _ends_on_a_socket(self, board: Board) -> bool:
        """Whether a board's last division is a socket."""
        return (board == self.follow) is bool(self.count % 2)


@dataclass(frozen=True, slots=True)
class Gang:
    """Boards that are cut together.

    Parameters
    ----------
    boards : int
        In one gang. [-]
    ends : int
        Board ends to cut altogether. [-]
    cuts : int
        Cuts to count over all of them, every pass one. [-]
    """

    boards: int
    ends: int
    cuts: int


def gang(board: Board, boards: int, ends: int, passes_each: int) -> Gang:
    """How boards of one kind are ganged, and how many cuts that makes.

    Parameters
    ----------
    board : Board
        The thickest of them.
    boards : int
        How many there are; both ends of one cannot stand at the blade together. [-]
    ends : int
        Ends to cut. [-]
    passes_each : int
        Passes over each socket. [-]
    """
    most = min(max(1, floor(THICKEST_GANG / board.thickness)), boards)
    rounds = -(-ends // most)
    return Gang(-(-ends // rounds), ends, rounds * board.sockets * passes_each)


def setting_of(
    joint: Joint, panels: tuple[Panel, Panel], cutter: Cutter, step_sd: float
) -> Setting:
    """How the jig is set for a finger joint.

    The lead's datum edge bears on the pin, so that its first finger is as wide as the pin; the mate
    bears on the lead's first finger, with the slip between, so that its first socket takes it.

    Parameters
    ----------
    joint : Joint
        The corner.
    panels : pair of Panel
        Its lead and its follower.
    cutter : Cutter
        What cuts.
    step_sd : float
        Standard deviation of one step of the jig. [mm]

    Raises
    ------
    SizeError
        If the blade is wider than the sockets.
    """
    plan, gap = joint.plan, joint.flank_gap
    tool = tool_for(cutter, round(plan.width + gap, 9), gap)
    finger = tool.cut - 2 * gap
    lead, follow = panels
    end = round(joint.extent.length - plan.start - plan.length, 9)
    low, high = plan.ends
    return Setting(
        joint=joint.id,
        tool=tool,
        gap=gap,
        count=plan.count,
        start=plan.start,
        length=plan.length,
        end=end,
        owners=(low.owner if plan.start else None, high.owner if end else None),
        free=high.owner is None,
        lead=_board(joint, lead, follow, plan.start + finger, plan.count // 2),
        follow=_board(joint, follow, lead, plan.start - max(gap, 0.0), (plan.count + 1) // 2),
        step_sd=step_sd,
    )


def _board(joint: Joint, panel: Panel, mate: Panel, first: float, sockets: int) -> Board:
    width, stands = sizes_at(panel, mate)
    depth = mate.thickness + joint.proud_of(panel.name)
    return Board(
        panel.name, round(first, 9), sockets, round(depth, 9), panel.thickness, stands, width
    )


def sizes_at(panel: Panel, mate: Panel) -> tuple[float, float]:
    """Size of a panel along its corner with a mate, and how high it stands on that edge. [mm]"""
    # The corner runs along whichever of u and v lies in the mate's plane.
    across = abs(sum(a * b for a, b in zip(panel.frame.u, mate.frame.n, strict=True)))
    along = abs(sum(a * b for a, b in zip(panel.frame.v, mate.frame.n, strict=True)))
    if across < along:
        return panel.width, panel.height
    return panel.height, panel.width


@dataclass(frozen=True, slots=True)
class Whole:
    """A length of corner that divides into whole fingers of one pass each.

    Parameters
    ----------
    count : int
        Fingers and sockets together. [-]
    length : float
        The corner as drawn, blocks included. [mm]
    """

    count: int
    length: float


def whole_lengths(setting: Setting, width: float) -> tuple[Whole, ...]:
    """The nearest lengths at which every socket is one pass, none longer and none shorter between.

    The nearest at or below the drawn corner and the nearest above it, counts of the same parity.

    Parameters
    ----------
    setting : Setting
        The corner.
    width : float
        What one pass cuts. [mm]
    """
    division = width - setting.gap
    if division <= 0:
        return ()
    least = 2 + setting.count % 2
    fit = floor(setting.length / division + 1e-9)
    below = fit - (fit - setting.count) % 2
    return tuple(
        Whole(count, round(count * division + setting.start + setting.end, 9))
        for count in (below, below + 2)
        if count >= least
    )
