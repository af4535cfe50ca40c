"""What all tests share: the same examples on every run, on every machine."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import HealthCheck, settings

# No test looks into the book of whoever runs it.
os.environ["DRYFIT_BOOK"] = str(Path(__file__).parent / "no-book.sqlite")

# Derandomised examples come from the test itself and not from a clock or an earlier run. Deadlines
# are off: a slow machine is not a fault of the program.
settings.register_profile(
    "dryfit",
    derandomize=True,
    database=None,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    print_blob=False,
)
settings.load_profile("dryfit")
