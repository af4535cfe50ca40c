"""What all tests share: the same examples on every run, on every machine."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

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
