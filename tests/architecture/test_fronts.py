"""The fronts are thin: they ask the workflow, and speak of findings, errors and units."""

from __future__ import annotations

import ast
from types import MappingProxyType
from typing import TYPE_CHECKING

from tests.architecture.source import Module, imports, modules

if TYPE_CHECKING:
    from collections.abc import Iterable

_SPOKEN = frozenset({"workflow", "findings", "errors", "units"})
MAY_IMPORT = MappingProxyType(
    {"dryfit.cli": _SPOKEN | {"cli"}, "dryfit.web": _SPOKEN | {"web"}},
)


def shortcuts(modules: Iterable[Module]) -> list[str]:
    """Each import by which a front reaches past the workflow."""
    return [
        f"{module.name} imports {name}"
        for module in modules
        if module.room in MAY_IMPORT
        for name in imports(module)
        if name.startswith("dryfit.")
        and name.split(".")[1] not in MAY_IMPORT[module.room] | {"__version__"}
    ]


def test_fronts_call_the_workflow_alone() -> None:
    assert shortcuts(modules()) == []


def test_a_shortcut_is_noticed() -> None:
    code = "from dryfit.workflow import check\nfrom dryfit import joints"
    front = Module("dryfit.cli.main", ast.parse(code))
    assert shortcuts([front]) == ["dryfit.cli.main imports dryfit.joints"]
