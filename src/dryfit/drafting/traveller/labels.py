"""Labels, to be stuck on before parts leave the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.drafting.traveller.code import code_fill
from dryfit.model.panel import Face
from dryfit.pages.hand import HIDDEN
from dryfit.pages.letters import shortened, shown, wrapped
from dryfit.pages.page import Path, Role, Stroke, Text, Voice
from dryfit.pages.paper import NARROW

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.parts.part import Part

HIGH = 32.0
_CODE = 26.0
_LEAST_WIDE = 84.0
_INSIDE = 2.5
_NAME, _SMALL = 3.0, 2.2
_MATES = 2  # lines


def part_id(packet: Packet, part: Part, copy: int = 1) -> str:
    """What the code of a part holds: the job's number, the drawing, the part and the piece.

    The part is counted in the order of the job file, so that the id is plain whatever its name.
    """
    index = 1 + [each.name for each in packet.parts].index(part.name)
    return f"{packet.number}-{packet.number_of[part.name]}-{index}-{copy}"


def labels(packet: Packet, flow: Flow) -> None:
    """A label for every part of every piece."""
    mates: dict[str, list[str]] = {part.name: [] for part in packet.parts}
    for joint in packet.joints:
        mates[joint.lead].append(joint.follow)
        mates[joint.follow].append(joint.lead)
    flow.begin("labels", "Labels")
    flow.say("Stick each on its part before it leaves the sheet, on the face that is up.")
    columns = max(int(flow.wide / _LEAST_WIDE), 1)
    wide = flow.wide / columns
    column = 0
    for copy in range(1, packet.job.times + 1):
        for part in packet.parts:
            if not column:
                flow.need(HIGH)
            x, y = flow.left + column * wide, flow.y - HIGH
            _label(packet, flow, part, copy, mates[part.name], (x, y, wide))
            column = (column + 1) % columns
            if not column:
                flow.skip(HIGH)
    if column:
        flow.skip(HIGH)


def _label(
    packet: Packet, flow: Flow, part: Part, copy: int, mates: list[str],
    at: tuple[float, float, float],
) -> None:  # fmt: skip
    x, y, wide = at
    border = Path.polygon((x, y), (x + wide, y), (x + wide, y + HIGH), (x, y + HIGH))
    flow.sheet.strokes.append(Stroke(Role.DIMENSION, border, dashes=HIDDEN, weight=NARROW / 2))
    code = part_id(packet, part, copy)
    flow.sheet.fills.append(code_fill(code, x + 1.0, y + (HIGH - _CODE) / 2, _CODE))
    left = x + _CODE + _INSIDE
    room = wide - _CODE - 2 * _INSIDE
    name = shortened(shown(part.name), room, _NAME, Voice.STRONG)
    top = y + HIGH - _INSIDE - _NAME
    flow.sheet.texts.append(Text(Role.LABEL, left, top, _NAME, name, voice=Voice.STRONG))
    for row, line in enumerate(_lines(packet, part, copy, mates, room), 1):
        below = top - 1.0 - row * 1.8 * _SMALL
        flow.sheet.texts.append(Text(Role.LABEL, left, below, _SMALL, line))


def _lines(packet: Packet, part: Part, copy: int, mates: list[str], room: float) -> Iterator[str]:
    """Its id, its mates, its datum and its face."""
    of = f", piece {copy} of {packet.job.times}" if packet.job.times > 1 else ""
    yield shortened(f"{part_id(packet, part, copy)}{of}", room, _SMALL)
    if mates:
        said = wrapped(shown(f"meets {', '.join(dict.fromkeys(mates))}"), room, _SMALL)
        yield from said[: _MATES - 1]
        if len(said) >= _MATES:
            yield shortened(" ".join(said[_MATES - 1 :]), room, _SMALL)
    yield shortened("datum: lower left, face b up", room, _SMALL)
    good = part.panel.good_face
    out = "both faces alike" if good is None else f"good face {good.value}: {_way(good)}"
    yield shortened(out, room, _SMALL)


def _way(face: Face) -> str:
    return "out" if face is Face.B else "in"
