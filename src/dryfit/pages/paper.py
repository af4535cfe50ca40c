"""Sizes of paper, and how it is framed.

The formats are those of ISO 216 and the letter of the United States; margins and frame follow
ISO 5457:1999 (sizes checked against its drawing spaces, line widths from memory): 20 mm at the
filing edge on the left, 10 mm elsewhere, and a frame 0.7 mm wide.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

FILING, EDGE = 20.0, 10.0
"""Margins at the filing edge and at the other three. [mm]"""

FRAME = 0.7
WIDE, NARROW = 0.5, 0.25
"""Visible edges, and hidden edges, dimensions and tables: the pair that ISO 128-2 has for A4 to A2
(from memory). [mm]"""


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper.

    Parameters
    ----------
    name : str
        What it is called.
    width, height : float
        Its size as it is held. [mm]
    first_angle : bool
        Whether views are laid out in first-angle projection, as ISO does; else in third-angle.
    """

    name: str
    width: float
    height: float
    first_angle: bool = True

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """The drawing space (x0, y0, x1, y1). [mm]"""
        return FILING, EDGE, self.width - EDGE, self.height - EDGE


PAPERS: Mapping[str, Paper] = MappingProxyType(
    {
        "A4": Paper("A4", 210.0, 297.0),
        "A3": Paper("A3", 420.0, 297.0),
        "letter": Paper("letter", 215.9, 279.4, first_angle=False),
    }
)
"""The papers that a workshop prints on; A3 lies on its side."""
