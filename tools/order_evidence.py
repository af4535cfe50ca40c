"""The order of assembly, as the page of evidence lists it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from dryfit import workflow
from dryfit.assembly.blocking import blocking_of
from dryfit.assembly.parting import locked_in, orders
from tests.helpers.known_orders import KNOWN, found
from tests.helpers.replay import deepest, largest
from tests.helpers.voxels import assemblies

if TYPE_CHECKING:
    from collections.abc import Sequence

EXAMPLES = Path(__file__).parents[1] / "examples"

_HEADS = ("moves", "orders", "partitions", "shut", "apart")

Population = tuple[str, float, float]
"""What was counted, how many were found, and how many may be."""


def order_populations(scale: float) -> list[Population]:
    """Random assemblies against exhaustive search, and every example replayed."""
    some = assemblies(round(500 * scale))
    wrong = miscounted = 0
    for cubes in some:
        blocking = blocking_of(cubes.bodies())
        apart = locked_in(blocking, np.ones(blocking.count, dtype=bool)) is None
        wrong += apart is not cubes.comes_apart(cubes.whole)
        miscounted += orders(blocking) != cubes.orders(cubes.whole)
    crush, share, steps = _replayed()
    what = f"{len(some)} random assemblies of up to 7 parts against exhaustive search"
    return [
        (f"{what}: other verdicts", wrong, 0),
        (f"{what}: other numbers of orders", miscounted, 0),
        (f"{steps} steps of the examples at 1 mm: deepest beyond the dry fit's, mm", crush, 0.011),
        ("same, parts at an angle: largest common volume, mm³", share, 0.05),
    ]


def _replayed() -> tuple[float, float, int]:
    """The deepest crush on the way [mm], the largest common volume [mm³], and how many steps."""
    crush, share, count = 0.0, 0.0, 0
    for path in sorted(EXAMPLES.glob("*.toml")):
        rehearsal = workflow.read(path)
        assert rehearsal.assembly is not None, path
        assert rehearsal.assembly.steps, path
        home = max((touch.penetration for touch in rehearsal.touches), default=0.0)
        for step in rehearsal.assembly.steps:
            if step.way is None:
                continue
            count += 1
            if rehearsal.plans.meetings.angled:
                share = max(share, largest(rehearsal.parts, step))
            else:
                crush = max(crush, deepest(rehearsal.parts, step) - home)
    return crush, share, count


def order_page() -> Sequence[str]:
    """Lines of Markdown: the known answers, and ours."""
    lines = [
        "",
        "## The order of assembly",
        "",
        "Known answers by brute force over voxels along the six axes, worked out for this project:",
        "free moves of single parts, orders of single parts, partitions with two hands, ways along",
        "which nothing leaves, and whether all of it comes apart.",
        "",
        "| piece | known | ours | holds |",
        "|---|---|---|---|",
    ]
    for name, (_, known) in KNOWN.items():
        ours = found(name)
        told = [", ".join(f"{getattr(each, head)}" for head in _HEADS) for each in (known, ours)]
        lines.append(f"| {name} | {told[0]} | {told[1]} | {'yes' if known == ours else 'NO'} |")
    return lines


def order_holds() -> bool:
    """Whether every known answer is found."""
    return all(found(name) == known for name, (_, known) in KNOWN.items())
