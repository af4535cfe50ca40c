"""The rules behind the findings of *Does it close?*"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.rule import GEOMETRY, PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

BLOCKING = (
    "derived: directional blocking graphs of the parts as cut "
    "(Wilson and Latombe, Artificial Intelligence 71, 1994)"
)

CLOSE_RULES: Mapping[str, Rule] = {
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
}
"""By code."""
