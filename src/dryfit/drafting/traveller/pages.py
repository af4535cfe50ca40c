"""The pages of a traveller, in the order in which they are needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.drafting.traveller.bench import cards, glue, job_file, steps
from dryfit.drafting.traveller.cover import cautions, cover, reasons
from dryfit.drafting.traveller.flow import Flow
from dryfit.drafting.traveller.labels import labels
from dryfit.drafting.traveller.lists import cut_list, joints
from dryfit.drafting.traveller.partsheets import part_sheets
from dryfit.drafting.traveller.sheetplans import sheet_plans
from dryfit.drafting.traveller.templates import templates
from dryfit.drafting.traveller.titleblock import Block, framed
from dryfit.pages.letters import EXTRA, missing, shown

if TYPE_CHECKING:
    from collections.abc import Callable

    from dryfit.drafting.traveller.packet import Packet
    from dryfit.pages.page import Page

BUILDERS: tuple[Callable[[Packet, Flow], None], ...] = (
    cover, cautions, cut_list, joints, sheet_plans, part_sheets, cards, labels, steps, glue,
    reasons, job_file, templates,
)  # fmt: skip
"""What makes the sheets, in their order; each leaves out what its job does not have."""


def traveller_pages(packet: Packet) -> tuple[Page, ...]:
    """Every sheet of a packet, framed and numbered."""
    flow = Flow(packet.look)
    for build in BUILDERS:
        build(packet, flow)
    day = packet.on.isoformat() if packet.on else ""
    block = Block(shown(packet.job.title), packet.number, packet.creator, day)
    return framed(flow.drafts, block, packet.look.paper)


def letters_missing(packet: Packet) -> str:
    """A sentence where a name has signs that no installed font has; else nothing."""
    names = [packet.job.title, *(part.name for part in packet.parts)]
    names += [part.panel.stock.name for part in packet.parts]
    if not missing(names):
        return ""
    return f"Some letters have no font here and are printed as squares; {EXTRA} brings them."
