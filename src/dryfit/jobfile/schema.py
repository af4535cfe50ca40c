"""Every key of a job file, described once: for the reader, its advice and the documentation."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.jobfile.key import Key, Kind, Table
from dryfit.jobfile.schema_load import COMPARE, FIXED, LOAD, USE
from dryfit.jobfile.schema_wood import FINISH, MATERIAL, MATERIALS_FILE, MOISTURE, SAWN, SEASON
from dryfit.jobfile.supply_schema import COSTS, LAYOUT, LOCK, SHEET, STOCK_KEYS
from dryfit.model.cutter import Relief, Route
from dryfit.model.forms import ALL, BACKS, LIDS
from dryfit.model.kind import Kind as Joint
from dryfit.model.opening import Where
from dryfit.model.planes import AXES, FACES
from dryfit.model.reach import GOOD_FACES
from dryfit.units import LONGEST, UNITS

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMAT = 1
"""The format of job file that this version reads and writes."""

THINNEST = 0.01
"""The smallest size, thickness or finger that is read. [mm]"""

MOST_FINGERS = 1000
"""The greatest number of divisions of one corner. [-]"""

MOST_READINGS = 1000
"""The greatest number of caliper readings of one stock or panel. [-]"""

MOST_OWNED = 12
"""The greatest number of chippers, and of shims, in one blade set. [-]"""

MOST_PARTS = 200
"""The greatest number of equal divisions between two planes. [-]"""

EDGES = tuple(
    kind.value
    for kind in (
        Joint.TENON, Joint.HOUSING, Joint.GROOVE, Joint.REBATE, Joint.BUTT, Joint.RUNNING,
    )
)  # fmt: skip
"""The joints that an edge can make in another panel."""

ENDS = ("through", "stopped")
"""Whether a trench runs out through the ends of its panel."""

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
_GAP_OR_AUTO = replace(
    _GAP, words=("auto",),
    meaning='air at one flank; negative for a press fit; "auto": the least that the odds allow',
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

_DEPTH = Key(
    "depth", Kind.LENGTH, "depth of a housing, groove or rebate", "3",
    default="a third of the thickness it is cut in", low=THINNEST, high=1000,
)  # fmt: skip
_ROOM = Key(
    "room", Kind.LENGTH, "depth that a groove leaves beyond the edge it holds", "0.5",
    default="0.5 mm in a groove, else 0", high=100,
)  # fmt: skip
_STOP = Key(
    "stop", Kind.ENDS, "how far from its ends a housing stops", "[12, 0]",
    default="0: it runs along the whole edge",
)  # fmt: skip
_CLEARANCE = Key(
    "clearance", Kind.LENGTH, "air of a running fit", "0.5", default="0.5 mm", high=100,
)  # fmt: skip
_ENDS = Key(
    "ends", Kind.WORD, "whether its trenches run out through the ends of their panels",
    '"stopped"', default="stopped; on a saw through", words=ENDS,
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
        MATERIALS_FILE,
    ),
)  # fmt: skip

PIECE = Table(
    "piece",
    "The piece. With a form, give its outside or its inside sizes; the other follows from the "
    "stock. Without one, planes and panels say it.",
    (
        Key(
            "form", Kind.WORD, "ready-made form", '"tray"', default="none: planes and panels",
            words=tuple(ALL),
        ),
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
        Key(
            "tee", Kind.WORD, "joint of an edge in a face where nothing else is said",
            '"tenon"', default="housing; on a laser tenon", words=("tenon", "housing", "butt"),
        ),
        Key("open", Kind.FLAG, "a case without its front", "true", default="false"),
        Key("back", Kind.WORD, "how the back of a case is held", '"rebate"', default="finger",
            words=BACKS),
        Key("shelves", Kind.COUNT, "shelves in a case, at equal openings", "2", default="0",
            high=MOST_PARTS - 1),
        Key("uprights", Kind.COUNT, "uprights in a case, at equal openings", "1", default="0",
            high=MOST_PARTS - 1),
        Key("along", Kind.COUNT, "dividers of a crate that run along x", "1", default="0",
            high=MOST_PARTS - 1),
        Key("across", Kind.COUNT, "dividers of a crate that run along y", "3", default="0",
            high=MOST_PARTS - 1),
        Key("divider", Kind.LENGTH, "height of a crate's dividers", "60",
            default="up to the rim", low=THINNEST),
        Key("lid", Kind.WORD, "lid of a chest: lifted off or sliding", '"sliding"',
            default="lip", words=LIDS),
        Key("inset", Kind.LENGTH,
            "how far a captive base lies above the lower edge, or a grooved back before the rear",
            "6", default="6 mm; a back 9 mm"),
        Key("above", Kind.LENGTH, "how much of the walls stands over a sliding lid", "6",
            default="6 mm"),
        Key("clearance", Kind.LENGTH, "air between lip or cleats and the walls", "0.5",
            default="0.5 mm", high=100),
        Key("cleat", Kind.LENGTH, "width of the cleats", "30", default="30 mm", low=THINNEST),
        Key("opening", Kind.SIZES, "the opening that a drawer runs in", "[300, 400, 120]",
            default="outside or inside", low=THINNEST),
        Key("side_clearance", Kind.LENGTH, "air at each side of a drawer", "1",
            default="1 mm", high=100),
        Key("top_clearance", Kind.LENGTH, "air over a drawer", "2", default="2 mm", high=100),
        Key("back_clearance", Kind.LENGTH, "air behind a drawer", "5", default="0", high=1000),
        Key("coat", Kind.LENGTH, "thickness of the finish on each face of a drawer", "0.1",
            default="0", high=10),
        Key("season", Kind.LENGTH, "how much higher a drawer's sides grow in the wet season",
            "1.5", default="reckoned for solid wood, else 0", high=100),
        Key("sides", Kind.COUNT, "walls of a many-sided tray", "8", default="6", low=3, high=12),
        Key("flats", Kind.LENGTH, "outside size of a many-sided tray, square across its walls",
            "240", default="flats_inside and the stock", low=THINNEST),
        Key("flats_inside", Kind.LENGTH, "the same inside", "220", default="flats less the stock",
            low=THINNEST),
        Key("height", Kind.LENGTH, "outside height of a many-sided tray", "60",
            default="must be given for one", low=THINNEST),
        Key("base", Kind.FLAG, "whether a tray with angled walls has a base", "true",
            default="true"),
        Key("splay", Kind.DEGREES, "how far the walls of a splayed tray lean out from upright",
            "15", default="10", low=0, high=45),
        USE,
        FIXED,
        Key("rail", Kind.LENGTH, "width of a stand's legs and rails", "60", default="60 mm",
            low=THINNEST),
    ),
)  # fmt: skip

PLANE = Table(
    "plane",
    "A plane under a name of your own: at a distance along x, y or z, or the equal divisions "
    "between two other planes. Boards on it leave equal clear openings.",
    (
        *(
            Key(axis, Kind.LENGTH, f"where it lies along {axis}", "330",
                default=f"not along {axis}", low=-LONGEST)
            for axis in AXES
        ),
        Key("between", Kind.NAMES, "two planes to divide the space between", '["bottom", "top"]',
            default="none"),
        Key("parts", Kind.COUNT, "how many equal openings; planes NAME 1, NAME 2 and so on", "3",
            default="2: one plane in the middle", low=2, high=MOST_PARTS),
    ),
    named="plane",
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
        MOISTURE,
        SAWN,
        FINISH,
        *STOCK_KEYS,
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
            "outer", Kind.LENGTH, "width that each outer blade of your blade set cuts; saw only",
            '"1/8 in"', default="no set: the blade as it is", low=THINNEST, high=50,
        ),
        Key(
            "chippers", Kind.OWNED, "the chippers you have; saw only",
            '["1/8 in", "1/8 in", "3/32 in", "1/16 in"]', default="none", low=THINNEST, high=50,
        ),
        Key(
            "shims", Kind.OWNED, "the shims you have; saw only", "[0.1, 0.2, 0.3]",
            default="none", low=THINNEST, high=5,
        ),
        Key(
            "relief", Kind.WORD, "relief of inside corners; router only", '"flank"',
            default="diagonal on a router", words=tuple(Relief),
        ),
    ),
    required=True,
)  # fmt: skip

FINGERS = Table("fingers", "What you wish of every corner.", (_WIDTH, _COUNT, _GAP_OR_AUTO, _PROUD))

ODDS = Table(
    "odds",
    "What you want of the odds that everything goes together.",
    (
        Key("wanted", Kind.NUMBER, "odds wanted for the piece, in 100", "95", default="95",
            low=50, high=99.9),
        Key("flush", Kind.LENGTH,
            "how far rims and seats may stand off in a piece that is called closed", "0.3",
            default="0.3 mm", high=5),
        Key("sanding", Kind.LENGTH, "how much may be sanded off to bring a finger and a face level",
            "0.5", default="0.5 mm", high=5),
    ),
)  # fmt: skip

SCATTER = Table(
    "scatter",
    "How far what your shop cuts lies from what was drawn, where you have measured it. Spreads "
    "are standard deviations.",
    (
        Key("edge", Kind.LENGTH, "spread of the place of one cut edge; on a saw, of one step",
            "0.02", default="as usual for the kind of cutter", high=1),
        Key("datum", Kind.LENGTH, "spread of everything cut in one end of a part, as a whole",
            "0.04", default="as usual for the kind of cutter", high=1),
        Key("misfit", Kind.LENGTH,
            "how much less air than drawn every flank has; less than 0 where it has more", "0.01",
            default="0", low=-2, high=2),
        Key("doubt", Kind.LENGTH, "spread of what you know of the misfit", "0.01",
            default="as usual for the kind of cutter", high=2),
        Key("scale", Kind.LENGTH,
            "spread of the difference in length, a metre long, of parts cut on different axes",
            "0.2", default="0", high=20),
    ),
)  # fmt: skip


GLUE = Table(
    "glue",
    "The glue, as far as it sets a clock.",
    (
        Key("open", Kind.NUMBER, "minutes from the first face spread to the clamps", "15",
            default="10, as white glue in a warm room", low=1, high=1440),
        Key("spread", Kind.NUMBER, "seconds it takes to spread one face", "5", default="5",
            high=600),
    ),
)  # fmt: skip

JOINT = Table(
    "joint",
    "What you wish of one joint; the two panels may stand in either order.",
    (
        Key("kind", Kind.WORD, "the joint", '"housing"', default="as the panel's edges",
            words=(Joint.FINGER.value, *EDGES)),
        replace(_WIDTH, default=_AS_OVERALL),
        replace(_COUNT, default=_AS_OVERALL),
        Key(
            "leads", Kind.TEXT, "the panel that owns the first finger, or passes the other",
            '"front"', default="the program's choice",
        ),
        replace(_GAP, default=_AS_OVERALL),
        replace(_PROUD, default=_AS_OVERALL),
        _DEPTH,
        _ROOM,
        _STOP,
        _CLEARANCE,
        _ENDS,
    ),
    named="two panels, as in front+left",
)  # fmt: skip

PANEL = Table(
    "panel",
    "One panel, where it differs from the others; in a piece of planes, every panel.",
    (
        Key("on", Kind.TEXT, "the plane it lies on", '"shelf"', default="as the form has it"),
        Key("between", Kind.NAMES, "planes it spans between, two of an axis",
            '["left", "right"]', default="the outermost planes"),
        Key("face", Kind.WORD, "what of it lies on its plane", '"low"',
            default="on an outermost plane its outer face, else its middle", words=FACES),
        Key("edges", Kind.WORD, "the joint that its edges make where they end at other panels",
            '"housing"', default="fingers at corners, else as tee under [piece]", words=EDGES),
        _DEPTH,
        _ROOM,
        _STOP,
        _CLEARANCE,
        _ENDS,
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
        replace(MOISTURE, default="its stock's"),
    ),
    named="panel",
)  # fmt: skip

_PANEL = Key("panel", Kind.TEXT, "the panel it belongs to", '"front"')
_AT = Key("at", Kind.PAIR, "its middle, from the lower left as you look at the outside",
          "[165, 35]", default="the middle of the panel")  # fmt: skip

OPENING = Table(
    "opening",
    "A hole through a panel: a finger hole, a handle, a window.",
    (
        _PANEL,
        _AT,
        Key("size", Kind.PAIR, "its sizes", "[90, 25]", default="a round hole of the diameter",
            low=THINNEST),
        Key("diameter", Kind.LENGTH, "diameter of a round hole", "25", default="not round",
            low=THINNEST),
        Key("radius", Kind.LENGTH, "radius of its corners; half its smaller size makes a slot",
            "12.5", default="the cutter's own"),
    ),
    named="opening",
)  # fmt: skip

KEEP_OUT = Table(
    "keep_out",
    "A place on a panel where nothing is cut: under a hinge, a magnet, a screw.",
    (_PANEL, _AT, Key("size", Kind.PAIR, "its sizes", "[40, 20]", low=THINNEST)),
    named="keep_out",
)

CORNER = Table(
    "corner",
    "A corner of a panel that is rounded or cut down.",
    (
        _PANEL,
        Key("at", Kind.WORD, "which corner, as you look at the outside", '"top left"',
            words=tuple(Where)),
        Key("round", Kind.LENGTH, "radius of the round", "20", default="cut down", low=THINNEST),
        Key("cut", Kind.PAIR, "how far it is cut down", "[30, 20]", default="rounded",
            low=THINNEST),
    ),
    named="corner",
)  # fmt: skip

TABLES: Mapping[str, Table] = MappingProxyType(
    {
        table.name: table
        for table in (
            ROOT, PIECE, STOCK, CUTTER, FINGERS, JOINT, ODDS, SCATTER, GLUE, SEASON, PANEL,
            PLANE, OPENING, KEEP_OUT, CORNER, MATERIAL, LOAD, COMPARE, SHEET, LAYOUT, LOCK,
            COSTS,
        )
    }
)  # fmt: skip
"""Every table by its name; the top of the file has none."""


KEY_NAMES = tuple({key.name: None for table in TABLES.values() for key in table.keys})
"""The names of all keys, each once."""


def home_of(key: str) -> Table | None:
    """The first table that knows a key of that name, or None."""
    return next((table for table in TABLES.values() if table.key(key)), None)
