"""Jobs laid and looked at by the independent checker."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.workflow import lay, read_text, sheets_record
from tests.helpers.sheet_checker import wrongs

if TYPE_CHECKING:
    from dryfit.workflow import Laid, Request


def laid(text: str, request: Request) -> Laid:
    """A job of one text on its sheets."""
    return lay([read_text(text)], request)


def wrong_with(found: Laid) -> list[str]:
    """What the checker has against a layout."""
    parts = {order.job: order.parts for order in found.orders}
    times = {order.job: order.times for order in found.orders}
    return wrongs(sheets_record(found), parts, times, found.supply)
