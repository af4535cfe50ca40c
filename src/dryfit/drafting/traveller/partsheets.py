"""A sheet for every distinct part: its drawing, its finger plans and what is cut inside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.drafting.traveller.drawing import draw_part, scale_words, tags_of
from dryfit.drafting.traveller.stations import Side, plan_stations, stations
from dryfit.model.panel import Face, Grain
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.drafting.traveller.drawing import Tag
    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.look import Look
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.joints.joint import Joint
    from dryfit.parts.part import Part

_SHARE = 0.62
"""How much of a sheet a drawing may take. [-]"""

_MOST_NAMES = 6


def part_sheets(packet: Packet, flow: Flow) -> None:
    """One or more sheets for every drawing."""
    joints = {joint.id: joint for joint in packet.joints}
    for number, parts in enumerate(packet.drawings, 1):
        part, look = parts[0], packet.look
        flow.begin("part drawing", f"Part {number}: {names(parts)}")
        flow.say(*_about(parts, packet))
        flow.skip(1.0)
        drawing = draw_part(part, look, (flow.wide, (flow.top - flow.foot) * _SHARE))
        flow.sheet.scale = scale_words(drawing.scale)
        flow.picture(drawing.page, flow.wide, flow.free)
        if not drawing.whole:
            flow.say("Where there is no room for all values, the table has the rest.")
        _running(part, flow)
        _plans(part, joints, look, flow)
        _inner(part, look, flow)


def names(parts: Sequence[Part]) -> str:
    """The names of parts that are alike."""
    said = ", ".join(part.name for part in parts[:_MOST_NAMES])
    more = len(parts) - _MOST_NAMES
    return f"{said} and {more} more" if more > 0 else said


def _about(parts: Sequence[Part], packet: Packet) -> Iterator[str]:
    part, look = parts[0], packet.look
    x0, y0, x1, y1 = part.profile.bounds
    each = len(parts) * packet.job.times
    said = "once" if each == 1 else f"{each} times"
    yield (
        f"Cut {said} from {part.panel.stock.name}. Overall {look.length(x1 - x0)} by "
        f"{look.length(y1 - y0)}, {look.length(part.thickness)} thick. Lengths in "
        f"{look.unit_words}, from the corner with the circle, face b towards you."
    )
    good = part.panel.good_face
    face = (
        "Both faces are alike." if good is None
        else f"The good face is {good.value}, {'towards' if good is Face.B else 'away from'} you."
    )  # fmt: skip
    grain = part.panel.grain
    runs = (
        "" if grain is Grain.FREE
        else f" The grain runs from {'left to right' if grain is Grain.U else 'foot to head'}."
    )  # fmt: skip
    yield face + runs


def _running(part: Part, flow: Flow) -> None:
    """Every station of every side; opposite sides that agree share a row."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for side in Side:
        values = tuple(flow.look.bare(at) for at in stations(part, side))
        along = "u" if side.along_u else "v"
        rows.setdefault((along, *values), []).append(side.value)
    flow.table(
        ("side", f"from the datum [{flow.look.unit_words}]"),
        [(" and ".join(sides), "  ".join(key[1:])) for key, sides in rows.items()],
        "Running dimensions",
    )


def _plans(part: Part, joints: dict[str, Joint], look: Look, flow: Flow) -> None:
    """The finger plan of every joint of the part."""
    rows = []
    for joint_id, zone in part.zones:
        joint = joints.get(joint_id)
        if joint is None or not joint.is_divided:
            continue
        where, places = plan_stations(part, zone)
        rows.append(
            (
                where,
                joint.other(part.name),
                "leads" if joint.lead == part.name else "follows",
                str(sum(plan.count for plan in joint.segments)),
                look.bare(joint.plan.width, 3),
                look.bare(joint.flank_gap, 3),
                "  ".join(look.bare(at) for at in places),
            )
        )
    if rows:
        heads = ("side", "meets", "this part", "divisions", "width", "flank gap", "flanks at")
        flow.table(heads, rows, "Finger plans")


def _inner(part: Part, look: Look, flow: Flow) -> None:
    """What is cut inside the outline, by the numbers of the drawing."""
    tags = tags_of(part)
    if not tags:
        return
    flow.table(
        ("no.", "what", "left to right", "foot to head", "depth"),
        [_inner_row(tag, part, look) for tag in tags],
        "Inside the outline",
    )


def _inner_row(tag: Tag, part: Part, look: Look) -> tuple[str, ...]:
    x0, y0, _, _ = part.profile.bounds
    a0, b0, a1, b1 = tag.cut.profile.bounds
    cut = tag.cut
    through = cut.purpose is not Purpose.TRENCH
    return (
        str(tag.number),
        cut.purpose.value if through else f"{cut.purpose.value}, face {cut.face.value}",
        f"{look.bare(a0 - x0)} to {look.bare(a1 - x0)}",
        f"{look.bare(b0 - y0)} to {look.bare(b1 - y0)}",
        "through" if through else look.bare(cut.depth_to),
    )
