"""The air a piece is made in, and the driest and the wettest that it will stand in."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from dryfit.materials.moisture import Air

STATES = ("cut", "driest", "wettest")
"""The three states of the air, as the job file names them."""


@dataclass(frozen=True, slots=True)
class Seasons:
    """Three states of the air.

    Parameters
    ----------
    driest, wettest : Air
        Between which the piece will stand.
    cut : Air, optional
        The air that its wood was at rest with when it was cut; None where nobody says.
    """

    driest: Air
    wettest: Air
    cut: Air | None = None

    @property
    def making(self) -> Air:
        """The air at cutting; where nobody says, wood then lies midway between its extremes."""
        return self.cut or remembered_midway(self.driest, self.wettest)


@lru_cache(maxsize=64)
def remembered_midway(driest: Air, wettest: Air) -> Air:
    """The air that leaves wood midway between two extremes."""
    temperature = (driest.temperature + wettest.temperature) / 2
    return Air.of_wood((driest.wood + wettest.wood) / 2, temperature)


SEASONS = Seasons(Air(30.0), Air(60.0))
"""A heated room: 30 and 60 % at 20 °C (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Drawer:
    """A drawer in its opening.

    Parameters
    ----------
    air : float
        Over it, when it is cut. [mm]
    grown : float
        How much higher its sides are in the wettest season. [mm]
    reckoned : bool
        Whether the program has set it lower by that; else the maker has said by how much.
    """

    air: float
    grown: float
    reckoned: bool
