"""The program's own modules as syntax trees, for tests that read code instead of running it."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src"


@dataclass(frozen=True, slots=True)
class Module:
    """A module by its dotted name, and what is written in it."""

    name: str
    tree: ast.Module

    @property
    def room(self) -> str:
        """The package or module right under dryfit that it belongs to."""
        return ".".join(self.name.split(".")[:2])


def modules() -> tuple[Module, ...]:
    """Every module of the program, in the order of their names."""
    return tuple(
        Module(_dotted(path), ast.parse(path.read_text(encoding="utf-8")))
        for path in sorted(SRC.rglob("*.py"))
    )


def _dotted(path: Path) -> str:
    parts = path.relative_to(SRC).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(module: Module) -> Iterator[str]:
    """Dotted names of all that a module imports, wherever in it the import stands."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
