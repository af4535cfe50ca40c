from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.writers.numbers import number


@settings(derandomize=True, deadline=None)
@given(st.floats(-1e6, 1e6))
def test_a_printed_number_is_short_and_within_half_a_millionth(value: float) -> None:
    text = number(value)
    assert abs(float(text) - value) <= 0.5e-6 + 1e-9
    assert "e" not in text
    assert text != "-0"
    assert "." not in text or text[-1] not in "0."
