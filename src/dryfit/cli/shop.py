"""Whose shop it is: the maker's own book, and today."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

from dryfit.workflow import Shop


def own_shop() -> Shop:
    """The book that ``DRYFIT_BOOK`` names, else the maker's own, and the day by the clock."""
    from dryfit.workflow.book import usual_place

    place = os.environ.get("DRYFIT_BOOK")
    return Shop(Path(place) if place else usual_place(), datetime.now().astimezone().date())
