"""How the whole piece stands: its weight, whether it racks, and whether it tips.

An *open ring* is four panels or more joined round an opening; it *racks* when a push at the top
turns its corners. A panel that fills the opening, joined to three of them at least, *braces* it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from dryfit.checks.bearing import LEVEL, extent
from dryfit.checks.corners import corner
from dryfit.materials.frames import corner_moment, sway, sway_filled
from dryfit.materials.loads import GRAVITY
from dryfit.materials.strength import strength
from dryfit.model.kind import Kind
from dryfit.model.panel import Grain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.subject import Subject
    from dryfit.joints.joint import Joint
    from dryfit.model.panel import Panel, Vector

PUSH = 100.0
"""A hand's push (common practice, no source). [N]"""

LEAN = 1 / 100
"""How far the top may go over, as a share of the height (common practice, no source). [-]"""

TALL = 600.0
"""A case that stands higher than this can hurt a child when it tips (common practice; rules for
clothes storage begin at 27 in, ASTM F2057, from memory). [mm]"""

SLENDER = 1.5
"""Taller than this many times its depth, a case is called slender (common practice). [-]"""

_AXES: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_AROUND = "xyz"


@dataclass(frozen=True, slots=True)
class Ring:
    """Panels joined round an opening.

    Parameters
    ----------
    axis : str
        The axis of the piece that the opening looks along.
    panels : tuple of str
        The panels round it.
    height, length : float
        Of the ring: where it stands upright its height, and how long it is. [mm]
    open_sway : float
        How far a push takes its top over, with corners that do not give. [mm]
    braced_sway : float
        The same where a panel braces it; infinite where none does. [mm]
    moment : float
        What the push asks of each corner. [N mm]
    corner : pair of float
        What its weakest corner bears, at least and at most; 0 where nothing is known. [N mm]
    braces : tuple of str
        The panels that brace it.
    """

    axis: str
    panels: tuple[str, ...]
    height: float
    length: float
    open_sway: float
    braced_sway: float
    moment: float
    corner: tuple[float, float]
    braces: tuple[str, ...]

    @property
    def allowed(self) -> float:
        """How far its top may go over. [mm]"""
        return LEAN * self.height

    @property
    def racks(self) -> bool:
        """Whether a push takes it too far over, or asks more than its corners bear at best."""
        weak = self.corner[1] > 0 and self.moment > self.corner[1]
        return not self.braces and (self.open_sway > self.allowed or weak)

    @property
    def may_rack(self) -> bool:
        """Whether a push may ask more than its corners bear at worst."""
        return not self.braces and self.corner[1] > 0 and self.moment > self.corner[0]


@dataclass(frozen=True, slots=True)
class Stance:
    """How a piece stands.

    Parameters
    ----------
    weight : float
        Of the piece, empty; 0 where the density of a material is not known. [kg]
    height, depth : float
        Its height, and the smaller side of its footprint. [mm]
    """

    weight: float
    height: float
    depth: float

    @property
    def tall(self) -> bool:
        """Whether it is tall and slender enough to tip."""
        return _is_tall(self.height, self.depth)

    @property
    def pull(self) -> float:
        """Level pull at its top edge that tips it when it is empty. [N]"""
        return self.weight * GRAVITY * self.depth / 2 / self.height if self.height else 0.0


def stance(subject: Subject) -> Stance:
    """Weight and proportions of the piece."""
    panels = subject.job.piece.panels
    weight = 0.0
    for part in subject.parts:
        made = strength(part.panel.stock.material, part.thickness)
        if made is None:
            weight = 0.0
            break
        weight += made.density * part.volume * 1e-9
    sides = [extent(panels, axis) if panels else 0.0 for axis in _AXES]
    return Stance(weight, sides[2], min(sides[:2]))


def is_tall(panels: Sequence[Panel]) -> bool:
    """Whether panels put together stand tall and slender enough to tip."""
    sides = [extent(panels, axis) for axis in _AXES]
    return _is_tall(sides[2], min(sides[:2]))


def _is_tall(height: float, depth: float) -> bool:
    return height > TALL and height > SLENDER * depth


def rings(subject: Subject) -> Iterator[Ring]:
    """Every ring of finger corners that stands, round x or round y."""
    for number, axis in enumerate(_AXES[:2]):
        joints = [joint for joint in subject.corners if _runs_along(subject, joint, axis)]
        names = tuple(
            dict.fromkeys(n for joint in joints for n in sorted((joint.lead, joint.follow)))
        )
        panels = [subject.panel(name) for name in names]
        ways = [other for other in _AXES if other != axis]
        sides = [[panel for panel in panels if _faces(panel, way)] for way in ways]
        if len(joints) < 4 or any(len(side) < 2 for side in sides):
            continue
        yield _ring(subject, number, joints, (sides[0], sides[1]))


def _runs_along(subject: Subject, joint: Joint, axis: Vector) -> bool:
    lead, follow = (panel.frame.n for panel in subject.mates(joint))
    cross = (
        lead[1] * follow[2] - lead[2] * follow[1],
        lead[2] * follow[0] - lead[0] * follow[2],
        lead[0] * follow[1] - lead[1] * follow[0],
    )
    return abs(sum(a * b for a, b in zip(cross, axis, strict=True))) > LEVEL


def _faces(panel: Panel, axis: Vector) -> bool:
    return abs(sum(a * b for a, b in zip(panel.frame.n, axis, strict=True))) > LEVEL


def _ring(
    subject: Subject,
    number: int,
    joints: Sequence[Joint],
    sides: tuple[Sequence[Panel], Sequence[Panel]],
) -> Ring:
    axis = _AXES[number]
    along, up = (other for other in _AXES if other != axis)
    uprights, levels = sides
    names = tuple(panel.name for panel in (*uprights, *levels))
    height, length = extent([*uprights, *levels], up), extent([*uprights, *levels], along)
    stiff = tuple(_stiffness(panels, axis) for panels in (uprights, levels))
    braces = tuple(_braces(subject, axis, names))
    filled = sum(_shear(subject.panel(name)) for name in braces)
    borne = [found.moment for joint in joints if (found := corner(joint, subject.mates(joint)))]
    weakest = min(borne, default=(0.0, 0.0))
    moved = sway(PUSH, (height, length), (stiff[0], stiff[1])) if min(stiff) else inf
    return Ring(
        _AROUND[number], names, height, length, moved,
        sway_filled(PUSH, (height, length), filled) if filled else inf,
        corner_moment(PUSH, height), weakest if len(borne) == len(joints) else (0.0, 0.0), braces,
    )  # fmt: skip


def _stiffness(panels: Sequence[Panel], axis: Vector) -> float:
    """E I of the weakest of some panels, bent round an axis; 0 where it is not known. [N mm²]"""
    found = []
    for panel in panels:
        made = strength(panel.stock.material, panel.thickness)
        if made is None:
            return 0.0
        # They bend over their way across the axis: that of u where v runs along the axis.
        over_u = _runs(panel.frame.v, axis)
        grain = panel.grain
        lengthwise = grain is not Grain.FREE and (grain is Grain.U) == over_u
        modulus = made.along if lengthwise else min(made.along, made.across)
        breadth = panel.height if over_u else panel.width
        found.append(modulus * breadth * panel.thickness**3 / 12)
    return min(found)


def _runs(vector: Vector, axis: Vector) -> bool:
    return abs(sum(a * b for a, b in zip(vector, axis, strict=True))) > LEVEL


def _braces(subject: Subject, axis: Vector, names: Sequence[str]) -> Iterator[str]:
    """Panels that fill the opening and are joined to three of the ring at least."""
    own = frozenset(names)
    for panel in subject.job.piece.panels:
        if not _faces(panel, axis):
            continue
        held = {
            joint.other(panel.name)
            for joint in subject.plans.joints
            if panel.name in (joint.lead, joint.follow) and joint.kind is not Kind.RUNNING
        }
        if len(held & own) >= 3:
            yield panel.name


def _shear(panel: Panel) -> float:
    """G t of a panel in its plane; 0 where it is not known. [N/mm]"""
    made = strength(panel.stock.material, panel.thickness)
    return 0.0 if made is None else made.twist * panel.thickness
