"""What a common blade set makes up, width by width.

Source: trade practice, tables of blade makers, read second-hand: two outer blades of 1/8 in, four
chippers of 1/8 in, one of 3/32 and one of 1/16; 20 widths from 1/4 to 29/32 in, the widest step
1/16 in. Both outers are the least of a set; one alone cuts 1/8 in.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from dryfit.cutting.stack import nearest
from dryfit.model.cutter import BladeSet

EIGHTH, THIN, SIXTEENTH = 3.175, 2.38125, 1.5875
SET = BladeSet(EIGHTH, (EIGHTH,) * 4 + (THIN, SIXTEENTH))

# Width in inches and as printed in mm; chippers of 1/8, 3/32 and 1/16 in between both outers.
WIDTHS = [
    ("1/4", 6.35, 0, 0, 0),
    ("5/16", 7.938, 0, 0, 1),
    ("11/32", 8.731, 0, 1, 0),
    ("3/8", 9.525, 1, 0, 0),
    ("13/32", 10.319, 0, 1, 1),
    ("7/16", 11.112, 1, 0, 1),
    ("15/32", 11.906, 1, 1, 0),
    ("1/2", 12.7, 2, 0, 0),
    ("17/32", 13.494, 1, 1, 1),
    ("9/16", 14.287, 2, 0, 1),
    ("19/32", 15.081, 2, 1, 0),
    ("5/8", 15.875, 3, 0, 0),
    ("21/32", 16.669, 2, 1, 1),
    ("11/16", 17.462, 3, 0, 1),
    ("23/32", 18.256, 3, 1, 0),
    ("3/4", 19.05, 4, 0, 0),
    ("25/32", 19.844, 3, 1, 1),
    ("13/16", 20.637, 4, 0, 1),
    ("27/32", 21.431, 4, 1, 0),
    ("29/32", 23.019, 4, 1, 1),
]


@pytest.mark.parametrize(("inches", "mm", "eighths", "thins", "sixteenths"), WIDTHS)
def test_the_make_up_of_every_width(
    inches: str, mm: float, eighths: int, thins: int, sixteenths: int
) -> None:
    wanted = float(Fraction(inches)) * 25.4
    made = nearest(SET, wanted)
    assert made.width == pytest.approx(wanted, abs=1e-9)
    assert made.width == pytest.approx(mm, abs=5.01e-4)  # halves were rounded to even
    assert made.outers == (EIGHTH, EIGHTH)
    assert made.chippers == (EIGHTH,) * eighths + (THIN,) * thins + (SIXTEENTH,) * sixteenths
    assert made.shims == ()


def test_the_widest_step_is_a_sixteenth_of_an_inch() -> None:
    widths = [float(Fraction(row[0])) for row in WIDTHS]
    steps = [high - low for low, high in pairwise(widths)]
    assert len(widths) == 20
    assert max(steps) == 1 / 16


def test_one_outer_alone_cuts_an_eighth() -> None:
    assert nearest(SET, 3.0).outers == (EIGHTH,)
