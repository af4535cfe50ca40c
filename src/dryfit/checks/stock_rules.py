"""The rules behind the findings of *Is there enough stock?*"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.rule import GEOMETRY, PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping


STOCK_RULES: Mapping[str, Rule] = {
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
"""By code."""
