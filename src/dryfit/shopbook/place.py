"""Where the book lies when nobody says: in the folder that the system keeps for a user's data."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

FILE = "shop-book.sqlite"
"""Its name there."""


def usual_place() -> Path:
    """The file of the user's own book."""
    from platformdirs import user_data_path

    return user_data_path("dryfit", appauthor=False) / FILE
