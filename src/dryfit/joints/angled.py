"""Where the plan of an angled corner lies, who owns its ends and who leads.

Vocabulary
----------
run
    The stretch of an outer edge in which both panels have the whole depth of their joint, from the
    tips of the fingers to the shoulders. An open end that is cut at a slant lies outside of it.
vertex
    A point where three angled corners end. The panel of the smallest rank keeps its corner whole
    there, then the one that meets most others, then the one with the larger outside.
cut line
    The line to which a side of a panel is cut back at its shoulders, or the side itself where
    nothing meets it. Whatever lies on the panel's side of it is clear of the mate's slab.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from dryfit.errors import SizeError
from dryfit.joints.deciding import Decided
from dryfit.joints.dihedral import Dihedral
from dryfit.joints.joint import Extent
from dryfit.shapes.tolerances import DECIMALS, EDGE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.dihedrals import AngledCorner
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece, Wish

FloatArray = npt.NDArray[np.float64]
Pair: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Run:
    """Where the plan of one angled corner lies.

    Parameters
    ----------
    corner : AngledCorner
        The corner.
    extent : Extent
        What is to be divided; its length is that of the run, along the outer edge. [mm]
    origins : pair of float
        Where the low end lies along the side of each panel. [mm]
    forward : bool
        Whether the plan runs the way that a's side runs; then it runs against b's.
    """

    corner: AngledCorner
    extent: Extent
    origins: tuple[float, float]
    forward: bool

    def share(self, panels: Sequence[Panel], panel: int) -> Dihedral:
        """The cross-section as one of the two panels has it."""
        mate = self.corner.a + self.corner.b - panel
        return Dihedral(self.corner.angle, panels[panel].thickness, panels[mate].thickness)

    def place(self, panel: int, low: float, high: float) -> tuple[float, float, bool]:
        """A stretch from the plan's low end, along a panel's side, and whether it runs with it.

        Parameters
        ----------
        panel : int
            One of the two panels.
        low, high : float
            The stretch. [mm]
        """
        second = panel == self.corner.b
        origin, along = self.origins[second], self.forward != second
        if along:
            return origin + low, origin + high, True
        return origin - high, origin - low, False


def lay_out(panels: Sequence[Panel], corners: Sequence[AngledCorner]) -> dict[Pair, Run]:
    """The runs of all angled corners of a piece, by the two panels of each."""
    around = _Around(panels, corners)
    return {(corner.a, corner.b): _run(around, corner) for corner in corners}


def decide_angled(piece: Piece, runs: dict[Pair, Run]) -> dict[Pair, Decided]:
    """Who leads at each angled corner, and whether its plan is odd.

    One owner at both ends, or at the one end that has one, makes a plan odd with the owner leading;
    two make it even. Elsewhere the wishes are free, and without one the plan is odd: the smaller
    rank leads, then the larger outside, and of panels alike the one that comes first going
    counter-clockwise about the corner, so that all walls of an even ring are alike.
    """
    return {pair: _decided(piece, run) for pair, run in runs.items()}


class _Around:
    """The angled corners of a piece by panel and side, and what ranks the panels."""

    def __init__(self, panels: Sequence[Panel], corners: Sequence[AngledCorner]) -> None:
        self.panels = panels
        self.by_side: dict[Pair, list[AngledCorner]] = {}
        for corner in corners:
            for panel, side in zip((corner.a, corner.b), corner.sides, strict=True):
                self.by_side.setdefault((panel, side), []).append(corner)
        met = Counter(panel for corner in corners for panel in (corner.a, corner.b))
        self.keys = {
            index: (panels[index].rank, -count, -round(_area(panels[index]), 6), index)
            for index, count in met.items()
        }

    def beside(self, corner: AngledCorner, panel: int, *, at_high: bool) -> _Beside:
        """What lies on a panel beyond one end of a corner, ends taken along a's side."""
        second = panel == corner.b
        on_side = at_high != second
        side, count = corner.sides[second], len(self.panels[panel].corners)
        place = (corner.high if on_side else corner.low)[second]
        line = _Line(self.panels[panel], side, on_side)
        if abs(place - (line.length if on_side else 0.0)) > EDGE:
            return _Beside(None, None)
        next_side = (side + 1) % count if on_side else (side - 1) % count
        for other in self.by_side.get((panel, next_side), []):
            mine = other.low if on_side else other.high
            end = 0.0 if on_side else _Line(self.panels[panel], next_side, on_side).length
            if abs(mine[panel == other.b] - end) < EDGE:
                third = other.a + other.b - panel
                share = Dihedral(
                    other.angle, self.panels[panel].thickness, self.panels[third].thickness
                )
                return _Beside(line, third, share.shoulder)
        return _Beside(line, None)


@dataclass(frozen=True, slots=True)
class _Beside:
    """Beyond one end of a corner, on one panel: the corner of its outline, and who is met there.

    `line` is None where the panel runs on past the end; `cut` is the level of the cut line. [mm]
    """

    line: _Line | None
    third: int | None
    cut: float = 0.0


class _Line:
    """One side of an outline at one of its ends."""

    def __init__(self, panel: Panel, side: int, at_high: bool) -> None:
        corners = np.array(panel.corners)
        onward = np.roll(corners, -1, axis=0) - corners
        lengths = np.hypot(*onward.T)
        self.length = float(lengths[side])
        other = (side + 1) % len(corners) if at_high else side - 1
        one, two = onward[side] / lengths[side], onward[other] / lengths[other]
        self.cosine = float(one @ two)
        self.sine = abs(float(one[0] * two[1] - one[1] * two[0]))

    def crossing(self, level: float, cut: float) -> float:
        """How far from the end, inward, a level of the side meets the other side's cut line. [mm]

        Parameters
        ----------
        level, cut : float
            Levels of this side and of the other, outward positive. [mm]
        """
        return (level * self.cosine - cut) / self.sine


def _area(panel: Panel) -> float:
    u, v = np.array(panel.corners).T
    return float(u @ np.roll(v, -1) - v @ np.roll(u, -1)) / 2


def _run(around: _Around, corner: AngledCorner) -> Run:
    ends = [_end(around, corner, at_high=at_high) for at_high in (False, True)]
    forward = _runs_forward(around, corner, ends)
    (first, third), (last, other) = ends
    # An end that nobody else reaches into is left out of the run altogether.
    low = first if third is None else 0.0
    high = last if other is None else 0.0
    if corner.length - first - last < EDGE:
        _refuse(around, corner, first + last)
    names = [None if end[1] is None else around.panels[end[1]].name for end in ends]
    blocks = [0.0 if end[1] is None else end[0] for end in ends]
    if not forward:
        names, blocks = names[::-1], blocks[::-1]
    extent = Extent(
        round(corner.length - low - high, DECIMALS),
        (round(blocks[0], DECIMALS), round(blocks[1], DECIMALS)),
        (names[0], names[1]),
        (around.panels[corner.a].name, around.panels[corner.b].name),
        beside=True,
    )
    if forward:
        origins = corner.low[0] + low, corner.high[1] - low
    else:
        origins = corner.high[0] - high, corner.low[1] + high
    return Run(corner, extent, origins, forward)


def _refuse(around: _Around, corner: AngledCorner, taken: float) -> None:
    one, other = (around.panels[panel].name for panel in (corner.a, corner.b))
    raise SizeError(
        f"the edge of {one} and {other} is {corner.length:.2f} mm long and its ends alone take "
        f"{taken:.2f} mm; make it longer than that or use thinner stock",
        ("joint", f"{one}+{other}"),
    )


def _end(around: _Around, corner: AngledCorner, *, at_high: bool) -> tuple[float, int | None]:
    """How much of one end is not free of third panels and slants [mm], and who owns it."""
    reach = 0.0
    found = []
    for panel in (corner.a, corner.b):
        beside = around.beside(corner, panel, at_high=at_high)
        found.append(beside.third)
        if beside.line is None:
            continue
        mate = corner.a + corner.b - panel
        share = Dihedral(
            corner.angle, around.panels[panel].thickness, around.panels[mate].thickness
        )
        crossings = (
            beside.line.crossing(level, beside.cut) for level in (share.tip, share.shoulder)
        )
        reach = max(reach, *crossings)
    if found[0] is None or found[0] != found[1]:
        return reach, None
    return reach, min((corner.a, corner.b, found[0]), key=lambda panel: around.keys[panel])


def _runs_forward(
    around: _Around, corner: AngledCorner, ends: Sequence[tuple[float, int | None]]
) -> bool:
    """Whether the datum is where a's side begins.

    The datum is the end that somebody owns, or else the blunter one, or else the one lower,
    farther in front or farther left in the piece.
    """
    owned = [end[1] is not None for end in ends]
    if owned[0] != owned[1]:
        return owned[0]
    blunt = [round(_bluntness(around, corner, at_high=at_high), 6) for at_high in (False, True)]
    if blunt[0] != blunt[1]:
        return blunt[0] > blunt[1]
    frame, points = around.panels[corner.a].frame, np.array(around.panels[corner.a].corners)
    side = corner.sides[0]
    step = (points[(side + 1) % len(points)] - points[side]) @ np.array((frame.u, frame.v))
    steps = [float(part) for part in np.round(step, 6)[::-1]]
    return next((part > 0 for part in steps if part != 0), True)


def _bluntness(around: _Around, corner: AngledCorner, *, at_high: bool) -> float:
    """The larger, the blunter the two outlines are at one end of a corner. [-]"""
    lines = [around.beside(corner, panel, at_high=at_high).line for panel in (corner.a, corner.b)]
    return sum(line.cosine for line in lines if line is not None)


def _decided(piece: Piece, run: Run) -> Decided:
    corner, extent = run.corner, run.extent
    number = {piece.panels[panel].name: panel for panel in (corner.a, corner.b)}
    wish = piece.wish_for(*extent.members)
    first, last = (number.get(owner or "") for owner in extent.owners)
    odd = True if wish.count is None else wish.count % 2 == 1
    if first is not None and last is not None:
        odd = first == last
    lead = first
    if lead is None:
        lead = last if last is not None else _free_lead(piece, run, wish)
        if last is not None and not odd:
            lead = corner.a + corner.b - last
    wished = number.get(wish.leads or "", lead)
    granted = wished == lead and (wish.count is None or odd == (wish.count % 2 == 1))
    return Decided(lead, odd, granted)


def _free_lead(piece: Piece, run: Run, wish: Wish) -> int:
    """Who leads where nobody has to."""
    a, b = run.corner.a, run.corner.b
    panels = piece.panels
    for panel in (a, b):
        if panels[panel].name == wish.leads:
            return panel
    keys = [(panels[panel].rank, -round(_area(panels[panel]), 6)) for panel in (a, b)]
    if keys[0] != keys[1]:
        return a if keys[0] < keys[1] else b
    # a's side runs counter-clockwise round a: looked at from its far end, b comes after a.
    return a if run.forward else b
