"""Published values of moisture, movement and thickness, each beside the program's own.

Facts from the Wood Handbook (FPL-GTR-190, 2010; FPL-GTR-282, 2021), from trade bodies and from
standards. Status: S, the page was seen; S2, seen in a transcription or on a supplier's sheet; MV
and M, from memory with and without a second support; "worked out" is arithmetic on a published
formula, done apart from this program.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.materials.data import rows
from dryfit.materials.moisture import (
    Air,
    humidity_2014,
    panel_moisture,
    wood_moisture,
    wood_moisture_2014,
)
from dryfit.materials.movement import movement, strain, wood_strain
from dryfit.materials.sheets import MATERIALS
from dryfit.materials.species import SPECIES, Shrinkage
from dryfit.materials.thickness import limits

if TYPE_CHECKING:
    from collections.abc import Iterator

PUBLISHED = Path(__file__).parents[1] / "published"
TABLE_4_2 = "Wood Handbook, FPL-GTR-190, Table 4-2"

EDGES = frozenset(((30, 70), (60, 30), (90, 85), (90, 90), (130, 60), (200, 15), (200, 40)))
"""Points of Table 4-2 (°F, %) where the equation lies within 0.003 of a rounding edge."""


@dataclass(frozen=True, slots=True)
class Check:
    """One published value held against the program's."""

    source: str
    what: str
    printed: float
    ours: float
    allowed: float
    status: str

    @property
    def holds(self) -> bool:
        """Whether the difference is within what is allowed."""
        return abs(self.ours - self.printed) <= self.allowed


def moisture_table() -> Iterator[tuple[int, int, float]]:
    """Every point of Table 4-2 at hand: temperature [°F], humidity [%], moisture [%]."""
    with (PUBLISHED / "moisture_table_4-2.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for humidity, cell in row.items():
                if humidity != "temp_F" and cell:
                    yield int(row["temp_F"]), int(humidity), float(cell)


def by_equation(fahrenheit: float, humidity: float) -> float:
    """Moisture content at a temperature [°F] and humidity [%]. [%]"""
    return wood_moisture(humidity, (fahrenheit - 32) / 1.8)


def moisture() -> Iterator[Check]:
    """Equilibrium moisture content."""
    points = list(moisture_table())
    off = {
        (f, h): by_equation(f, h) - printed
        for f, h, printed in points
        if round(by_equation(f, h), 1) != printed
    }
    yield Check(
        TABLE_4_2, f"{len(points)} printed points: those that do not round to the printed 0.1, "
        "all on a rounding edge", len(EDGES), len(off), 0, "S",
    )  # fmt: skip
    yield Check(
        TABLE_4_2, "the same: the largest difference, points of moisture", 0.0,
        max(abs(by_equation(f, h) - printed) for f, h, printed in points), 0.053, "S",
    )  # fmt: skip
    yield Check(
        TABLE_4_2, "110 °F, 20 % (one reprint has 3.0), %", 4.0, round(by_equation(110, 20), 1),
        0, "S",
    )  # fmt: skip
    first = "FPL-GTR-282, Eq. 4-5"
    for temperature, humidity, value in (
        (20, 50, 9.271), (20, 65, 11.996), (20, 75, 14.451), (20, 85, 18.002), (20, 95, 23.941),
        (21.1, 30, 6.170),
    ):  # fmt: skip
        yield Check(
            first, f"{temperature} °C, {humidity} %, %", value,
            wood_moisture(humidity, temperature), 5e-4, "S2, worked out",
        )  # fmt: skip
    second = "FPL-GTR-282, Eq. 4-6 (Glass and others 2014)"
    for humidity, value in (
        (10, 2.71), (30, 6.09), (50, 9.47), (65, 12.48), (80, 16.57), (95, 25.02),
    ):  # fmt: skip
        yield Check(
            second, f"20 °C, {humidity} %, %", value, wood_moisture_2014(humidity), 5e-3,
            "S2, worked out",
        )  # fmt: skip
    yield Check(
        "FPL-GTR-282, Eq. 4-7", "the air for 12.48 % by the second model, 20 °C, %", 65.0,
        humidity_2014(12.48), 0.02, "S2, worked out",
    )  # fmt: skip
    for humidity, low, high in ((30, 6, 8), (45, 7, 9), (65, 9, 11), (75, 10, 12), (90, 15, 16)):
        yield Check(
            "EWPAA, Facts about particleboard and MDF, p. 37",
            f"particleboard and MDF at {humidity} %: middle of {low} to {high} %, %",
            (low + high) / 2, panel_moisture(humidity), 0, "S",
        )  # fmt: skip


def worked_examples() -> Iterator[Check]:
    """Movement that others have worked out."""
    fir = "FPL-GTR-190, p. 13-15 to 13-17, Eq. 13-2"
    grown = wood_strain(SPECIES["white fir"].tangential, 8, 11)
    status = "result S, start values from memory"
    yield Check(fir, "white fir, 232 mm, 8 to 11 %: grows, mm", 1.7, 232 * grown, 0.05, status)
    yield Check(fir, "the same, 9.15 in: grows, in", 0.067, 9.15 * grown, 5e-4, status)
    yield Check(fir, "the same, at 11 %, mm", 233.7, 232 * (1 + grown), 0.05, status)
    yield Check(fir, "the same, at 11 %, in", 9.217, 9.15 * (1 + grown), 5e-4, status)
    radial = Shrinkage(3.3, 7.0, 30.0, "S").coefficients[0]
    yield Check(
        fir, "coefficient for its thickness from its shrinkage of 3.3 %, 1/%", 0.00112, radial,
        5.1e-6, "S",
    )  # fmt: skip
    yield Check(
        "a flooring firm's page", "5 in board, 0.00129, 3 points: moves, in", 0.019,
        5 * wood_strain(0.00129, 7, 10), 5e-4, "S2",
    )  # fmt: skip
    yield Check(
        "a magazine's chart", "red alder, 8 in, 0.0026, 6 points: moves, in", 0.1248,
        8 * wood_strain(0.0026, 6, 12), 5e-5, "S2",
    )  # fmt: skip
    dense = MATERIALS["MDF"]
    yield Check(
        "mdf-info.eu", "MDF, 600 mm, 5 points: moves, mm", 1.5,
        600 * 5 * movement(dense, across=True), 1e-9, "S",
    )  # fmt: skip
    yield Check(
        "Wood Doctor column, woodworkingnetwork.com",
        "MDF, about 0.5 % over the 5 points of 35 to 85 %: the larger value reckoned with, %",
        0.5, 100 * 5 * dense.motion.most, 1e-9, "S",
    )  # fmt: skip
    yield Check(
        "APA, dimensional stability", "plywood, 10 points of humidity: moves, %", 0.02,
        100 * strain(MATERIALS["plywood"], Air(40), Air(50)), 1e-9, "S2",
    )  # fmt: skip
    shrinks = Shrinkage(4.0, 8.6, 30.0, "S2")
    yield Check(
        "FPL-GTR-282, Eq. 4-9", "northern red oak, green to 12 %: S₀ (1 - 12/30), tangential, %",
        5.16, shrinks.at(12)[1], 1e-9, "S2, worked out",
    )  # fmt: skip


UNLIKE = frozenset(("green ash", "sweet birch", "cedar elm", "American sycamore"))
"""Species whose printed coefficients are another's or truncated, as far as is known."""

IMPORTED = frozenset(("true mahogany", "African mahogany", "Spanish-cedar", "teak"))
"""Species whose printed coefficients rest on older shrinkage data than Table 4-4."""


def coefficients() -> Iterator[Check]:
    """Coefficients of Table 13-5 worked out from the shrinkage of Table 4-3."""
    both = [
        (row, SPECIES[row["name"]])
        for row in rows("species")
        if row["radial"] and row["shrink_radial"] and row["name"] not in IMPORTED
    ]
    # White oak's row of Table 13-5 is the commercial group, its shrinkage one species'.
    both = [(row, each) for row, each in both if row["name"] != "white oak"]
    same = 0
    for row, each in both:
        assert each.shrinkage is not None
        made = each.shrinkage.coefficients
        printed = float(row["radial"]), float(row["tangential"])
        same += all(abs(m - p) <= 5.1e-6 for m, p in zip(made, printed, strict=True))
    yield Check(
        "FPL-GTR-190, Tables 4-3 and 13-5",
        f"{len(both)} species: both printed coefficients follow from the shrinkage", 70, same, 0,
        "S to MM by row",
    )  # fmt: skip


def thicknesses() -> Iterator[Check]:
    """Limits of the standards, every row."""
    with (PUBLISHED / "thickness_limits.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            nominal = float(row["nominal_mm"])
            found = next(
                each
                for each in limits(row["family"], nominal)
                if (each.standard, each.finish) == (row["standard"], row["finish"])
            )
            # PS 1 is printed in inches to three decimals, nominal size and limit alike.
            allowed = 0.0254 if row["standard"] == "PS 1" else 0.0055
            for side, ours in (("least", found.least), ("most", found.most)):
                yield Check(
                    row["standard"],
                    f"{row['family']}, {row['finish']}, {nominal:g} mm: {side}, mm",
                    float(row[f"{side}_mm"]), ours, allowed, row["status"],
                )  # fmt: skip


def all_checks() -> Iterator[Check]:
    """Everything published that the program is held against."""
    yield from moisture()
    yield from worked_examples()
    yield from coefficients()
    yield from thicknesses()
