"""The rules of the machine: what reading a program back, or looking at a machine, may find."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.checks.rule import GEOMETRY, PRACTICE, Rule
from dryfit.findings import Question, Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

PROVED = "derived: docs/theory/read-back.md"
RUN = "what the machine file states; " + PRACTICE
ARC = "NIST RS274NGC interpreter: two radii of an arc within 0.002 mm"

MACHINING: Mapping[str, Rule] = MappingProxyType(
    {
        "cut-inside": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter comes into what has to stand of a part by more than 0.01 mm",
            "",
            PROVED,
        ),
        "wood-left": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter leaves wood on a part by more than 0.01 mm, declared tabs excepted",
            "",
            PROVED,
        ),
        "rapid-low": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a rapid runs across or down below the clearance plane",
            "",
            RUN,
        ),
        "beyond-travel": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a program needs more than the machine reaches",
            "",
            RUN,
        ),
        "too-deep": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter goes deeper than the spoil board may be cut",
            "a deeper spoil board, or Z zero set anew",
            RUN,
        ),
        "into-clamp": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter comes into a clamp",
            "",
            RUN,
        ),
        "feed-zero": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a cut with a feed of 0",
            "",
            RUN,
        ),
        "feed-high": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a feed or a speed beyond what the machine does",
            "a slower program",
            RUN,
        ),
        "cutter-still": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a cut while the spindle or the beam is off",
            "",
            RUN,
        ),
        "no-end": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a program without end",
            "",
            RUN,
        ),
        "arc-off": Rule(
            Question.CUT,
            (Severity.STOP,),
            "an arc's end lies beside its circle by more than 0.002 mm",
            "",
            ARC,
        ),
        "plunges": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter goes straight down into wood",
            "a cutter that may",
            PRACTICE,
        ),
        "slug-loose": Rule(
            Question.CUT,
            (Severity.STOP,),
            "waste comes loose that is larger than the maker allows",
            "waste held, or allowed",
            PRACTICE,
        ),
        "tab-cut": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a tab is cut through",
            "",
            PROVED,
        ),
        "cut-loose": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter comes back to a part that is loose already",
            "",
            PROVED,
        ),
        "part-missing": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a part of the job does not come out of a program",
            "",
            PROVED,
        ),
        "cutter-short": Rule(
            Question.CUT,
            (Severity.STOP,),
            "the cutter's edges are shorter than the sheet is thick",
            "a longer cutter",
            GEOMETRY,
        ),
        "sheet-beyond": Rule(
            Question.CUT,
            (Severity.STOP,),
            "a sheet larger than the machine reaches",
            "a smaller sheet",
            GEOMETRY,
        ),
        "small-held": Rule(
            Question.CUT,
            (Severity.NOTE,),
            "small parts get tabs or a skin whatever the maker says",
            "tabs for all",
            PRACTICE,
        ),
        "good-face-tears": Rule(
            Question.CUT,
            (Severity.LOOK,),
            "the flutes push splinters out of the good face",
            "a compression cutter",
            PRACTICE,
        ),
    }
)
"""Codes of findings that need a machine, not a job alone."""
