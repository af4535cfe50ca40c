"""Findings: what the rehearsal noticed, as data.

A *finding* has a code, a severity, the place in the job, the numbers, one sentence, the mend and
the source of the rule. An *answer* gathers the findings of one of the five questions; a *report*
gathers the answers. Words are made here once and read by terminal, page, paper and JSON alike.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

JobValue: TypeAlias = "str | float | int | bool | list[JobValue] | dict[str, JobValue]"
"""A value as it stands in a job file."""


class Severity(StrEnum):
    """How much a finding matters: cut nothing, look before you cut, or know this."""

    STOP = "stop"
    LOOK = "look"
    NOTE = "note"


class Question(StrEnum):
    """The five questions a maker asks before cutting."""

    CLOSE = "close"
    HOLD = "hold"
    LAST = "last"
    CUT = "cut"
    STOCK = "stock"

    @property
    def words(self) -> str:
        """The question as it is asked."""
        return _WORDS[self]


_WORDS = MappingProxyType(
    {
        Question.CLOSE: "Does it close?",
        Question.HOLD: "Does it hold?",
        Question.LAST: "Does it last?",
        Question.CUT: "Can we cut it?",
        Question.STOCK: "Is there enough stock?",
    }
)


@dataclass(frozen=True, slots=True)
class Edit:
    """One change to the job file: set the value at `path`, or take it out when it is None."""

    path: tuple[str, ...]
    value: JobValue | None


@dataclass(frozen=True, slots=True)
class Mend:
    """What to change so that a finding goes away.

    `edits` can be applied to the job file as they stand. Where only the maker's caliper knows the
    value, `edits` is empty, `measure` names the job keys to fill and `value` how many readings.
    """

    sentence: str
    edits: tuple[Edit, ...] = ()
    measure: tuple[str, ...] = ()
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the rehearsal noticed.

    `place` names panels, joints or stock as the maker wrote them; `numbers` holds the figures of
    the sentence under names that carry their unit (``gap_mm``).
    """

    code: str
    severity: Severity
    place: str
    sentence: str
    source: str
    numbers: Mapping[str, float] = field(default_factory=dict)
    mend: Mend | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one question: a verdict in words and the findings behind it."""

    question: Question
    verdict: str
    findings: tuple[Finding, ...]

    @property
    def worst(self) -> Severity | None:
        """The gravest severity among the findings, or None when there are none."""
        order = (Severity.STOP, Severity.LOOK, Severity.NOTE)
        found = {finding.severity for finding in self.findings}
        return next((severity for severity in order if severity in found), None)


@dataclass(frozen=True, slots=True)
class Report:
    """Every answer that exists so far, in the order of the questions."""

    answers: tuple[Answer, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, in the order of the questions."""
        return tuple(finding for answer in self.answers for finding in answer.findings)

    @property
    def stops(self) -> bool:
        """Whether anything forbids cutting."""
        return any(finding.severity is Severity.STOP for finding in self.findings)


def by_gravity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings with stops first, then looks, then notes; the given order within each."""
    order = list(Severity)
    return tuple(sorted(findings, key=lambda finding: order.index(finding.severity)))
