"""What holds for every file that is kept: short, and free of places only one machine knows."""

from __future__ import annotations

import re
import subprocess
from types import MappingProxyType
from typing import TYPE_CHECKING

import pytest

from tests.architecture.source import ROOT

if TYPE_CHECKING:
    from pathlib import Path

LONGEST = 500
FORBIDDEN = MappingProxyType(
    {
        "a package registry's host": r"pypi[.]org|pythonhosted[.]org|npmjs[.]",
        "a path of one machine": r"(?<![\w.~])/(?:root|work|home/\w+|Users/\w+)/",
        "a note to self": r"\b(?:TOD[O]|FIXM[E]|XX[X]|HAC[K])\b",
        "a number that only a tracker knows": r"\b[Ii]ssue #?\d|\bGH-\d",
        "the mark of a merge left half done": r"(?m)^(?:<{7}|>{7}) ",
    }
)


def kept_files() -> list[Path]:
    """Files that are tracked, or would be by the next commit."""
    # A clone may belong to another user than the one who runs the tests.
    command = ["git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others"]
    listed = subprocess.run(
        [*command, "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    paths = (ROOT / name for name in sorted(set(listed.stdout.split("\0")) - {""}))
    return [path for path in paths if path.is_file()]


def offences(text: str) -> list[str]:
    """What of the forbidden stands in a text, each with the words that gave it away."""
    return [
        f"{what}: {match.group()!r}"
        for what, pattern in FORBIDDEN.items()
        for match in re.finditer(pattern, text)
    ]


def test_no_file_holds_forbidden_words() -> None:
    found = {}
    for path in kept_files():
        words = offences(path.read_text(encoding="utf-8", errors="ignore"))
        if words:
            found[path.relative_to(ROOT).as_posix()] = words
    assert found == {}


@pytest.mark.parametrize(
    "text",
    [
        "from https://" + "pypi" + ".org/simple",
        "open('/" + "home/anna/job.toml')",
        "# TO" + "DO: later",
        "see is" + "sue #7",
        "<" * 7 + " ours",
    ],
)
def test_forbidden_words_are_noticed(text: str) -> None:
    assert len(offences(text)) == 1


def test_no_module_is_too_long() -> None:
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in kept_files()
        if path.suffix == ".py"
    }
    assert len(lengths) > 10
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST} == {}
