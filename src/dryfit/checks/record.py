"""A whole rehearsal as plain data: what ``--json`` prints and the schema describes.

Lengths are millimetres, areas mm², volumes mm³, angles radians. Profiles are loops of
``[x, y, bulge]`` in the part's own plane, face b towards you.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryfit.checks.cautions import cautions
from dryfit.checks.hold_record import hold_record
from dryfit.checks.order_record import order_record

if TYPE_CHECKING:
    from dryfit.checks.subject import Subject
    from dryfit.findings import Answer, Finding, Report
    from dryfit.joints.joint import End, Joint
    from dryfit.joints.odds import Odds
    from dryfit.parts.part import Cut, Part
    from dryfit.parts.touch import Touch
    from dryfit.shapes.profile import Loop, Profile

SCHEMA = 1
"""Number of the schema that the data follows."""

_DECIMALS = 9


def record(subject: Subject, report: Report) -> dict[str, Any]:
    """Everything that was found, ready for JSON."""
    job = subject.job
    return {
        "schema": SCHEMA,
        "title": job.title,
        "form": job.form,
        "times": job.times,
        "unit": job.unit,
        "cutter": {
            "kind": job.cutter.route.value,
            "size_mm": _number(job.cutter.size),
            "relief": job.cutter.relief.value,
        },
        "stops": report.stops,
        "answers": {answer.question.value: _answer(answer) for answer in report.answers},
        "joints": [_joint(joint) for joint in subject.plans.joints],
        "odds": odds_record(subject.odds),
        "order": order_record(subject.assembly, subject.glue_up),
        "hold": hold_record(subject.holding),
        "parts": [_part(part) for part in subject.parts],
        "touch": [_touch(touch) for touch in subject.touches],
        "cautions": list(cautions(job)),
    }


def odds_record(odds: Odds) -> dict[str, Any]:
    """The odds of a piece and of its joints."""
    scatter = odds.scatter
    return {
        "piece": _chance(odds.whole),
        "upper_bound": _chance(odds.product),
        "wanted": _number(odds.wanted.odds),
        "flank_gap_mm": _number(odds.gap),
        "scatter": {
            "source": scatter.source.value,
            "edge_mm": _number(scatter.edge),
            "datum_mm": _number(scatter.datum),
            "misfit_mm": _number(scatter.misfit),
            "doubt_mm": _number(scatter.misfit_sd),
            "scale": _number(scatter.scale),
        },
        "joints": [
            {
                "id": each.joint,
                "odds": _chance(each.odds),
                "gap_median_mm": round(each.gap_median, 4),
                "gap_most_mm": round(each.gap_most, 4),
                "sunk": _chance(each.sunk),
                "proud": _chance(each.proud),
            }
            for each in odds.joints
        ],
    }


def _chance(value: float) -> float:
    return round(value, 6) + 0.0


def _number(value: float) -> float:
    return round(float(value), _DECIMALS) + 0.0


def _answer(answer: Answer) -> dict[str, Any]:
    worst = answer.worst
    return {
        "question": answer.question.words,
        "verdict": answer.verdict,
        "worst": worst.value if worst else None,
        "findings": [_finding(finding) for finding in answer.findings],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    mend = finding.mend
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "place": finding.place,
        "sentence": finding.sentence,
        "numbers": dict(finding.numbers),
        "source": finding.source,
        "mend": None
        if mend is None
        else {
            "sentence": mend.sentence,
            "value": mend.value,
            "edits": [{"path": list(edit.path), "value": edit.value} for edit in mend.edits],
            "measure": list(mend.measure),
        },
    }


def _joint(joint: Joint) -> dict[str, Any]:
    plan = joint.plan
    return {
        "id": joint.id,
        "kind": joint.kind.value,
        "panels": sorted((joint.lead, joint.follow)),
        "leads": joint.lead,
        "length_mm": _number(plan.length),
        "start_mm": _number(plan.start),
        "count": plan.count,
        "sockets": plan.sockets,
        "width_mm": _number(plan.width),
        "fingers": joint.fingers,
        "flank_gap_mm": _number(joint.flank_gap),
        "proud_mm": {name: _number(length) for name, length in joint.proud},
        "ends": [_end(end) for end in plan.ends],
    }


def _end(end: End) -> dict[str, Any]:
    return {
        "owner": end.owner,
        "block_mm": _number(end.block),
        "carried_mm": _number(end.carried),
    }


def _part(part: Part) -> dict[str, Any]:
    panel = part.panel
    return {
        "name": part.name,
        "stock": panel.stock.name,
        "material": panel.stock.material.name,
        "thickness_mm": _number(part.thickness),
        "good_face": panel.good_face.value if panel.good_face else None,
        "grain": panel.grain.value,
        "label": part.label,
        "area_mm2": round(part.area, 6),
        "volume_mm3": round(part.volume, 6),
        "cuts": [_cut(cut) for cut in part.cuts],
        "as_cut": _profile(part.as_cut),
    }


def _cut(cut: Cut) -> dict[str, Any]:
    return {
        "purpose": cut.purpose.value,
        "face": cut.face.value,
        "depth_from_mm": _number(cut.depth_from),
        "depth_to_mm": _number(cut.depth_to),
        "edge_angle_rad": _number(cut.edge_angle),
        "profile": _profile(cut.profile),
    }


def _profile(profile: Profile) -> dict[str, Any]:
    return {"outer": _loop(profile.outer), "holes": [_loop(hole) for hole in profile.holes]}


def _loop(loop: Loop) -> list[list[float]]:
    return [
        [_number(x), _number(y), round(bulge, 12) + 0.0] for x, y, bulge in loop.vertices.tolist()
    ]


def _touch(touch: Touch) -> dict[str, Any]:
    return {
        "parts": [touch.a, touch.b],
        "overlap_mm3": round(touch.overlap, 6) + 0.0,
        "gap_mm3": round(touch.gap, 6) + 0.0,
        "penetration_mm": round(touch.penetration, 6) + 0.0,
        "open_mm": round(touch.open, 6) + 0.0,
    }
