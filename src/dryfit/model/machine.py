"""The machine that cuts: what its controller understands, how far it reaches, how it is driven."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Rectangle = tuple[float, float, float, float]
"""Low x, low y, high x, high y on the sheet. [mm]"""


class Hold(StrEnum):
    """What keeps a part from moving when its outline is cut: tabs, a thin skin, or the bed."""

    TABS = "tabs"
    SKIN = "skin"
    BED = "bed"


class Zero(StrEnum):
    """Where Z is zero: the bed under the sheet, or the sheet's top."""

    BED = "bed"
    TOP = "top"


class Flutes(StrEnum):
    """Which way the flutes push the chips, and with them the splinters."""

    UP = "up"
    DOWN = "down"
    COMPRESSION = "compression"


@dataclass(frozen=True, slots=True)
class Machine:
    """A router or laser as its maker set it up.

    Parameters
    ----------
    name : str
        The maker's own name for it.
    unit : str
        ``mm`` or ``in``, the unit of its programs.
    travel : tuple of float
        How far it reaches along x, y and z. [mm]
    arcs, numbers, climb, plunges, production : bool
        Whether it takes arcs (else chords), wants line numbers, climbs, may go straight down into
        the wood, and is stiff enough for the high end of a chip load's range.
    zero : Zero
        Where Z is zero.
    clearance : float
        How far above the sheet it travels. [mm]
    rapid, feed_most, feed : float
        How fast it travels, cuts at most, and cuts where the maker says so (0: from the chip
        load). [mm/min]
    acceleration : float
        Of its axes. [mm/s²]
    corner : float
        How far it may round a corner off while it keeps moving. [mm]
    rpm, rpm_most : float
        Speed of the spindle, and the highest it turns. [1/min]
    spin_up : float
        How long the spindle takes to reach its speed. [s]
    flutes : int
        Cutting edges of the cutter. [-]
    form : Flutes
        Which way they push.
    reach : float
        Length of the cutting edges. [mm]
    chip : float
        Chip load where the maker knows it; 0 takes it from the charts. [mm]
    pass_depth : float
        Deepest pass the maker allows; 0 is one diameter (common practice, no source). [mm]
    ramp : float
        Steepest way down into the wood, along the path. [deg]
    allowance : float
        What the passes leave for a last one round the part. [mm]
    spring : int
        How often the full depth is run once more, without taking anything off. [-]
    hold : Hold
        What holds the parts.
    tab_width, tab_height : float
        Size of a tab. [mm]
    skin : float
        Thickness of the skin. [mm]
    spoil : float
        How deep the cutter may bite into the bed's spoil board. [mm]
    slug : float
        Largest area of waste that may come loose; 0 allows none. [mm²]
    dowel : float
        Diameter of the registration holes for work from two sides. [mm]
    clamps : tuple of Rectangle
        Where clamps stand. [mm]
    on, off, end : str
        The words that switch a laser on and off, and that end a program.
    power : float
        Of a laser, where the maker states it; 0 leaves it out. [-]
    """

    name: str = "plain"
    unit: str = "mm"
    travel: tuple[float, float, float] = (1300.0, 2500.0, 100.0)
    arcs: bool = True
    numbers: bool = False
    climb: bool = False
    plunges: bool = False
    production: bool = False
    zero: Zero = Zero.TOP
    clearance: float = 5.0
    rapid: float = 5000.0
    feed_most: float = 3000.0
    feed: float = 0.0
    acceleration: float = 500.0
    corner: float = 0.05
    rpm: float = 18000.0
    rpm_most: float = 24000.0
    spin_up: float = 3.0
    flutes: int = 2
    form: Flutes = Flutes.UP
    reach: float = 22.0
    chip: float = 0.0
    pass_depth: float = 0.0
    ramp: float = 10.0
    allowance: float = 0.0
    spring: int = 1
    hold: Hold = Hold.TABS
    tab_width: float = 5.0
    tab_height: float = 2.0
    skin: float = 0.3
    spoil: float = 0.3
    slug: float = 0.0
    dowel: float = 8.0
    clamps: tuple[Rectangle, ...] = ()
    on: str = "M3"
    off: str = "M5"
    end: str = "M2"
    power: float = 0.0

    @property
    def decimals(self) -> int:
        """Decimals of its coordinates: four in mm, five in inch. [-]

        Then the rounding of all words moves an arc's end by at most 2 √2 · 10⁻⁴ mm, well within the
        tightest tolerance that a published interpreter has, 0.002 mm.
        """
        return 4 if self.unit == "mm" else 5

    @property
    def scale(self) -> float:
        """Millimetres in its unit. [mm]"""
        return 1.0 if self.unit == "mm" else 25.4
