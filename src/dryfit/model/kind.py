"""The kinds of joint: how two panels share the place where they meet."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """How a meeting is shared.

    ``finger`` at a corner, ``tenon`` where an edge passes through a face, ``housing`` where it
    sits in a trench of part depth, ``groove`` where a captive panel sits in one with room to move,
    ``rebate`` where the trench runs along the very edge of the mate, ``halving`` where two faces
    pass through each other, ``butt`` where an edge stops at a face, ``running`` where it stops
    short of it so that it can slide.
    """

    FINGER = "finger"
    TENON = "tenon"
    HOUSING = "housing"
    GROOVE = "groove"
    REBATE = "rebate"
    HALVING = "halving"
    BUTT = "butt"
    RUNNING = "running"

    @property
    def is_trench(self) -> bool:
        """Whether it takes a trench of part depth."""
        return self in (Kind.HOUSING, Kind.GROOVE, Kind.REBATE)

    @property
    def is_captive(self) -> bool:
        """Whether the panel that sits in it keeps its corners where two trenches meet."""
        return self in (Kind.GROOVE, Kind.REBATE)
