from __future__ import annotations

from dataclasses import replace

import pytest

from dryfit.drafting.cutlist import cut_list
from dryfit.model.panel import Face, Grain
from tests.unit.drafting.samples import job, ring

PARTS = ring()


def column(name: str, unit: str = "mm", sixty_fourths: bool = False) -> list[str]:
    table = cut_list(job(PARTS, unit, sixty_fourths), PARTS)
    return [row[table.header.index(name)] for row in table.rows]


def test_every_part_has_a_row_and_says_how_many() -> None:
    assert column("part") == ["front", "back", "left", "right"]
    assert column("how many") == ["2"] * 4
    assert set(column("stock")) == {"birch 9"}
    assert set(column("material")) == {"birch plywood"}


def test_sizes_are_those_of_the_cut_part_and_the_thickness_is_measured() -> None:
    assert column("length [mm]") == ["120.00", "120.00", "80.00", "80.00"]
    assert column("width [mm]") == ["60.00"] * 4
    assert column("thickness [mm]") == ["8.78"] * 4


def test_the_area_is_that_of_the_cut_part() -> None:
    assert [float(area) for area in column("area [cm2]")] == pytest.approx(
        [part.area / 100 for part in PARTS], abs=0.005
    )


def test_inches_with_sixty_fourths_beside_them() -> None:
    """120 mm is 4.72441 in; the nearest 64th is 302/64, 4 23/32."""
    assert column("length [in]", "in", sixty_fourths=True)[0] == "4.7244 (4 23/32)"
    assert column("area [in2]", "in")[0] == f"{PARTS[0].area / 645.16:.2f}"


@pytest.mark.parametrize(
    ("grain", "sizes"),
    [
        (Grain.U, ("120.00", "60.00", "along the length")),
        (Grain.V, ("60.00", "120.00", "along the length")),
        (Grain.FREE, ("120.00", "60.00", "free")),
    ],
)
def test_length_runs_along_the_grain(grain: Grain, sizes: tuple[str, str, str]) -> None:
    part = replace(PARTS[0], panel=replace(PARTS[0].panel, grain=grain))
    (row,) = cut_list(job((part,)), (part,)).rows
    assert row[5:8] == sizes


def test_the_good_face_is_named() -> None:
    faces = [
        cut_list(job(PARTS), (replace(PARTS[0], panel=replace(PARTS[0].panel, good_face=face)),))
        for face in (Face.A, Face.B, None)
    ]
    assert [table.rows[0][8] for table in faces] == ["a", "b", "either"]
