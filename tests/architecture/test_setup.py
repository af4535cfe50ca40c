"""Setting up: the right interpreter is found, and the locks hold what is asked of them."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.architecture.source import ROOT

FINDER = ROOT / "tools" / "find_python.sh"
PIN = re.compile(
    r"^([a-z0-9][a-z0-9._-]*)==(\S+)([^\n]*(?:\n    --hash=sha256:[0-9a-f]{64}.*)*)", re.MULTILINE
)


def _find(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the finder with a folder at the head of PATH and no version manager in sight."""
    kept = {name: value for name, value in os.environ.items() if not name.endswith(("ROOT", "DIR"))}
    path = f"{folder}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(
        ["/bin/sh", str(FINDER), *arguments],
        env=kept | {"HOME": str(folder), "PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )


def _script(path: Path, body: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    path.chmod(0o755)


def _wrapped(path: Path) -> None:
    """Put a command there that runs this very interpreter."""
    _script(path, f'exec "{Path(sys.executable).resolve()}" "$@"')


THIS = f"python3.{sys.version_info.minor}"


def test_a_shim_that_only_prints_an_error_is_passed_over(tmp_path: Path) -> None:
    _script(tmp_path / THIS, 'echo "command not found" >&2; exit 127')
    home = tmp_path / ".pyenv" / "versions" / f"3.{sys.version_info.minor}.9999"
    _wrapped(home / "bin" / THIS)
    found = _find(tmp_path, "--minor", str(sys.version_info.minor))
    assert found.stdout.strip() == str(Path(sys.executable).resolve())


def test_an_interpreter_without_the_needed_modules_is_refused(tmp_path: Path) -> None:
    broken = tmp_path / "python-without-modules"
    _script(broken, f'exec "{sys.executable}" -S -c "import no_such_module_of_ours"')
    found = _find(tmp_path, str(broken))
    assert found.returncode == 1
    assert "name another" in found.stderr


def test_the_named_interpreter_is_taken(tmp_path: Path) -> None:
    assert _find(tmp_path, sys.executable).stdout.strip() == str(Path(sys.executable).resolve())


def _lock(kind: str) -> str:
    return (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")


def _pins(kind: str) -> set[tuple[str, str]]:
    return {(name, version) for name, version, _ in PIN.findall(_lock(kind))}


def _bare(requirement: str) -> str:
    return re.split(r"[\s<>=!~;\[]", requirement)[0].lower()


@pytest.mark.parametrize("kind", ["run", "test", "lock"])
def test_every_pin_has_hashes_and_no_lock_an_address(kind: str) -> None:
    pins = PIN.findall(_lock(kind))
    assert pins
    assert [name for name, _, rest in pins if "--hash=sha256:" not in rest] == []
    assert re.findall(r"://|--(?:extra-)?index|--find-links|@ file", _lock(kind)) == []


def test_the_locks_hold_what_the_project_asks_for() -> None:
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    run = {*map(_bare, asked["project"]["dependencies"] + asked["build-system"]["requires"])}
    test = {*map(_bare, asked["project"]["optional-dependencies"]["test"])}
    assert run - {name for name, _ in _pins("run")} == set()
    assert test - {name for name, _ in _pins("test")} == set()


def test_the_program_is_tested_with_the_versions_it_is_used_with() -> None:
    assert _pins("run") - _pins("test") == set()
