"""How the traveller is to look: paper, size of the letters, units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.pages.paper import PAPERS
from dryfit.units import show_length

if TYPE_CHECKING:
    from dryfit.pages.paper import Paper

BOTH = "both"
UNITS = ("mm", "in", BOTH)
"""In which units lengths are printed; ``both`` has millimetres with inches in brackets."""

_LARGE = 1.4


@dataclass(frozen=True, slots=True)
class Look:
    """Paper, letters and units.

    Parameters
    ----------
    paper : Paper
        What it is printed on.
    unit : str
        One of `UNITS`, or another unit of a job.
    large : bool
        Whether letters are large, for a wall.
    """

    paper: Paper = PAPERS["A4"]
    unit: str = "mm"
    large: bool = False

    @property
    def scale(self) -> float:
        """Size of the letters over the usual one. [-]"""
        return _LARGE if self.large else 1.0

    @property
    def small(self) -> float:
        """Height of the capitals of numbers, labels and tables. [mm]"""
        return 2.5 * self.scale

    @property
    def text(self) -> float:
        """Height of the capitals of sentences. [mm]"""
        return 2.5 * self.scale

    @property
    def head(self) -> float:
        """Height of the capitals of a heading. [mm]"""
        return 3.5 * self.scale

    @property
    def title(self) -> float:
        """Height of the capitals of a title. [mm]"""
        return 5.0 * self.scale

    @property
    def main_unit(self) -> str:
        """The unit of sentences and of columns."""
        return "mm" if self.unit == BOTH else self.unit

    def length(self, mm: float, places: int = 2) -> str:
        """A length [mm] with its unit."""
        shown = show_length(mm, self.main_unit, places)
        return f"{shown} [{show_length(mm, 'in', places)}]" if self.unit == BOTH else shown

    def bare(self, mm: float, places: int = 2) -> str:
        """A length [mm] without its unit, where a heading names it."""
        shown = show_length(mm, self.main_unit, places).partition(" ")[0]
        if self.unit != BOTH:
            return shown
        return f"{shown} [{show_length(mm, 'in', places).partition(' ')[0]}]"

    @property
    def unit_words(self) -> str:
        """The unit of bare lengths, for a heading."""
        return "mm [in]" if self.unit == BOTH else self.unit
