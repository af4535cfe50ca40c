"""Labels and sheet plans: what their codes hold, and that every part is there."""

from __future__ import annotations

from pathlib import Path

import segno

from dryfit import workflow
from dryfit.drafting.traveller.code import QUIET, code_fill
from dryfit.drafting.traveller.labels import part_id
from dryfit.workflow.traveller import make_traveller, packet_of
from tests.helpers.reading import Read

STAND = Path(__file__).parents[3] / "examples" / "press-stand.toml"
SHEETS = """
title = "Trays"
times = 2
[piece]
form = "tray"
outside = [200, 150, 60]
[stock.ply]
material = "birch plywood"
nominal = 9
readings = [8.8, 8.9]
sheet = [1220, 610]
[sheet.end]
stock = "ply"
size = [500, 400]
[cutter]
kind = "laser"
kerf = 0.2
"""


def _matrix(content: str, step: float) -> list[list[bool]]:
    """What the fill of a code blackens, square by square."""
    plain = segno.make(content, error="m", micro=False)
    count = len(plain.matrix) + 2 * QUIET
    fill = code_fill(content, 10.0, 20.0, count * step)
    boxes = []
    for path in fill.paths:
        xs, ys = zip(*((x, y) for x, y, _ in path.vertices), strict=True)
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    found = []
    for row in range(count):
        y = 20.0 + (count - row - 0.5) * step
        middles = [10.0 + (column + 0.5) * step for column in range(count)]
        found.append([any(a < x < c and b < y < d for a, b, c, d in boxes) for x in middles])
    return found


def test_the_code_is_drawn_square_by_square_with_a_bare_edge() -> None:
    for content in ("5efff0b3-1-2-3", "x"):
        wanted = [[bool(dark) for dark in row] for row in segno.make(content, error="m").matrix]
        if segno.make(content, error="m").is_micro:
            wanted = [
                [bool(dark) for dark in row]
                for row in segno.make(content, error="m", micro=False).matrix
            ]
        drawn = _matrix(content, 0.5)
        inner = [row[QUIET:-QUIET] for row in drawn[QUIET:-QUIET]]
        assert inner == wanted
        assert sum(map(sum, drawn)) == sum(map(sum, inner))


def test_every_part_has_a_label_with_its_id_in_letters() -> None:
    rehearsal = workflow.read(STAND)
    packet = packet_of(rehearsal)
    ids = [part_id(packet, part) for part in packet.parts]
    assert len(set(ids)) == len(ids)
    said = "\n".join(sheet.text for sheet in Read(make_traveller(rehearsal).data).of("labels"))
    assert all(each in said for each in ids)


def test_sheet_plans_tell_where_every_part_lies_and_what_to_buy() -> None:
    rehearsal = workflow.read_text("format = 1\n" + SHEETS)
    assert rehearsal.sheets is not None
    read = Read(make_traveller(rehearsal).data)
    header = ("order", "part", "drawing", "piece", "from the left", "from the foot", "lies")
    rows = [row for sheet in read.of("sheet plan") for row in sheet.rows(*header)]
    placed = [p for stock in rehearsal.sheets.plan.stocks for p in stock.layout.placed]
    wanted = {(p.part, str(p.key.piece), f"{p.x:.2f}", f"{p.y:.2f}") for p in placed}
    assert {(row[1], row[3], row[4], row[5]) for row in rows} == wanted
    assert len(wanted) == 2 * len(rehearsal.parts)
    (buy,) = read.of("materials to buy")
    assert buy.rows("stock", "sheets used", "to buy", "no layout buys fewer than", "cost")
