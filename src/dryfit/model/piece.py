"""The piece, what the maker wishes of its joints, and the job."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.model.cutter import Cutter
    from dryfit.model.panel import Panel

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
    """

    width: float | None = None
    count: int | None = None
    leads: str | None = None
    flank_gap: float | None = None
    proud: float | None = None

    def over(self, general: Wish) -> Wish:
        """This wish, with what it leaves open taken from `general`.

        A width of its own beats a general count, and a count of its own a general width.
        """
        own_division = self.width is not None or self.count is not None
        return Wish(
            width=self.width if own_division else general.width,
            count=self.count if own_division else general.count,
            leads=self.leads if self.leads is not None else general.leads,
            flank_gap=self.flank_gap if self.flank_gap is not None else general.flank_gap,
            proud=self.proud if self.proud is not None else general.proud,
        )


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
            for name in pair:
                wished.setdefault(name, []).append(wish)
        return wished

    def wishes_of(self, name: str) -> tuple[Wish, ...]:
        """What is wished of single joints of one panel, in no particular order."""
        return tuple(self._wished.get(name, ()))

    def wish_for(self, one: str, other: str) -> Wish:
        """What is wished of the joint between two panels."""
        own = self.wishes.get(frozenset((one, other)))
        return self.wish if own is None else own.over(self.wish)


@dataclass(frozen=True, slots=True)
class Job:
    """A piece, its cutter, its name and how many of it; the unit is the one to print in."""

    title: str
    piece: Piece
    cutter: Cutter
    form: str = "panels"
    times: int = 1
    unit: str = "mm"
    sixty_fourths: bool = False

    def with_piece(self, piece: Piece) -> Job:
        """The same job with another piece."""
        return replace(self, piece=piece)
