"""The published values of wood, as the page of evidence lists them."""

from __future__ import annotations

from tests.helpers.wood import EDGES, all_checks


def wood_page() -> list[str]:
    """Lines of Markdown: source, what, printed value, ours, difference, status."""
    edges = ", ".join(f"{f} °F {h} %" for f, h in sorted(EDGES))
    lines = [
        "",
        "## Moisture, movement and thickness",
        "",
        "Published values of wood and sheets. Status: S, the page was seen; S2, seen in a",
        "transcription or on a supplier's sheet; MV and M, from memory with and without a second",
        "support; MM, two remembered values that agree. The points of the moisture table that lie",
        f"on a rounding edge: {edges}.",
        "",
        "| source | what | printed | ours | difference | status | holds |",
        "|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {check.source} | {check.what} | {check.printed:.6g} | {check.ours:.6g} "
        f"| {round(check.ours - check.printed, 12) + 0.0:.1e} | {check.status} "
        f"| {'yes' if check.holds else 'NO'} |"
        for check in all_checks()
    ]
    return lines


def wood_holds() -> bool:
    """Whether every published value is reproduced."""
    return all(check.holds for check in all_checks())
