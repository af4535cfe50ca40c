"""Captive and running panels: does each have the room it needs, and keep its hold?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.sheet import of_sheet
from dryfit.checks.subject import listed
from dryfit.checks.trenches import LEAST_FLOOR
from dryfit.findings import Edit, Mend, Severity
from dryfit.materials.room import HOLD, Groove, left, over, solved
from dryfit.model.reach import ROOM
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.moving import Captive, Moving, Running
    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding

GIVE = 0.2
"""Growth that no joint round a panel minds (common practice, no source). [mm]"""


def check_captives(moving: Moving) -> Iterator[Finding]:
    """Panels that burst their grooves or jam in them, drop out of them, or jam between faces."""
    for each in moving.captives():
        yield from _bursts(moving.subject, each)
        yield from _drops(moving.subject, each)
    for loose in moving.running():
        yield from _jams(moving.subject, loose)
    yield from _drawer(moving)


def _bursts(subject: Subject, each: Captive) -> Iterator[Finding]:
    grown = each.swells * each.width
    beyond = over(each.grooves, grown)
    if beyond <= SAME or grown < GIVE:
        return
    room = sum(groove.room for groove in each.grooves)
    name, say = each.panel.name, subject.say
    joints = listed([joint.id for joint in each.joints])
    what = "it jams and no longer slides" if each.slides else "it bursts the joints round it"
    yield finding(
        "lid-jams" if each.slides else "panel-bursts",
        Severity.LOOK,
        name,
        f"{name} grows {say(grown)} by the wettest season and has {say(room)} of room in {joints}; "
        f"{what}.",
        numbers={"grown_mm": grown, "room_mm": room, "over_mm": beyond},
        mend=_groove(subject, each),
    )


def _drops(subject: Subject, each: Captive) -> Iterator[Finding]:
    shrunk = -each.shrinks * each.width
    bite = left(each.grooves, shrunk)
    if bite >= HOLD - SAME:
        return
    name, say = each.panel.name, subject.say
    joints = listed([joint.id for joint in each.joints])
    kept = f"keeps {say(bite)} of hold" if bite > 0 else f"is {say(-bite)} short of its groove"
    yield finding(
        "panel-drops",
        Severity.LOOK,
        name,
        f"{name} shrinks {say(max(shrunk, 0.0))} by the driest season and, pushed to one side, "
        f"{kept} in {joints}; {say(HOLD)} is the least.",
        numbers={"shrunk_mm": max(shrunk, 0.0), "hold_mm": bite, "least_mm": HOLD},
        mend=_groove(subject, each),
    )


def _groove(subject: Subject, each: Captive) -> Mend:
    """The groove and the room that are enough; sheet where no groove can be as deep."""
    least = Groove(
        min(groove.depth for groove in each.grooves),
        min(ROOM, *(groove.room for groove in each.grooves)),
    )
    groove = solved(each.clear, each.swells, -each.shrinks, ends=len(each.grooves), least=least)
    depth, room = groove.depth, groove.room
    faces = [subject.panel(joint.follow) for joint in each.joints]
    if any(depth > (1 - LEAST_FLOOR) * face.thickness + SAME for face in faces):
        say = subject.say
        return of_sheet(
            subject, [each.panel],
            f"A groove would have to be {say(depth)} deep, and {faces[0].name} is "
            f"{say(faces[0].thickness)} thick.",
        )  # fmt: skip
    edits = tuple(
        edit
        for joint in each.joints
        for edit in (
            Edit(("joint", joint.id, "depth"), subject.value(depth)),
            Edit(("joint", joint.id, "room"), subject.value(room)),
        )
    )
    what, say = each.joints[0].kind.value, subject.say
    return Mend(
        f"Cut the {what} {say(depth)} deep and leave {say(room)} of room beyond each edge.",
        edits,
        value=round(depth, 4),
    )


def _jams(subject: Subject, loose: Running) -> Iterator[Finding]:
    if loose.grown <= loose.air + SAME:
        return
    name, say = loose.panel.name, subject.say
    # Half of it at each end, up to the next tenth, and a tenth to run by.
    need = round(loose.grown / 2 + 0.05, 1) + 0.1
    lidded = subject.job.form == "chest" and name.startswith(("lip", "cleat"))
    paths = [("joint", f"{name}+{mate}", "clearance") for mate in loose.mates]
    edits = [Edit(path, subject.value(need)) for path in paths]
    if lidded:
        edits = [Edit(("piece", "clearance"), subject.value(need))]
    yield finding(
        "lid-jams",
        Severity.LOOK,
        name,
        f"{name} grows {say(loose.grown)} by the wettest season and has {say(loose.air)} of air "
        f"between {listed(sorted(loose.mates))}; it jams.",
        numbers={"grown_mm": loose.grown, "air_mm": loose.air},
        mend=Mend(
            f"Leave {say(need)} of air at each end.",
            tuple(edits),
            value=round(need, 4),
        ),
    )


def _drawer(moving: Moving) -> Iterator[Finding]:
    """A drawer under the top of its opening."""
    subject, drawer = moving.subject, moving.subject.job.drawer
    if drawer is None:
        return
    say = subject.say
    if drawer.grown > drawer.air + SAME:
        yield finding(
            "drawer-jams",
            Severity.LOOK,
            "piece",
            f"The sides of the drawer grow {say(drawer.grown)} by the wettest season and have "
            f"{say(drawer.air)} of air over them; it jams.",
            numbers={"grown_mm": drawer.grown, "air_mm": drawer.air},
            mend=Mend(
                "Let the program reckon how much they grow, and build them that much lower.",
                (Edit(("piece", "season"), None),),
                value=round(drawer.grown, 4),
            ),
        )
    elif drawer.reckoned and drawer.grown > SAME:
        yield finding(
            "season-reckoned",
            Severity.NOTE,
            "piece",
            f"The sides of the drawer grow {say(drawer.grown)} by the wettest season, so they are "
            "built that much lower.",
            numbers={"grown_mm": drawer.grown},
            mend=Mend(
                "Write it down, so that it stays.",
                (Edit(("piece", "season"), subject.value(drawer.grown)),),
                value=round(drawer.grown, 4),
            ),
        )
