"""The command line starts without the libraries that only its work needs."""

from __future__ import annotations

import subprocess
import sys

HEAVY = (
    "OCP", "ezdxf", "fontTools", "fpdf", "manifold3d", "numpy", "platformdirs", "scipy", "segno",
    "shapely", "sqlite3", "tomlkit",
)  # fmt: skip


def test_cold_start_loads_nothing_heavy() -> None:
    code = f"import dryfit.cli.main, sys; print(*sorted(set({HEAVY!r}) & sys.modules.keys()))"
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60
    )
    assert (ran.returncode, ran.stdout.split(), ran.stderr) == (0, [], "")
