from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.errors import UnitError
from dryfit.units import (
    LONGEST,
    MM_PER,
    UNITS,
    feet_and_inches,
    inch_fraction,
    read_length,
    show_length,
)

lengths = st.floats(-LONGEST / 2, LONGEST / 2)
units = st.sampled_from(UNITS)
fixed = settings(derandomize=True, max_examples=300)


@fixed
@given(lengths, units, st.integers(0, 6))
def test_what_is_shown_is_read_back_to_the_last_place(mm: float, unit: str, places: int) -> None:
    last_place = Fraction(1, 10 ** (places + {"mm": 0, "cm": 1, "in": 2, "ft": 3}[unit]))
    back = read_length(show_length(mm, unit, places), "mm")
    assert abs(back - mm) <= float(last_place * MM_PER[unit]) / 2 * (1 + 1e-6) + 1e-9


@fixed
@given(lengths)
def test_sixty_fourths_are_read_back_within_half_a_step(mm: float) -> None:
    half_step = 25.4 / 128 + 1e-9
    assert abs(read_length(f"{inch_fraction(mm)} in", "mm") - mm) <= half_step
    assert abs(read_length(feet_and_inches(mm), "mm") - mm) <= half_step


@fixed
@given(st.integers(-20_000, 20_000))
def test_sixty_fourths_themselves_come_back_exactly(steps: int) -> None:
    mm = read_length(f"{steps}/64 in", "mm")
    assert read_length(f"{inch_fraction(mm)} in", "mm") == mm
    assert read_length(feet_and_inches(mm), "mm") == mm


@fixed
@given(st.integers(0, 300), st.integers(0, 200), st.integers(1, 200), units)
def test_mixed_numbers_are_sums(whole: int, top: int, bottom: int, unit: str) -> None:
    exact = (whole + Fraction(top, bottom)) * MM_PER[unit]
    if exact <= LONGEST:
        assert read_length(f"{whole} {top}/{bottom} {unit}", "mm") == float(exact)


@fixed
@given(lengths.filter(lambda value: value == 0 or abs(value) > 1e-99), units)
def test_a_number_is_the_text_of_itself(value: float, unit: str) -> None:
    if abs(value) * float(MM_PER[unit]) < LONGEST:
        assert read_length(value, unit) == read_length(f"{value!r} {unit}", "mm")


@settings(derandomize=True, max_examples=1000)
@given(st.text(alphabet="0123456789 ./-+'\"einmftc,x\u2033", max_size=70))
def test_any_text_is_a_finite_length_or_a_sentence(text: str) -> None:
    said, mm = "", 0.0
    try:
        mm = read_length(text, "in")
    except UnitError as error:
        said = str(error)
    assert abs(mm) <= LONGEST
    assert said == "" or (said.isprintable() and "; " in said)
