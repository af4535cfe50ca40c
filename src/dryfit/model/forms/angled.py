"""Forms whose walls meet at other than right angles; their panels are stated by outer faces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.model.forms import many_sided, splayed
from dryfit.model.forms.form import count
from dryfit.model.forms.leaning import Sheets

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from dryfit.model.forms.form import Options, Request
    from dryfit.model.panel import Panel

SIDES = 6
"""Walls of a many-sided tray where nothing is asked. [-]"""


@dataclass(frozen=True, slots=True)
class AngledForm:
    """A ready-made piece with angled corners.

    Parameters
    ----------
    name : str
        What the maker calls it.
    meaning : str
        What it is, in a few words.
    options : tuple of str
        What it leaves to choose.
    names : callable
        The names of its panels for given options.
    build : callable
        Its panels in place for a request.
    """

    name: str
    meaning: str
    options: tuple[str, ...]
    names: Callable[[Options], tuple[str, ...]]
    build: Callable[[Request], tuple[Panel, ...]]


def _based(options: Options) -> tuple[str, ...]:
    return ("base",) if options.get("base", True) else ()


def _sides(options: Options) -> int:
    return count(options, "sides") or SIDES


def _many_names(options: Options) -> tuple[str, ...]:
    return (*(f"wall {k + 1}" for k in range(_sides(options))), *_based(options))


def _sheets(request: Request, wall: str) -> Sheets:
    return Sheets(request.stocks[wall], request.stocks.get("base"))


def _many(request: Request) -> tuple[Panel, ...]:
    options = request.options
    if "height" not in options:
        raise SizeError("no height is given; write height = 60", ("piece",))
    return many_sided.build(
        many_sided.ManySided(
            _sides(options), request.length("height", 0.0), _sheets(request, "wall 1"),
            request.length("flats", 0.0) if "flats" in options else None,
            request.length("flats_inside", 0.0) if "flats_inside" in options else None,
            request.unit,
        )
    )  # fmt: skip


def _splayed(request: Request) -> tuple[Panel, ...]:
    if request.outside is None:
        raise SizeError(
            "no size is given; write outside = [330, 220, 70] with the 3 sizes at the top",
            ("piece",),
        )
    x, y, z = request.outside
    splay = math.radians(request.length("splay", 10.0))
    return splayed.build(splayed.Splayed((x, y), z, splay, _sheets(request, "front"), request.unit))


ANGLED: Mapping[str, AngledForm] = MappingProxyType(
    {
        form.name: form
        for form in (
            AngledForm(
                "many-sided tray", "3 to 12 equal upright walls and a base",
                ("sides", "flats", "flats_inside", "height", "base"), _many_names, _many,
            ),
            AngledForm(
                "splayed tray", "four walls that lean out, and a base", ("splay", "base"),
                lambda options: ("front", "right", "back", "left", *_based(options)), _splayed,
            ),
        )
    }
)  # fmt: skip
"""Every form with angled corners, by name."""
