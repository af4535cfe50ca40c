"""The cover: the piece, its sizes, the answers, stock and cutter, and in what order it is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.picture import moved_page
from dryfit.findings import Severity
from dryfit.model.cutter import Relief, Route
from dryfit.model.panel import Face
from dryfit.pages.page import Voice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.drafting.traveller.flow import Flow
    from dryfit.drafting.traveller.packet import Packet
    from dryfit.model.stock import Stock

_SHARE = 0.29
_CUTTER = {Route.ROUTER: "diameter", Route.LASER: "kerf", Route.SAW: "cut"}
_ORDER = {
    Route.ROUTER: "trenches first, then what is inside a part, then its outline",
    Route.LASER: "what is inside a part first, then its outline",
    Route.SAW: "sockets while boards are over-width, then rip them, then trenches",
    Route.HAND: "the lead of a corner from one datum, then its mate knifed from it",
}


def cover(packet: Packet, flow: Flow) -> None:
    """The first sheet."""
    job, look = packet.job, packet.look
    flow.begin("cover", job.title)
    x, y, z = (look.length(size) for size in packet.outside)
    times = f", {job.times} of them" if job.times > 1 else ""
    what = "piece" if job.form == "panels" else job.form
    flow.say(
        f"A {what} of {len(packet.parts)} parts{times}. Outside {x} from left to right, "
        f"{y} from front to back, {z} high."
    )
    if packet.parts:
        # Names would be too small to read here; the steps of assembly have them.
        still = np.zeros((len(packet.parts), 3))
        page = moved_page(job.title, packet.parts, still, job.title, named=())
        flow.picture(page, flow.wide, (flow.top - flow.foot) * _SHARE)
    _answers(packet, flow)
    _stock(packet, flow)
    flow.heading("Cutter and figures", 12.0)
    flow.say(_cutter(packet), *packet.figures)
    flow.heading("Faces and order of machining", 12.0)
    flow.say(*_faces(packet))
    day = packet.on.isoformat() if packet.on else "not stated"
    flow.say(f"From the file {packet.source}, number {packet.number}; date {day}.")


def _answers(packet: Packet, flow: Flow) -> None:
    """The questions with their answers; a word says what a colour would."""
    marks = {Severity.STOP: "STOP", Severity.LOOK: "look", Severity.NOTE: "note", None: "yes"}
    rows = [
        (answer.question.words, marks[answer.worst], answer.verdict)
        for answer in packet.report.answers
    ]
    flow.table(("question", "", "answer"), rows, "The answers")


def stocks(packet: Packet) -> tuple[Stock, ...]:
    """Every stock that a part is cut from, each once; panels with readings of their own apart."""
    return tuple(dict.fromkeys(part.panel.stock for part in packet.parts))


def _stock(packet: Packet, flow: Flow) -> None:
    look = packet.look
    rows = [
        (
            stock.name,
            stock.material.name,
            look.bare(stock.nominal),
            look.bare(stock.thickness, 3),
            " ".join(look.bare(reading) for reading in stock.readings) or "not measured",
        )
        for stock in stocks(packet)
    ]
    unit = look.unit_words
    heads = ("stock", "material", f"sold as [{unit}]", f"thick [{unit}]", "readings")
    flow.table(heads, rows, "Stock")


def _cutter(packet: Packet) -> str:
    cutter, look = packet.job.cutter, packet.look
    if cutter.route is Route.HAND:
        return "Cutter: hand, sawn and chopped."
    relief = "" if cutter.relief is Relief.NONE else f", relief {cutter.relief.value}"
    return (
        f"Cutter: {cutter.route.value}, {_CUTTER[cutter.route]} {look.length(cutter.size, 3)}"
        f"{relief}."
    )


def _faces(packet: Packet) -> Iterator[str]:
    """Which faces show, in one sentence a way, and what is cut before what."""
    faces: dict[Face | None, list[str]] = {}
    for part in packet.parts:
        faces.setdefault(part.panel.good_face, []).append(part.name)
    for face, listed in faces.items():
        who = "All parts" if len(faces) == 1 else _some(listed)
        yield (
            f"{who}: both faces alike." if face is None
            else f"{who}: good face {face.value}, {'out' if face is Face.B else 'in'}."
        )  # fmt: skip
    yield f"In this order: {_ORDER[packet.job.cutter.route]}."


def _some(names: list[str], most: int = 6) -> str:
    more = len(names) - most
    said = ", ".join(names[:most])
    return f"{said} and {more} more" if more > 0 else said


def reasons(packet: Packet, flow: Flow) -> None:
    """Every finding with its source."""
    flow.begin("reasons", "What was found, and why")
    any_ = False
    for answer in packet.report.answers:
        if not answer.findings:
            continue
        any_ = True
        flow.heading(answer.question.words, 20.0)
        for finding in answer.findings:
            flow.need(4 * 1.75 * packet.look.text)
            flow.say(f"{finding.severity.value}: {finding.code}", voice=Voice.STRONG)
            mend = f" {finding.mend.sentence}" if finding.mend else ""
            flow.say(f"{finding.sentence}{mend}", indent=4.0)
            flow.say(f"Source: {finding.source}.", voice=Voice.TECHNICAL, indent=4.0)
    if not any_:
        flow.say("Nothing was found that you need to know.")


def cautions(packet: Packet, flow: Flow) -> None:
    """What can hurt on this route and with this stock."""
    flow.begin("cautions", "Mind these")
    flow.say("Numbers for speed, feed and strength are starting points.")
    flow.points(packet.cautions)
