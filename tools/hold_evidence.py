"""The printed values of stiffness and strength, as the page of evidence lists them."""

from __future__ import annotations

from tests.helpers.agreeing import all_pairs
from tests.helpers.handbook import everything


def hold_page() -> list[str]:
    """Lines of Markdown: source, what, printed value, ours, status; then finite elements."""
    lines = [
        "",
        "## Beams, plates, plywood and shelves",
        "",
        "Status as above; a value that differs and is marked M was remembered wrongly or printed",
        "so, and the remark says what else speaks for ours.",
        "",
        "| source | what | printed | ours | difference | status | holds |",
        "|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {value.source} | {value.what}{f' ({value.remark})' if value.remark else ''} "
        f"| {value.printed:.6g} | {value.ours:.6g} "
        f"| {round(value.ours - value.printed, 12) + 0.0:.1e} | {value.status} "
        f"| {'yes' if value.holds else 'NO'} |"
        for value in everything()
    ]
    lines += [
        "",
        "The same formulas beside finite elements of a general library (Hermite beams, quadratic",
        "plane stress, Bogner-Fox-Schmit plates); at most 1 in 100 apart.",
        "",
        "| what | elements | formula | apart | holds |",
        "|---|---|---|---|---|",
    ]
    # Three figures: the elements' last digits depend on the machine.
    lines += [
        f"| {pair.what} | {pair.elements:.3g} | {pair.formula:.3g} | {abs(pair.apart):.2%} "
        f"| {'yes' if pair.holds else 'NO'} |"
        for pair in all_pairs()
    ]
    return lines


def hold_holds() -> bool:
    """Whether every printed value is reproduced and every formula agrees."""
    return all(value.holds for value in everything()) and all(pair.holds for pair in all_pairs())
