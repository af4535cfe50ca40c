"""Every key of a job file, described once: for the reader, its advice and the documentation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.cutter import Relief, Route
from dryfit.model.forms import FORMS
from dryfit.model.forms.box import AXES, GOOD_FACES
from dryfit.units import LONGEST, UNITS

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMAT = 1
"""The format of job file that this version reads and writes."""


class Kind(StrEnum):
    """What may stand behind a key."""

    TEXT = "text"
    WORD = "one of the words"
    LENGTH = "length"
    SIZES = "three lengths, along x, y and z"
    READINGS = "list of lengths"
    COUNT = "whole number"
    FLAG = "true or false"


@dataclass(frozen=True, slots=True)
class Key:
    """One key.

    Parameters
    ----------
    name : str
        As it is typed.
    kind : Kind
        What may stand behind it.
    meaning : str
        What it says, in a few words.
    example : str
        A value as TOML writes it.
    default : str
        What holds when it is left out, in words; empty where it must be given.
    words : tuple of str
        The words it takes, for kind ``WORD``; for other kinds words it takes beside its values.
    low, high : float
        The least and the greatest value. [mm] for lengths, [-] for whole numbers
    """

    name: str
    kind: Kind
    meaning: str
    example: str
    default: str = ""
    words: tuple[str, ...] = ()
    low: float = 0.0
    high: float = LONGEST


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file; `named` says what its sub-tables are named after, if it has any."""

    name: str
    meaning: str
    keys: tuple[Key, ...]
    named: str = ""
    required: bool = False

    def key(self, name: str) -> Key | None:
        """The key of that name, or None."""
        return next((key for key in self.keys if key.name == name), None)

    @property
    def header(self) -> str:
        """The table's heading as it is typed; empty at the top of the file."""
        if not self.name:
            return ""
        return f"[{self.name}.NAME]" if self.named else f"[{self.name}]"


THINNEST = 0.01
"""The smallest size, thickness or finger that is read. [mm]"""

MOST_FINGERS = 1000
"""The greatest number of divisions of one corner. [-]"""

MOST_READINGS = 1000
"""The greatest number of caliper readings of one stock or panel. [-]"""

_WIDTH = Key(
    "width", Kind.LENGTH, "wanted width of a finger; not beside count", "10",
    default="one to one and a half thicknesses", low=THINNEST,
)  # fmt: skip
_COUNT = Key(
    "count", Kind.COUNT, "fingers and sockets of a corner together; not beside width", "7",
    default="from the width", low=1, high=MOST_FINGERS,
)  # fmt: skip
_GAP = Key(
    "flank_gap", Kind.LENGTH, "air at one flank; negative for a press fit", "0.05",
    default="0.05 mm, by hand 0", low=-1, high=5,
)  # fmt: skip
_PROUD = Key(
    "proud", Kind.LENGTH, "extra length of every finger, to be sanded flush", '"auto"',
    default='"auto": from the scatter of the mate\'s thickness', words=("auto",), high=20,
)  # fmt: skip
_CUP = Key(
    "cup", Kind.LENGTH, "departure from flat across, where measured", "0.3",
    default="0", high=100,
)  # fmt: skip
_WIND = Key(
    "wind", Kind.LENGTH, "departure from flat along, where measured", "0.2",
    default="0", high=100,
)  # fmt: skip

_AS_OVERALL = "as under [fingers]"

ROOT = Table(
    "",
    "The job: its name, its units and how many.",
    (
        Key("format", Kind.COUNT, "format of the file", "1", low=FORMAT, high=FORMAT),
        Key("title", Kind.TEXT, "name of the job", '"Type tray"', default="the file's name"),
        Key(
            "unit", Kind.WORD, "unit of bare numbers, and the one to print in", '"mm"',
            default="mm", words=UNITS,
        ),
        Key(
            "sixty_fourths", Kind.FLAG, "print the nearest 1/64 in beside decimal inches", "true",
            default="false",
        ),
        Key("times", Kind.COUNT, "how many to make", "4", default="1", low=1, high=10_000),
    ),
)  # fmt: skip

PIECE = Table(
    "piece",
    "The piece. Give its outside or its inside sizes; the other follows from the stock.",
    (
        Key("form", Kind.WORD, "ready-made form", '"tray"', words=tuple(FORMS)),
        Key(
            "outside", Kind.SIZES, "outside sizes", "[330, 220, 70]",
            default="inside and the stock", low=THINNEST,
        ),
        Key(
            "inside", Kind.SIZES, "inside sizes", '["12 1/2 in", "8 in", "2 3/4 in"]',
            default="outside less the stock", low=THINNEST,
        ),
        Key(
            "stock", Kind.TEXT, "stock of every panel that names none", '"walls"',
            default="the only stock",
        ),
    ),
    required=True,
)  # fmt: skip

STOCK = Table(
    "stock",
    "One kind of sheet or board, under a name of your own.",
    (
        Key("material", Kind.TEXT, "what it is made of", '"birch plywood"'),
        Key("nominal", Kind.LENGTH, "thickness it is sold as", '"9 mm"', low=THINNEST, high=1000),
        Key(
            "readings", Kind.READINGS, "caliper readings, where the joints fall", "[8.76, 8.81]",
            default="none: the nominal thickness is used", low=THINNEST, high=2000,
        ),
        Key(
            "spread", Kind.LENGTH, "standard deviation of the thickness", "0.05",
            default="from the readings, else from the material", high=10,
        ),
        _CUP,
        _WIND,
    ),
    named="stock",
    required=True,
)  # fmt: skip

CUTTER = Table(
    "cutter",
    "What cuts. Each kind has its own size; by hand there is none.",
    (
        Key("kind", Kind.WORD, "route", '"router"', words=tuple(Route)),
        Key(
            "diameter", Kind.LENGTH, "diameter of the cutter; router only", "3.175",
            default="must be given for a router", low=THINNEST, high=100,
        ),
        Key(
            "kerf", Kind.LENGTH, "width the beam burns away; laser only", "0.2",
            default="must be given for a laser", low=0.001, high=5,
        ),
        Key(
            "blade", Kind.LENGTH, "width of the blade or blade set; saw only", '"1/8 in"',
            default="must be given for a saw", low=THINNEST, high=100,
        ),
        Key(
            "relief", Kind.WORD, "relief of inside corners; router only", '"flank"',
            default="diagonal on a router", words=tuple(Relief),
        ),
    ),
    required=True,
)  # fmt: skip

FINGERS = Table("fingers", "What you wish of every corner.", (_WIDTH, _COUNT, _GAP, _PROUD))

JOINT = Table(
    "joint",
    "What you wish of one corner; the two panels may stand in either order.",
    (
        replace(_WIDTH, default=_AS_OVERALL),
        replace(_COUNT, default=_AS_OVERALL),
        Key(
            "leads", Kind.TEXT, "the panel that owns the first finger", '"front"',
            default="the program's choice",
        ),
        replace(_GAP, default=_AS_OVERALL),
        replace(_PROUD, default=_AS_OVERALL),
    ),
    named="two panels, as in front+left",
)  # fmt: skip

PANEL = Table(
    "panel",
    "One panel, where it differs from the others.",
    (
        Key("stock", Kind.TEXT, "its stock", '"bottom"', default="the piece's stock"),
        Key(
            "good_face", Kind.WORD, "the face that shows", '"inside"',
            default="outside", words=tuple(GOOD_FACES),
        ),
        Key(
            "grain", Kind.WORD, "axis of the piece along which its grain runs", '"x"',
            default="solid wood: its horizontal length, a base along x; sheets: free",
            words=(*AXES, "free"),
        ),
        Key(
            "readings", Kind.READINGS, "caliper readings of this panel", "[8.79, 8.80]",
            default="its stock's", low=THINNEST, high=2000,
        ),
        Key(
            "spread", Kind.LENGTH, "standard deviation of its thickness", "0.05",
            default="from its own readings, else its stock's", high=10,
        ),
        Key(
            "cup", Kind.LENGTH, "departure from flat across, where measured", "0.3",
            default="its stock's", high=100,
        ),
        Key(
            "wind", Kind.LENGTH, "departure from flat along, where measured", "0.2",
            default="its stock's", high=100,
        ),
    ),
    named="panel",
)  # fmt: skip

TABLES: Mapping[str, Table] = MappingProxyType(
    {table.name: table for table in (ROOT, PIECE, STOCK, CUTTER, FINGERS, JOINT, PANEL)}
)
"""Every table by its name; the top of the file has none."""


KEY_NAMES = tuple({key.name: None for table in TABLES.values() for key in table.keys})
"""The names of all keys, each once."""


def home_of(key: str) -> Table | None:
    """The first table that knows a key of that name, or None."""
    return next((table for table in TABLES.values() if table.key(key)), None)
