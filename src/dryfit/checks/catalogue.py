"""Every finding by its code: which question it belongs to, what it means, where its rule is from.

"common practice" marks a rule of the trade without a published source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.hold_rules import HOLD_RULES
from dryfit.checks.rule import PRACTICE, Rule
from dryfit.findings import Finding, Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.findings import Mend

GEOMETRY = "derived: plane geometry of the parts as cut"
BLOCKING = (
    "derived: directional blocking graphs of the parts as cut "
    "(Wilson and Latombe, Artificial Intelligence 71, 1994)"
)
MOVEMENT = "Wood Handbook, FPL-GTR-190, Eq. 13-2, 13-3 and Table 13-5: docs/theory/moisture.md"
FILLET = "derived: a square corner enters a fillet of radius r iff (r - a)² + (r - b)² <= r²"


CATALOGUE: Mapping[str, Rule] = {
    "parts-overlap": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "two parts as cut need the same space, deeper than their material crushes",
        "relief, wider sockets, or the least flank gap that closes",
        GEOMETRY,
    ),
    "corners-crush": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "parts as cut overlap by less than their material crushes going together",
        "",
        "pinch by material: " + PRACTICE,
    ),
    "wish-denied": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "a count or a lead that was asked for contradicts who owns the corner blocks",
        "the nearest count and lead that can be had",
        "derived: one panel at both ends makes a plan odd, one at each end even",
    ),
    "locked": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "some parts go together in no order, however they are moved straight in",
        "the first change of one joint that frees them, found by trying",
        BLOCKING,
    ),
    "two-handed": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "several parts have to be put together first and go in as one",
        "",
        BLOCKING,
    ),
    "glue-too-quick": Rule(
        Question.CLOSE,
        (Severity.LOOK, Severity.NOTE),
        "more faces close in one move than can be spread before the glue skins",
        "how long the glue must stay open",
        "open time and seconds a face: " + PRACTICE,
    ),
    "several-goes": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "spreading everything takes longer than the glue stays open, so it is glued in goes",
        "how long the glue would have to stay open for one go",
        "open time and seconds a face: " + PRACTICE,
    ),
    "owners-unproved": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "the search for corner owners was cut short; its choice is sound, not proved the best",
        "",
        GEOMETRY,
    ),
    "nothing-meets": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "the piece has no panels, or none of them meet",
        "",
        GEOMETRY,
    ),
    "halving-shut": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "the slots of two crossing panels do not run out at an edge",
        "",
        GEOMETRY,
    ),
    "three-cross": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "three panels pass through one place, two of them crossing, and none can have the wood",
        "",
        GEOMETRY,
    ),
    "not-planned": Rule(
        Question.CLOSE,
        (Severity.STOP,),
        "two panels share space in a way that no joint is planned for",
        "",
        GEOMETRY,
    ),
    "not-interlocking": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "a corner with one division has no socket to lock in",
        "three divisions",
        PRACTICE,
    ),
    "wedges-open": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "fingers cut square leave wedges open where panels meet at another angle",
        "fingers longer by the wedge, planed to the mate's face after gluing",
        "derived: docs/theory/angled.md",
    ),
    "gap-wide": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "more air at a finger than glue bridges well",
        "a flank gap of 0.05 mm",
        "mortise and tenon tests, second-hand: up to 0.005 in is fine, 0.010 in loses 21 %",
    ),
    "width-unreachable": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "no even division comes near the finger width that was asked for",
        "the nearest width that divides evenly",
        "derived: every division is L / n; a fifth off is called far, " + PRACTICE,
    ),
    "thickness-not-measured": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "stock without a caliper reading: its name is not its thickness",
        "five readings, taken by you",
        "EN 315: 12 mm plywood may measure 11.2 to 12.6 mm (from memory)",
    ),
    "thickness-one-reading": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "one reading gives a thickness but no scatter",
        "five readings, taken by you",
        "scatter from the standard's allowance within one sheet",
    ),
    "thickness-outside-standard": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "caliper readings lie outside what the sheet's standard allows for its nominal thickness",
        "the finish or the nominal thickness whose limits it keeps",
        "EN 315, PS 1, EN 622-1, EN 312 or ISO 7823: docs/materials.md",
    ),
    "odds-low": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "the odds that everything goes together at once are less than you want",
        "the flank gap found from the odds",
        "derived: docs/theory/odds.md",
    ),
    "odds-out-of-reach": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "no flank gap reaches the odds that you want",
        "the odds that can be had",
        "derived: docs/theory/odds.md",
    ),
    "gap-found": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "the flank gap was found from the odds that you want",
        "the gap written down",
        "derived: docs/theory/odds.md",
    ),
    "scatter-assumed": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "neither the job nor the shop book says how your shop scatters",
        "a fit comb",
        PRACTICE,
    ),
    "scatter-from-book": Rule(
        Question.CLOSE,
        (Severity.NOTE,),
        "the shop book knows this cutter in this material",
        "",
        "your shop book",
    ),
    "book-contradicts": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "what the shop book holds of this cutter in this material contradicts itself",
        "",
        "derived: docs/theory/learning.md",
    ),
    "fingers-uneven": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "some finger is likely to end deeper or farther out than is sanded off",
        "",
        "derived: docs/theory/odds.md; told of from 5 in 100 on, " + PRACTICE,
    ),
    "moisture-apart": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "two mates were cut at different moisture, and will differ along their joint",
        "both cut in one session",
        "Wood Handbook, FPL-GTR-190, Eq. 13-2 and Table 13-5",
    ),
    "cup-stays": Rule(
        Question.CLOSE,
        (Severity.LOOK,),
        "a panel is farther out of flat than a joiner's force presses it",
        "",
        "derived: a strip on two supports, F L³ / (48 E I); " + PRACTICE,
    ),
    "split-risk": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "a solid panel is glued across its grain to something that does not move with it",
        "sheet in its place, or the widest stretch that may be glued",
        MOVEMENT + "; 1 mm is the most that is held back, " + PRACTICE,
    ),
    "panel-bursts": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "a captive panel grows by more than the room in its grooves",
        "the depth and the room of its grooves, else sheet in its place",
        MOVEMENT + "; growth of less than 0.2 mm is not told of, " + PRACTICE,
    ),
    "panel-drops": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "a captive panel shrinks until a groove hardly holds it, or holds it no more",
        "the depth and the room of its grooves, else sheet in its place",
        MOVEMENT + "; 1 mm is the least hold, " + PRACTICE,
    ),
    "lid-jams": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "a lid or another part that runs grows by more than its air",
        "the room or the air that it needs",
        MOVEMENT,
    ),
    "drawer-jams": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "a drawer grows higher than its opening",
        "its season reckoned by the program",
        MOVEMENT,
    ),
    "not-settled": Rule(
        Question.LAST,
        (Severity.LOOK,),
        "wood is cut wetter or drier than the air of the shop, or of its seasons, will leave it",
        "days in the shop, and a reading taken by you",
        "a day for each millimetre, a week at least, " + PRACTICE,
    ),
    "season-reckoned": Rule(
        Question.LAST,
        (Severity.NOTE,),
        "a drawer is built lower by what its sides grow",
        "the figure written down",
        MOVEMENT,
    ),
    "moisture-assumed": Rule(
        Question.LAST,
        (Severity.NOTE,),
        "nobody has measured how moist the wood is when it is cut",
        "a reading, taken by you",
        "Wood Handbook, FPL-GTR-282, Eq. 4-5; days in the shop, " + PRACTICE,
    ),
    "wood-by-its-kin": Rule(
        Question.LAST,
        (Severity.NOTE,),
        "a wood is named by a word for several species, and reckoned as one of them",
        "the species named",
        "docs/materials.md",
    ),
    "wood-moves": Rule(
        Question.LAST,
        (Severity.NOTE,),
        "what a solid panel moves across its grain between the seasons",
        "",
        MOVEMENT,
    ),
    **HOLD_RULES,
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
"""Every code that a finding may carry."""


def finding(
    code: str,
    severity: Severity,
    place: str,
    sentence: str,
    *,
    numbers: Mapping[str, float] | None = None,
    mend: Mend | None = None,
) -> Finding:
    """A finding of a code in the catalogue, with the source of its rule."""
    rounded = {name: round(value, 6) + 0.0 for name, value in (numbers or {}).items()}
    return Finding(code, severity, place, sentence, CATALOGUE[code].source, rounded, mend)
