from __future__ import annotations

import csv
import io

import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.pages.table import Table
from dryfit.writers.csv import write_csv


def test_the_standard_reader_gives_back_every_cell() -> None:
    rows = (("Kästchen, links", '5 1/2"'), ("箱", "9.00"))
    data = write_csv(Table("", ("part", "length [in]"), rows))
    assert list(csv.reader(io.StringIO(data.decode("utf-8")))) == [
        ["part", "length [in]"],
        *map(list, rows),
    ]


def test_another_reader_finds_the_columns() -> None:
    data = write_csv(Table("", ("part", "area"), (("a,b", "12.5"), ("c", "3"))))
    frame = pd.read_csv(io.BytesIO(data))
    assert list(frame["part"]) == ["a,b", "c"]
    assert list(frame["area"]) == [12.5, 3.0]


@settings(derandomize=True, deadline=None)
@given(st.lists(st.text(max_size=40), min_size=2, max_size=2))
def test_no_text_breaks_a_row_or_starts_a_formula(cells: list[str]) -> None:
    data = write_csv(Table("", ("a", "b"), (tuple(cells),))).decode("utf-8")
    assert data.count("\r\n") == 2
    (_, row) = csv.reader(io.StringIO(data))
    assert len(row) == 2
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)
