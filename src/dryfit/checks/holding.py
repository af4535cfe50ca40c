"""What can be said of how a piece holds, before anything is judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.checks.bearing import bearings
from dryfit.checks.corners import corner
from dryfit.checks.sag import left_out, sags
from dryfit.checks.standing import rings, stance
from dryfit.materials.strength import strength

if TYPE_CHECKING:
    from dryfit.checks.corners import Corner
    from dryfit.checks.sag import Sag
    from dryfit.checks.standing import Ring, Stance
    from dryfit.checks.subject import Subject


@dataclass(frozen=True, slots=True)
class Holding:
    """How a piece holds.

    Parameters
    ----------
    sags : tuple of Sag
        Every panel that carries something.
    corners : tuple of Corner
        Every finger corner whose strength is known.
    rings : tuple of Ring
        Every standing ring of corners.
    stance : Stance
        Weight and proportions.
    butted : tuple of pair of str
        Panels that hang on butt joints, each with what it butts against.
    hanging : tuple of str
        Panels that stick out, whose sag is not reckoned.
    unknown, materials : tuple of str
        Panels of which no strength is known, and what they are made of.
    """

    sags: tuple[Sag, ...]
    corners: tuple[Corner, ...]
    rings: tuple[Ring, ...]
    stance: Stance
    butted: tuple[tuple[str, str], ...]
    hanging: tuple[str, ...]
    unknown: tuple[str, ...]
    materials: tuple[str, ...]

    @property
    def fullest(self) -> Sag | None:
        """The panel that goes farthest towards what is allowed."""
        return max(self.sags, key=lambda sag: sag.full, default=None)

    @property
    def weakest(self) -> Corner | None:
        """The corner that bears least."""
        return min(self.corners, key=lambda corner: corner.moment, default=None)


def reckon(subject: Subject) -> Holding:
    """Reckon how a piece holds."""
    job, plans = subject.job, subject.plans
    found = (corner(joint, subject.mates(joint)) for joint in subject.corners)
    strange = [
        panel
        for panel in job.piece.panels
        if strength(panel.stock.material, panel.thickness) is None
    ]
    return Holding(
        tuple(sags(job, plans)),
        tuple(each for each in found if each is not None and each.moment[1]),
        tuple(rings(subject)),
        stance(subject),
        tuple(_hanging_on_glue(subject)),
        tuple(panel.name for panel in left_out(job, plans)),
        tuple(panel.name for panel in strange),
        tuple(dict.fromkeys(panel.stock.material.name for panel in strange)),
    )


def _hanging_on_glue(subject: Subject) -> list[tuple[str, str]]:
    """Panels carried by fewer than two others but for butt joints, with each of those."""
    return [
        (bearing.panel.name, mate)
        for bearing in bearings(subject.job.piece.panels, subject.plans)
        if len(bearing.carriers) - len(bearing.butted) < 2 <= len(bearing.carriers)
        for mate in bearing.butted
    ]
