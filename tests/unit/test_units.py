from __future__ import annotations

import subprocess
import sys

import pytest

from dryfit.errors import UnitError
from dryfit.units import MM_PER, UNITS, feet_and_inches, inch_fraction, read_length, show_length

WAY_OUT = 'write a length such as 330, "8.78 mm", "5 1/2 in" or "2 ft 3 1/4 in"'


@pytest.mark.parametrize(
    ("value", "unit", "mm"),
    [
        (330, "mm", 330.0),
        (8.78, "mm", 8.78),
        (5.5, "in", 139.7),
        (3, "cm", 30.0),
        (2, "ft", 609.6),
        (0, "mm", 0.0),
        (-0.05, "mm", -0.05),
        ("330", "mm", 330.0),
        ("330", "cm", 3300.0),
        ("8.78 mm", "in", 8.78),
        ("8.78mm", "in", 8.78),
        ("  8.78   MM ", "in", 8.78),
        ("2.5 cm", "mm", 25.0),
        ("5 1/2 in", "mm", 139.7),
        ("5-1/2 in", "mm", 139.7),
        ("5 1 / 2 in", "mm", 139.7),
        ('3/8"', "mm", 9.525),
        ("3/8 in", "mm", 9.525),
        ("3/8", "in", 9.525),
        ("2 ft", "mm", 609.6),
        ("2'", "mm", 609.6),
        ("2 ft 3 1/4 in", "mm", 692.15),
        ("5'-6 1/2\"", "mm", 1689.1),
        ("5'6\"", "mm", 1676.4),
        ("5\u2032 6\u2033", "mm", 1676.4),
        ("5\u20196\u201d", "mm", 1676.4),
        ("-1/16 in", "mm", -1.5875),
        ("\u22121 mm", "in", -1.0),
        ("+1 mm", "in", 1.0),
        (".5 in", "mm", 12.7),
        ("5. mm", "in", 5.0),
        ("1e-1 mm", "in", 0.1),
        ("100000 mm", "mm", 100_000.0),
    ],
)
def test_reads(value: object, unit: str, mm: float) -> None:
    assert read_length(value, unit) == mm


def test_the_inch_is_25_4_mm_exactly() -> None:
    """International yard and pound agreement, 1959: 1 yd = 0.9144 m."""
    assert read_length(1, "in") == 25.4
    assert MM_PER["ft"] == 12 * MM_PER["in"]
    assert 3 * MM_PER["ft"] == MM_PER["mm"] * 9144 / 10


def test_decimal_equivalents_of_an_inch() -> None:
    """Decimal equivalents of common fractions, any machinist's table (from memory)."""
    table = {"1/64": 0.396875, "1/32": 0.79375, "1/16": 1.5875, "7/32": 5.55625, "63/64": 25.003125}
    for fraction, mm in table.items():
        assert read_length(f"{fraction} in", "mm") == mm


@pytest.mark.parametrize("value", [0.1, 0.3, 5.55, 12.345, 1e-3])
def test_a_number_is_the_text_of_itself(value: float) -> None:
    for unit in UNITS:
        assert read_length(value, unit) == read_length(f"{value} {unit}", "mm")


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        ("", f"'' is no length; {WAY_OUT}"),
        ("wide", f"'wide' is no length; {WAY_OUT}"),
        ("--5 mm", f"'--5 mm' is no length; {WAY_OUT}"),
        ("1 2 mm", f"'1 2 mm' cannot be read after \"1\"; {WAY_OUT}"),
        ("5 m", f"'5 m' cannot be read after \"5\"; {WAY_OUT}"),
        ("5 in 2 in", f"'5 in 2 in' cannot be read after \"5 in\"; {WAY_OUT}"),
        ("5' 6", f'"5\' 6" cannot be read after "5\'"; {WAY_OUT}'),
        ("5'-", f'"5\'-" ends with a dash; {WAY_OUT}'),
        ("\u0661\u0662 mm", f"'\u0661\u0662 mm' is no length; {WAY_OUT}"),
        (
            "5,5 mm",
            (
                "'5,5 mm' has a comma, which could mean tenths or thousands; "
                "write 5.5 for five and a half and 1200 for twelve hundred"
            ),
        ),
        (
            "3/0 in",
            (
                "'3/0 in' divides by zero; write a fraction such as 3/8 with a number other than 0 "
                "under the line"
            ),
        ),
        ("nan", f"'nan' is not a finite number; {WAY_OUT}"),
        ("-inf", f"'-inf' is not a finite number; {WAY_OUT}"),
        (float("nan"), f"nan is not a finite number; {WAY_OUT}"),
        (float("inf"), f"inf is not a finite number; {WAY_OUT}"),
        (
            1e308,
            "1e+308 is longer than 100 m; check the number and its unit (bare numbers are in mm)",
        ),
        (
            "1e999",
            "'1e999' is longer than 100 m; check the number and its unit (bare numbers are in mm)",
        ),
        (
            "-100001 mm",
            (
                "'-100001 mm' is longer than 100 m; check the number and its unit "
                "(bare numbers are in mm)"
            ),
        ),
        ("1e9999", f"'1e9999' cannot be read after \"1e999\"; {WAY_OUT}"),
        ("1" * 61, f"'{'1' * 39}... has 61 characters; {WAY_OUT}"),
        (True, f"True is no length; {WAY_OUT}"),
        (None, f"None is no length; {WAY_OUT}"),
        ([1], f"[1] is no length; {WAY_OUT}"),
    ],
)
def test_refuses_with_a_sentence(value: object, sentence: str) -> None:
    with pytest.raises(UnitError) as refused:
        read_length(value, "mm")
    assert str(refused.value) == sentence


def test_refuses_a_number_too_long_to_print() -> None:
    with pytest.raises(UnitError) as refused:
        read_length(-(16**5000), "mm")
    assert str(refused.value) == (
        "a number of thousands of digits is longer than 100 m; check the number and its unit "
        "(bare numbers are in mm)"
    )


def test_a_control_character_never_reaches_the_sentence() -> None:
    with pytest.raises(UnitError) as refused:
        read_length("5\x1b[31m\u202e", "mm")
    assert str(refused.value).isprintable()


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (8.784, "mm", "8.78 mm"),
        (8.784, "cm", "0.878 cm"),
        (139.7, "in", "5.5000 in"),
        (139.7, "ft", "0.45833 ft"),
        (-0.001, "mm", "0.00 mm"),
        (-1.5, "mm", "-1.50 mm"),
    ],
)
def test_shows(mm: float, unit: str, text: str) -> None:
    assert show_length(mm, unit) == text


def test_shows_as_many_places_as_asked() -> None:
    assert show_length(0.0293, "mm", 3) == "0.029 mm"
    assert show_length(25.4, "in", 0) == "1.00 in"


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (139.7, "in", "5.5000 in (5 1/2)"),
        (8.78, "in", "0.3457 in (11/32)"),
        (25.4, "in", "1.0000 in (1)"),
        (0.0, "in", "0.0000 in (0)"),
        (-139.7, "in", "-5.5000 in (-5 1/2)"),
        (1689.1, "ft", "5.54167 ft (5' 6 1/2\")"),
        (8.78, "mm", "8.78 mm"),
    ],
)
def test_shows_sixty_fourths_beside_inches(mm: float, unit: str, text: str) -> None:
    assert show_length(mm, unit, sixty_fourths=True) == text


def test_fractions_carry_over() -> None:
    assert inch_fraction(25.39) == "1"
    assert inch_fraction(-9.525) == "-3/8"
    assert feet_and_inches(304.79) == "1' 0\""
    assert feet_and_inches(-330.2) == "-1' 1\""


def test_loads_no_numpy() -> None:
    program = "import sys, dryfit.units; raise SystemExit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
