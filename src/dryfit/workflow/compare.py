"""Alternatives of a job side by side, and what changes in the answers.

The heavy stages are imported inside, as in the rest of the workflow.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from dryfit.errors import DryfitError, JobFileError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from dryfit.findings import Finding, Question
    from dryfit.workflow.rehearsal import Rehearsal, Shop

AS_IT_IS = "as it is"
"""What the job itself is called among its alternatives."""


@dataclass(frozen=True)
class Side:
    """One of the jobs that are compared.

    Parameters
    ----------
    name : str
        What it is called.
    rehearsal : Rehearsal
        The job, rehearsed.
    """

    name: str
    rehearsal: Rehearsal

    @property
    def odds(self) -> float:
        """That everything goes together. [-]"""
        return self.rehearsal.odds.whole

    @property
    def sag(self) -> tuple[str, float, float] | None:
        """The panel that goes farthest towards its limit, its sag and the limit [mm], if any."""
        found = self.rehearsal.subject.holding.fullest
        return None if found is None else (found.name, found.first, found.limit)

    @property
    def corner(self) -> tuple[float, float] | None:
        """Bending that the weakest corner bears [N m], two figures at most; None if not known."""
        from dryfit.checks.corners import two_figures

        found = self.rehearsal.subject.holding.weakest
        if found is None:
            return None
        low, high = found.moment
        return two_figures(low / 1e3), two_figures(high / 1e3)

    @property
    def weight(self) -> float | None:
        """Of the empty piece [kg]; None where a density is not known."""
        return self.rehearsal.subject.holding.stance.weight or None

    @cached_property
    def cost(self) -> tuple[int, float | None] | None:
        """Sheets to buy, and what all comes to by the first layout; None without sheets or price.

        The job says its prices in its own money.
        """
        from dryfit.workflow.sheets import Request, lay, shopping

        if self.rehearsal.job.supply is None:
            return None
        laid = lay((self.rehearsal,), Request(quick=True))
        priced = all(price is not None for _, _, price in shopping(laid))
        return laid.cost.bought, laid.cost.total if priced and laid.cost.whole else None

    def count(self, question: Question) -> dict[str, int]:
        """How many findings of each severity bear on a question."""
        counts: dict[str, int] = {}
        for answer in self.rehearsal.report.answers:
            for finding in answer.findings if answer.question is question else ():
                counts[finding.severity.value] = counts.get(finding.severity.value, 0) + 1
        return counts


@dataclass(frozen=True, slots=True)
class Change:
    """What an alternative changes in one answer: findings that come, and findings that go."""

    question: Question
    comes: tuple[Finding, ...]
    goes: tuple[Finding, ...]


def compare(path: Path, typed: Sequence[str] = (), shop: Shop | None = None) -> tuple[Side, ...]:
    """A job and its alternatives, rehearsed; the job as it is comes first.

    Parameters
    ----------
    path : Path
        The job file; it is not changed.
    typed : sequence of str
        Further alternatives, as lines of a job file.
    shop : Shop, optional
        Whose book says how it scatters.

    Raises
    ------
    JobFileError
        If the file, or what an alternative makes of it, cannot be used.
    DryfitError
        If there is nothing to compare.
    """
    from dryfit.jobfile.alternatives import retold, typed_alternative, written_alternatives
    from dryfit.jobfile.sources import read_source
    from dryfit.jobfile.write import apply_edits
    from dryfit.workflow.rehearsal import read_text

    source, text = str(path), read_source(path)
    sides = [Side(AS_IT_IS, read_text(text, source, shop))]
    written = written_alternatives(text, source)
    beside = {words: typed_alternative(words, text) for words in typed}
    if not written and not beside:
        raise DryfitError(
            f"{path} has 0 alternatives; write one under [compare.NAME], or give one with "
            "--with 'stock.NAME.nominal = 12'."
        )
    for name, edits in (written | beside).items():
        try:
            sides.append(Side(name, read_text(apply_edits(text, edits), source, shop)))
        except JobFileError as error:
            raise retold(error, name, text, source) from None
    return tuple(sides)


def changes(one: Side, other: Side) -> tuple[Change, ...]:
    """What comes and goes in the answers from one job to another; answers alike are left out."""
    found = []
    before = {answer.question: answer.findings for answer in one.rehearsal.report.answers}
    for answer in other.rehearsal.report.answers:
        had = {_key(f): f for f in before.get(answer.question, ())}
        has = {_key(f): f for f in answer.findings}
        comes = tuple(f for key, f in has.items() if key not in had)
        goes = tuple(f for key, f in had.items() if key not in has)
        if comes or goes:
            found.append(Change(answer.question, comes, goes))
    return tuple(found)


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.code, finding.place, finding.severity.value


def compare_data(sides: Sequence[Side]) -> dict[str, Any]:
    """The comparison as plain data."""
    first = sides[0]
    return {
        "title": first.rehearsal.job.title,
        "alternatives": [_side(side) | {"changes": _changes(first, side)} for side in sides],
    }


def _side(side: Side) -> dict[str, Any]:
    report, sag = side.rehearsal.report, side.sag
    weight = side.weight
    return {
        "name": side.name,
        "stops": report.stops,
        "odds": round(side.odds, 6) + 0.0,
        "sag": None
        if sag is None
        else {"panel": sag[0], "sag_mm": round(sag[1], 4), "limit_mm": round(sag[2], 4)},
        "corner_bending_nm": None if side.corner is None else list(side.corner),
        "weight_kg": None if weight is None else round(weight, 3),
        "sheets_bought": None if side.cost is None else side.cost[0],
        "cost": None if side.cost is None or side.cost[1] is None else round(side.cost[1], 2),
        "answers": {
            answer.question.value: {"verdict": answer.verdict, **side.count(answer.question)}
            for answer in report.answers
        },
    }


def _changes(first: Side, side: Side) -> dict[str, Any]:
    return {
        change.question.value: {
            "comes": [_told(finding) for finding in change.comes],
            "goes": [_told(finding) for finding in change.goes],
        }
        for change in changes(first, side)
    }


def _told(finding: Finding) -> dict[str, str]:
    return {
        "code": finding.code, "severity": finding.severity.value, "place": finding.place,
        "sentence": finding.sentence,
    }  # fmt: skip
