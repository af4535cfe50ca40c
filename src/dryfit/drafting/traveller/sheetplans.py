"""Sheet plans: what lies where, in which order it is cut, what is left over and what to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.traveller.drawing import SCALES, scale_words
from dryfit.drafting.traveller.flow import Draft, middle, overlaps, place
from dryfit.pages.hand import HIDDEN
from dryfit.pages.page import Page, Path, Role, Stroke
from dryfit.pages.paper import NARROW, WIDE
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.look import Look
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.layout.data import LaidSheet, Placed
    from dryfit.layout.plan import StockPlan
    from dryfit.parts.part import Part

_SHARE = 0.5


def sheet_plans(packet: Packet, flow: Flow) -> None:
    """A sheet of paper for every sheet of stock, and a list of what to buy."""
    if packet.plan is None or not packet.plan.stocks:
        return
    parts = {part.name: part for part in packet.parts}
    for stock in packet.plan.stocks:
        for laid, left in zip(stock.layout.sheets, stock.leftovers, strict=True):
            flow.begin("sheet plan", f"{stock.stock}: {laid.name}")
            _plan(packet, flow, laid, left, parts)
    flow.begin("materials to buy", "What to buy")
    rows = [_to_buy(stock) for stock in packet.plan.stocks]
    flow.table(("stock", "sheets used", "to buy", "no layout buys fewer than", "cost"), rows)
    if packet.plan.bare:
        flow.say(f"No sheet is stated for {', '.join(packet.plan.bare)}.")
    for stock in packet.plan.stocks:
        over = len(stock.layout.unplaced) + len(stock.too_large)
        if over:
            flow.say(f"{stock.stock}: {over} parts have no place; see the reasons.")


def _to_buy(stock: StockPlan) -> tuple[str, ...]:
    layout = stock.layout
    priced = all(s.sheet.price is not None for s in layout.sheets if s.sheet.to_buy)
    cost = f"{layout.cost:.2f}" if priced and layout.bought else "-"
    return (
        stock.stock, str(len(layout.sheets)), str(layout.bought), str(stock.bound.bought), cost
    )  # fmt: skip


def _plan(
    packet: Packet, flow: Flow, laid: LaidSheet, left: tuple[float, float], parts: dict[str, Part]
) -> None:
    look, sheet = packet.look, laid.sheet
    whence = "to buy" if sheet.to_buy else "in hand"
    over = (
        f"The largest piece left over is {look.length(left[0])} by {look.length(left[1])}: "
        "mark it and keep it." if min(left) > 0 else "Nothing worth keeping is left over."
    )  # fmt: skip
    flow.say(
        f"{look.length(sheet.length)} by {look.length(sheet.width)}, {whence}. {over} Cut in "
        "the order of the numbers, from the left; the number in brackets is the drawing's."
    )
    order = sorted(laid.placed, key=lambda placed: (placed.x, placed.y))
    page, scale = _drawn(laid, order, parts, look, (flow.wide, (flow.top - flow.foot) * _SHARE))
    flow.sheet.scale = scale_words(scale)
    flow.need(page.height)
    flow.y -= page.height
    place(flow.sheet, page, flow.left + (flow.wide - page.width) / 2, flow.y)
    flow.skip(3.0)
    flow.table(
        ("order", "part", "drawing", "piece", "from the left", "from the foot", "lies"),
        [_row(number, placed, packet) for number, placed in enumerate(order, 1)],
    )


def _row(number: int, placed: Placed, packet: Packet) -> tuple[str, ...]:
    turned = f"turned {90 * placed.turned}°" if placed.turned else "as drawn"
    return (
        str(number), placed.part, f"({packet.number_of[placed.part]})", str(placed.key.piece),
        packet.look.bare(placed.x), packet.look.bare(placed.y),
        f"{turned}, face {placed.up.value} up",
    )  # fmt: skip


def _drawn(
    laid: LaidSheet, order: Sequence[Placed], parts: dict[str, Part], look: Look,
    room: tuple[float, float],
) -> tuple[Page, float]:  # fmt: skip
    """The sheet at one of the usual scales, with numbers that fit, and its scale."""
    sheet = laid.sheet
    scale = next(
        (s for s in SCALES if s * sheet.length <= room[0] and s * sheet.width <= room[1]),
        SCALES[-1],
    )
    draft = Draft("")
    draft.strokes.append(_stroke([(0, 0), (sheet.length, sheet.width)], scale, WIDE))
    for x0, y0, x1, y1 in sheet.defects:
        draft.strokes.append(_stroke([(x0, y0), (x1, y1)], scale, NARROW, HIDDEN))
    for number, placed in enumerate(order, 1):
        part = parts[placed.part]
        draft.strokes += _outlines(placed, part, scale)
        x0, y0, x1, y1 = (scale * value for value in placed.box)
        upright = y1 - y0 > x1 - x0
        height = min(look.small, 0.8 * min(x1 - x0, y1 - y0))
        words = f"{number}"
        text = middle((x0 + x1) / 2, (y0 + y1) / 2, height, words, np.pi / 2 if upright else 0.0)
        if height > 1.0 and not overlaps([*draft.texts, text]):
            draft.texts.append(text)
    page = Page(
        title=laid.name, width=scale * sheet.length, height=scale * sheet.width,
        strokes=tuple(draft.strokes), texts=tuple(draft.texts),
    )  # fmt: skip
    return page, scale


def _outlines(placed: Placed, part: Part, scale: float) -> Iterator[Stroke]:
    """What is cut right through, as it lies."""
    matrix, shift = placed.motion(part.profile.bounds)
    for cut in part.cuts:
        if cut.purpose is Purpose.TRENCH:
            continue
        for loop in cut.profile.transformed(np.array(matrix), shift).loops:
            vertices = tuple((scale * x, scale * y, b) for x, y, b in loop.vertices.tolist())
            yield Stroke(Role.DIMENSION, Path(vertices), weight=NARROW)


def _stroke(
    ends: list[tuple[float, float]], scale: float, weight: float, dashes: tuple[float, ...] = ()
) -> Stroke:
    (x0, y0), (x1, y1) = ((scale * x, scale * y) for x, y in ends)
    path = Path.polygon((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Stroke(Role.EDGE, path, dashes=dashes, weight=weight)
