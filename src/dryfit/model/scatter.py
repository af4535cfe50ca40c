"""Scatter: how far what the shop cuts lies from what was drawn."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from collections.abc import Mapping


class Source(StrEnum):
    """Where a scatter comes from: measured in this shop, stated in the job, or assumed."""

    BOOK = "book"
    JOB = "job"
    ROUTE = "route"


@dataclass(frozen=True, slots=True)
class Scatter:
    """What a cutter in a shop really leaves; every spread is a standard deviation.

    Parameters
    ----------
    edge : float
        Of the place of one cut edge. On the saw, of one step of the jig; by hand, of one line
        knifed from the mate. [mm]
    datum : float
        Of everything that is cut in one end of a part, as a whole: one set-up. [mm]
    misfit : float
        How much less air than drawn there is at every flank: a cutter wider than its name leaves
        more, and this is negative. [mm]
    misfit_sd : float
        How well that is known. [mm]
    scale : float
        Of the relative difference in length along a joint, as between two axes of a machine. [-]
    freedom : float
        Degrees of freedom behind `edge`; infinite where it is taken as known. [-]
    source : Source
        Where the figures come from.
    doubt : str
        What is odd about them, as a sentence; empty where nothing is.
    """

    edge: float
    datum: float
    misfit: float = 0.0
    misfit_sd: float = 0.0
    scale: float = 0.0
    freedom: float = inf
    source: Source = Source.JOB
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the maker wants of the odds.

    Parameters
    ----------
    odds : float
        That everything goes together. [-]
    flush : float
        How far rims and seats may stand off in a piece that is called closed. [mm]
    sanding : float
        How much may be sanded off a finger or a face to bring both level. [mm]
    """

    odds: float = 0.95
    flush: float = 0.3
    sanding: float = 0.5


WANTED = Wanted()
"""What is wanted where the maker says nothing."""

USUAL: Mapping[Route, Scatter] = MappingProxyType(
    {
        Route.ROUTER: Scatter(0.02, 0.01, 0.0, 0.02, source=Source.ROUTE),
        Route.LASER: Scatter(0.015, 0.01, 0.0, 0.02, source=Source.ROUTE),
        Route.SAW: Scatter(0.01, 0.05, 0.0, 0.02, source=Source.ROUTE),
        Route.HAND: Scatter(0.04, 0.0, 0.0, 0.04, source=Source.ROUTE),
    }
)
"""What is assumed where neither book nor job says (common practice, no source). [mm]

A router and a laser cut a part in one set-up, so that its ends hardly differ; on the saw every end
is set up against the fence anew.
"""
