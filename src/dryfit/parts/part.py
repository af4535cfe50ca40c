"""The part record: a panel with its joints cut, as a list of cuts.

A part is described in its panel's own (u, v), face b towards the viewer. Each cut has a profile,
a face, a depth from and to, an edge angle and a purpose: outline and holes alone could not carry
housings, rebates or two-sided work.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from dryfit.model.panel import Face

if TYPE_CHECKING:
    from dryfit.model.panel import Panel
    from dryfit.parts.layers import Layer
    from dryfit.shapes.profile import Profile


class Purpose(StrEnum):
    """What a cut is for."""

    OUTLINE = "outline"
    MORTISE = "mortise"
    TRENCH = "trench"
    OPENING = "opening"


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a part.

    Parameters
    ----------
    purpose : Purpose
        What it is for; an outline's profile is what stays, any other's is what goes.
    profile : Profile
        The shape in the panel's (u, v). [mm]
    face : Face
        The face the depth is counted from.
    depth_from, depth_to : float
        Where the cut begins and ends below that face. [mm]
    edge_angle : float
        Lean of the cut's wall from square; 0 is square. [rad]
    """

    purpose: Purpose
    profile: Profile
    face: Face
    depth_from: float
    depth_to: float
    edge_angle: float = 0.0


@dataclass(frozen=True)
class Part:
    """A panel with its joints cut.

    `cuts` is what to cut (reliefs included), outline first; `as_cut` the outline and holes that the
    ideal cutter leaves; `zones` the rectangles that its joints take, in (u, v) [mm], with the ids
    of the joints.
    """

    panel: Panel
    cuts: tuple[Cut, ...]
    as_cut: Profile
    label: str
    zones: tuple[tuple[str, tuple[float, float, float, float]], ...] = ()

    @property
    def name(self) -> str:
        """The panel's name."""
        return self.panel.name

    @property
    def thickness(self) -> float:
        """Mean thickness of the stock. [mm]"""
        return self.panel.thickness

    @property
    def profile(self) -> Profile:
        """The outline to cut, reliefs included. [mm]"""
        return self.cuts[0].profile

    @property
    def area(self) -> float:
        """Area of the outline, mortises and openings taken off. [mm²]"""
        return self.profile.area - sum(cut.profile.area for cut in self.holes)

    @property
    def holes(self) -> tuple[Cut, ...]:
        """What is cut right through inside the outline."""
        return (*self.cuts_for(Purpose.MORTISE), *self.cuts_for(Purpose.OPENING))

    @cached_property
    def volume(self) -> float:
        """Volume of what is left when every cut is made, layer by layer. [mm³]"""
        # Loads NumPy, which a front end that only prints its help does without.
        from dryfit.parts.layers import standing
        from dryfit.shapes.profile import Profile

        holes = (cut.profile.outer.reversed() for cut in self.holes)
        drawn = Profile(self.profile.outer, (*self.profile.holes, *holes))
        return sum(
            (layer.high - layer.low) * sum(loop.area for loop in standing(drawn, layer.trenches))
            for layer in self.layers
        )

    def cuts_for(self, purpose: Purpose) -> tuple[Cut, ...]:
        """The cuts of one purpose."""
        return tuple(cut for cut in self.cuts if cut.purpose is purpose)

    @property
    def layers(self) -> tuple[Layer, ...]:
        """The part as cut, sliced at the floors of its trenches, from face a to face b."""
        # Loads NumPy, as above.
        from dryfit.parts.layers import Layer

        trenches = [
            (*self._heights(cut), cut.profile.outer) for cut in self.cuts_for(Purpose.TRENCH)
        ]
        floors = sorted({0.0, self.thickness, *(f for t in trenches for f in t[:2])})
        return tuple(
            Layer(
                low,
                high,
                tuple(loop for begin, end, loop in trenches if begin <= low and end >= high),
            )
            for low, high in pairwise(floors)
        )

    def _heights(self, cut: Cut) -> tuple[float, float]:
        """Where a cut begins and ends above face a. [mm]"""
        if cut.face is Face.A:
            return cut.depth_from, cut.depth_to
        return self.thickness - cut.depth_to, self.thickness - cut.depth_from
