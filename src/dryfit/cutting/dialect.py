"""Programs in RS-274, in a plain dialect that every controller knows.

G17 G21 G40 G49 G54 G80 G90 G94, four decimals in mm and five in inch, arcs by I and J, no canned
cycle and no compensation. An arc's middle is reckoned from its begin as it was rounded, so that
its end is off its circle by 2 √2 · 10⁻⁴ mm at most.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.pages.names import plain_text
from dryfit.shapes import arc

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy.typing as npt

    from dryfit.model.machine import Machine

    FloatArray = npt.NDArray[np.float64]

CHORD = 0.002
"""How far the chords stray that stand for arcs where a machine takes none. [mm]"""

_SAGITTA = 2e-4
"""An arc that bows less is written as a line: rounding would turn it. [mm]"""

_DOWN = 1 / 3
"""Share of the feed at which a cutter goes down (common practice, no source). [-]"""

_HALF_TURN = 1.0
"""Bulge of a half turn; longer arcs are written in two. [-]"""


class Writer:
    """A program being written: remembers place and feed, and says only what changes."""

    def __init__(self, machine: Machine, zero: float) -> None:
        self.machine = machine
        self.zero = zero
        self.lines: list[str] = []
        self._feed = -1.0
        self._safe = 0.0

    def say(self, text: str) -> None:
        """A comment; what a comment may not hold is taken out, accents included."""
        self.lines.append(f"({_ascii(text)})")

    def word(self, text: str) -> None:
        """A line as it stands."""
        self.lines.append(text)

    def head(self, notes: Iterable[str], rpm: float, safe: float, *, laser: bool) -> None:
        """Comments, modes, a safe height and the spindle up to speed; `safe` in [mm]."""
        for note in notes:
            self.say(note)
        unit = "G21" if self.machine.unit == "mm" else "G20"
        self.word(f"G17 {unit} G40 G49 G54 G80 G90 G94")
        self._safe = safe
        if laser:
            return
        self.word(f"G0 Z{self._number(safe - self.zero)}")
        self.word(f"S{rpm:.0f} M3")
        if self.machine.spin_up:
            self.word(f"G4 P{self.machine.spin_up:g}")

    def foot(self, *, laser: bool) -> None:
        """Up, off and end."""
        if not laser:
            self.word(f"G0 Z{self._number(self._safe - self.zero)}")
        self.word(self.machine.off if laser else "M5")
        self.word(self.machine.end)

    def travel(self, x: float, y: float) -> None:
        """A rapid to a place (x, y) [mm] at the height it has."""
        self.word(f"G0 X{self._number(x)} Y{self._number(y)}")

    def rise(self) -> None:
        """Straight up to the safe height."""
        self.word(f"G0 Z{self._number(self._safe - self.zero)}")

    def cut(self, path: FloatArray, feed: float, *, flat: bool = False) -> None:
        """Moves that cut, at a feed [mm/min]; `flat` leaves Z out."""
        rows = self._rounded(path)
        scale = self.machine.scale
        for x0, y0, z0, x1, y1, z1, i, j, turn in rows:
            down = z1 < z0
            if x0 == x1 and y0 == y1 and (z0 == z1 or flat):
                continue
            words = ["G1" if not turn else "G3" if turn > 0 else "G2"]
            if turn or x0 != x1:
                words.append(f"X{self._show(x1)}")
            if turn or y0 != y1:
                words.append(f"Y{self._show(y1)}")
            if z0 != z1 and not flat:
                words.append(f"Z{self._show(z1)}")
            if turn:
                words += [f"I{self._show(i)}", f"J{self._show(j)}"]
            own = feed * _DOWN if down and x0 == x1 and y0 == y1 else feed
            if own != self._feed:
                words.append(f"F{self._show_feed(own / scale)}")
                self._feed = own
            self.lines.append(" ".join(words))

    def text(self) -> str:
        """The whole program."""
        lines = self.lines
        if self.machine.numbers:
            lines = [
                line if line.startswith("(") else f"N{10 * k} {line}"
                for k, line in enumerate(lines, start=1)
            ]
        return "\n".join([*lines, ""])

    def _rounded(self, path: FloatArray) -> list[list[float]]:
        """Rows x0, y0, z0, x1, y1, z1, i, j, sense in the machine's unit, rounded."""
        path = _written(path, arcs=self.machine.arcs)
        decimals, scale = self.machine.decimals, self.machine.scale
        shift = np.array([0, 0, self.zero, 0, 0, self.zero])
        ends = np.round((path[:, :6] - shift) / scale, decimals) + 0.0
        flat = path[:, [0, 1, 3, 4, 6]]
        bent = flat[:, 4] != 0
        middle = np.zeros((len(path), 2))
        middle[bent] = arc.centre(flat[bent])
        ij = np.round(middle / scale - ends[:, :2], decimals) + 0.0
        # An arc whose ends fall together would become a whole circle.
        lost = (ends[:, 0] == ends[:, 3]) & (ends[:, 1] == ends[:, 4])
        sense = np.where(bent & ~lost, np.sign(flat[:, 4]), 0.0)
        rows: list[list[float]] = np.column_stack((ends, ij, sense)).tolist()
        return rows

    def _number(self, mm: float) -> str:
        return self._show(round(mm / self.machine.scale, self.machine.decimals) + 0.0)

    def _show(self, number: float) -> str:
        return f"{number:.{self.machine.decimals}f}".rstrip("0").rstrip(".")

    @staticmethod
    def _show_feed(number: float) -> str:
        return f"{number:.1f}".rstrip("0").rstrip(".")


def _written(path: FloatArray, *, arcs: bool) -> FloatArray:
    """Rows as the dialect has them: no arc of more than a half turn, none that bows too little."""
    bulge = np.abs(path[:, 6])
    chord = np.hypot(path[:, 3] - path[:, 0], path[:, 4] - path[:, 1])
    path = path.copy()
    path[(bulge > 0) & (chord * bulge / 2 < _SAGITTA), 6] = 0.0
    cuts = np.ones(len(path), dtype=np.intp)
    bent = path[:, 6] != 0
    if not arcs and bent.any():
        flat = path[bent][:, [0, 1, 3, 4, 6]]
        step = 2 * np.arccos(np.maximum(1 - CHORD / arc.radius(flat), 0.0))
        cuts[bent] = np.ceil(np.abs(arc.included_angle(flat)) / step).astype(np.intp)
    else:
        cuts[bulge > _HALF_TURN + 1e-9] = 2
    if (cuts == 1).all():
        return _without_bulge(path, arcs=arcs)
    return _without_bulge(_split(path, cuts), arcs=arcs)


def _without_bulge(path: FloatArray, *, arcs: bool) -> FloatArray:
    if not arcs:
        path[:, 6] = 0.0
    return path


def _split(path: FloatArray, cuts: npt.NDArray[np.intp]) -> FloatArray:
    """Rows cut into so many equal pieces each."""
    which = np.repeat(np.arange(len(path)), cuts)
    step = np.arange(len(which)) - np.repeat(np.cumsum(cuts) - cuts, cuts)
    rows, count = path[which], cuts[which]
    flat = rows[:, [0, 1, 3, 4, 6]]
    made = rows.copy()
    many = count > 1
    for columns, share in (((0, 1, 2), step / count), ((3, 4, 5), (step + 1) / count)):
        inner = many & (share > 0) & (share < 1)
        made[inner, columns[2]] = (rows[:, 2] + share * (rows[:, 5] - rows[:, 2]))[inner]
        made[np.ix_(inner, columns[:2])] = arc.along(flat[inner], share[inner])
        made[many & (share <= 0), columns[2]] = rows[many & (share <= 0), 2]
    ends = many & (step + 1 == count)
    made[ends, 3:6] = rows[ends, 3:6]
    made[many, 6] = np.tan(np.arctan(rows[many, 6]) / count[many])
    return made


def _ascii(text: str) -> str:
    """A comment of plain letters: controllers of any age can show it."""
    import unicodedata

    bare = unicodedata.normalize("NFKD", plain_text(text)).encode("ascii", "ignore").decode()
    return " ".join(bare.split()) or "-"
