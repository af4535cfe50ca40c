"""The formulas of bending beside finite elements: one row for each way to load and carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.materials import beams
from dryfit.materials.plates import Edge, deflection, isotropic, orthotropic
from tests.helpers.elements import deep, plate, slender

if TYPE_CHECKING:
    from collections.abc import Iterator

STRIPS = (12.0, 30.0, 60.0)
SIDES = ((800.0, 300.0), (300.0, 300.0), (300.0, 800.0))
WAYS = ((Edge.CARRIED, Edge.CARRIED), (Edge.CARRIED, Edge.FREE), (Edge.CLAMPED, Edge.FREE))
GRAINED = orthotropic(12_000, 600, 750, 0.4, 18)
PANELS = {
    "MDF 18 mm": isotropic(2500, 0.25, 18),
    "plywood 18 mm": orthotropic(10_000, 7_500, 630, 0.1, 18),
    "a board 18 mm, grain along x": GRAINED,
    "a board 18 mm, grain along y": GRAINED.turned,
}
BEAMS = (
    (beams.SPREAD, "spread", "simple", True),
    (beams.SPREAD_CLAMPED, "spread", "clamped", True),
    (beams.MIDDLE, "middle", "simple", True),
    (beams.MIDDLE_CLAMPED, "middle", "clamped", True),
    (beams.SPREAD_HUNG, "spread", "hung", False),
    (beams.END_HUNG, "end", "hung", False),
    (beams.SPREAD_PROPPED, "spread", "propped", False),
)
"""The case, its load, its ends, and whether it is read in the middle."""


@dataclass(frozen=True)
class Pair:
    """What finite elements give, what the formula gives, and the most they may be apart."""

    what: str
    elements: float
    formula: float
    allowed: float = 0.01

    @property
    def apart(self) -> float:
        """The difference as a share. [-]"""
        return self.formula / self.elements - 1

    @property
    def holds(self) -> bool:
        """Whether they are near enough."""
        return abs(self.apart) <= self.allowed


def all_pairs() -> Iterator[Pair]:
    """Every way there is."""
    for case, load, ends, middle in BEAMS:
        found = slender(load, ends)[0 if middle else 1]
        yield Pair(f"beam, {case.what}: kb", found, case.bends)
    for thickness in STRIPS:
        section = beams.Section(1, thickness, 12_000, 750)
        yield Pair(
            f"beam 600 mm long and {thickness:g} mm thick, E / G = 16, as a solid strip, mm",
            deep(600, thickness, 12_000, 750, 100), section.deflection(beams.SPREAD, 100, 600),
        )  # fmt: skip
    for name, stiffness in PANELS.items():
        for a, b in SIDES:
            for way in WAYS:
                yield Pair(
                    f"{name}, {a:g} x {b:g} mm, carried at x = 0 and a, {way[0]} at y = 0, "
                    f"{way[1]} at b, mm under 1 N/mm²",
                    plate(stiffness, (a, b), way), deflection(stiffness, (a, b), way),
                )  # fmt: skip
