"""Keys of a job file that speak of loads, and the tables that are compared."""

from __future__ import annotations

from dryfit.jobfile.key import Key, Kind, Table
from dryfit.materials.loads import USES

MOST_WEIGHT = 5000
"""The heaviest load that is read. [kg]"""

USE = Key(
    "use", Kind.WORD, "what stands on its shelves, bottoms and lids", '"books"',
    default="a published load for shelves, or for cabinets and drawers", words=tuple(USES),
)  # fmt: skip

FIXED = Key(
    "fixed", Kind.FLAG, "whether it will be fixed to a wall", "true", default="false"
)  # fmt: skip

LOAD = Table(
    "load",
    "What is on one panel, under the panel's name. On an upright panel it is a push from the side.",
    (
        Key("use", Kind.WORD, "what stands on it", '"paper"', default="as under [piece]",
            words=tuple(USES)),
        Key("weight", Kind.WEIGHT, "all that is on it, in place of what its use brings",
            "25", default="from its use", high=MOST_WEIGHT),
        Key("at", Kind.WORD, "where that lies", '"middle"', default="spread all over",
            words=("spread", "middle")),
        Key("brief", Kind.FLAG, "whether it is taken off again the same day", "true",
            default="false: it stays for years"),
        Key("limit", Kind.LENGTH, "how far the panel may sag", "3",
            default="as published for its use", low=0.01, high=1000),
    ),
    named="panel",
)  # fmt: skip

COMPARE = Table(
    "compare",
    "An alternative under a name of your own: a job file in small, whose lines take the place of "
    "the job's own when `dryfit compare` sets them side by side.",
    (),
    named="alternative",
)
