"""The rules behind the findings of *Can we cut it?*"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.rule import GEOMETRY, PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

FILLET = "derived: a square corner enters a fillet of radius r iff (r - a)² + (r - b)² <= r²"

CUT_RULES: Mapping[str, Rule] = {
    "no-relief": Rule(
        Question.CUT,
        (Severity.STOP,),
        "a round cutter leaves inside corners that a square mate cannot enter",
        "diagonal relief",
        FILLET,
    ),
    "socket-narrow": Rule(
        Question.CUT,
        (Severity.STOP,),
        "a socket is narrower than what cuts it",
        "fewer fingers, or the largest cutter that enters",
        GEOMETRY,
    ),
    "slot-narrow": Rule(
        Question.CUT,
        (Severity.STOP,),
        "a mortise, trench or slot is narrower than what cuts it",
        "the largest cutter that enters",
        GEOMETRY,
    ),
    "route-cannot": Rule(
        Question.CUT,
        (Severity.STOP,),
        "a joint that this route cannot make",
        "the nearest joint that it can make",
        "fact of the trade: a laser cuts through, a saw on a jig cuts from an edge; " + PRACTICE,
    ),
    "groove-shows": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "a trench that runs out at the end of its panel shows at the corner",
        "the trench stopped; on a saw its end is plugged",
        GEOMETRY,
    ),
    "trench-deep": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "a trench leaves less than a third of the thickness under it",
        "half the thickness",
        PRACTICE,
    ),
    "trench-breaks-out": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "the round end of a stopped trench comes within 1 mm of the end of its panel",
        "a trench less deep, or a smaller cutter",
        GEOMETRY,
    ),
    "place-taken": Rule(
        Question.CUT,
        (Severity.STOP, Severity.LOOK),
        "an opening or a shaped corner runs into a joint, past the edge or into another, or "
        "something is cut in a place that is kept",
        "the nearest place that is free, or the corner left square",
        GEOMETRY,
    ),
    "neck-thin": Rule(
        Question.CUT,
        (Severity.STOP, Severity.LOOK),
        "reliefs from both sides leave a finger too thin at its root",
        "a relief that bites less, wider fingers, or a smaller cutter",
        PRACTICE,
    ),
    "corner-neck-thin": Rule(
        Question.CUT,
        (Severity.STOP, Severity.LOOK),
        "a corner block is cut off, or hangs on a neck that breaks when the part is handled",
        "a count whose end finger holds the block",
        PRACTICE,
    ),
    "finger-thin": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "a finger narrower than half its thickness or than 3 mm",
        "a count in proportion",
        PRACTICE,
    ),
    "finger-wide": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "a finger wider than twice its thickness, with little glue",
        "a count in proportion",
        PRACTICE,
    ),
    "grain-across": Rule(
        Question.CUT,
        (Severity.STOP,),
        "fingers of solid wood across the grain snap at the root",
        "the grain turned, a sheet in its place, or the odd panels left out",
        "fact of the trade: wood splits along its grain; " + PRACTICE,
    ),
    "see-through": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "reliefs leave holes that can be seen through at the inside corner",
        "relief in the flank, which the mate closes",
        GEOMETRY,
    ),
    "saw-passes": Rule(
        Question.CUT,
        (Severity.NOTE,),
        "sockets wider than the blade set take more than one pass each",
        "the blade set built up to the socket",
        GEOMETRY,
    ),
    "set-misses": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "the blades, chippers and shims you have make up no set as wide as the socket, within what "
        "the flank gap forgives",
        "one more shim, as thick as what is missing",
        "derived: the nearest of all make-ups; 0.05 mm is forgiven at least, " + PRACTICE,
    ),
    "fingers-not-whole": Rule(
        Question.CUT,
        (Severity.LOOK,),
        "a corner all but divides into fingers of one pass each, and a nearby size would",
        "the nearest height that does, or one more shim",
        "derived: with pitch 2 w - allowance, n divisions take n (w - flank gap)",
    ),
    "stands-tall": Rule(
        Question.CUT,
        (Severity.STOP, Severity.LOOK),
        "a board stands on end over the saw, taller than a jig carries",
        "work by hand",
        PRACTICE,
    ),
    "small-to-hold": Rule(
        Question.CUT,
        (Severity.STOP, Severity.LOOK),
        "a board is too small to be held beside a blade",
        "work by hand",
        PRACTICE,
    ),
}
"""By code."""
