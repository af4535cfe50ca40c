"""Numbers as drawing formats print them."""

from __future__ import annotations

DECIMALS = 6


def number(value: float) -> str:
    """A number with up to six decimals, no trailing zeros and no negative zero.

    Examples
    --------
    >>> number(12.50), number(-0.0000001)
    ('12.5', '0')
    """
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
