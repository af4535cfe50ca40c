"""The hand in which pages are drawn: paper, ink, wood and line weights, named once."""

from __future__ import annotations

from types import MappingProxyType

from dryfit.pages.page import Role

PAPER = "#f8f5ee"
INK = "#26231d"
GRAPHITE = "#5a5445"
RULE = "#cfc7b4"
WOOD = ("#efe6d2", "#e3d6bb", "#d8c8a8")
"""Light, middle and dark wood, for faces that look up, right and to the front."""
END_GRAIN = "#cdb98f"

FONT = "Barlow Semi Condensed, DejaVu Sans Condensed, Arial Narrow, sans-serif"
"""The condensed technical sans of labels and numbers, and what may stand in for it."""

CAPITAL = 0.7
"""Height of a capital letter over the size of the type. [-]"""

ADVANCE = 0.8
"""Mean advance of a letter over the height of a capital, on the wide side. [-]"""

COLOUR = MappingProxyType(
    {
        Role.FACE: INK,
        Role.EDGE: INK,
        Role.CUT_OUTSIDE: INK,
        Role.CUT_INSIDE: GRAPHITE,
        Role.MARK: GRAPHITE,
        Role.TRENCH: GRAPHITE,
        Role.LEADER: GRAPHITE,
        Role.DIMENSION: GRAPHITE,
        Role.LABEL: INK,
    }
)
"""Colour of the lines and texts of each role."""

WEIGHT = MappingProxyType(
    {
        Role.FACE: 0.1,
        Role.EDGE: 0.25,
        Role.CUT_OUTSIDE: 0.1,
        Role.CUT_INSIDE: 0.1,
        Role.MARK: 0.1,
        Role.TRENCH: 0.1,
        Role.LEADER: 0.18,
        Role.DIMENSION: 0.13,
        Role.LABEL: 0.13,
    }
)
"""Line weight of each role. [mm]"""

HIDDEN = (3.0, 0.75)
"""Dashes of an edge that lies behind wood: 12 and 3 widths of a line of 0.25 mm, as ISO 128-2 has
its dashed line (from memory). [mm]"""

DOTTED = (0.0, 0.8)
"""Dots, by the round ends of dashes without length. [mm]"""


def text_width(content: str, height: float) -> float:
    """Room that a line of text needs, on the wide side; `height` [mm] is a capital's."""
    return len(content) * height * ADVANCE
