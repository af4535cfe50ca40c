"""What a glued corner bears, as a range no narrower than the published evidence.

No figure for the strength of a finger corner has been seen in print, only rankings: from 4 to 12
fingers the gain is slight (Demirci et al. 2020, BioResources 15(2):3136-3146). So a corner is
reckoned with fingers as wide as it is thick, whatever their count, and the count changes that by a
small power. Its flanks are twisted when the corner is bent: a rectangle gives way elastically at
tau tA tB sqrt(tA² + tB²) / 6 and plastically at 0.3826 tau (tA tB)^1.5. The roots of the fingers
break at the bending strength times half the corner's length times t² / 6. Shoulders are end grain
and count for nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, hypot, log, log10
from typing import TYPE_CHECKING

from dryfit.materials.strength import strength

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.joint import Joint
    from dryfit.materials.strength import Strength
    from dryfit.model.panel import Panel

SLIGHT = 1.15
"""What three times as many fingers are worth at most: "slight", by our reading of the study. [-]"""

_POWER = log(SLIGHT) / log(3)
_PLASTIC = 0.3826

ROOTS = "the roots of the fingers"
"""What gives way where neither glue nor flanks do."""


@dataclass(frozen=True, slots=True)
class Corner:
    """What a corner bears.

    Parameters
    ----------
    joint : str
        Its id.
    flanks, shoulders : float
        Area of the flanks, which hold, and of the shoulders, which hardly do. [mm²]
    moment : pair of float
        Bending it bears at least and at most; 0 where nothing is known. [N mm]
    pull : pair of float
        Straight pull out of the corner, likewise. [N]
    weakest : pair of str
        What gives way at either end of the range of bending.
    """

    joint: str
    flanks: float
    shoulders: float
    moment: tuple[float, float]
    pull: tuple[float, float]
    weakest: tuple[str, str]


def corner(joint: Joint, mates: tuple[Panel, Panel]) -> Corner | None:
    """What a finger corner bears; None where a mate's strength is not published.

    Parameters
    ----------
    joint : Joint
        The corner.
    mates : pair of Panel
        Its lead and its follower.
    """
    made = [strength(panel.stock.material, panel.thickness) for panel in mates]
    known = [each for each in made if each is not None and each.flank[1] > 0]
    if len(known) < 2:
        return None
    lead, follow = (panel.thickness for panel in mates)
    face = lead * follow
    flanks = sum(plan.count - 1 for plan in joint.segments) * face
    count = joint.fingers
    width = joint.plan.width
    shoulders = width * (count[joint.follow] * lead + count[joint.lead] * follow)
    length = sum(plan.length for plan in joint.segments)
    even = length / ((lead + follow) / 2)
    number = max(even - 1, 1.0) * _gain(sum(plan.count for plan in joint.segments), even)
    shear = tuple(min(each.flank[end] for each in known) for end in (0, 1))
    twist = (face * hypot(lead, follow) / 6, _PLASTIC * face**1.5)
    roots = min(
        each.rupture * length / 2 * panel.thickness**2 / 6
        for each, panel in zip(known, mates, strict=True)
    )
    bends = [number * tau * way for tau, way in zip(shear, twist, strict=True)]
    words = tuple(_weakest(known, end) if bends[end] <= roots else ROOTS for end in (0, 1))
    return Corner(
        joint.id,
        flanks,
        shoulders,
        (min(bends[0], roots), min(bends[1], roots)),
        (number * shear[0] * face, number * shear[1] * face),
        (words[0], words[1]),
    )


def _gain(count: int, even: float) -> float:
    """What more fingers than one a thickness are worth, or fewer. [-]"""
    return 0.0 if count < 2 else float((count / even) ** _POWER)


def _weakest(known: Sequence[Strength], end: int) -> str:
    return min(known, key=lambda each: each.flank[end]).weakest[end]


def two_figures(value: float) -> float:
    """A figure with no more than two that count.

    Examples
    --------
    >>> two_figures(0.0876), two_figures(1234.0)
    (0.088, 1200.0)
    """
    return round(value, 1 - floor(log10(value))) + 0.0 if value else 0.0


def figures(span: tuple[float, float]) -> str:
    """A range (`span` [-]) in words, two figures each.

    Examples
    --------
    >>> figures((0.876, 123.4))
    '0.88 to 120'
    """
    return " to ".join(f"{two_figures(value):g}" for value in span)
