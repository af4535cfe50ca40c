"""The cut list, the joints, and what there is to buy by area."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.drafting.traveller.partsheets import names
from dryfit.model.panel import Face, Grain

if TYPE_CHECKING:
    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.joints.joint import Joint

_ARROW = {Grain.U: "→ along the length", Grain.V: "↑ along the width", Grain.FREE: "free"}
_FACE = {Face.A: "a", Face.B: "b", None: "either"}


def cut_list(packet: Packet, flow: Flow) -> None:
    """A row for every distinct part, and the area of every stock."""
    look, unit = packet.look, packet.look.unit_words
    flow.begin("cut list and joints", "Cut list")
    flow.say(
        f"Sizes in {unit} of the cut part, as its drawing shows it: length from left to right, "
        "width from foot to head."
    )
    rows: list[tuple[str, ...]] = []
    for number, parts in enumerate(packet.drawings, 1):
        part = parts[0]
        x0, y0, x1, y1 = part.profile.bounds
        rows.append(
            (
                str(number),
                names(parts),
                str(len(parts) * packet.job.times),
                part.panel.stock.name,
                look.bare(x1 - x0),
                look.bare(y1 - y0),
                look.bare(part.thickness),
                _ARROW[part.panel.grain],
                _FACE[part.panel.good_face],
            )
        )
    heads = ("no.", "part", "cut", "stock", "length", "width", "thick", "grain", "good face")
    flow.table(heads, rows)
    areas: dict[str, float] = {}
    for part in packet.parts:
        name = part.panel.stock.name
        x0, y0, x1, y1 = part.profile.bounds
        areas[name] = areas.get(name, 0.0) + (x1 - x0) * (y1 - y0) * packet.job.times
    flow.table(
        ("stock", "parts cover"),
        [(name, _area(area, look.main_unit)) for name, area in areas.items()],
        "Stock to have",
    )
    flow.say("That is what the parts cover, without what falls between them.")


def _area(mm2: float, unit: str) -> str:
    """An area [mm²] in square feet beside inches and feet, else in square metres."""
    return f"{mm2 / 304.8**2:.2f} ft²" if unit in ("in", "ft") else f"{mm2 / 1e6:.3f} m²"


def joints(packet: Packet, flow: Flow) -> None:
    """A row for every joint: who leads, how many divisions, and the gaps."""
    if not packet.joints:
        return
    unit = packet.look.unit_words
    flow.heading("The joints", 45.0)
    flow.say(
        f"The lead has the first finger from the datum. Widths, gaps and proud in {unit}. A "
        "flank gap is the air at one flank; proud is what the fingers stand out, to be sanded "
        "flush."
    )
    heads = ("joint", "kind", "leads", "divisions", "width", "flank gap", "proud lead / mate")
    flow.table(heads, [_row(joint, packet) for joint in packet.joints])


def _row(joint: Joint, packet: Packet) -> tuple[str, ...]:
    look = packet.look
    proud = " / ".join(look.bare(joint.proud_of(name), 3) for name in (joint.lead, joint.follow))
    if not joint.is_divided:
        return (
            joint.id,
            joint.kind.value,
            joint.lead,
            "-",
            "-",
            look.bare(joint.flank_gap, 4),
            "-",
        )
    counts = "+".join(str(plan.count) for plan in joint.segments)
    return (
        joint.id, joint.kind.value, joint.lead, counts, look.bare(joint.plan.width, 3),
        look.bare(joint.flank_gap, 4), proud,
    )  # fmt: skip
