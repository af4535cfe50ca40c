"""The rules behind the findings of *Does it last?*"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.rule import PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

MOVEMENT = "Wood Handbook, FPL-GTR-190, Eq. 13-2, 13-3 and Table 13-5: docs/theory/moisture.md"

LAST_RULES: Mapping[str, Rule] = {
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
}
"""By code."""
