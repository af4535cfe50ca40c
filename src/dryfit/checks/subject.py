"""What the checks look at, and how they speak of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING, Protocol, TypeVar

from dryfit.findings import Edit
from dryfit.materials.loads import POUND
from dryfit.model.kind import Kind
from dryfit.pages import names
from dryfit.parts.part import Purpose
from dryfit.shapes.tolerances import SAME
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from dryfit.assembly.gluing import GlueUp
    from dryfit.assembly.steps import Assembly
    from dryfit.checks.holding import Holding
    from dryfit.findings import Finding, JobValue
    from dryfit.joints.joint import Joint
    from dryfit.joints.odds import Odds
    from dryfit.joints.planning import Plans
    from dryfit.layout.plan import Plan
    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Job, Wish
    from dryfit.parts.part import Cut, Part
    from dryfit.parts.touch import Touch

T = TypeVar("T")

Rectangle = tuple[float, float, float, float]
"""Low u, low v, high u, high v. [mm]"""

listed = names.listed


class Trial(Protocol):
    """What is tried before it is proposed: the job file as it stands, and with edits."""

    def value(self, *path: str) -> JobValue | None:
        """The value that the file has there."""

    def plan(self, edits: tuple[Edit, ...]) -> Plan | None:
        """How the job would be laid with some edits; None where it stops being one."""


@dataclass(frozen=True, slots=True)
class Sheets:
    """A job's layout, what may be tried to better it, and whether an accepted one is stale."""

    plan: Plan
    trial: Trial | None = None
    stale: bool = False
    second: bool = False


REACH = 400
"""How far beyond its own a count is sought for a mend. [-]"""


class Tried(Protocol):
    """A job rehearsed anew with something changed."""

    @property
    def assembly(self) -> Assembly | None:
        """How it goes together then."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is noticed then."""


@dataclass(frozen=True)
class Subject:
    """A job with its joints, its parts, their dry fit and their order.

    The order is None where the piece has meetings without a joint, or parts that need one space.
    `tried` rehearses the job with its text edited; None where it came from no text.
    """

    job: Job
    plans: Plans
    parts: tuple[Part, ...]
    touches: tuple[Touch, ...]
    odds: Odds
    assembly: Assembly | None = None
    glue_up: GlueUp | None = None
    tried: Callable[[tuple[Edit, ...]], Tried | None] | None = None
    sheets: Sheets | None = None

    @property
    def cutter(self) -> Cutter:
        """What cuts."""
        return self.job.cutter

    @property
    def corners(self) -> tuple[Joint, ...]:
        """The finger joints."""
        return tuple(j for j in self.plans.joints if j.kind is Kind.FINGER)

    @property
    def divided(self) -> tuple[Joint, ...]:
        """The joints that are divided into fingers or tenons."""
        return tuple(joint for joint in self.plans.joints if joint.is_divided)

    def panel(self, name: str) -> Panel:
        """The panel of that name."""
        return self.job.piece.panel(name)

    def part(self, name: str) -> Part:
        """The part of that name."""
        return self._parts[name]

    @cached_property
    def _parts(self) -> dict[str, Part]:
        return {part.name: part for part in self.parts}

    @cached_property
    def holding(self) -> Holding:
        """How the piece holds."""
        from dryfit.checks.holding import reckon  # it looks at subjects itself

        return reckon(self)

    @cached_property
    def trenches(self) -> dict[str, list[tuple[Part, Cut, bool]]]:
        """The trenches of each joint: the part, the cut, and whether it runs along u."""
        joints = {joint.id: joint for joint in self.plans.joints if joint.kind.is_trench}
        found: dict[str, list[tuple[Part, Cut, bool]]] = {name: [] for name in joints}
        for part in self.parts:
            cuts = part.cuts_for(Purpose.TRENCH)
            own = [
                (name, zone)
                for name, zone in part.zones
                if name in joints and joints[name].follow == part.name
            ]
            if not (cuts and own):
                continue
            for number, place, along in _lying([cut.profile.bounds for cut in cuts], own):
                found[own[number][0]].append((part, cuts[place], along))
        return found

    def mates(self, joint: Joint) -> tuple[Panel, Panel]:
        """The lead and the follower of a joint."""
        return self.panel(joint.lead), self.panel(joint.follow)

    def thickest(self, joint: Joint) -> float:
        """The thicker mate's thickness. [mm]"""
        return max(panel.thickness for panel in self.mates(joint))

    def wish(self, joint: Joint) -> Wish:
        """What the maker wants of a joint."""
        return self.job.piece.wish_for(joint.lead, joint.follow)

    def say(self, length: float, places: int = 2) -> str:
        """A `length` [mm] in the job's unit, with `places` decimals in mm."""
        job = self.job
        return show_length(length, job.unit, places, sixty_fourths=job.sixty_fourths)

    def fine(self, length: float) -> str:
        """A small `length` [mm] in the job's unit, as fine as a caliper reads."""
        return show_length(length, self.job.unit, 3)

    def weigh(self, weight: float) -> str:
        """A weight [kg] as the job speaks: in pounds where its lengths are in inches or feet."""
        unit, shown = ("lb", weight / POUND) if self.job.unit in ("in", "ft") else ("kg", weight)
        return f"{shown:.0f} {unit}" if shown >= 100 else f"{shown:.3g} {unit}"

    @property
    def tool(self) -> str:
        """The cutter's size as a maker says it."""
        return self.say(
            self.cutter.size, 3 if round(self.cutter.size, 2) != self.cutter.size else 2
        )

    def value(self, length: float) -> JobValue:
        """A `length` [mm] as a value for the job file: bare in a job in mm, else with its unit."""
        bare = round(length, 4) + 0.0
        return bare if self.job.unit == "mm" else f"{bare:g} mm"


def _lying(
    trenches: Sequence[Rectangle], zones: Sequence[tuple[str, Rectangle]]
) -> Iterator[tuple[int, int, bool]]:
    """Zone and trench by number, and whether it runs along u, of all in line with a zone. [mm]"""
    # Loads NumPy, which a front end that only prints its help does without.
    import numpy as np

    bounds, taken = np.array(trenches)[None, :], np.array([zone for _, zone in zones])[:, None]
    shared = np.minimum(bounds[..., 2:], taken[..., 2:]) - np.maximum(
        bounds[..., :2], taken[..., :2]
    )
    middle = (bounds[..., :2] + bounds[..., 2:] - taken[..., :2] - taken[..., 2:]) / 2
    long_u, long_v = np.moveaxis(bounds[..., 2:] - bounds[..., :2], 2, 0)
    in_line = np.abs(middle) < 1
    along_u = in_line[..., 1] & (long_u >= long_v)
    found = (shared > SAME).all(axis=2) & (along_u | (in_line[..., 0] & (long_v >= long_u)))
    for zone, place in np.argwhere(found).tolist():
        yield zone, place, bool(along_u[zone, place])


def alike(
    items: Iterable[T], figures: Callable[[T], Sequence[float]]
) -> Iterator[tuple[tuple[float, ...], list[T]]]:
    """Items in groups that share their figures, so that a thing is said once, not forty times."""

    def rounded(item: T) -> tuple[float, ...]:
        return tuple(round(figure, 6) for figure in figures(item))

    for key, group in groupby(sorted(items, key=rounded), key=rounded):
        yield key, list(group)


def count_edits(counts: Iterable[tuple[Joint, int]]) -> tuple[Edit, ...]:
    """Edits that give joints a count of their own."""
    return tuple(
        edit
        for joint, count in counts
        for edit in (
            Edit(("joint", joint.id, "width"), None),
            Edit(("joint", joint.id, "count"), count),
        )
    )


def other_counts(joint: Joint) -> list[int]:
    """Counts of the same parity that interlock, nearest to the joint's own first."""
    own = joint.plan.count
    least = 3 if own % 2 else 2
    return sorted(
        (n for n in range(least, own + REACH, 2) if n != own), key=lambda n: (abs(n - own), n)
    )


def count_where(joint: Joint, fits: Callable[[float, float], bool]) -> int | None:
    """The count nearest to the joint's own, of the same parity, that fits; None if none does.

    `fits` takes a division's width and the flank gap. [mm]
    """
    extent, gap = joint.extent, joint.flank_gap
    return next((n for n in other_counts(joint) if fits(extent.plan(n).width, gap)), None)
