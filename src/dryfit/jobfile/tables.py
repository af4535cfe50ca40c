"""The tables of a job file against the schema: known keys, typed values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from dryfit.jobfile import schema, supply_schema
from dryfit.jobfile.faults import alike, dotted, nearest, shown
from dryfit.jobfile.schema_load import LOAD
from dryfit.jobfile.schema_wood import MATERIAL, SEASON
from dryfit.jobfile.values import Checked, WrongValueError, check, wrong_name
from dryfit.parts.memory import Memory
from dryfit.units import UNITS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.key import Table
    from dryfit.jobfile.lines import Path

_NOTHING = Checked({}, (), stands=False)

_Wrong: TypeAlias = "tuple[Path, str]"
"""A key below its table, and what is wrong with it."""

CHECKED: Memory[tuple[str, str, str], tuple[Checked, tuple[_Wrong, ...]]] = Memory(4096)
"""Tables by their name, the unit and what stands in them, as they were checked."""


@dataclass(frozen=True, slots=True)
class Tables:
    """The checked tables of one file; named ones by their name."""

    unit: str
    root: Checked
    piece: Checked
    cutter: Checked
    fingers: Checked
    odds: Checked
    scatter: Checked
    glue: Checked
    load: Mapping[str, Checked]
    season: Mapping[str, Checked]
    material: Mapping[str, Checked]
    stock: Mapping[str, Checked]
    joint: Mapping[str, Checked]
    panel: Mapping[str, Checked]
    plane: Mapping[str, Checked]
    opening: Mapping[str, Checked]
    keep_out: Mapping[str, Checked]
    corner: Mapping[str, Checked]
    sheet: Mapping[str, Checked]
    layout: Checked
    lock: Mapping[str, Checked]
    costs: Checked


def check_tables(data: Mapping[str, object], faults: Faults) -> Tables:
    """Check every key and value of a parsed file; what is wrong goes to `faults`."""
    unit = data.get("unit")
    reader = _Reader(unit if isinstance(unit, str) and unit in UNITS else "mm", faults)
    root = reader.root(data)
    if "piece" not in data and "plane" not in data:
        faults.add(("piece",), "the table [piece] is missing; add it with at least form")
    for table in schema.TABLES.values():
        if table.required and table.name not in data:
            faults.add((table.name,), _missing_table(table))
    return Tables(
        unit=reader.unit,
        root=root,
        piece=reader.plain(schema.PIECE, data),
        cutter=reader.plain(schema.CUTTER, data),
        fingers=reader.plain(schema.FINGERS, data),
        odds=reader.plain(schema.ODDS, data),
        scatter=reader.plain(schema.SCATTER, data),
        glue=reader.plain(schema.GLUE, data),
        load=reader.named(LOAD, data),
        season=reader.named(SEASON, data),
        material=reader.named(MATERIAL, data),
        stock=reader.named(schema.STOCK, data),
        joint=reader.named(schema.JOINT, data),
        panel=reader.named(schema.PANEL, data),
        plane=reader.named(schema.PLANE, data),
        opening=reader.named(schema.OPENING, data),
        keep_out=reader.named(schema.KEEP_OUT, data),
        corner=reader.named(schema.CORNER, data),
        sheet=reader.named(supply_schema.SHEET, data),
        layout=reader.plain(supply_schema.LAYOUT, data),
        lock=reader.named(supply_schema.LOCK, data),
        costs=reader.plain(supply_schema.COSTS, data),
    )


def check_materials(data: Mapping[str, object], faults: Faults) -> dict[str, Checked]:
    """The tables of a file that holds nothing but materials; what is wrong goes to `faults`."""
    reader = _Reader("mm", faults)
    for name in data:
        if name not in ("format", MATERIAL.name):
            faults.add((name,), f"a file of materials has no {dotted((name,))}; take it out")
    reader.root({name: value for name, value in data.items() if name == "format"})
    return reader.named(MATERIAL, data)


def _missing_table(table: Table) -> str:
    needed = [key.name for key in table.keys if not key.default]
    return f"the table {table.header} is missing; add it with at least {' and '.join(needed)}"


class _Reader:
    """Checks tables in one default unit."""

    def __init__(self, unit: str, faults: Faults) -> None:
        self.unit = unit
        self.faults = faults

    def root(self, data: Mapping[str, object]) -> Checked:
        """The keys above the first table."""
        if "format" not in data:
            self.faults.add((), f"format is missing; write format = {schema.FORMAT} at the top")
        own = {name: value for name, value in data.items() if name not in schema.TABLES}
        checked, wrong = _values(schema.ROOT, own, self.unit)
        self._tell((), wrong)
        return checked

    def plain(self, table: Table, data: Mapping[str, object]) -> Checked:
        """A table without names."""
        value = data.get(table.name)
        return self._table(table, (table.name,), value) if table.name in data else _NOTHING

    def named(self, table: Table, data: Mapping[str, object]) -> dict[str, Checked]:
        """Every sub-table of a table, by name."""
        tables = data.get(table.name, {})
        if not isinstance(tables, dict):
            self.faults.add((table.name,), _not_a_table(table, tables))
            return {}
        if table.required and not tables and table.name in data:
            self.faults.add((table.name,), _missing_table(table))
        loose = [name for name in tables if self._is_loose(table, name, tables[name])]
        return {
            name: self._one(table, name, value)
            for name, value in tables.items()
            if name not in loose
        }

    def _is_loose(self, table: Table, name: str, value: object) -> bool:
        """Whether this is no sub-table but a key that stands outside of any; a fault says so."""
        loose = table.key(name) is not None and not isinstance(value, dict)
        if loose:
            sentence = f"{name} needs a table with a name; write it under {table.header}"
            self.faults.add((table.name, name), sentence)
        return loose

    def _one(self, table: Table, name: str, value: object) -> Checked:
        path = (table.name, name)
        sentence = wrong_name(name)
        if sentence:
            self.faults.add(path, sentence)
        return self._table(table, path, value)

    def _table(self, table: Table, path: Path, value: object) -> Checked:
        try:
            key = table.name, self.unit, repr(value)
        except ValueError:  # a whole number of more than 4300 digits
            checked, wrong = _check(table, value, self.unit)
        else:
            found = CHECKED.all_of([key], lambda _: [_check(table, value, self.unit)])
            checked, wrong = found[0]
        self._tell(path, wrong)
        return checked

    def _tell(self, path: Path, wrong: Iterable[_Wrong]) -> None:
        for below, sentence in wrong:
            self.faults.add((*path, *below), sentence)


def _check(table: Table, value: object, unit: str) -> tuple[Checked, tuple[_Wrong, ...]]:
    """One table checked, and what is wrong with it."""
    if not isinstance(value, dict):
        return _NOTHING, (((), _not_a_table(table, value)),)
    missing = [
        ((key.name,), f"{key.name} is missing; write {key.name} = {key.example}")
        for key in table.keys
        if not key.default and key.name not in value
    ]
    checked, wrong = _values(table, value, unit)
    return checked, (*missing, *wrong)


def _values(table: Table, found: Mapping[str, object], unit: str) -> tuple[Checked, list[_Wrong]]:
    """The values of a table, and what is wrong with them."""
    good = {}
    wrong: list[_Wrong] = []
    for name, value in found.items():
        key = table.key(name)
        if key is None:
            wrong.append(((name,), _unknown(table, name)))
            continue
        try:
            good[name] = check(key, value, unit)
        except WrongValueError as error:
            wrong += [((name,), sentence) for sentence in error.sentences]
    return Checked(good, found), wrong


def _not_a_table(table: Table, value: object) -> str:
    return f"expected a table; write {table.header} on a line of its own, not {shown(value)}"


def _unknown(table: Table, name: str) -> str:
    """An unknown key: it is misspelt, or belongs elsewhere, or both."""
    said = f"there is no key {dotted((name,))} here"
    known = [key.name for key in table.keys]
    if table is schema.ROOT:
        known += [other for other in schema.TABLES if other]
    home = schema.home_of(name)
    if home is not None:
        return f"{said}; it belongs under {_place(home)}"
    meant = next(iter(alike(name, schema.KEY_NAMES)), "")
    home = schema.home_of(meant)
    if home is None or alike(name, known):
        return f"{said}; {nearest(name, known)}"
    return f"{said}; the nearest is {meant}, which belongs under {_place(home)}"


def _place(table: Table) -> str:
    return table.header or "the top of the file, above the first table"
