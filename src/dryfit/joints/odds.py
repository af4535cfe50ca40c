"""The odds that joints and the piece go together, and what will show when they do.

Every odds is that of the glued state: water glue swells a tight fit, so what a mallet would still
drive dry is not counted on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np

from dryfit.joints.links import FORCE, Setting, links_of
from dryfit.materials.movement import cross_modulus, movement
from dryfit.model.kind import Kind
from dryfit.model.panel import Grain
from dryfit.tolerance.closing import USUAL_EFFORT, Closing, Effort, Shared
from dryfit.tolerance.cup import left_of_cup
from dryfit.tolerance.seams import widest_gaps
from dryfit.tolerance.tips import outside

if TYPE_CHECKING:
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.cutter import Route
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece
    from dryfit.model.scatter import Scatter, Wanted
    from dryfit.tolerance.links import Link
    from dryfit.tolerance.normal import FloatArray

MOST_GAP = 0.6
"""The widest flank gap that is tried. [mm]"""

STEP = 0.005
"""A flank gap that is found is rounded up to this. [mm]"""


@dataclass(frozen=True, slots=True)
class JointOdds:
    """The odds of one joint.

    Parameters
    ----------
    joint : str
        Its id.
    odds : float
        That it goes together by itself. [-]
    gap_median, gap_most : float
        The widest gap that shows at the best shift, in the middle of all that go together and of
        95 in 100 of them the most. [mm]
    sunk, proud : float
        That some finger lies too deep, or stands too far out, to be sanded level. [-]
    """

    joint: str
    odds: float
    gap_median: float
    gap_most: float
    sunk: float
    proud: float


class Odds:
    """The odds of a piece.

    Parameters
    ----------
    piece : Piece
        Its panels and wishes.
    plans : Plans
        Its joints.
    scatter : Scatter
        Of the shop.
    route : Route
        How it is cut.
    wanted : Wanted
        What the maker wants.
    thicker : float
        How much thicker than measured every panel is. [mm]
    effort : Effort
        How many samples, and which.
    """

    def __init__(
        self,
        piece: Piece,
        plans: Plans,
        scatter: Scatter,
        route: Route,
        wanted: Wanted,
        *,
        thicker: float = 0.0,
        effort: Effort = USUAL_EFFORT,
    ) -> None:
        self.piece, self.plans = piece, plans
        self.scatter, self.wanted = scatter, wanted
        self._route, self._thicker = route, thicker
        self._effort = effort

    @cached_property
    def setting(self) -> Setting:
        """Scatter and the rest, as links need it."""
        cups, slopes = _cups(self.piece, self._thicker), _slopes(self.piece, self.plans)
        return Setting(self.scatter, self._route, self.wanted.flush, cups, slopes)

    @cached_property
    def closing(self) -> Closing:
        """The links of the piece, and how they close."""
        shared = Shared(self.scatter.misfit, self.scatter.misfit_sd, self.scatter.freedom)
        links = links_of(self.piece, self.plans, self.setting)
        return Closing(links, shared, self._effort)

    @cached_property
    def gap(self) -> float:
        """The flank gap of the joints that have none of their own. [mm]"""
        own = {pair for pair, wish in self.piece.wishes.items() if wish.flank_gap is not None}
        return next(
            (
                joint.flank_gap
                for joint in self.plans.joints
                if frozenset((joint.lead, joint.follow)) not in own
            ),
            0.0,
        )

    @cached_property
    def whole(self) -> float:
        """That everything goes together. [-]"""
        return self.closing.odds(self.gap)

    @cached_property
    def product(self) -> float:
        """The same if every joint could shift by itself: an upper bound. [-]"""
        return float(self.closing.product(np.array([self.gap]))[0])

    @cached_property
    def joints(self) -> tuple[JointOdds, ...]:
        """The odds of each joint, in the order of the plans."""
        return tuple(self._joint(joint) for joint in self.plans.joints)

    @property
    def limiting(self) -> JointOdds | None:
        """The joint that is least likely to go together; None where there is no joint."""
        return min(self.joints, key=lambda each: each.odds, default=None)

    @cached_property
    def best(self) -> float:
        """The best odds that any flank gap up to the widest gives. [-]"""
        return float(self.curve(np.linspace(0.0, MOST_GAP, 13)).max())

    def curve_at(self, gap: float) -> float:
        """Odds that everything goes together at another flank gap. [-]

        Parameters
        ----------
        gap : float
            Instead of the piece's own. [mm]
        """
        return self.closing.odds(gap)

    def curve(self, gaps: FloatArray) -> FloatArray:
        """Odds that everything goes together at other flank gaps, shape (g,). [-]"""
        return self.closing.curve(gaps)

    def least_gap(self, odds: float) -> float | None:
        """The least flank gap, 0 or more, that reaches some odds; None where none does. [mm]"""
        gaps = np.linspace(0.0, MOST_GAP, round(MOST_GAP / STEP) + 1)
        # What even the upper bound does not reach need not be sampled.
        low = int(np.searchsorted(self.closing.product(gaps), odds))
        high, stride = low, 1
        while high < len(gaps) and self.closing.odds(gaps[high]) < odds:
            low, high, stride = high + 1, high + stride, 2 * stride
        high = min(high, len(gaps))
        while low < high:
            middle = (low + high) // 2
            if self.closing.odds(gaps[middle]) < odds:
                low = middle + 1
            else:
                high = middle
        return round(float(gaps[low]), 9) if low < len(gaps) else None

    def _joint(self, joint: Joint) -> JointOdds:
        at = np.array([self.gap])
        odds = float(self.closing.of(joint.id, at)[0]) if joint.id in self.closing.names else 1.0
        median, most = self._seams(joint)
        sunk, proud = self._tips(joint)
        return JointOdds(joint.id, odds, median, most, sunk, proud)

    def _seams(self, joint: Joint) -> tuple[float, float]:
        """The widest gap that shows: in the middle, and in 95 of 100. [mm]"""
        links = [
            link
            for link in self.closing.links
            if link.name == joint.id and link.holds and link.per_misfit > 0
        ]
        shared = self.closing.shared
        worst = (0.0, 0.0)
        for link in links:
            worst = max(worst, remembered_seams(link.bare, self.gap, shared))
        return worst

    def _tips(self, joint: Joint) -> tuple[float, float]:
        """That some finger lies too deep, and that some stands too far out. [-]"""
        sunk = proud = 0.0
        if not joint.is_divided:
            return sunk, proud
        for name in (joint.lead, joint.follow):
            fingers = joint.fingers[name]
            if joint.kind is Kind.TENON and name == joint.lead:
                continue
            mate = self.piece.panel(joint.other(name))
            low, high = outside(
                joint.proud_of(name), fingers, edge=self.scatter.edge,
                thickness=mate.stock.scatter, most=self.wanted.sanding,
            )  # fmt: skip
            sunk, proud = max(sunk, low), max(proud, high)
        return sunk, proud


@lru_cache(maxsize=1024)
def remembered_seams(link: Link, gap: float, shared: Shared) -> tuple[float, float]:
    """The widest gap at the best shift: in the middle, and in 95 of 100. [mm]

    Parameters
    ----------
    link : Link
        What holds.
    gap : float
        The swept gap. [mm]
    shared : Shared
        The misfit it shares.
    """
    gaps = widest_gaps(link, gap, shared)
    if not gaps.size:
        return 0.0, 0.0
    median, most = np.quantile(gaps, (0.5, 0.95)).tolist()
    return median, most


def _cups(piece: Piece, thicker: float) -> dict[str, float]:
    """What each panel takes of a slot beyond its thickness: what clamps leave of its cup. [mm]"""
    taken = {panel.name: thicker + _cup(panel) for panel in piece.panels}
    return {name: length for name, length in taken.items() if length}


def _cup(panel: Panel) -> float:
    if not panel.stock.cup:
        return 0.0
    across = panel.height if panel.grain is Grain.U else panel.width
    along = panel.width if panel.grain is Grain.U else panel.height
    return left_of_cup(
        panel.stock.cup, span=across, width=along, thickness=panel.thickness,
        modulus=cross_modulus(panel.stock.material), force=FORCE,
    )  # fmt: skip


def _slopes(piece: Piece, plans: Plans) -> dict[str, float]:
    """How much longer the lead of each divided joint grows than its mate, once both are as dry.

    A board that was drier than its mate when it was cut grows by C ΔM against it.
    """
    slopes = {}
    for joint in plans.joints:
        lead, follow = piece.panel(joint.lead), piece.panel(joint.follow)
        wet = lead.stock.moisture, follow.stock.moisture
        if not joint.is_divided or wet[0] is None or wet[1] is None:
            continue
        middle = (wet[0] + wet[1]) / 2
        slope = _growth(lead, follow, middle - wet[0]) - _growth(follow, lead, middle - wet[1])
        if slope:
            slopes[joint.id] = slope
    return slopes


def _growth(panel: Panel, mate: Panel, points: float) -> float:
    """How much a panel grows along its joint with a mate, at so many points of moisture. [-]"""
    frame = panel.frame
    # The joint runs along whichever of u and v lies in the mate's plane.
    along_u = abs(sum(a * b for a, b in zip(frame.u, mate.frame.n, strict=True))) < 0.5
    across = panel.grain is not (Grain.U if along_u else Grain.V)
    return movement(panel.stock.material, across=across) * points
