"""Keys of a job file that speak of wood: its moisture, its seasons, and materials of one's own."""

from __future__ import annotations

from dryfit.jobfile.key import Key, Kind, Table
from dryfit.materials.movement import Sawn
from dryfit.materials.thickness import FINISHES

_SATURATED = "above 30 % wood is at fibre saturation and moves no more"

MOISTURE = Key(
    "moisture", Kind.NUMBER, "moisture content when it is cut, in percent", "8.5",
    default="as under [season.cut]", low=2, high=30, beyond=_SATURATED,
)  # fmt: skip

SAWN = Key(
    "sawn", Kind.WORD, "how a board was sawn", '"quarter"',
    default="flat, which moves most", words=tuple(Sawn),
)  # fmt: skip

FINISH = Key(
    "finish", Kind.WORD, "how a sheet comes from the mill", '"unsanded"',
    default="sanded; acrylic cast", words=FINISHES,
)  # fmt: skip

MATERIALS_FILE = Key(
    "materials", Kind.TEXT, "file of your own materials, beside the job file",
    '"materials.toml"', default="none but those of the job",
)  # fmt: skip

SEASON = Table(
    "season",
    "The air in one of three states: when the piece is cut, and the driest and the wettest that "
    "it will stand in. Say the air's humidity, the moisture of wood lying in it, or a meter's "
    "reading.",
    (
        Key("humidity", Kind.NUMBER, "relative humidity of the air, in percent", "45",
            default="driest 30, wettest 60", low=5, high=95,
            beyond="nothing is published for damper air"),
        Key("temperature", Kind.NUMBER, "temperature, in degrees Celsius", "20", default="20",
            low=-20, high=60),
        Key("moisture", Kind.NUMBER, "moisture content of wood, in percent", "8.5",
            default="from the humidity", low=2, high=30,
            beyond=_SATURATED),
        Key("meter", Kind.NUMBER, "what a moisture meter reads, in percent", "9",
            default="from the humidity", low=2, high=30,
            beyond=_SATURATED),
        Key("correction", Kind.NUMBER, "what the meter's own table adds for the wood", "-0.5",
            default="0", low=-10, high=10),
    ),
    named="state",
)  # fmt: skip

MATERIAL = Table(
    "material",
    "A wood or sheet of your own, under the name that `material` will say. What it leaves out is "
    "as in the material that it is like.",
    (
        Key("like", Kind.TEXT, "the known material that it is most like", '"white oak"'),
        Key("tangential", Kind.NUMBER,
            "change across the grain, flat-sawn, in percent for each percent of moisture; of a "
            "sheet, in its plane", "0.32", default="as the material it is like", low=0, high=1),
        Key("radial", Kind.NUMBER, "the same, quarter-sawn", "0.18",
            default="as the material it is like", low=0, high=1),
        Key("shrinks", Kind.NUMBERS,
            "shrinkage from green to ovendry, in percent: tangential, radial; not beside them",
            "[8.9, 5.3]", default="as the material it is like", low=0.5, high=20),
        Key("pinch", Kind.LENGTH, "crush that a joint may take at one flank", "0.03",
            default="as the material it is like", high=1),
        Key("within", Kind.LENGTH, "how much the thickness varies within one sheet", "0.4",
            default="as the material it is like", low=0.01, high=10),
        Key("source", Kind.TEXT, "where you have the figures from", '"my own rule, two winters"',
            default="yourself"),
    ),
    named="material",
)  # fmt: skip
