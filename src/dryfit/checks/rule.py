"""What stands behind the code of a finding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.findings import Question, Severity

PRACTICE = "common practice, no source"
"""The source of a rule of the trade that is not published."""

GEOMETRY = "derived: plane geometry of the parts as cut"
"""The source of what follows from the shapes alone."""


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
