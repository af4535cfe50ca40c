"""The piece, what the maker wishes of its joints, and the job."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from functools import cached_property, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.glue import USUAL_GLUE, Glue
from dryfit.model.load import SERVICE, Service
from dryfit.model.scatter import WANTED, Scatter, Wanted
from dryfit.model.season import SEASONS, Drawer, Seasons

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.model.cutter import Cutter
    from dryfit.model.kind import Kind
    from dryfit.model.panel import Panel
    from dryfit.model.sheets import Supply

Pair = frozenset[str]
"""The names of two panels that meet."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the maker wants of a joint; None leaves it to the program.

    Parameters
    ----------
    width : float, optional
        Wanted width of a finger. [mm]
    count : int, optional
        Number of fingers and sockets together, n. [-]
    leads : str, optional
        Name of the panel that owns the first finger from the datum.
    flank_gap : float, optional
        Air at one flank; negative for a press fit. [mm]
    proud : float, optional
        Extra length of every finger, to be sanded flush. [mm]
    kind : Kind, optional
        The joint; the reaches of the panels already say how deep it goes.
    depth : float, optional
        Depth of a trench in the face. [mm]
    room : float, optional
        Depth that a groove leaves beyond the edge it holds. [mm]
    stop : pair of float, optional
        How far from the low and from the high end of the meeting a housing stops. [mm]
    through : bool, optional
        Whether a groove or rebate runs the whole length of its panel, out through its ends.
    clearance : float, optional
        Air of a running fit. [mm]
    """

    width: float | None = None
    count: int | None = None
    leads: str | None = None
    flank_gap: float | None = None
    proud: float | None = None
    kind: Kind | None = None
    depth: float | None = None
    room: float | None = None
    stop: tuple[float, float] | None = None
    through: bool | None = None
    clearance: float | None = None

    def over(self, general: Wish) -> Wish:
        """This wish, with what it leaves open taken from `general`.

        A width of its own beats a general count, and a count of its own a general width.
        """
        return remembered_wish(self, general)

    @property
    def divides(self) -> bool:
        """Whether it asks for a division or a lead of its own."""
        return self.width is not None or self.count is not None or self.leads is not None


@lru_cache(maxsize=4096)
def remembered_wish(wish: Wish, general: Wish) -> Wish:
    """A wish over a general one; most joints of a piece wish the same."""
    own = {each.name: getattr(wish, each.name) for each in fields(wish)}
    if wish.width is not None or wish.count is not None:
        general = replace(general, width=None, count=None)
    return replace(general, **{name: value for name, value in own.items() if value is not None})


@dataclass(frozen=True)
class Piece:
    """The thing being made: panels in place, and what is wished of their joints."""

    panels: tuple[Panel, ...]
    wish: Wish = Wish()
    wishes: Mapping[Pair, Wish] = field(default_factory=lambda: MappingProxyType({}))

    def panel(self, name: str) -> Panel:
        """The panel of that name.

        Raises
        ------
        KeyError
            If no panel has that name.
        """
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> dict[str, Panel]:
        return {panel.name: panel for panel in self.panels}

    @cached_property
    def _wished(self) -> dict[str, list[Wish]]:
        wished: dict[str, list[Wish]] = {}
        for pair, wish in self.wishes.items():
            for name in pair if wish.divides else ():
                wished.setdefault(name, []).append(wish)
        return wished

    def wishes_of(self, name: str) -> tuple[Wish, ...]:
        """What divisions and leads are wished of one panel's joints, in no particular order."""
        return tuple(self._wished.get(name, ()))

    @cached_property
    def captive(self) -> frozenset[Pair]:
        """Pairs of panels of which one is held in a groove or rebate of the other."""
        return frozenset(
            pair for pair, wish in self.wishes.items() if wish.kind and wish.kind.is_captive
        )

    def wish_for(self, one: str, other: str) -> Wish:
        """What is wished of the joint between two panels."""
        own = self._whole_wishes.get(frozenset((one, other)))
        return self.wish if own is None else own

    @cached_property
    def _whole_wishes(self) -> dict[Pair, Wish]:
        """The wishes of single joints with what is wished of every joint."""
        return {pair: wish.over(self.wish) for pair, wish in self.wishes.items()}


@dataclass(frozen=True, slots=True)
class Job:
    """A piece, its cutter, its name and how many of it; the unit is the one to print in.

    Where `scatter` is None it is taken from elsewhere; where `auto`, the flank gap of every joint
    that has none of its own is to be found from the odds that are wanted. `drawer` tells of a
    drawer in its opening, where there is one. Where `supply` is None no sheets are stated.
    """

    title: str
    piece: Piece
    cutter: Cutter
    form: str = "panels"
    times: int = 1
    unit: str = "mm"
    sixty_fourths: bool = False
    scatter: Scatter | None = None
    wanted: Wanted = WANTED
    auto: bool = False
    glue: Glue = USUAL_GLUE
    seasons: Seasons = SEASONS
    drawer: Drawer | None = None
    service: Service = SERVICE
    supply: Supply | None = None

    def with_gap(self, gap: float) -> Job:
        """The same job with another flank gap [mm] where joints have none of their own."""
        return self.with_piece(replace(self.piece, wish=replace(self.piece.wish, flank_gap=gap)))

    def with_piece(self, piece: Piece) -> Job:
        """The same job with another piece."""
        return replace(self, piece=piece)
