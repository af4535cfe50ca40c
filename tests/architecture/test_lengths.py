"""Every public argument that is a length says in which unit."""

from __future__ import annotations

import ast
import re
import textwrap
from typing import TYPE_CHECKING, TypeAlias

import pytest

from tests.architecture.source import Module, modules

if TYPE_CHECKING:
    from collections.abc import Iterator

Function: TypeAlias = "ast.FunctionDef | ast.AsyncFunctionDef"

LENGTHS = frozenset(
    """
    allowance arm bore chord clearance depth deviation diameter edge_gap flank_gap gap height inset
    kerf length margin neck offset pitch proud radius reach room size span step thickness tolerance
    travel width x y z
    """.split()
)
NUMBERS = re.compile(r"\b(?:float|Vector|FloatArray|NDArray|ArrayLike|ndarray)\b")
SECTION = re.compile(
    r"^(?:Parameters|Attributes)\n-+\n(.*?)(?=^\S[^\n]*\n-+\n|\Z)", re.MULTILINE | re.DOTALL
)
ENTRY = re.compile(r"^(\S[^\n]*)\n((?:[ \t]+[^\n]*\n?|\n)*)", re.MULTILINE)
UNIT = re.compile(r"\[[^\]]*\b(?:mm|m|-|rad|deg)[^\]]*\]|\[-\]")


def _arguments(function: Function) -> Iterator[ast.arg]:
    signature = function.args
    yield from (*signature.posonlyargs, *signature.args, *signature.kwonlyargs)


def _is_length(name: str, annotation: ast.expr | None) -> bool:
    numeric = annotation is not None and NUMBERS.search(ast.unparse(annotation))
    return name in LENGTHS and bool(numeric)


def _entries(docstring: str) -> dict[str, str]:
    """What the numpydoc sections say of each name."""
    said = {}
    for section in SECTION.findall(docstring):
        for head, body in ENTRY.findall(section):
            for name in head.partition(":")[0].split(","):
                said[name.strip(" *")] = body
    return said


def _says_unit(name: str, docstring: str) -> bool:
    """Whether the entry of a name, or else the sentence about it, holds a unit."""
    entries = _entries(docstring)
    if name in entries:
        return bool(UNIT.search(entries[name]))
    spoken = re.search(rf"(?s)\b{re.escape(name)}\b(?:(?![.;]\s).)*?{UNIT.pattern}", docstring)
    return bool(spoken)


def _fields(owner: ast.ClassDef) -> Iterator[tuple[str, str]]:
    """Lengths among the fields of a record, each with the docstring right under it."""
    for here, after in zip(owner.body, [*owner.body[1:], None], strict=True):
        if not isinstance(here, ast.AnnAssign) or not isinstance(here.target, ast.Name):
            continue
        if _is_length(here.target.id, here.annotation):
            under = isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant)
            yield here.target.id, ast.unparse(after) if under and after else ""


def unsaid(module: Module) -> Iterator[str]:
    """Names of the lengths in a module's public functions and records that give no unit."""
    yield from _unsaid(module.name, module.tree, "")


def _unsaid(owner_name: str, owner: ast.AST, owner_doc: str) -> Iterator[str]:
    for node in ast.iter_child_nodes(owner):
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue
        # A constructor's arguments are the class's, and its docstring stands there.
        constructor = node.name == "__init__"
        if node.name.startswith("_") and not constructor:
            continue
        name = f"{owner_name}.{node.name}"
        doc = owner_doc if constructor else ast.get_docstring(node) or ""
        if isinstance(node, ast.ClassDef):
            for field, under in _fields(node):
                if not field.startswith("_") and not _says_unit(field, doc):
                    yield from () if UNIT.search(under) else (f"{name}.{field}",)
            yield from _unsaid(name, node, doc)
            continue
        for argument in _arguments(node):
            if _is_length(argument.arg, argument.annotation) and not _says_unit(argument.arg, doc):
                yield f"{name}({argument.arg})"


def test_every_public_length_says_its_unit() -> None:
    assert [line for module in modules() for line in unsaid(module)] == []


@pytest.mark.parametrize(
    ("code", "count"),
    [
        ('def f(width: float): """Half of `width` [mm]."""', 0),
        ('def f(width: float): """Half of `width`. Pressure [mm]."""', 1),
        ('def f(width: float): """Half."""', 1),
        ("def f(width: float): pass", 1),
        ("def _f(width: float): pass", 0),
        ("def f(width: str): pass", 0),
        ("class A:\n    width: float\n    '''How wide. [mm]'''", 0),
        ("class A:\n    width: float\n    name: str", 1),
        ("class A:\n    def __init__(self, gap: float): pass", 1),
        ("class A:\n    def f(self, x: float, y: float):\n        '''At x, y [mm].'''", 0),
    ],
)
def test_a_length_without_unit_is_noticed(code: str, count: int) -> None:
    assert len(list(unsaid(Module("m", ast.parse(code))))) == count


def test_the_entry_counts_where_there_is_one() -> None:
    code = '''
        def f(gap: float, depth: float) -> float:
            """Something in [mm].

            Parameters
            ----------
            gap : float
                Air at one flank. [mm]
            depth : float
                Into the mate.

            Returns
            -------
            float
                The rest. [mm]
            """
        '''
    module = Module("m", ast.parse(textwrap.dedent(code)))
    assert list(unsaid(module)) == ["m.f(depth)"]
