"""What lies on the machine: a sheet, the parts in it, and how their drawings get there.

Vocabulary
----------
height
    Above the bed. [mm]
up
    The face that looks at the cutter when the outlines are cut.
far side
    The other face; what has to be cut in it comes first, the sheet turned over.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.panel import Face
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.parts.part import Cut, Part
    from dryfit.shapes.profile import Loop, Profile

FloatArray = npt.NDArray[np.float64]
Matrix = tuple[tuple[float, float], tuple[float, float]]

_PLAIN: Matrix = ((1.0, 0.0), (0.0, 1.0))
_TURNED_OVER: Matrix = ((-1.0, 0.0), (0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Trenched:
    """A trench as it lies: its shape on the sheet [mm], its heights [mm], its open sides.

    `far` says that it is cut from the far side; `open` marks the sides low x, high x, low y and
    high y of its box at which it runs out of the panel.
    """

    profile: Profile
    low: float
    high: float
    far: bool
    open: tuple[bool, bool, bool, bool]


@dataclass(frozen=True)
class Lying:
    """A part in its place on a sheet.

    Parameters
    ----------
    part : Part
        The part.
    matrix : Matrix
        Turn of its own (u, v) to the sheet, turned over where face a looks up.
    shift : pair of float
        Where its origin lies. [mm]
    up : Face
        The face that looks up.
    """

    part: Part
    matrix: Matrix
    shift: tuple[float, float]
    up: Face

    @cached_property
    def outline(self) -> Profile:
        """The part as cut, on the sheet. [mm]"""
        return self.part.as_cut.transformed(np.array(self.matrix), self.shift)

    @property
    def name(self) -> str:
        """The part's name."""
        return self.part.name

    @cached_property
    def trenches(self) -> tuple[Trenched, ...]:
        """Its trenches, on the sheet."""
        return tuple(self._lying(cut) for cut in self.part.cuts_for(Purpose.TRENCH))

    @cached_property
    def zones(self) -> tuple[tuple[float, float, float, float], ...]:
        """Boxes on the sheet that its joints take. [mm]"""
        return tuple(self.box(zone) for _, zone in self.part.zones)

    def box(self, own: Sequence[float]) -> tuple[float, float, float, float]:
        """A box of its own (u, v) as a box on the sheet. [mm]"""
        matrix, shift = np.array(self.matrix), np.array(self.shift)
        corners = np.array([(own[0], own[1]), (own[2], own[3])]) @ matrix.T + shift
        low, high = corners.min(axis=0), corners.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    def _lying(self, cut: Cut) -> Trenched:
        far = cut.face is not self.up
        thick = self.part.thickness
        high, low = (
            (cut.depth_to, cut.depth_from)
            if far
            else (thick - cut.depth_from, thick - cut.depth_to)
        )
        profile = cut.profile.transformed(np.array(self.matrix), self.shift)
        panel = self.part.panel
        return Trenched(
            profile,
            low,
            high,
            far,
            _open_sides(profile.outer, self.box((0.0, 0.0, panel.width, panel.height))),
        )


def _open_sides(
    loop: Loop, reach: tuple[float, float, float, float]
) -> tuple[bool, bool, bool, bool]:
    """The sides of a trench that lie on the edge of its panel and end in square corners."""
    box = loop.bounds
    points = loop.vertices[:, :2]

    def square(x: float, y: float) -> bool:
        return bool((np.abs(points - (x, y)).max(axis=1) < 1e-6).any())

    x0, y0, x1, y1 = box
    corners = {
        0: (square(x0, y0), square(x0, y1)),
        1: (square(x0, y0), square(x1, y0)),
        2: (square(x1, y0), square(x1, y1)),
        3: (square(x0, y1), square(x1, y1)),
    }
    west, south, east, north = (abs(box[k] - reach[k]) < 1e-6 and all(corners[k]) for k in range(4))
    return west, east, south, north


@dataclass(frozen=True)
class Bed:
    """A sheet with the parts in it, as it lies when the outlines are cut.

    Parameters
    ----------
    name : str
        What the sheet is called.
    length, width : float
        Its size along x and y. [mm]
    thickness : float
        Mean thickness. [mm]
    lying : tuple of Lying
        The parts.
    """

    name: str
    length: float
    width: float
    thickness: float
    lying: tuple[Lying, ...]

    @property
    def two_sided(self) -> bool:
        """Whether something has to be cut from the far side."""
        return any(trench.far for each in self.lying for trench in each.trenches)


def lie(part: Part, x: float, y: float, turned: int = 0) -> Lying:
    """A part with the lower left corner of its box at (x, y) [mm], quarter turns `turned`.

    The good face looks up where the trenches leave a choice: most of them have to look up.
    """
    up = face_up(part)
    turn = np.linalg.matrix_power(np.array([[0, -1], [1, 0]]), turned % 4)
    matrix = turn @ np.array(_PLAIN if up is Face.B else _TURNED_OVER)
    x0, y0, _, _ = part.as_cut.outer.transformed(matrix).bounds
    rows: Matrix = (
        (float(matrix[0, 0]), float(matrix[0, 1])),
        (float(matrix[1, 0]), float(matrix[1, 1])),
    )
    return Lying(part, rows, (x - x0, y - y0), up)


def face_up(part: Part) -> Face:
    """The face that looks up: that of most trenches, else the good one."""
    trenches = part.cuts_for(Purpose.TRENCH)
    in_a = sum(cut.face is Face.A for cut in trenches)
    if 2 * in_a != len(trenches):
        return Face.A if 2 * in_a > len(trenches) else Face.B
    return part.panel.good_face or Face.B


def in_rows(
    parts: Sequence[Part], size: tuple[float, float], spacing: float, margin: float
) -> Iterator[tuple[Lying, ...]]:
    """Parts of one thickness in rows on sheets, in their order; one sheet after the other.

    Parameters
    ----------
    parts : sequence of Part
        What is laid.
    size : pair of float
        Of a sheet. [mm]
    spacing, margin : float
        Between two parts, and to the edge of the sheet. [mm]
    """
    found: list[Lying] = []
    x = y = margin
    tallest = 0.0
    for part in parts:
        x0, y0, x1, y1 = part.as_cut.bounds
        width, height = x1 - x0, y1 - y0
        turned = int(width > size[0] - 2 * margin >= height)
        width, height = (height, width) if turned else (width, height)
        if found and x + width > size[0] - margin:
            x, y, tallest = margin, y + tallest + spacing, 0.0
        if found and y + height > size[1] - margin:
            yield tuple(found)
            found, x, y, tallest = [], margin, margin, 0.0
        found.append(lie(part, x, y, turned))
        x, tallest = x + width + spacing, max(tallest, height)
    if found:
        yield tuple(found)
