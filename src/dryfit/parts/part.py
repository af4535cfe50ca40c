"""The part record: a panel with its joints cut, as a list of cuts.

A part is described in its panel's own (u, v), face b towards the viewer. Each cut has a profile,
a face, a depth from and to, an edge angle and a purpose: outline and holes alone could not carry
housings, rebates or two-sided work.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.model.panel import Face, Panel
    from dryfit.shapes.profile import Profile


class Purpose(StrEnum):
    """What a cut is for."""

    OUTLINE = "outline"
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


@dataclass(frozen=True, slots=True)
class Part:
    """A panel with its joints cut.

    `cuts` is what to cut (reliefs included), `as_cut` the shape that the ideal cutter leaves.
    """

    panel: Panel
    cuts: tuple[Cut, ...]
    as_cut: Profile
    label: str

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
        """Area of the outline. [mm²]"""
        return self.profile.area

    @property
    def volume(self) -> float:
        """Area times thickness: every cut of this part goes through. [mm³]"""
        return self.area * self.thickness
