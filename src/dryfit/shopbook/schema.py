"""The tables of the shop book, and how each kind of record is written and read.

A *migration* is the list of statements that takes a book from one schema number to the next; a
book that is younger than all of them is not touched. Rows are added and never changed: triggers see
to that.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.shopbook.records import Kind

if TYPE_CHECKING:
    from collections.abc import Mapping

APPLICATION = 0x64727966
"""Marks a file as a shop book: the letters "dryf"."""

_FIRST = (
    """CREATE TABLE entries (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        uid TEXT NOT NULL UNIQUE,
        kind TEXT NOT NULL
            CHECK (kind IN ('machine', 'cutter', 'stock', 'comb', 'width', 'job')),
        at TEXT NOT NULL,
        supersedes INTEGER REFERENCES entries (id),
        withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1)),
        CHECK (supersedes IS NOT NULL OR NOT withdrawn)
    )""",
    "CREATE INDEX entries_of_a_kind ON entries (kind)",
    "CREATE INDEX entries_that_supersede ON entries (supersedes)",
    """CREATE TABLE machines (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        name TEXT NOT NULL, route TEXT NOT NULL, note TEXT NOT NULL
    )""",
    """CREATE TABLE cutters (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        cutter TEXT NOT NULL, note TEXT NOT NULL
    )""",
    """CREATE TABLE stock (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        name TEXT NOT NULL, material TEXT NOT NULL, nominal_mm REAL NOT NULL, note TEXT NOT NULL
    )""",
    """CREATE TABLE stock_readings (
        entry INTEGER NOT NULL REFERENCES stock (entry), place INTEGER NOT NULL,
        reading_mm REAL NOT NULL, PRIMARY KEY (entry, place)
    )""",
    """CREATE TABLE combs (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        cutter TEXT NOT NULL, material TEXT NOT NULL,
        same_tongue INTEGER NOT NULL CHECK (same_tongue IN (0, 1)),
        boundaries INTEGER NOT NULL, note TEXT NOT NULL
    )""",
    """CREATE TABLE comb_results (
        entry INTEGER NOT NULL REFERENCES combs (entry), place INTEGER NOT NULL,
        gap_mm REAL NOT NULL, grade TEXT NOT NULL, socket INTEGER, PRIMARY KEY (entry, place)
    )""",
    """CREATE TABLE widths (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        cutter TEXT NOT NULL, material TEXT NOT NULL, part TEXT NOT NULL, drawn_mm REAL NOT NULL,
        resolution_mm REAL NOT NULL, note TEXT NOT NULL
    )""",
    """CREATE TABLE width_readings (
        entry INTEGER NOT NULL REFERENCES widths (entry), place INTEGER NOT NULL,
        width_mm REAL NOT NULL, PRIMARY KEY (entry, place)
    )""",
    """CREATE TABLE jobs (
        entry INTEGER PRIMARY KEY REFERENCES entries (id),
        title TEXT NOT NULL, cutter TEXT NOT NULL, material TEXT NOT NULL,
        flank_gap_mm REAL NOT NULL, went TEXT NOT NULL, note TEXT NOT NULL
    )""",
    *(
        f"CREATE TRIGGER {table}_keeps_{what.lower()} BEFORE {what} ON {table} "
        "BEGIN SELECT RAISE(ABORT, 'the book keeps what is in it'); END"
        for table in (
            "entries", "machines", "cutters", "stock", "stock_readings", "combs", "comb_results",
            "widths", "width_readings", "jobs",
        )
        for what in ("UPDATE", "DELETE")
    ),
)  # fmt: skip

MIGRATIONS: tuple[tuple[str, ...], ...] = (_FIRST,)
"""Statement lists; the first takes an empty file to schema 1."""


@dataclass(frozen=True, slots=True)
class Table:
    """How one kind of record is kept.

    Parameters
    ----------
    fields : tuple of str
        Fields of the record, in the order of the columns.
    insert, select : str
        Statements that write a row and read the rows of all entries, the entry's id first.
    many : str
        The field that holds a list; empty where none does.
    insert_many, select_many : str
        The same for the rows of that list, place second.
    """

    fields: tuple[str, ...]
    insert: str
    select: str
    many: str = ""
    insert_many: str = ""
    select_many: str = ""


TABLES: Mapping[Kind, Table] = MappingProxyType(
    {
        Kind.MACHINE: Table(
            ("name", "route", "note"),
            "INSERT INTO machines (entry, name, route, note) VALUES (?, ?, ?, ?)",
            "SELECT entry, name, route, note FROM machines",
        ),
        Kind.CUTTER: Table(
            ("cutter", "note"),
            "INSERT INTO cutters (entry, cutter, note) VALUES (?, ?, ?)",
            "SELECT entry, cutter, note FROM cutters",
        ),
        Kind.STOCK: Table(
            ("name", "material", "nominal", "note"),
            "INSERT INTO stock (entry, name, material, nominal_mm, note) VALUES (?, ?, ?, ?, ?)",
            "SELECT entry, name, material, nominal_mm, note FROM stock",
            "readings",
            "INSERT INTO stock_readings (entry, place, reading_mm) VALUES (?, ?, ?)",
            "SELECT entry, place, reading_mm FROM stock_readings ORDER BY entry, place",
        ),
        Kind.COMB: Table(
            ("cutter", "material", "same_tongue", "boundaries", "note"),
            "INSERT INTO combs (entry, cutter, material, same_tongue, boundaries, note) "
            "VALUES (?, ?, ?, ?, ?, ?)",
            "SELECT entry, cutter, material, same_tongue, boundaries, note FROM combs",
            "results",
            "INSERT INTO comb_results (entry, place, gap_mm, grade, socket) VALUES (?, ?, ?, ?, ?)",
            "SELECT entry, place, gap_mm, grade, socket FROM comb_results ORDER BY entry, place",
        ),
        Kind.WIDTH: Table(
            ("cutter", "material", "part", "drawn", "resolution", "note"),
            "INSERT INTO widths (entry, cutter, material, part, drawn_mm, resolution_mm, note) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            "SELECT entry, cutter, material, part, drawn_mm, resolution_mm, note FROM widths",
            "measured",
            "INSERT INTO width_readings (entry, place, width_mm) VALUES (?, ?, ?)",
            "SELECT entry, place, width_mm FROM width_readings ORDER BY entry, place",
        ),
        Kind.JOB: Table(
            ("title", "cutter", "material", "flank_gap", "went", "note"),
            "INSERT INTO jobs (entry, title, cutter, material, flank_gap_mm, went, note) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            "SELECT entry, title, cutter, material, flank_gap_mm, went, note FROM jobs",
        ),
    }
)
"""The table of each kind."""
