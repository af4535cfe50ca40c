"""Corners at other than right angles: what square-cut fingers leave open there."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import alike, listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.joints.dihedral import Dihedral

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.joints.joint import Joint

SMALL = 0.05
"""A wedge shorter than this is not spoken of. [mm]"""


def check_angled(subject: Subject) -> Iterator[Finding]:
    """What stays open in angled corners, and how much longer fingers would close it."""
    panels = subject.job.piece.panels
    number = {panel.name: index for index, panel in enumerate(panels)}
    angles = {(corner.a, corner.b): corner.angle for corner in subject.plans.meetings.angled}
    shares: dict[str, tuple[float, float]] = {}
    open_joints: list[Joint] = []
    for joint in subject.plans.joints:
        one, other = sorted((number[joint.lead], number[joint.follow]))
        angle = angles.get((one, other))
        if angle is None:
            continue
        mates = panels[one].thickness, panels[other].thickness
        lean = max(Dihedral(angle, *pair).to_plane for pair in (mates, mates[::-1]))
        if lean > SMALL and min(length for _, length in joint.proud) < lean - SMALL:
            shares[joint.id] = angle, lean
            open_joints.append(joint)
    for (angle, lean), group in alike(open_joints, lambda joint: shares[joint.id]):
        names = listed([joint.id for joint in group])
        turn = math.degrees(angle)
        proud = lean + max(length for joint in group for _, length in joint.proud)
        edits = tuple(Edit(("joint", joint.id, "proud"), subject.value(proud)) for joint in group)
        yield finding(
            "wedges-open",
            Severity.NOTE,
            names,
            f"{names}: at {turn:.1f}° fingers cut square leave wedges {subject.say(lean)} long "
            f"open, by shoulders and at tips; a bevel of {abs(90 - turn):.1f}° closes them.",
            numbers={"angle_rad": angle, "wedge_mm": lean},
            mend=Mend(
                f"Make the fingers {subject.say(proud)} proud and plane the tips to the mate's "
                "face.",
                edits,
                value=round(proud, 4),
            ),
        )
