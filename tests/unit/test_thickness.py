"""Caliper readings against the standard that a sheet is sold by."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from dryfit.materials.sheets import MATERIALS
from dryfit.materials.thickness import is_inch_size
from dryfit.model.stock import Stock
from dryfit.workflow import read_text

if TYPE_CHECKING:
    from dryfit.findings import Finding

JOB = """
format = 1
unit = "{unit}"
[piece]
form = "ring"
outside = ["330 mm", "220 mm", "70 mm"]
[stock.sheet]
material = "{material}"
nominal = {nominal}
readings = [{readings}]
{more}
[cutter]
kind = "hand"
"""


def outside(
    nominal: str, *readings: str, material: str = "birch plywood", unit: str = "mm", more: str = ""
) -> list[Finding]:
    text = JOB.format(
        unit=unit, material=material, nominal=nominal, readings=", ".join(readings), more=more
    )
    return [f for f in read_text(text).findings if f.code == "thickness-outside-standard"]


@pytest.mark.parametrize(
    ("nominal", "reading", "material", "told"),
    [
        ("18", "17.10", "birch plywood", False),
        ("18", "17.00", "birch plywood", True),
        ("18", "18.70", "plywood", False),
        ("18", "18.80", "plywood", True),
        ("12", "12.19", "MDF", False),
        ("12", "12.25", "MDF", True),
        ("3", "2.35", "acrylic", False),
        ("3", "2.25", "acrylic", True),
        ("18", "16.0", "oak", False),
    ],
)
def test_a_reading_is_judged_by_its_standard(
    nominal: str, reading: str, material: str, *, told: bool
) -> None:
    assert bool(outside(nominal, reading, material=material)) is told


def test_plywood_in_fractions_of_an_inch_is_judged_by_ps_1() -> None:
    (found,) = outside('"3/4 in"', '"0.71 in"', material="plywood", unit="in")
    assert "PS 1 allows sanded plywood 0.7344 in" in found.sentence
    assert found.mend is not None
    # 23/32 in, what three quarters are often sold as.
    assert found.mend.value == pytest.approx(23 / 32 * 25.4, abs=1e-3)
    assert not outside('"23/32 in"', '"0.71 in"', material="plywood", unit="in")


def test_a_rough_sheet_is_told_as_what_it_is() -> None:
    (found,) = outside("18", "19.2")
    assert found.mend is not None
    assert found.mend.edits[0].path == ("stock", "sheet", "finish")
    assert not outside("18", "19.2", more='finish = "unsanded"')


def test_sheets_sold_as_another_size_are_told_the_nearest() -> None:
    (found,) = outside("18", "14.9", "15.0")
    assert found.mend is not None
    assert found.mend.value == 15
    (found,) = outside("12", "8.1", "8.0", material="acrylic", more='finish = "extruded"')
    assert found.mend is not None
    assert found.mend.value == 8
    assert not outside("8", "8.1", "8.0", material="acrylic", more='finish = "extruded"')


@pytest.mark.parametrize(
    ("material", "nominal", "finish", "within"),
    [
        ("birch plywood", 18, "", 0.6),
        ("birch plywood", 27, "", 1.0),
        ("plywood", 12, "unsanded", 1.0),
        ("plywood", 18, "unsanded", 1.5),
        ("MDF", 18, "", 0.4),
        ("acrylic", 6, "cast", 0.3),
        ("oak", 20, "", 0.2),
    ],
)
def test_one_reading_takes_its_scatter_from_the_standard(
    material: str, nominal: float, finish: str, within: float
) -> None:
    """A sixth of what may vary within one sheet, by thickness and finish."""
    stock = Stock("sheet", MATERIALS[material], nominal, (nominal,), finish=finish)
    assert stock.scatter == pytest.approx(within / 6)


def test_inch_sizes_are_told_from_metric_ones() -> None:
    metric = (3, 4, 6, 6.5, 9, 12, 15, 18, 19, 21, 24, 30)
    inches = [25.4 * k / 32 for k in (4, 6, 8, 11, 12, 15, 16, 19, 20, 23, 24, 26)]
    assert not any(map(is_inch_size, metric))
    assert all(map(is_inch_size, inches))
