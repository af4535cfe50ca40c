"""What stands on the piece: its use, and the load of single panels."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Load:
    """What is on one panel, as far as the maker says.

    Parameters
    ----------
    use : str
        The word for what stands on it; empty for the piece's own.
    weight : float, optional
        All that is on it, in place of what its use would bring. [kg]
    middle : bool
        Whether that lies in the middle instead of all over it.
    brief : bool
        Whether it is taken off again the same day; else it stays for years.
    limit : float, optional
        How far the panel may sag. [mm]
    """

    use: str = ""
    weight: float | None = None
    middle: bool = False
    brief: bool = False
    limit: float | None = None


NO_LOAD = Load()
"""Where the maker says nothing of a panel."""


@dataclass(frozen=True)
class Service:
    """What the piece is for.

    Parameters
    ----------
    use : str
        The word for what stands on its panels; empty where the maker says nothing.
    fixed : bool
        Whether it is fixed to a wall.
    loads : mapping of str to Load
        Panels, by their own name, of which something of their own is said.
    """

    use: str = ""
    fixed: bool = False
    loads: Mapping[str, Load] = field(default_factory=dict)

    def on(self, name: str) -> Load:
        """What is said of one panel."""
        return self.loads.get(name, NO_LOAD)


SERVICE = Service()
"""Where the maker says nothing."""
