"""What is right in itself but hard to believe, mostly because a unit was mixed up.

The limits are common practice, no source: far outside what any shop measures, and well inside what
inches taken for millimetres make of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.shopbook.records import (
    CombRecord,
    JobRecord,
    StockRecord,
    WidthRecord,
)
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.shopbook.records import Record, SocketResult

MOST_GAP = 1.0
"""No fit is drawn with more air at a flank. [mm]"""

MOST_PRESS = 0.5
"""No fit is drawn with more overlap at a flank, and none is further off what was drawn. [mm]"""

MOST_OFF = 1.0
"""No width comes out further off. [mm]"""


def doubts(record: Record) -> tuple[str, ...]:
    """What about a record is hard to believe, each as a question."""
    if isinstance(record, CombRecord):
        return tuple(text for each in record.results for text in _of_result(each))
    if isinstance(record, WidthRecord):
        return tuple(_of_widths(record))
    if isinstance(record, StockRecord):
        return tuple(_of_stock(record))
    if isinstance(record, JobRecord):
        return tuple(_of_gap(record.flank_gap))
    return ()


def _both(mm: float) -> str:
    """A length in both units, finely."""
    return f"{show_length(mm, 'mm', 3)} ({show_length(mm, 'in', 2)})"


def _of_gap(gap: float) -> Iterator[str]:
    if not -MOST_PRESS <= gap <= MOST_GAP:
        most = MOST_GAP if gap > 0 else -MOST_PRESS
        yield (
            f"Was the flank gap really drawn as {_both(gap)}, beyond {_both(most)}, "
            "and not in another unit?"
        )


def _of_result(result: SocketResult) -> Iterator[str]:
    beyond = list(_of_gap(result.gap))
    yield from beyond
    if beyond:
        return
    if result.grade == "no" and result.gap > MOST_PRESS:
        yield (
            f"Did a socket with a flank gap of {_both(result.gap)} really not go together? "
            f"Its fit would be off by more than {_both(MOST_PRESS)}."
        )


def _of_widths(record: WidthRecord) -> Iterator[str]:
    for width in record.measured:
        if abs(width - record.drawn) > MOST_OFF:
            yield (
                f"Is a {record.part} drawn {_both(record.drawn)} wide really {_both(width)}, off "
                f"by more than {_both(MOST_OFF)}?"
            )


def _of_stock(record: StockRecord) -> Iterator[str]:
    for reading in record.readings:
        if not record.nominal / 2 <= reading <= record.nominal * 2:
            yield f"Does stock sold as {_both(record.nominal)} really measure {_both(reading)}?"
