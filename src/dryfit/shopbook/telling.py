"""Entries and contradictions in a few words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.shopbook.records import (
    CombRecord,
    CutterRecord,
    JobRecord,
    MachineRecord,
    StockRecord,
    WidthRecord,
)
from dryfit.tolerance.surprise import CLASH, Kind
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shopbook.book import Entry
    from dryfit.shopbook.records import Record, SocketResult
    from dryfit.tolerance.surprise import Result, Surprise


def told(entry: Entry) -> str:
    """What an entry says."""
    if entry.record is None:
        return f"withdraws entry {entry.supersedes}"
    before = "" if entry.supersedes is None else f" (in the place of entry {entry.supersedes})"
    note = f"; {entry.record.note}" if entry.record.note else ""
    return f"{_told(entry.record)}{note}{before}"


def _told(said: Record) -> str:
    match said:
        case MachineRecord():
            return f"{said.name}, a {said.route}"
        case CutterRecord():
            return said.cutter
        case StockRecord():
            count = len(said.readings)
            mean = f", {_fine(sum(said.readings) / count)} by {count} readings" if count else ""
            return f"{said.name}, {said.material} sold as {_fine(said.nominal)}{mean}"
        case CombRecord():
            results = ", ".join(map(_result, said.results))
            tongue = "" if said.same_tongue else ", each on its own tongue"
            return f"{said.cutter} in {said.material}: {results}{tongue}"
        case WidthRecord():
            widths = ", ".join(_fine(width) for width in said.measured)
            drawn = f"{said.part}s drawn {_fine(said.drawn)}"
            return f"{said.cutter} in {said.material}: {drawn}, measured {widths}"
        case JobRecord():
            gap = _fine(said.flank_gap)
            return f"{said.title}: {said.cutter} in {said.material}, flank gap {gap}: {said.went}"


def _result(result: SocketResult) -> str:
    number = "" if result.socket is None else f"socket {result.socket} "
    return f"{number}{_fine(result.gap)} {result.grade}"


def _fine(mm: float) -> str:
    return show_length(mm, "mm", 3)


def contradiction(surprise: Surprise, entries: Sequence[Entry]) -> str:
    """The two results that contradict each other most, as a sentence; empty where results agree.

    Parameters
    ----------
    surprise : Surprise
        What was found among the sources.
    entries : sequence of Entry
        The entries that the sources come from, in their order.
    """
    if not surprise.flagged:
        return ""
    clash = surprise.clash
    if clash is None or surprise.p >= CLASH:
        return (
            "The results as a whole are less alike than one misfit and one scatter make them: new "
            f"ones would be as odd {_times(surprise.overall)}. Measure some again."
        )
    odds = _times(clash.p)
    if clash.kind is Kind.TRIALS:
        both = f"{_one(clash.tighter, entries)} and {_one(clash.looser, entries)}"
        return (
            f"{both} contradict each other: the scatter explains the two {odds}. Try both again, "
            "and correct or withdraw what does not hold."
        )
    why = {
        Kind.AGE: "The older results and the newer do not agree; the cutter may have worn.",
        Kind.WAYS: "The calipered widths and the combs do not agree.",
    }.get(clash.kind, "Two sets of results do not agree.")
    return (
        f"{why} By entry {entries[clash.tighter.source].id} fits come out tighter than by entry "
        f"{entries[clash.looser.source].id}; one misfit explains that {odds}. Measure again, and "
        "withdraw what does not hold."
    )


def _one(result: Result, entries: Sequence[Entry]) -> str:
    entry = entries[result.source]
    said = entry.record
    assert isinstance(said, CombRecord)
    assert result.trial is not None
    return f"{_result(said.results[result.trial])} (entry {entry.id})"


def _times(p: float) -> str:
    """A chance in words."""
    return "less than once in 1000 times" if p < 0.001 else f"{p * 100:.1f} times in 100"
