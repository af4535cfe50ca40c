"""Solid wood: fingers run along the grain; across it they snap."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.kind import Kind
from dryfit.model.panel import Grain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.model.panel import Panel

_AXES = ("x", "y", "z")


def check_grain(subject: Subject) -> Iterator[Finding]:
    """Fingers of solid wood that run across the grain."""
    runs = _finger_runs(subject)
    for panel in subject.job.piece.panels:
        across = runs.get(panel.name, set()) - {panel.grain}
        if not panel.stock.material.solid or panel.grain is Grain.FREE or not across:
            continue
        joints = [
            joint.id
            for joint in subject.divided
            if panel.name in (joint.lead, joint.follow)[joint.kind is Kind.TENON :]
            and _run(subject, panel, joint.other(panel.name)) in across
        ]
        yield finding(
            "grain-across",
            Severity.STOP,
            panel.name,
            f"{panel.name}: the fingers of {listed(joints)} run across the grain of the "
            f"{panel.stock.material.name}, and {len(joints)} edge"
            f"{'s' if len(joints) > 1 else ''} of short-grain fingers will snap.",
            numbers={"edges": len(joints)},
            mend=_mend(subject, panel, runs[panel.name]),
        )


def _finger_runs(subject: Subject) -> dict[str, set[Grain]]:
    """The directions, in each panel's own frame, in which its fingers run."""
    runs: dict[str, set[Grain]] = {}
    for joint in subject.divided:
        # Of a tenoned joint only the edge has fingers; the face has mortises.
        for name in (joint.lead, joint.follow)[joint.kind is Kind.TENON :]:
            panel = subject.panel(name)
            runs.setdefault(name, set()).add(_run(subject, panel, joint.other(name)))
    return runs


def _run(subject: Subject, panel: Panel, mate: str) -> Grain:
    """The way a panel's fingers run towards a mate: along the mate's normal, more or less."""
    normal, frame = subject.panel(mate).frame.n, panel.frame
    along_u, along_v = (
        abs(sum(a * b for a, b in zip(normal, axis, strict=True))) for axis in (frame.u, frame.v)
    )
    return Grain.U if along_u > along_v else Grain.V


def _mend(subject: Subject, panel: Panel, runs: set[Grain]) -> Mend | None:
    """Turn the grain; where fingers run both ways, take sheet, or leave the odd panels out."""
    if len(runs) == 1:
        vector = panel.frame.u if Grain.U in runs else panel.frame.v
        axis = _AXES[max(range(3), key=lambda i: abs(vector[i]))]
        return Mend(
            f"Let its grain run along {axis}.",
            (Edit(("panel", panel.name, "grain"), axis),),
            value=1,
        )
    sheet = next(
        (p.stock.name for p in subject.job.piece.panels if not p.stock.material.solid), None
    )
    if sheet is not None and panel.name in ("base", "lid"):
        return Mend(
            f"Cut it from {sheet}, which has no short grain.",
            (
                Edit(("panel", panel.name, "stock"), sheet),
                Edit(("panel", panel.name, "readings"), None),
            ),
            value=1,
        )
    return _walls_only(subject)


def _walls_only(subject: Subject) -> Mend | None:
    """Keep the ring of walls, whose fingers all run along the grain."""
    names = [panel.name for panel in subject.job.piece.panels]
    if subject.job.form not in ("tray", "case"):
        return None
    edits = [Edit(("piece", "form"), "ring")]
    for extra in ("base", "lid"):
        edits.append(Edit(("panel", extra), None))
        edits += [Edit(("joint", f"{wall}+{extra}"), None) for wall in names if wall != extra]
    return Mend("Join only the four walls with fingers.", tuple(edits), value=4)
