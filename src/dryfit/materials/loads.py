"""What shelves, bottoms and lids are loaded with, and how far they may sag.

Published shelf loads and limits first; a use marked ``practice`` is reckoned from sizes and weights
of the trade, without a published source.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.materials.data import number, rows

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.materials.data import Row

GRAVITY = 9.80665
"""Standard gravity. [m/s²]"""


POUND = 0.45359237
"""The international pound of 1959. [kg]"""


@dataclass(frozen=True, slots=True)
class Use:
    """What stands on a panel.

    Parameters
    ----------
    name : str
        The word for it.
    area, space : float
        Load for each square metre, or for each cubic metre of the room above. [kg/m², kg/m³]
    most : float
        The most on one panel; 0 where there is no such limit. [kg]
    share : float
        How far it may sag, as a share of its span. [-]
    sag_most : float
        How far it may sag whatever its span; 0 where there is no such limit. [mm]
    meaning, source, judge, status : str
        What it is in words, where the load is from, whose limit it is, and how well it is known.
    """

    name: str
    area: float
    space: float
    most: float
    share: float
    sag_most: float
    meaning: str
    source: str
    judge: str
    status: str

    def weight(self, area: float, height: float) -> float:
        """What is on a panel. [kg]

        Parameters
        ----------
        area : float
            Of the panel. [mm²]
        height : float
            Of the room above it. [mm]

        Examples
        --------
        >>> USES["books"].weight(800 * 300, 300)
        58.58
        """
        load = (self.area + self.space * height / 1e3) * area / 1e6
        return min(load, self.most) if self.most else load

    def limit(self, span: float) -> float:
        """How far a panel of one span may sag. [mm]

        Parameters
        ----------
        span : float
            Between what carries it. [mm]
        """
        allowed = span * self.share
        return min(allowed, self.sag_most) if self.sag_most else allowed


def _use(row: Row) -> Use:
    return Use(
        row["use"], number(row["area"]) or 0.0, number(row["space"]) or 0.0,
        number(row["most"]) or 0.0, 1 / float(row["sag"]), number(row["sag_most"]) or 0.0,
        row["meaning"], row["source"], row["limit"], row["status"],
    )  # fmt: skip


USES: Mapping[str, Use] = MappingProxyType({row["use"]: _use(row) for row in rows("loads")})
"""Every use by its word."""
