"""The rules behind *Does it hold?*, by code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.rule import PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

SAGS = (
    "Wood Handbook, FPL-GTR-282, Eq. 9-2 and Table 9-1; plates: Timoshenko and Woinowsky-Krieger "
    "(from memory); the load and the limit as the sentence says"
)

HOLD_RULES: Mapping[str, Rule] = {
    "fix-to-wall": Rule(
        Question.HOLD,
        (Severity.LOOK,),
        "a case so tall for its depth that it can tip on somebody",
        "fixed to the wall, and said so",
        "derived: the pull at its top that tips it; taller than 600 mm and one and a half times "
        "its depth, " + PRACTICE + "; ASTM F2057 begins at 27 in (from memory)",
    ),
    "panel-sags": Rule(
        Question.HOLD,
        (Severity.LOOK,),
        "a panel sags more under its load than is published for its use",
        "thicker stock, uprights to shorten its span, or the most it may carry",
        SAGS,
    ),
    "panel-creeps": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "a panel that is stiff enough at first may sag more in years than its limit at first",
        "thicker stock, uprights to shorten its span, or the most it may carry",
        SAGS
        + "; creep: NDS 3.5.2, EN 1995-1-1 table 3.2 and Wood Handbook ch. 5 (from memory), an "
        "MDF trade body",
    ),
    "butt-carries": Rule(
        Question.HOLD,
        (Severity.LOOK,),
        "a panel that bears a load hangs on butt joints, by glue alone",
        "housings, on a laser tenons",
        PRACTICE,
    ),
    "ring-racks": Rule(
        Question.HOLD,
        (Severity.LOOK, Severity.NOTE),
        "a case open right through, without a panel to keep it square, goes over when it is "
        "pushed, or asks more of its corners than they may bear",
        "a back, else thicker stock",
        "derived: docs/theory/hold.md; a push of 100 N and a lean of 1/100, " + PRACTICE,
    ),
    "load-assumed": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "nobody says what stands on shelves, bottoms and lids",
        "the use that was taken, written down",
        "Architectural Woodwork Standards ed. 1, 1.2.21; ANSI/KCMA A161.1, 5.1 and 7.1",
    ),
    "corner-bears": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "the glue of the weakest corner, and what it bears as a range: an order of magnitude, no "
        "certificate",
        "",
        "derived, not validated: docs/theory/hold.md; Demirci et al. 2020, BioResources "
        "15(2):3136-3146: more fingers gain a little",
    ),
    "back-braces": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "how much the back of an open case does to keep it square",
        "",
        "derived: docs/theory/hold.md; a push of 100 N, " + PRACTICE,
    ),
    "strength-unknown": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "no strength is printed for a material",
        "",
        "Wood Handbook, FPL-GTR-282, Tables 5-3b and 5-5b",
    ),
    "sag-unreckoned": Rule(
        Question.HOLD,
        (Severity.NOTE,),
        "a level panel sticks out from one edge, or from two that are neighbours",
        "",
        "no published figure says how stiffly a glued joint holds it",
    ),
}
"""Every code that bears on whether a piece holds."""
