"""The glue, as far as it sets a clock."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Glue:
    """How long a glue waits, and how long spreading it takes.

    Parameters
    ----------
    open : float
        From the first face spread to the clamps. [min]
    spread : float
        Spreading one face. [s]
    stated : bool
        Whether the maker has stated it.
    """

    open: float = 10.0
    spread: float = 5.0
    stated: bool = False


USUAL_GLUE = Glue()
"""What is assumed where the job says nothing (common practice, no source): white glue at 20 °C."""
