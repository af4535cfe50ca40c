from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from dryfit.jobfile.key import Key, Kind, Table
from dryfit.jobfile.schema import TABLES, home_of
from dryfit.jobfile.values import check
from dryfit.materials.sheets import SHEETS
from dryfit.materials.species import STANDS_FOR
from dryfit.model.forms import FORMS

DOC = Path(__file__).parents[3] / "docs" / "job-file.md"
KEYS = [(table, key) for table in TABLES.values() for key in table.keys]
NAMES = [f"{table.name or 'top'}.{key.name}" for table, key in KEYS]

_UNITS = {
    Kind.LENGTH: "the job's, or its own",
    Kind.SIZES: "the job's, or their own",
    Kind.READINGS: "the job's, or their own",
    Kind.OWNED: "the job's, or their own",
    Kind.RECTANGLES: "the job's, or their own",
    Kind.PAIR: "the job's, or their own",
    Kind.ENDS: "the job's, or their own",
}


def row(key: Key) -> str:
    """The line of the documentation that describes a key."""
    words = ", ".join(f'`"{word}"`' for word in key.words)
    if key.kind is Kind.WORD:
        takes = words
    else:
        takes = f"{key.kind}, or {words}" if words else str(key.kind)
    unit = _UNITS.get(key.kind, "-")
    default = key.default or "must be given"
    return f"| `{key.name}` | {takes} | {unit} | {default} | `{key.example}` | {key.meaning} |"


def section(table: Table) -> str:
    """The part of the documentation that describes a table."""
    heading = f"`{table.header}`" if table.name else "The top of the file"
    parts = DOC.read_text(encoding="utf-8").split("\n## ")
    return next(part for part in parts if part.startswith(f"{heading}\n"))


@pytest.mark.parametrize(("table", "key"), KEYS, ids=NAMES)
def test_every_key_is_documented_as_it_is_read(table: Table, key: Key) -> None:
    assert row(key) in section(table).splitlines()


TOLD = [table for table in TABLES.values() if table.keys]


@pytest.mark.parametrize("table", TOLD, ids=lambda table: table.name or "top")
def test_the_documentation_describes_no_other_key(table: Table) -> None:
    table_lines = section(table).split("\n| key |")[1].split("\n\n")[0].splitlines()[2:]
    assert len(table_lines) == len(table.keys)


@pytest.mark.parametrize(("table", "key"), KEYS, ids=NAMES)
def test_every_example_can_be_read(table: Table, key: Key) -> None:
    value = tomllib.loads(f"key = {key.example}")["key"]
    assert check(key, value, "mm")
    assert table.key(key.name) is key


def test_forms_and_materials_are_documented() -> None:
    text = DOC.read_text(encoding="utf-8")
    for form in FORMS.values():
        assert f"| `{form.name}` | {form.meaning}: {', '.join(form.panels)} |" in text
    words = ", ".join((*SHEETS, *STANDS_FOR))
    assert f"Materials: {words}, and the species" in " ".join(text.split())


def test_keys_of_a_table_have_different_names() -> None:
    for table in TABLES.values():
        names = [key.name for key in table.keys]
        assert sorted(set(names)) == sorted(names)


def test_a_key_knows_its_home() -> None:
    home = home_of("kerf")
    assert home is not None
    assert home.header == "[cutter]"
    assert home_of("kerfs") is None
