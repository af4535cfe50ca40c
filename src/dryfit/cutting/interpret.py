"""A modal interpreter of RS-274 programs, those that we wrote and others.

What it does not know it says, with the line, and never guesses: canned cycles, compensation by the
controller, other zeros and planes, variables. Groups and order of execution as in [1]_; an arc's
two radii may differ by 0.002 mm, the tightest of the published tolerances.

References
----------
.. [1] T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3,
   NIST IR 6556, 2000.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import numpy as np

from dryfit.cutting.moves import Moves, Program, Trouble
from dryfit.cutting.words import G_GROUP, M_GROUP, Words, g_code, m_code, words_of
from dryfit.errors import ProgramError

if TYPE_CHECKING:
    from collections.abc import Mapping

LARGEST = 16_000_000
"""The largest program that is read. [bytes]"""

ARC_TOLERANCE = 0.002
"""How far an arc's radius at its end may differ from that at its begin. [mm]"""

_INCH = 25.4
_LETTERS = frozenset("XYZIJRFSPTN")
_BEHIND_NUMBER = re.compile(r"^N\d+ *")
_FULL = math.tau * (1 - 1e-12)


def interpret(text: str, beam: tuple[str, str] | None = None) -> Program:
    """What a machine would do with a program.

    Parameters
    ----------
    text : str
        The program; ends of lines of any kind.
    beam : pair of str, optional
        Lines that switch a laser on and off: then it is flat, and cuts where the beam is on.

    Raises
    ------
    ProgramError
        If it is too large, holds a word that is not read here, or breaks the language; with the
        line.
    """
    if len(text) > LARGEST:
        raise ProgramError(
            f"the program has {len(text) / 1e6:.0f} MB, and {LARGEST / 1e6:.0f} MB is the most "
            "that is read; write one program a sheet, arcs as arcs"
        )
    state = _Controller(flat=beam is not None)
    switches = dict(zip(beam or (), (1.0, 0.0), strict=False))
    for number, line in enumerate(text.splitlines(), start=1):
        if state.ended:
            break
        bare = line.strip()
        if switches and (own := _BEHIND_NUMBER.sub("", bare)) in switches:
            state.turning = switches[own]
        elif bare == "%":
            state.percent()
        elif bare:
            words = words_of(bare, number)
            if words:
                state.block(words, number)
    return state.program()


class _Controller:
    """The state of a controller between two blocks; lengths in mm."""

    def __init__(self, *, flat: bool = False) -> None:
        self.flat = flat
        self.at = [0.0, 0.0, 0.0 if flat else math.nan]
        self.motion = -1
        self.scale = 0.0
        self.incremental = False
        self.absolute_centres = False
        self.feed = self.rpm = self.turning = self.highest = self.dwell = 0.0
        self.ended = self.opened = False
        self.tool = False
        self.rows: list[tuple[float, ...]] = []
        self.rapids: list[bool] = []
        self.feeds: list[float] = []
        self.lines: list[int] = []
        self.troubles: list[Trouble] = []

    def percent(self) -> None:
        """A line of % opens a file that ends with another."""
        self.ended = self.opened
        self.opened = True

    def block(self, words: Words, line: int) -> None:
        """Carry out one line, in the fixed order of the language."""
        values, gs, ms = _sorted(words, line)
        self._modes(values, gs, ms, line)
        if gs.get("single") == 40:
            self._dwell(values, line)
        if "motion" in gs:
            self.motion = gs["motion"]
        turns = self.motion in {20, 30} and ("I" in values or "J" in values)
        if turns or any(axis in values for axis in "XYZ"):
            self._move(values, line)
        if ms.get("stop") in {2, 30}:
            self.ended = True

    def _dwell(self, values: Mapping[str, float], line: int) -> None:
        if "P" not in values or any(axis in values for axis in "XYZIJR"):
            raise ProgramError("a dwell needs P, and no place; write G4 and 1 P on a line", line)
        self.dwell += values["P"]

    def _modes(
        self, values: Mapping[str, float], gs: Mapping[str, int], ms: Mapping[str, int], line: int
    ) -> None:
        """Units, feed, spindle, tool and distance modes: what holds before anything moves."""
        if "unit" in gs:
            scale = _INCH if gs["unit"] == 200 else 1.0
            self.feed *= scale / self.scale if self.scale else 1.0
            self.scale = scale
        if "F" in values:
            self.feed = values["F"] * self._unit(line)
        if "S" in values:
            self.rpm = values["S"]
        if ms.get("tool change") is not None:
            self._change(line)
        if "spindle" in ms:
            self.turning = 0.0 if ms["spindle"] == 5 else 1.0
            self.highest = max(self.highest, self.rpm)
        if "distance" in gs:
            self.incremental = gs["distance"] == 910
        if "arc centres" in gs:
            self.absolute_centres = gs["arc centres"] == 901

    def _change(self, line: int) -> None:
        """One cutter a program: another one would be of a size that nobody said."""
        if self.tool and self.rows:
            raise ProgramError("a second cutter is taken; write 1 program a cutter", line)
        self.tool = True

    def _unit(self, line: int) -> float:
        if not self.scale:
            raise ProgramError("no unit is stated yet; write G21 for mm or G20 for inch", line)
        return self.scale

    def _move(self, values: Mapping[str, float], line: int) -> None:
        scale = self._unit(line)
        if self.motion not in {0, 10, 20, 30}:
            raise ProgramError("a place without a motion; write G0, G1, G2 or G3 before it", line)
        end = list(self.at)
        for index, axis in enumerate("XYZ"):
            if axis in values:
                own = values[axis] * scale
                end[index] = self.at[index] + own if self.incremental else own
        if math.isnan(end[2]) or math.isnan(self.at[2]):
            end = self._first_height(end, line)
        if self.motion in {20, 30}:
            for through, bulge in self._arcs(values, end, scale, line):
                self._row(through, bulge, line)
        else:
            self._row(end, 0.0, line)

    def _first_height(self, end: list[float], line: int) -> list[float]:
        """Before a height is given, only going to one is safe."""
        if math.isnan(end[2]):
            raise ProgramError("it moves before a height is given; write G0 Z first", line)
        if end[:2] != self.at[:2] or self.motion != 0:
            raise ProgramError("the first height is no rapid of its own; write G0 Z first", line)
        self.at[2] = end[2]
        return end

    def _row(self, end: list[float], bulge: float, line: int) -> None:
        rapid = self.motion == 0 or (self.flat and not self.turning)
        if not rapid:
            self._check_cutting(line)
        self.rows.append((*self.at, *end, bulge))
        self.rapids.append(rapid)
        self.feeds.append(0.0 if rapid else self.feed)
        self.lines.append(line)
        self.at = list(end)

    def _check_cutting(self, line: int) -> None:
        if self.feed <= 0 and not any(t.kind == "feed-zero" for t in self.troubles):
            words = f"a cut with a feed of {self.feed:g}"
            self.troubles.append(Trouble("feed-zero", line, words, {"feed_mm_min": self.feed}))
        if not self.turning and not any(t.kind == "cutter-still" for t in self.troubles):
            words = "a cut while the cutter stands still"
            self.troubles.append(Trouble("cutter-still", line, words, {"rpm": self.rpm}))

    def _arcs(
        self, values: Mapping[str, float], end: list[float], scale: float, line: int
    ) -> list[tuple[list[float], float]]:
        """An arc as pieces of at most a half turn, each its end and its bulge."""
        x, y = self.at[:2]
        cx, cy = self._centre(values, end, scale, line)
        before, after = math.hypot(x - cx, y - cy), math.hypot(end[0] - cx, end[1] - cy)
        if before <= 0:
            raise ProgramError("an arc has a radius of 0; give its middle by I and J", line)
        off = abs(after - before)
        if off > ARC_TOLERANCE:
            words = f"an arc ends {off:.4f} mm beside its circle"
            numbers = {"off_mm": off, "most_mm": ARC_TOLERANCE}
            self.troubles.append(Trouble("arc-off", line, words, numbers))
        begin = math.atan2(y - cy, x - cx)
        turn = (math.atan2(end[1] - cy, end[0] - cx) - begin) % math.tau
        if self.motion == 20:
            turn = turn - math.tau if turn > 0 else 0.0
        same = math.hypot(end[0] - x, end[1] - y) < 1e-9
        if same or abs(turn) < math.tau - _FULL:
            turn = (-math.tau if self.motion == 20 else math.tau) if same else turn
        count = max(1, math.ceil(abs(turn) / math.pi - 1e-9))
        found = []
        for piece in range(1, count + 1):
            share = piece / count
            angle, radius = begin + turn * share, before + (after - before) * share
            rise = self.at[2] + (end[2] - self.at[2]) * share
            place = [cx + radius * math.cos(angle), cy + radius * math.sin(angle), rise]
            found.append((end if piece == count else place, math.tan(turn / count / 4)))
        return found

    def _centre(
        self, values: Mapping[str, float], end: list[float], scale: float, line: int
    ) -> tuple[float, float]:
        x, y = self.at[:2]
        if "R" in values:
            if "I" in values or "J" in values:
                raise ProgramError("an arc has R and I or J; write 1 of the two forms", line)
            return self._by_radius(values["R"] * scale, end, line)
        if "I" not in values and "J" not in values:
            raise ProgramError("an arc without middle; write I and J, or R", line)
        i, j = values.get("I", 0.0) * scale, values.get("J", 0.0) * scale
        if self.absolute_centres:
            if "I" not in values or "J" not in values:
                raise ProgramError("after G90.1 an arc needs both I and J; write 2 words", line)
            return i, j
        return x + i, y + j

    def _by_radius(self, radius: float, end: list[float], line: int) -> tuple[float, float]:
        """The middle of an arc of some radius; a negative one is of the longer arc."""
        x, y = self.at[:2]
        dx, dy = end[0] - x, end[1] - y
        chord = math.hypot(dx, dy)
        if chord < 1e-9:
            raise ProgramError("an arc by R ends where it begins; write I and J", line)
        room = radius**2 - chord**2 / 4
        if room < -ARC_TOLERANCE * abs(radius):
            raise ProgramError(
                f"an arc of radius {abs(radius):g} mm spans {chord:g} mm, more than its diameter; "
                "write I and J",
                line,
            )
        height = math.sqrt(max(room, 0.0))
        side = 1.0 if (self.motion == 30) == (radius > 0) else -1.0
        return (
            x + dx / 2 - side * height * dy / chord,
            y + dy / 2 + side * height * dx / chord,
        )

    def program(self) -> Program:
        """Everything that was understood."""
        if not self.ended:
            words = "the program has no end"
            self.troubles.append(Trouble("no-end", 0, words, {"blocks": len(self.rows)}))
        return Program(
            Moves(
                np.array(self.rows, dtype=np.float64).reshape(-1, 7),
                np.array(self.rapids, dtype=np.bool_),
                np.array(self.feeds, dtype=np.float64),
                np.array(self.lines, dtype=np.intp),
            ),
            tuple(self.troubles),
            "in" if self.scale == _INCH else "mm",
            self.highest,
            self.dwell,
        )


def _sorted(words: Words, line: int) -> tuple[dict[str, float], dict[str, int], dict[str, int]]:
    """Values by letter, G words and M words by group; two of one are an error."""
    values: dict[str, float] = {}
    gs: dict[str, int] = {}
    ms: dict[str, int] = {}
    for letter, number in words:
        if letter == "G":
            code = g_code(number, line)
            _put(gs, G_GROUP[code], code, f"G{number}", line)
        elif letter == "M":
            m = m_code(number, line)
            _put(ms, M_GROUP[m], m, f"M{number}", line)
        elif letter not in _LETTERS:
            raise ProgramError(f"{letter}{number} is not known here; write X, Y and Z moves", line)
        elif letter in values:
            raise ProgramError(f"{letter} stands on the line 2 times; write it once", line)
        else:
            values[letter] = float(number)
    return values, gs, ms


def _put(groups: dict[str, int], group: str, code: int, word: str, line: int) -> None:
    if group in groups:
        raise ProgramError(f"{word} is the second word for {group}; write 1 a line", line)
    groups[group] = code
