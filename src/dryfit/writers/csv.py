"""Tables as comma-separated values, RFC 4180, UTF-8."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from dryfit.pages.names import csv_cell

if TYPE_CHECKING:
    from dryfit.pages.table import Table


def write_csv(table: Table) -> bytes:
    """The header and the rows, each cell safe to open in a spreadsheet; lines end in CR LF."""
    text = io.StringIO(newline="")
    out = csv.writer(text)
    for row in (table.header, *table.rows):
        out.writerow([csv_cell(cell) for cell in row])
    return text.getvalue().encode("utf-8")
