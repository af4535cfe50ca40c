"""The interpreter against the language: groups, both forms of arcs, units, and what it refuses."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest

from dryfit.cutting.interpret import LARGEST, interpret
from dryfit.errors import ProgramError

HEAD = "G17 G21 G90\nG0 Z5\nS18000 M3\n"


def ends(text: str) -> list[list[float]]:
    """Where each move after the head ends."""
    found: list[list[float]] = np.round(interpret(text).moves.path[1:, 3:6], 4).tolist()
    return found


def test_absolute_and_incremental_places() -> None:
    text = HEAD + "G1 X10 Y5 F600\nG91 X1 Y-1\nG90 X0 Z-1\nM2\n"
    assert ends(text) == [[10, 5, 5], [11, 4, 5], [0, 4, -1]]


def test_inch_is_applied_before_the_motion_of_its_line() -> None:
    program = interpret("G0 G20 Z1\nM3 S9000\nG1 X1 F10\nG21 X10 F600\nM30")
    assert program.moves.path[:, 3].tolist() == [0, 25.4, 10]
    assert program.moves.feed.tolist() == [0, 254, 600]


@pytest.mark.parametrize(
    ("word", "bulge"), [("G3", math.tan(math.pi / 8)), ("G2", -math.tan(math.pi / 8))]
)
def test_quarter_turns_by_centre_and_by_radius(word: str, bulge: float) -> None:
    side = 1 if word == "G3" else -1
    by_centre = interpret(HEAD + f"G1 X10 F600\n{word} X0 Y{10 * side} I-10 J0\nM2\n").moves
    by_radius = interpret(HEAD + f"G1 X10 F600\n{word} X0 Y{10 * side} R10\nM2\n").moves
    absolute = interpret(HEAD + f"G90.1 G1 X10 F600\n{word} X0 Y{10 * side} I0 J0\nM2\n").moves
    for moves in (by_centre, by_radius, absolute):
        assert moves.path[-1, 6] == pytest.approx(bulge)


def test_a_negative_radius_is_the_longer_arc_and_comes_in_pieces() -> None:
    moves = interpret(HEAD + "G1 X10 F600\nG3 X0 Y10 R-10\nM2\n").moves
    assert moves.lengths[2:].sum() == pytest.approx(1.5 * math.pi * 10)
    assert np.abs(moves.path[:, 6]).max() <= 1


def test_a_whole_circle_and_a_helix() -> None:
    moves = interpret(HEAD + "G1 X10 F600\nG2 X10 Y0 I-10 J0 Z4\nM2\n").moves
    assert moves.path[-1, 3:6] == pytest.approx([10, 0, 4])
    assert moves.lengths[2:].sum() == pytest.approx(math.tau * 10, abs=0.05)


def test_comments_numbers_and_percent_signs() -> None:
    text = "%\n(a comment; X9)\nN10 g0 g21 z5 ; and more\nN20 m3 s1000\nn30 g1 x.5 f+600.\n%\nX99"
    program = interpret(text)
    assert program.moves.path[-1, 3] == 0.5
    assert program.moves.line.tolist() == [3, 5]
    assert program.troubles == ()


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("G81 X1 Y1 Z-3 R2", 4, "canned cycle"),
        ("G83 X1 Z-9 Q2", 4, "canned cycle"),
        ("G41 X1", 4, "controller's table"),
        ("G43 Z1 H1", 4, "controller's table"),
        ("G18", 4, "another plane"),
        ("G55", 4, "another zero"),
        ("G92 X0", 4, "memory"),
        ("G28", 4, "memory"),
        ("G38.2 Z-5", 4, "probes"),
        ("G93", 4, "feed mode"),
        ("G7 X1", 4, "not known"),
        ("M98", 4, "not known"),
        ("#1=5", 4, "variables"),
        ("O100 SUB", 4, "variables"),
        ("/G0 X1", 4, "skipped"),
        ("G0 X1 (left open", 4, "not closed"),
        ("G0 G1 X1", 4, "second word for motion"),
        ("M3 M5", 4, "second word for spindle"),
        ("G1 X1 X2", 4, "2 times"),
        ("X1Y?", 4, "no word"),
        ("A90", 4, "not known"),
        ("G2 X1 Y1 F60", 4, "without middle"),
        ("G2 X0 Y0 R5 F60", 4, "ends where it begins"),
        ("G2 X20 Y0 R5 F60", 4, "more than its diameter"),
        ("G2 X1 I1 R5 F60", 4, "1 of the two forms"),
        ("G2 X1 I0 J0 F60", 4, "radius of 0"),
        ("G4 X3", 4, "dwell"),
        ("M6 T1\nG1 X1 F60\nM6 T2", 6, "second cutter"),
    ],
)
def test_what_is_not_known_is_said_with_its_line(text: str, line: int, words: str) -> None:
    with pytest.raises(ProgramError, match=words) as told:
        interpret(HEAD + text + "\nM2\n")
    assert told.value.line == line
    assert any(sign.isdigit() for sign in str(told.value))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("G0 Z5", "no unit"),
        ("G21\nG0 X5", "before a height"),
        ("G21\nG1 Z5 F100", "first height"),
        ("G21\nX5", "without a motion"),
    ],
)
def test_what_a_program_has_to_say_first(text: str, words: str) -> None:
    with pytest.raises(ProgramError, match=words):
        interpret(text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("G1 X5\nM2", "feed-zero"),
        ("M5\nG1 X5 F100\nM2", "cutter-still"),
        ("G1 X5 F100", "no-end"),
        ("G1 X10 F100\nG3 X0 Y10.003 I-10 J0\nM2", "arc-off"),
    ],
)
def test_what_no_machine_should_run_is_a_trouble(text: str, kind: str) -> None:
    assert [t.kind for t in interpret(HEAD + text).troubles] == [kind]


def test_an_arc_within_the_tightest_published_tolerance_is_none() -> None:
    assert interpret(HEAD + "G1 X10 F100\nG3 X0 Y10.0019 I-10 J0\nM2").troubles == ()


def test_a_program_that_is_too_large_is_refused_at_once() -> None:
    began = time.process_time()
    with pytest.raises(ProgramError, match="50 MB, and 16 MB"):
        interpret("G1 X1\n" * (50_000_000 // 6))
    assert time.process_time() - began < 2
    assert LARGEST == 16_000_000
