"""Programs as they are written: arcs stay within the tightest tolerance, comments are tame."""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

import numpy as np
import pytest

from dryfit.cutting.dialect import Writer
from dryfit.cutting.interpret import interpret
from dryfit.model.machine import Machine

if TYPE_CHECKING:
    from dryfit.cutting.moves import FloatArray


def arcs(count: int) -> FloatArray:
    """Random arcs, large and small, each from where the last ended."""
    rng = random.Random(4)  # noqa: S311
    rows, at = [], (100.0, 100.0)
    for _ in range(count):
        radius = 10 ** rng.uniform(-0.5, 3)
        angle = rng.uniform(0.01, 6.2) * rng.choice((-1, 1))
        chord = 2 * radius * abs(math.sin(angle / 2))
        turn = rng.uniform(0, math.tau)
        end = (at[0] + chord * math.cos(turn), at[1] + chord * math.sin(turn))
        rows.append([*at, 0.0, *end, 0.0, math.tan(angle / 4)])
        at = end
    return np.array(rows)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_rounding_keeps_every_arc_within_the_tightest_published_tolerance(unit: str) -> None:
    writer = Writer(Machine(unit=unit), 0.0)
    writer.head([], 18000, 5.0, laser=False)
    path = arcs(600)
    writer.travel(*path[0, :2])
    writer.cut(path, 600.0)
    writer.foot(laser=False)
    program = interpret(writer.text())
    assert program.troubles == ()
    scale, decimals = (1.0, 4) if unit == "mm" else (25.4, 5)
    off = _largest_mismatch(writer.text(), scale)
    # The bound of the docs, 2 √2 · 10^-d in the program's unit.
    assert 0 < off <= 2 * math.sqrt(2) * 10**-decimals * scale + 1e-9
    assert off < 0.002
    ends = program.moves.path[-1, 3:5]
    assert ends == pytest.approx(path[-1, 3:5], abs=1e-4)


def _largest_mismatch(text: str, scale: float) -> float:
    """Of all arcs, the difference of the radii at both ends, from the words alone. [mm]"""
    at, worst = [0.0, 0.0], 0.0
    for line in text.splitlines():
        words = {w[0]: float(w[1:]) for w in line.split() if w[0] in "XYIJ"}
        end = [words.get("X", at[0]), words.get("Y", at[1])]
        if line.startswith(("G2 ", "G3 ")):
            centre = at[0] + words["I"], at[1] + words["J"]
            worst = max(worst, abs(math.dist(at, centre) - math.dist(end, centre)) * scale)
        at = end
    return worst


def test_chords_stand_for_arcs_where_a_machine_takes_none() -> None:
    writer = Writer(Machine(arcs=False), 0.0)
    writer.head([], 18000, 5.0, laser=False)
    writer.cut(np.array([[10.0, 0, 0, 0, 10.0, 0, math.tan(math.pi / 8)]]), 600.0)
    assert "G2" not in writer.text().replace("G21", "")
    assert "G3" not in writer.text()
    moves = interpret(writer.text() + "M2").moves
    radii = np.hypot(moves.path[-5:, 3], moves.path[-5:, 4])
    assert np.abs(radii - 10).max() < 0.0021


@pytest.mark.parametrize("attack", [") M3", "a)\nG0 Z-50", "(M3", "é % #1=2"])
def test_a_name_cannot_leave_its_comment(attack: str) -> None:
    writer = Writer(Machine(), 0.0)
    writer.say(attack)
    (line,) = writer.text().splitlines()
    assert line[0] == "("
    assert line[-1] == ")"
    assert not set("()\n%#=") & set(line[1:-1])
    assert interpret(writer.text() + "M2").moves.path.shape == (0, 7)


def test_lines_are_numbered_where_a_machine_wants_it() -> None:
    writer = Writer(Machine(numbers=True, end="M30"), 0.0)
    writer.head(["tray"], 9000, 5.0, laser=False)
    writer.foot(laser=False)
    lines = writer.text().splitlines()
    assert lines[0] == "(tray)"
    assert lines[1].startswith("N20 G17 G21 G40 G49 G54 G80 G90 G94")
    assert lines[-1].endswith("M30")
    assert interpret(writer.text()).troubles == ()
