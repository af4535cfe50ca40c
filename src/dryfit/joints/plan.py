"""Finger plans: how many divisions a corner gets, and where they lie.

Every division of a plan is exactly L / n wide, at any length L and any count n. Which counts are
allowed (odd, even or either) has been settled by the owners of the ends; here the count whose
width comes nearest to the wanted one is taken. Rules of proportion are common practice, without a
published source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.joints.joint import End, Extent

MIN_FINGER = 3.0
"""No finger narrower than this, nor than half its thickness (common practice, no source). [mm]"""

MAX_COUNT = 9999
"""The largest count that is tried. [-]"""


@dataclass(frozen=True, slots=True)
class Proportion:
    """What a division may measure.

    Parameters
    ----------
    wanted : float
        The width to come near to. [mm]
    least, most : float
        The narrowest and the widest division that is in proportion. [mm]
    typed : bool
        Whether the maker typed the wanted width; then nothing is weighed against it.
    """

    wanted: float
    least: float
    most: float
    typed: bool = False

    @property
    def neck(self) -> float:
        """The narrowest neck that a corner block should hang on (common practice). [mm]"""
        return self.least / 2


def choose_count(extent: Extent, proportion: Proportion, odd: bool | None) -> int:
    """The count whose divisions come nearest to the wanted width and in proportion.

    Parameters
    ----------
    extent : Extent
        The corner.
    proportion : Proportion
        Wanted, least and most width. [mm]
    odd : bool, optional
        The parity that the ends demand; None where both will do, and then an odd count is taken.

    Returns
    -------
    int
        Three or more when odd, two or more when even: fewer would not interlock. Where no count
        is in proportion, the one that comes nearest to it.
    """
    step_from = 2 if odd is False else 3

    def strain(count: int) -> tuple[float, float, int]:
        width = extent.plan(count).width
        off = abs(width - proportion.wanted)
        if proportion.typed:
            return 0.0, off, count
        outside = max(proportion.least - width, width - proportion.most, 0.0)
        return outside + _thin_neck(extent, count, proportion.neck), off, count

    return min(_near(extent, proportion, step_from), key=strain)


def _near(extent: Extent, proportion: Proportion, least: int) -> Iterator[int]:
    """Counts of one parity on both sides of the wanted width, blocks carried or not."""
    wanted = proportion.wanted
    if not proportion.typed:
        wanted = min(max(wanted, proportion.least), proportion.most)
    owned = zip(extent.blocks, extent.owners, strict=True)
    between = extent.open_length - sum(block for block, own in owned if own in extent.members)
    low = max(least, int(between / wanted) - 6)
    low += (low - least) % 2
    high = min(int(extent.open_length / wanted) + 8, MAX_COUNT)
    return iter(range(low, max(low + 1, high), 2))


def _thin_neck(extent: Extent, count: int, least: float) -> float:
    """How much an end finger lacks to hold its corner block by a sound neck. [mm]

    Where a division is only a little wider than the block inside it, the block hangs on the
    difference.
    """
    plan = extent.plan(count)
    necks = [plan.width - end.block for end in plan.ends if _inside(end, extent.members)]
    return max((least - neck for neck in necks if neck < least), default=0.0)


def _inside(end: End, members: tuple[str, str]) -> bool:
    return end.owner in members and end.carried == 0.0
