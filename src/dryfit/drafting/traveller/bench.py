"""What is done at the bench: the steps of assembly, the glue-up, and cards that others draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.drafting.instructions import glue_sentences, instructions, seen_from
from dryfit.drafting.steps import brief_pages, step_pages
from dryfit.drafting.traveller.flow import LEADING, place
from dryfit.pages.letters import wrapped
from dryfit.pages.page import Voice

if TYPE_CHECKING:
    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.packet import Packet

MOST_STEPS = 16
"""Pieces of more steps than this have simpler pictures. [-]"""

_HIGH = 92.0


def steps(packet: Packet, flow: Flow) -> None:
    """One sentence and one picture a step."""
    assembly = packet.assembly
    if assembly is None or assembly.locked is not None or not assembly.steps:
        return
    flow.begin("assembly", "In this order")
    said = instructions(assembly, packet.look.main_unit)
    asked = packet.job.title, packet.parts, assembly, packet.look.main_unit
    many = len(said) > MOST_STEPS
    pages = brief_pages(*asked) if many else ((1, page) for page in step_pages(*asked))
    first = 0
    for count, page in pages:
        own = said[first : first + count]
        scale = min(1.0, flow.wide / page.width, _HIGH / page.height)
        lines = sum(
            len(wrapped(each, flow.wide - 12, packet.look.text, Voice.SENTENCE)) + 1 for each in own
        )
        flow.need(page.height * scale + lines * LEADING * packet.look.text + 4.0)
        flow.points(own, first + 1)
        flow.picture(page, flow.wide, page.height * scale)
        flow.skip(2.0)
        first += count


def glue(packet: Packet, flow: Flow) -> None:
    """The glue-up card: seconds, clamps, diagonals, and room to write down what was measured."""
    if packet.glue_up is None:
        return
    flow.begin("glue-up card", "The glue-up")
    flow.say(*glue_sentences(packet.glue_up, packet.look.main_unit))
    diagonals = packet.glue_up.diagonals
    if not diagonals:
        return
    rows = [
        (seen_from(each.across), packet.look.length(each.length, 1), "", "") for each in diagonals
    ]
    heads = ("where", "should be", "one, measured", "other, measured")
    flow.table(heads, rows, "Diagonals")
    flow.say("Shift the clamps toward the longer diagonal until both are alike.")


def cards(packet: Packet, flow: Flow) -> None:
    """Pages that others have drawn, each on a sheet of its own."""
    for kind, pages in packet.cards.items():
        for page in pages:
            flow.begin(kind)
            scale = min(1.0, flow.wide / page.width, flow.free / page.height)
            x = flow.left + (flow.wide - page.width * scale) / 2
            place(flow.sheet, page, x, flow.y - page.height * scale, scale)


def job_file(packet: Packet, flow: Flow) -> None:
    """The job file itself, so that the paper alone is enough to begin again."""
    if not packet.text:
        return
    flow.begin("job file", "The job file")
    flow.say(f"What {packet.source} says, line by line; a line that goes on is set in.")
    for number, line in enumerate(packet.text.splitlines(), 1):
        if line.strip():
            flow.points_line(number, line)
