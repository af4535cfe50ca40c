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

from dryfit.cutting.stack import MakeUp, nearest, passes, widest_under

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel

OVER = 5.0
"""How much wider than the finished part a board goes to the jig (common practice, no source). [mm]
"""

THICKEST_GANG = 45.0
"""Boards are cut together up to this thickness (common practice, no source). [mm]"""

SLACK = 0.05
"""What a make-up may miss where the flank gap is less (common practice, no source). [mm]"""

MOST_LIKELY = 1.96
"""95 in 100 of a normal spread lie within this many standard deviations. [-]"""


@dataclass(frozen=True, slots=True)
class Tool:
    """What cuts one socket.

    Parameters
    ----------
    width : float
        What it cuts in one pass. [mm]
    socket : float
        The width that is wanted. [mm]
    passes : int
        Passes over each socket. [-]
    step : float
        How far the board moves between two passes. [mm]
    make_up : MakeUp, optional
        What is put on the arbor; None where the job states a width and no blades.
    """

    width: float
    socket: float
    passes: int
    step: float
    make_up: MakeUp | None = None

    @property
    def cut(self) -> float:
        """Width of the socket as it is cut. [mm]"""
        return round(self.width + self.step * (self.passes - 1), 9)

    @property
    def error(self) -> float:
        """How much wider the socket comes out than wanted. [mm]"""
        return round(self.cut - self.socket, 9)


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
    def slip(self) -> float:
        """Thickness of the slip that evens the air; 0 for a press fit. [mm]"""
        return max(self.gap, 0.0)

    @property
    def board_width(self) -> float:
        """Least width of the boards before they are cut, ripped after. [mm]"""
        return max(self.whole, self.lead_width) + OVER

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


def gang(board: Board, ends: int, passes_each: int) -> Gang:
    """How boards of one kind are ganged, and how many cuts that makes.

    Parameters
    ----------
    board : Board
        One of them.
    ends : int
        Ends to cut. [-]
    passes_each : int
        Passes over each socket. [-]
    """
    together = min(max(1, floor(THICKEST_GANG / board.thickness)), ends)
    rounds = -(-ends // together)
    return Gang(together, ends, rounds * board.sockets * passes_each)


def tool_for(cutter: Cutter, socket: float, gap: float) -> Tool:
    """What cuts a socket: the nearest make-up in one pass, else a narrower one in several.

    Parameters
    ----------
    cutter : Cutter
        Blade and blades owned.
    socket : float
        Width of the socket. [mm]
    gap : float
        Air at one flank, within which a make-up may miss. [mm]

    Raises
    ------
    SizeError
        If what there is is wider than the socket.
    """
    if cutter.owned is None:
        every = passes(cutter.size, socket)
        return Tool(cutter.size, socket, every.count, every.step)
    best = nearest(cutter.owned, socket)
    if abs(best.width - socket) <= slack(gap):
        return Tool(best.width, socket, 1, 0.0, best)
    under = widest_under(cutter.owned, socket)
    width = best.width if under is None else under.width
    every = passes(width, socket)
    return Tool(width, socket, every.count, every.step, under)


def slack(gap: float) -> float:
    """What a make-up may miss the wanted width by: a flank `gap` [mm], 0.05 mm at least. [mm]"""
    return max(gap, SLACK)


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
    return Setting(
        joint=joint.id,
        tool=tool,
        gap=gap,
        count=plan.count,
        start=plan.start,
        length=plan.length,
        end=round(joint.extent.length - plan.start - plan.length, 9),
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
