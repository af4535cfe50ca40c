"""Does it last? The movement of the seasons against what holds it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.captive import check_captives
from dryfit.checks.catalogue import finding
from dryfit.checks.moving import Moving, is_across, size
from dryfit.checks.settle import check_settled
from dryfit.checks.sheet import of_sheet
from dryfit.checks.subject import alike, listed
from dryfit.findings import Severity
from dryfit.materials.room import held_width

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.moving import Held
    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.model.panel import Panel

MOST_HELD = 1.0
"""Movement that a glued joint may hold back across the grain (common practice, no source). [mm]"""

SMALL = 0.05
"""Movement that is not worth a word. [mm]"""


def check_last(subject: Subject) -> Iterator[Finding]:
    """Everything that bears on whether the piece outlives its seasons."""
    moving = Moving(subject)
    yield from _splits(moving)
    yield from check_captives(moving)
    yield from check_settled(subject)
    yield from _moves(moving)


def _splits(moving: Moving) -> Iterator[Finding]:
    """Panels held across their grain, each by the joint that holds it most."""
    worst: dict[str, list[Held]] = {}
    for held in moving.held():
        if held.panel.stock.material.solid and held.moved > MOST_HELD:
            worst.setdefault(held.panel.name, []).append(held)
    for name, group in worst.items():
        yield _split(moving.subject, name, sorted(group, key=lambda each: -each.moved))


def _split(subject: Subject, name: str, group: Sequence[Held]) -> Finding:
    held, say = group[0], subject.say
    joints = listed([each.where for each in group])
    dry = held.length * abs(held.shrinks) >= held.length * abs(held.swells)
    season = "the driest" if dry else "the wettest"
    how = "fingers across its grain" if held.fingers else "glue across its grain"
    safe = held_width(held.strain, MOST_HELD)
    mend = of_sheet(
        subject, [held.panel],
        f"Or leave it free: glue at most {say(safe, 0)} of it, and let the rest slide.",
    )  # fmt: skip
    return finding(
        "split-risk",
        Severity.LOOK,
        name,
        f"{name} is held by {how} in {joints}, {say(held.length)} wide: by {season} season it "
        f"would move {say(held.moved)} and cannot, so it splits or pulls its joint open; "
        f"{say(MOST_HELD)} is the most.",
        numbers={
            "moves_mm": held.moved,
            "held_mm": held.length,
            "most_mm": MOST_HELD,
            "widest_mm": safe,
        },
        mend=mend,
    )


def _across(moving: Moving, panel: Panel) -> tuple[float, float, float]:
    """Size of a panel across its grain, and what it shrinks and grows there. [mm]"""
    sides = [side for side in (0, 1) if is_across(panel, side)]
    width, side = max((size(panel, side), side) for side in sides)
    dry, wet = moving.strains(panel, side)
    return width, -dry * width, wet * width


def _moves(moving: Moving) -> Iterator[Finding]:
    """How much every solid member moves across its grain."""
    panels = [p for p in moving.subject.job.piece.panels if p.stock.material.solid]
    say = moving.subject.say

    def figures(panel: Panel) -> tuple[float, float, float]:
        return _across(moving, panel)

    for (width, shrunk, grown), group in reversed(list(alike(panels, figures))):
        names = listed([panel.name for panel in group])
        each = "each " if len(group) > 1 else ""
        if max(abs(shrunk), abs(grown)) < SMALL:
            continue
        yield finding(
            "wood-moves",
            Severity.NOTE,
            names,
            f"{names}: {say(width)} of {group[0].stock.material.name} across the grain {each}"
            f"{_way(-shrunk, say(abs(shrunk)))} by the driest season and "
            f"{_way(grown, say(abs(grown)))} by the wettest.",
            numbers={"width_mm": width, "shrinks_mm": shrunk, "grows_mm": grown},
        )


def _way(change: float, said: str) -> str:
    return f"grows {said}" if change >= 0 else f"shrinks {said}"


def lasts(subject: Subject, findings: Sequence[Finding]) -> str:
    """The verdict in one sentence."""
    looks = sum(f.severity is not Severity.NOTE and f.code in GIVES_WAY for f in findings)
    others = sum(f.severity is not Severity.NOTE for f in findings) - looks
    seasons = subject.job.seasons
    dry, wet = seasons.driest, seasons.wettest
    air = f"between {dry.humidity:.0f} and {wet.humidity:.0f} % humidity"
    if looks:
        verb = "things give" if looks > 1 else "thing gives"
        return f"Not as it stands: {looks} {verb} way {air}."
    moving = Moving(subject)
    most = max((_most(moving, panel) for panel in subject.job.piece.panels), default=0.0)
    look = f"; {others} thing{'s' if others > 1 else ''} to look at first" if others else ""
    if not any(panel.stock.material.solid for panel in subject.job.piece.panels):
        panels = subject.job.piece.panels
        low = max((_most(moving, panel) * _least(panel) for panel in panels), default=0.0)
        other = f" ({subject.say(low)} by another published value)" if low < most else ""
        return (
            f"It does: all of it is sheet, which moves {subject.say(most)} at most{other} "
            f"{air}{look}."
        )
    return (
        f"It does: {air} everything has the room it needs; {subject.say(most)} is the most that "
        f"anything moves{look}."
    )


def _least(panel: Panel) -> float:
    """The least published movement of a sheet as a share of the largest. [-]"""
    motion = panel.stock.material.motion
    return motion.across / motion.most if motion.most else 1.0


GIVES_WAY = frozenset(("split-risk", "panel-bursts", "panel-drops", "lid-jams", "drawer-jams"))
"""The findings of what fails with the seasons."""


def _most(moving: Moving, panel: Panel) -> float:
    """What a panel moves from the driest to the wettest season, in its livelier direction. [mm]"""
    return max(
        size(panel, side) * abs(wet - dry)
        for side in (0, 1)
        for dry, wet in (moving.strains(panel, side),)
    )
