"""Each heavy library has one door: the one module of ours that imports it."""

from __future__ import annotations

import ast
import sys
from collections import defaultdict
from types import MappingProxyType
from typing import TYPE_CHECKING

from tests.architecture.source import Module, imports, modules

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

# Library: the room its door is in, and how many modules of that room may import it.
# The command line talks through its two libraries all over, so they are kept to its room only.
DOORS = MappingProxyType(
    {
        "OCP": ("dryfit.writers", 1),
        "ezdxf": ("dryfit.writers", 1),
        "fontTools": ("dryfit.pages", 1),
        "fpdf": ("dryfit.writers", 1),
        "manifold3d": ("dryfit.shapes", 1),
        "packingsolver": ("dryfit.layout", 1),
        "platformdirs": ("dryfit.shopbook", 1),
        "rectpack": ("dryfit.layout", 1),
        "rich": ("dryfit.cli", 9),
        "scipy": ("dryfit.tolerance", 1),
        "segno": ("dryfit.drafting", 1),
        "shapely": ("dryfit.shapes", 1),
        "sqlite3": ("dryfit.shopbook", 1),
        "tomlkit": ("dryfit.jobfile", 1),
        "typer": ("dryfit.cli", 9),
    }
)
EVERYWHERE = (frozenset({"dryfit", "numpy"}) | sys.stdlib_module_names) - {"sqlite3"}


def strays(modules: Iterable[Module], doors: Mapping[str, tuple[str, int]]) -> list[str]:
    """One sentence for each library that comes in by a wrong door."""
    users = defaultdict(set)
    for module in modules:
        for name in imports(module):
            users[name.partition(".")[0]].add(module)
    found = []
    for library in sorted(users.keys() - EVERYWHERE):
        room, most = doors.get(library, ("none of our rooms", 0))
        names = sorted(module.name for module in users[library])
        if len(names) > most or any(module.room != room for module in users[library]):
            found.append(f"{library} is for {most} module(s) of {room}; it is in {names}")
    return found


def _module(name: str, code: str) -> Module:
    return Module(name, ast.parse(code))


def test_every_library_comes_in_by_its_own_door() -> None:
    assert strays(modules(), DOORS) == []


def test_a_second_door_is_noticed() -> None:
    doors = {"shapely": ("dryfit.shapes", 1)}
    first = _module("dryfit.shapes.boolean", "import shapely")
    second = _module("dryfit.shapes.offset", "def cut():\n    from shapely.ops import split")
    assert strays([first], doors) == []
    assert len(strays([first, second], doors)) == 1


def test_a_wrong_room_and_an_unknown_library_are_noticed() -> None:
    doors = {"shapely": ("dryfit.shapes", 1)}
    astray = _module("dryfit.parts.relief", "import shapely, pandas, numpy, math")
    assert [line.split()[0] for line in strays([astray], doors)] == ["pandas", "shapely"]
