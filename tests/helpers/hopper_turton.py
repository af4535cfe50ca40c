"""Strips cut without waste, so that the best height is known.

    E. Hopper, B. C. H. Turton, An empirical investigation of meta-heuristic and heuristic
    algorithms for a 2D packing problem, European Journal of Operational Research 128 (2001) 34-57.

Width and height of each piece; none may be turned. The sizes are as an open collection keeps them.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import NamedTuple


class Strip(NamedTuple):
    """Width of the strip, its least height, and the pieces."""

    width: int
    height: int
    pieces: tuple[tuple[int, int], ...]


def _strip(width: int, height: int, pieces: str) -> Strip:
    sizes = (piece.split("x") for piece in pieces.split())
    return Strip(width, height, tuple((int(wide), int(high)) for wide, high in sizes))


STRIPS = MappingProxyType(
    {
        "C1.1": _strip(
            20, 20,
            """
            2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2
            """,
        ),
        "C1.3": _strip(
            20, 20,
            """
            4x14 5x2 2x2 9x7 5x5 2x5 7x7 3x5 6x5 3x2 6x2 4x6 6x3 10x3 6x3 10x3
            """,
        ),
        "C2.1": _strip(
            60, 30,
            """
            7x5 14x5 14x8 4x8 21x13 7x11 14x11 14x5 4x5 18x3 21x3 17x11 4x11 7x4 5x4 6x7 18x5
            3x5 7x3 5x3 18x4 3x4 12x2 6x2 18x5 21x5 17x3 4x3
            """,
        ),
        "C2.3": _strip(
            60, 30,
            """
            24x9 8x9 11x9 17x9 24x4 8x4 6x1 5x1 17x4 6x3 5x3 5x12 13x12 14x14 14x2 2x2 3x8 9x8
            14x12 2x12 3x6 9x6 5x2 13x2 18x3 14x3 16x3 12x3
            """,
        ),
        "C3.1": _strip(
            40, 15,
            """
            11x3 13x3 9x2 7x2 9x3 7x3 11x2 13x2 11x4 13x4 3x5 11x2 2x2 11x3 2x3 5x4 6x4 12x2 1x2
            3x5 13x5 12x4 1x4 5x2 6x2
            """,
        ),
        "C3.3": _strip(
            40, 15,
            """
            12x7 7x7 7x1 5x1 3x2 6x2 7x2 5x2 3x1 6x1 12x6 9x6 12x2 7x2 10x3 4x1 5x1 16x3 5x3 4x2
            5x2 10x3 9x3 16x3 5x3
            """,
        ),
        "C4.1": _strip(
            60, 60,
            """
            2x7 24x7 16x4 18x4 16x7 18x7 2x4 24x4 4x28 6x18 14x12 2x12 18x19 9x8 7x8 9x11 7x11
            14x6 2x6 6x10 16x10 3x5 4x5 8x12 3x18 3x3 8x3 5x20 3x17 3x7 5x7 3x7 4x7 4x21 10x19
            4x17 8x17 3x10 5x10 7x6 8x6 15x12 3x12 11x10 5x10 4x2 8x2 10x2 12x2
            """,
        ),
        "C4.3": _strip(
            60, 60,
            """
            10x4 12x4 13x5 3x5 7x22 6x22 9x23 10x19 3x15 5x13 2x10 2x10 13x18 3x18 2x3 2x3 5x2
            4x2 3x4 9x4 7x1 6x1 2x4 20x4 4x7 12x7 9x4 4x4 9x9 2x5 20x5 9x5 4x5 4x2 12x2 3x15
            21x11 11x3 3x3 11x23 11x23 11x8 3x8 21x4 14x4 3x13 35x13 11x5 11x5
            """,
        ),
        "C5.1": _strip(
            60, 90,
            """
            6x34 3x13 5x13 12x10 12x10 7x6 15x6 7x25 15x25 12x21 7x16 5x16 3x21 5x21 7x5 5x5 1x4
            10x4 13x6 13x12 9x12 6x23 3x7 5x7 1x2 10x2 6x6 5x6 7x14 6x14 3x16 5x16 6x14 5x14
            13x14 2x3 7x3 2x11 7x11 7x6 6x6 14x33 4x12 3x12 18x16 3x12 18x12 4x4 3x4 1x3 2x3 9x6
            9x6 1x6 2x6 7x5 18x5 9x3 9x3 18x9 5x6 2x6 12x2 9x2 3x8 9x8 9x10 5x3 2x3 18x3 7x3 3x2
            9x2
            """,
        ),
        "C5.3": _strip(
            60, 90,
            """
            6x37 10x15 4x7 12x7 4x18 10x8 5x8 4x25 5x25 4x8 12x8 10x10 5x10 3x4 7x4 7x10 2x10
            7x15 4x18 15x18 3x18 7x18 7x5 2x5 4x11 5x11 4x5 5x5 1x3 6x3 1x4 6x4 4x2 5x2 19x25
            5x9 4x9 3x6 3x6 6x13 20x13 3x18 3x18 5x16 4x16 6x11 13x4 7x4 13x7 3x2 4x2 3x5 4x5
            4x24 15x12 13x12 19x7 9x7 5x4 2x4 12x5 9x22 5x1 2x1 15x12 13x12 2x5 5x5 12x17 2x12
            5x12 4x5 28x5
            """,
        ),
        "C6.1": _strip(
            80, 120,
            """
            30x19 8x5 13x5 15x23 9x4 3x4 2x11 9x7 3x7 8x14 11x6 2x6 11x8 2x8 12x12 2x12 30x10
            21x10 15x6 14x6 2x9 22x9 6x16 5x2 5x2 11x6 9x30 10x8 10x8 5x4 5x4 4x14 2x14 4x22
            8x14 3x14 10x22 4x20 6x20 2x7 13x2 9x2 13x5 9x5 17x11 7x11 6x18 4x8 2x8 5x7 3x7 3x14
            17x7 7x7 5x7 3x7 6x6 4x6 4x2 6x2 9x61 6x8 5x8 5x2 4x2 5x28 4x28 6x29 3x20 21x20
            10x39 4x13 7x13 6x22 5x22 4x26 7x26 3x9 21x9 11x31 9x31 6x28 3x19 18x8 3x8 18x11
            3x11 10x18 2x6 9x6 2x12 9x12 3x9 12x2 9x2 12x7 9x7
            """,
        ),
        "C6.3": _strip(
            80, 120,
            """
            6x35 1x6 6x6 34x13 10x7 23x7 1x7 6x7 10x62 10x33 13x33 7x22 4x15 6x8 24x8 6x7 24x7
            4x7 30x7 6x34 8x17 10x17 8x16 15x16 5x6 5x6 9x21 4x21 5x23 5x23 8x6 15x6 8x5 10x5
            5x4 7x2 6x2 6x4 17x4 7x2 6x2 5x8 4x4 9x4 6x8 17x8 4x6 5x6 4x8 4x4 9x4 4x2 5x2 4x25
            6x25 6x6 2x6 18x10 11x24 9x4 17x4 7x9 9x5 17x5 6x4 2x4 6x8 20x8 7x42 8x14 18x14 6x34
            5x9 8x7 7x7 26x20 5x7 3x7 3x15 8x2 7x2 4x19 6x19 5x25 8x13 7x13 5x8 3x8 8x5 3x5 6x8
            2x8 7x12 10x7 37x7 6x4 2x4
            """,
        ),
        "C7.1": _strip(
            160, 240,
            """
            19x21 6x21 6x18 41x18 22x14 13x14 8x13 14x13 31x20 8x7 14x7 22x54 13x54 6x23 8x13
            33x13 6x22 5x22 11x28 19x56 12x56 16x11 3x11 6x20 8x10 33x10 16x9 3x9 8x4 17x4 20x9
            19x9 8x15 6x6 5x6 3x6 5x6 17x23 5x28 6x28 11x53 20x6 19x6 3x17 5x17 39x12 8x12 31x8
            41x8 23x23 12x23 9x9 16x9 6x18 20x13 21x13 5x25 6x25 19x25 7x16 5x16 9x9 16x9 20x12
            21x12 23x10 12x10 7x9 5x9 25x7 6x7 16x47 16x14 8x14 21x16 2x4 4x4 11x11 29x11 10x54
            13x54 13x70 7x13 3x13 7x25 2x12 4x12 11x32 22x9 7x9 7x12 3x12 16x33 8x33 14x21 7x21
            6x27 6x10 16x10 7x23 10x45 7x45 2x10 4x10 16x13 14x6 7x6 2x3 4x3 13x13 14x13 7x8
            33x8 16x34 12x28 12x28 7x30 4x19 29x19 10x51 13x51 13x25 4x21 10x21 4x11 29x11 9x26
            4x26 17x35 12x6 12x6 4x4 10x4 8x10 13x2 6x2 10x12 3x12 22x16 18x16 7x20 17x16 3x16
            13x8 6x8 8x10 19x10 10x8 3x8 9x9 4x9 22x14 9x7 9x7 17x4 3x4 19x17 8x17 8x11 5x11
            7x10 20x10 9x7 9x7 19x20 4x20 4x10 26x10 19x11 21x11 3x3 6x3 18x13 8x27 5x27 3x10
            6x10 4x24 5x21 21x21 19x21 8x21 19x17 21x17 9x15 5x6 13x6 19x14 4x14 5x9 4x7 9x7 5x3
            21x3 4x2 9x2
            """,
        ),
        "C7.3": _strip(
            160, 240,
            """
            19x15 4x15 8x5 26x5 21x10 5x24 3x7 32x7 26x92 16x92 8x5 26x5 3x17 32x17 10x5 24x5
            2x8 19x8 3x7 3x7 13x10 4x27 10x14 24x14 2x11 19x11 3x3 3x3 5x5 35x5 6x17 13x17 24x8
            31x8 5x8 35x8 14x5 31x5 5x5 35x5 11x44 12x44 38x17 57x17 13x5 17x5 8x17 36x20 21x20
            13x12 17x12 5x15 10x6 15x6 8x50 30x16 6x16 15x10 6x10 10x9 15x9 6x8 5x8 12x40 9x33
            6x33 6x37 5x35 21x13 4x13 4x17 22x17 16x34 6x32 5x32 14x23 16x23 6x31 21x22 4x22
            4x17 22x17 14x8 16x8 9x4 6x4 20x4 22x4 5x29 38x7 33x7 7x32 5x32 30x49 5x22 9x22 6x37
            6x31 16x31 2x7 25x7 11x12 33x22 2x5 25x5 27x10 11x10 5x15 9x15 5x30 11x13 30x13
            30x21 7x17 5x17 6x24 6x22 10x22 3x2 3x2 8x10 6x18 11x8 30x8 3x8 3x8 12x65 5x5 16x5
            6x9 3x9 41x9 17x3 13x3 6x8 8x8 17x6 13x6 5x11 16x11 6x2 10x2 6x7 3x7 8x10 14x3 12x3
            3x3 5x3 10x26 4x10 47x10 3x11 12x11 14x7 12x7 3x18 5x18 12x10 9x10 9x49 5x7 3x7
            26x11 4x8 47x8 3x7 12x7 12x39 9x39 5x4 3x4 51x8 15x8 7x4 2x4 25x11 8x34 7x7 2x7
            10x29 2x10 5x10 59x19 9x23 22x15 3x15 2x9 4x7 1x7 4x2 1x2 7x10 59x10 22x8 3x8
            """,
        ),
    }
)  # fmt: skip
