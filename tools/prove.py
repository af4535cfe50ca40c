"""The long evidence: published and derived values, and large random populations.

Writes docs/validation.md and returns 1 when any check fails. ``--size`` scales the populations.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.piece import Wish
from dryfit.shapes.offset import closed_by_disc
from dryfit.units import read_length
from tests.helpers.boxes import CASE, PLACES, RING, TRAY, box, build
from tests.helpers.faults import Fault, Spot, air, planted
from tests.helpers.layouts import planned, random_layout
from tests.helpers.oracle import cells
from tools.cutting_evidence import cutting
from tools.hold_evidence import hold_holds, hold_page
from tools.layout_evidence import evidence as layout_evidence
from tools.layout_evidence import layout_page, layout_populations
from tools.odds_evidence import agreement, honest, reliability, reliability_page
from tools.order_evidence import order_holds, order_page, order_populations
from tools.wood_evidence import wood_holds, wood_page

if TYPE_CHECKING:
    from collections.abc import Iterator

PAGE = Path(__file__).parents[1] / "docs" / "validation.md"
HAND = Cutter(Route.HAND, 0.0)


@dataclass(frozen=True)
class Row:
    """One value held against another."""

    source: str
    what: str
    theirs: float
    ours: float
    allowed: float

    @property
    def holds(self) -> bool:
        """Whether the difference is within what is allowed."""
        return abs(self.ours - self.theirs) <= self.allowed


def corner_areas(radius: float, relief: Relief) -> float:
    """Area one relief takes beyond an unrelieved corner, measured on made parts. [mm²]"""
    piece = box((120, 120, 60), ("front", "left"), 18.0, wish=Wish(count=3, flank_gap=0, proud=0))
    made = {
        style: build(piece, Cutter(Route.ROUTER, 2 * radius, style)).part("left").as_cut.area
        for style in (Relief.NONE, relief)
    }
    # The follower has one finger between two sockets of the lead: two inside corners.
    return (made[Relief.NONE] - made[relief]) / 2


def values() -> Iterator[Row]:
    """Values with a source outside the program, or derived on paper."""
    yield Row("international yard and pound, 1959", "1 in, mm", 25.4, read_length("1 in", "mm"), 0)
    yield Row("same", "5 1/2 in, mm", 139.7, read_length("5 1/2 in", "mm"), 1e-12)
    derived = "derived: docs/theory/finger-plans.md"
    for name, radius, diagonal in (
        ("1/8 in", 1.5875, 1.9793),
        ("6 mm", 3.0, 7.0686),
        ("1/4 in", 3.175, 7.9173),
    ):
        yield Row(
            derived, f"diagonal relief, {name} cutter, extra area, mm²",
            diagonal, corner_areas(radius, Relief.DIAGONAL), 5e-5,
        )  # fmt: skip
        yield Row(
            derived, f"flank relief, {name} cutter, extra area (1 + π/4) r², mm²",
            (1 + math.pi / 4) * radius**2, corner_areas(radius, Relief.FLANK), 1e-6,
        )  # fmt: skip
    piece = box((120, 120, 60), ("front", "left"), 9.0, wish=Wish(count=3, flank_gap=0.1, proud=0))
    six = build(piece, Cutter(Route.ROUTER, 6.0, Relief.NONE))
    square = build(piece, HAND)
    mixed = replace(six, parts=(six.parts[0], square.parts[1]))
    yield Row(
        derived, "6 mm cutter, 0.1 mm of air, square mate: stands open, mm",
        3 - math.sqrt(9 - 2.9**2), mixed.fit()[0].open, 1e-6,
    )  # fmt: skip
    yield Row(
        derived, "same, both mates unrelieved, mm",
        3 - math.sqrt(9 - 2.95**2), six.fit()[0].open, 1e-6,
    )  # fmt: skip
    tight = box((60, 60, 30), ("front", "left"), 3.0, wish=Wish(count=5, flank_gap=0, proud=0))
    yield Row(
        derived, "laser, 0.2 mm kerf, no air: penetration r (1 - 1/√2), mm",
        0.1 * (1 - math.sqrt(0.5)),
        build(tight, Cutter(Route.LASER, 0.2)).fit()[0].penetration, 1e-5,
    )  # fmt: skip
    plan = build(box((90, 90, 91), RING, 9.0, wish=Wish(count=13, flank_gap=0, proud=0)))
    pitch = plan.plans.joints[0].plan.width * 2
    practice = "common practice, no source"
    yield Row(practice, "6 sockets in 91 mm: pitch L / (N + ½), mm", 91 / 6.5, pitch, 1e-9)


def random_box(rng: random.Random) -> dict[str, float]:
    """Thickness of each panel of a random form."""
    walls = rng.choice([("front", "left"), RING, TRAY, CASE])
    return {wall: rng.choice([3.0, 6.5, 9.0, 12.0, 18.0]) + rng.random() for wall in walls}


def random_wishes(rng: random.Random, walls: tuple[str, ...]) -> dict[frozenset[str], Wish]:
    """Counts and leads of some corners."""
    found = {}
    for pair in combinations(walls, 2):
        if PLACES[pair[0]][0] != PLACES[pair[1]][0] and rng.random() < 0.3:
            lead = rng.choice([None, *pair])
            found[frozenset(pair)] = Wish(
                count=rng.randint(1, 15), leads=lead, flank_gap=0.0, proud=0.0
            )
    return found


def volumes(size: int) -> tuple[int, float]:
    """Cells owned twice, by nobody or by a stranger, and the largest error of a sum. [mm³]"""
    rng = random.Random(20_101)  # noqa: S311
    wrong, largest = 0, 0.0
    for _ in range(size):
        thick = random_box(rng)
        sizes = [rng.uniform(60, 400) for _ in range(3)]
        wishes = random_wishes(rng, tuple(thick))
        made = build(box(sizes, tuple(thick), thick, wishes=MappingProxyType(wishes)))
        found = cells(made.parts)
        shared = found.reaches.sum(axis=0) > 0
        owned = found.parts.sum(axis=0)
        strangers = (found.parts & ~found.reaches).sum()
        wrong += int((owned[shared] != 1).sum() + owned[~shared].sum() + strangers)
        union = float(found.volumes[shared].sum())
        largest = max(largest, abs(sum(part.volume for part in made.parts) - union))
    return wrong, largest


def faults(size: int) -> tuple[int, int]:
    """Planted faults beyond the slack that passed, and faults within it that were stopped."""
    rng = random.Random(7)  # noqa: S311
    missed = stopped = 0
    for _ in range(size):
        thick = random_box(rng)
        wish = Wish(count=rng.randint(3, 11), flank_gap=rng.uniform(0.03, 0.2), proud=0.0)
        made = build(box([rng.uniform(110, 260) for _ in range(3)], tuple(thick), thick, wish=wish))
        joint = rng.choice([joint for joint in made.plans.joints if joint.plan.count > 2])
        spot = Spot(joint, rng.choice([joint.lead, joint.follow]), rng.randrange(60))
        fault = rng.choice(list(Fault))
        slack = air(fault, joint)
        missed += planted(made, spot, fault, slack + 0.02).deepest <= 0.01
        stopped += planted(made, spot, fault, max(slack - 0.02, 0.0)).deepest > 0.01
    return missed, stopped


def layouts(size: int) -> tuple[int, int, float]:
    """Random pieces of planes and panels: how many were planned, cells wrong, error of the sum."""
    planned_ones, wrong, largest = 0, 0, 0.0
    for seed in range(size):
        made = planned(random_layout(random.Random(seed)))  # noqa: S311
        if made is None:
            continue
        planned_ones += 1
        found = cells(made.parts)
        shared = found.reaches.sum(axis=0) > 0
        owned = found.parts.sum(axis=0)
        wrong += int((owned[shared] != 1).sum() + owned[~shared].sum())
        union = float(found.volumes[shared].sum())
        largest = max(largest, abs(sum(part.volume for part in made.parts) - union))
    return planned_ones, wrong, largest


def as_cut(size: int) -> tuple[int, float]:
    """Parts compared, and the largest area between closed form and general operation. [mm²]"""
    rng = random.Random(5)  # noqa: S311
    largest, compared = 0.0, 0
    for _ in range(size):
        radius = rng.choice([0.1, 0.5, 1.5875, 3.0, 3.175])
        wish = Wish(width=rng.uniform(2.2 * radius + 2, 40), flank_gap=0.05, proud=0.1)
        piece = box([rng.uniform(80, 200) for _ in range(3)], RING, 9.0, wish=wish)
        cutter = Cutter(Route.ROUTER, 2 * radius, Relief.NONE)
        for part in build(piece, cutter).parts:
            referee = max(closed_by_disc(part.profile, radius), key=lambda found: found.area)
            largest = max(largest, abs(referee.area - part.as_cut.area))
            compared += 1
    return compared, largest


def main() -> int:
    """Run everything and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=1000)
    size = parser.parse_args().size
    rows = list(values())
    wrong, largest = volumes(size)
    missed, stopped = faults(size)
    placed, unowned, error = layouts(2 * size)
    compared, area = as_cut(max(size // 10, 1))
    populations = [
        (f"{size} random boxes, overrides among them: cells not owned exactly once", wrong, 0),
        ("same: largest error of the sum of volumes, mm³", largest, 1e-6),
        (
            f"{placed} of {2 * size} random pieces of planes and panels: cells not owned once",
            unowned,
            0,
        ),
        ("same: largest error of the sum of volumes, mm³", error, 1e-3),
        (f"{size} planted faults 0.02 mm beyond the slack: not stopped", missed, 0),
        (f"{size} planted faults 0.02 mm within the slack: stopped", stopped, 0),
        (f"as-cut of {compared} parts, closed form and general: largest area, mm²", area, 1e-6),
    ]
    scale = size / 1000
    populations += agreement(scale)
    populations += order_populations(scale)
    populations += cutting(scale)
    layouts_found = layout_evidence(scale)
    populations += layout_populations(layouts_found)
    shops = reliability(scale)
    first = page(rows, populations).rstrip("\n")
    made = layout_page(layouts_found)
    rest = (*reliability_page(shops), *order_page(), *wood_page(), *hold_page(), *made)
    text = "\n".join([first, *rest, ""])
    PAGE.write_text(text, encoding="utf-8", newline="\n")
    print(PAGE.read_text(encoding="utf-8"))
    good = all(row.holds for row in rows) and all(found <= most for _, found, most in populations)
    return 0 if good and honest(shops) and order_holds() and wood_holds() and hold_holds() else 1


def page(rows: list[Row], populations: list[tuple[str, float, float]]) -> str:
    """The page as Markdown."""
    lines = [
        "# What is checked against what",
        "",
        "Written by `make prove`. Every row is measured on the parts that the program makes; the",
        "same claims are held by smaller samples in `make test`.",
        "",
        "| source | what | value | ours | difference | holds |",
        "|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {row.source} | {row.what} | {row.theirs:.6g} | {row.ours:.6g} "
        f"| {row.ours - row.theirs:.1e} | {'yes' if row.holds else 'NO'} |"
        for row in rows
    ]
    lines += ["", "## Populations", "", "| what | found | at most | holds |", "|---|---|---|---|"]
    lines += [
        f"| {what} | {found:.3g} | {most:.3g} | {'yes' if found <= most else 'NO'} |"
        for what, found, most in populations
    ]
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    sys.exit(main())
