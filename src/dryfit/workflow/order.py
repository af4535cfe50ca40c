"""The order of assembly of a rehearsal: sentences, pictures and data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dryfit.workflow.rehearsal import Rehearsal

ORDER = ("locked", "two-handed", "glue-too-quick", "several-goes")
"""Codes of the findings that bear on the order."""


def order_sentences(rehearsal: Rehearsal) -> tuple[str, ...]:
    """A sentence for every step; none where there is no order."""
    from dryfit.drafting.instructions import instructions

    assembly = rehearsal.assembly
    return () if assembly is None else instructions(assembly, rehearsal.job.unit)


def glue_sentences(rehearsal: Rehearsal) -> tuple[str, ...]:
    """What to know of the glue-up; nothing where there is no order."""
    from dryfit.drafting.instructions import glue_sentences as told

    glue_up = rehearsal.glue_up
    return () if glue_up is None else told(glue_up, rehearsal.job.unit)


def order_pictures(rehearsal: Rehearsal) -> dict[str, bytes]:
    """A picture of every step as SVG, by its name in the folder."""
    from dryfit.drafting.steps import step_pages
    from dryfit.writers.svg import write_svg

    job, assembly = rehearsal.job, rehearsal.assembly
    if assembly is None:
        return {}
    pages = step_pages(job.title, rehearsal.parts, assembly, job.unit)
    digits = len(str(len(assembly.steps)))
    return {f"step-{number:0{digits}}.svg": write_svg(page) for number, page in enumerate(pages, 1)}


def order_data(rehearsal: Rehearsal) -> dict[str, Any]:
    """The order as plain data, with its sentences."""
    from dryfit.checks.order_record import order_record

    found = order_record(rehearsal.assembly, rehearsal.glue_up)
    sentences = order_sentences(rehearsal)
    for step, sentence in zip(found["steps"], sentences, strict=True):
        step["sentence"] = sentence
    return found | {"glue_sentences": list(glue_sentences(rehearsal)), "free": _free(rehearsal)}


def _free(rehearsal: Rehearsal) -> list[dict[str, Any]]:
    """In which directions the lead of every joint leaves the other, nothing else in its way.

    Only square pieces are told; angles are counted from the first axis to the second.
    """
    from dryfit.assembly.bodies import bodies_of
    from dryfit.assembly.freedom import freedom

    lattices = rehearsal.plans.meetings.lattices
    if len(lattices) != 1:
        return []
    bodies = bodies_of(rehearsal.parts, lattices[0].turn)
    number = {part.name: index for index, part in enumerate(rehearsal.parts)}
    found = []
    for joint in rehearsal.joints:
        free = freedom(bodies, number[joint.lead], number[joint.follow])
        arcs = [
            {"first": arc.first, "second": arc.second, "begin_rad": arc.begin, "end_rad": arc.end}
            for arc in free.arcs
        ]
        found.append({"joint": joint.id, "moves": joint.lead, "axes": free.axes, "arcs": arcs})
    return found
