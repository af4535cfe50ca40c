"""Every finding by its code: which question it belongs to, what it means, where its rule is from.

"common practice" marks a rule of the trade without a published source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.findings import Finding, Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.findings import Mend

PRACTICE = "common practice, no source"
GEOMETRY = "derived: plane geometry of the parts as cut"
FILLET = "derived: a square corner enters a fillet of radius r iff (r - a)² + (r - b)² <= r²"


@dataclass(frozen=True, slots=True)
class Rule:
    """The rule behind one code.

    Parameters
    ----------
    question : Question
        The question it bears on.
    severities : tuple of Severity
        What it can be, gravest first.
    meaning : str
        What was noticed, in general.
    mend : str
        What is proposed, in general; empty where nothing need be done or nothing can.
    source : str
        Where the rule is from.
    """

    question: Question
    severities: tuple[Severity, ...]
    meaning: str
    mend: str
    source: str


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
    "no-sheet": Rule(
        Question.STOCK,
        (Severity.STOP,),
        "sheets are stated, but none of a stock that parts are cut from",
        "the size of a sheet as it is bought",
        GEOMETRY,
    ),
    "part-too-large": Rule(
        Question.STOCK,
        (Severity.STOP,),
        "a part, or parts cut in sequence, that no sheet of its stock can hold",
        "the part's grain turned free, the sequence given up, or a larger sheet; each was tried",
        GEOMETRY,
    ),
    "stock-short": Rule(
        Question.STOCK,
        (Severity.STOP,),
        "parts that found no room on the sheets in hand, and none of their stock can be bought",
        "the size of a sheet as it is bought",
        GEOMETRY,
    ),
    "lock-clashes": Rule(
        Question.STOCK,
        (Severity.STOP,),
        "a part locked in a place where it leaves its sheet, or meets another part or a defect",
        "the lock taken out",
        GEOMETRY,
    ),
    "sheet-saved": Rule(
        Question.STOCK,
        (Severity.NOTE,),
        "a small change that saves a sheet",
        "the change, found by really trying",
        GEOMETRY,
    ),
    "price-missing": Rule(
        Question.STOCK,
        (Severity.NOTE,),
        "sheets have to be bought whose price is not stated",
        "the price",
        PRACTICE,
    ),
    "second-engine": Rule(
        Question.STOCK,
        (Severity.NOTE,),
        "the better engine does not exist for this Python, and another stood in",
        "",
        "measured: docs/validation.md",
    ),
    "engine-ended": Rule(
        Question.STOCK,
        (Severity.NOTE,),
        "the better engine ended early; the best layout so far was kept",
        "",
        PRACTICE,
    ),
    "layout-stale": Rule(
        Question.STOCK,
        (Severity.LOOK,),
        "the layout that was accepted belongs to an earlier state of the job and was not used",
        "",
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
