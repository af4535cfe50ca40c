"""What reading a program back tells, as findings: each trouble with its mend where one is known."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import listed
from dryfit.cutting.operation import SMALL
from dryfit.findings import Edit, Mend, Severity
from dryfit.model.machine import Flutes, Hold

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.moves import Trouble
    from dryfit.findings import Finding
    from dryfit.model.machine import Machine

_KEYS = {
    "too-deep": ("spoil", "Let the spoil board be cut {value:g} mm deep, or set Z zero anew.", 0.1),
    "feed-high": (
        "feed_most",
        "Let the machine cut at {value:g} mm/min, or slow the program.",
        1.0,
    ),
    "slug-loose": ("slug", "Let {value:g} mm² come loose, or hold the waste.", 1.0),
}
"""The key of the machine file that a trouble hangs on, its mend, and the step it is rounded to."""


def check_programs(troubles: Sequence[Trouble], machine: Machine) -> Iterator[Finding]:
    """Everything that reading back found, worst kinds first as they came."""
    for trouble in troubles:
        where = f"line {trouble.line}: " if trouble.line else ""
        yield finding(
            trouble.kind,
            Severity.STOP,
            trouble.place or f"machine {machine.name}",
            f"{where}{trouble.words}.",
            numbers=trouble.numbers,
            mend=_mend(trouble, machine),
        )


def _mend(trouble: Trouble, machine: Machine) -> Mend | None:
    numbers = trouble.numbers
    if trouble.kind in _KEYS:
        key, words, step = _KEYS[trouble.kind]
        found = numbers.get("found_mm", numbers.get("feed_mm_min", numbers.get("area_mm2")))
        if found is None:
            return None
        value = math.ceil(found / step) * step
        edits = (Edit(("machine", machine.name, key), round(value, 3)),)
        return Mend(words.format(value=value), edits, value=value)
    if trouble.kind == "plunges":
        edits = (Edit(("machine", machine.name, "plunges"), value=True),)
        return Mend("Only where your cutter is made for it, say plunges = true.", edits, value=1)
    return None


def check_missing(missing: Sequence[str], strange: int, found: int) -> Iterator[Finding]:
    """Parts of a job that no piece of a program is, where there are pieces that are no part."""
    if not missing or (found and not strange):
        return
    names = listed(missing)
    yield finding(
        "part-missing",
        Severity.STOP,
        names,
        f"{names}: none of the {found + strange} pieces that come out is this part.",
        numbers={"missing": len(missing), "pieces": found + strange},
    )


def check_bed(bed: Bed, machine: Machine, diameter: float) -> Iterator[Finding]:
    """What can be told of a sheet before anything is cut.

    Parameters
    ----------
    bed : Bed
        Sheet and parts.
    machine : Machine
        Travel, cutter and hold.
    diameter : float
        Of the cutter. [mm]
    """
    yield from _reach(bed, machine)
    yield from _sheet(bed, machine)
    yield from _small(bed, machine)
    yield from _breaks_out(bed, machine, diameter)


def _reach(bed: Bed, machine: Machine) -> Iterator[Finding]:
    need = bed.thickness + machine.spoil
    if machine.reach >= need:
        return
    value = math.ceil(10 * need) / 10
    yield finding(
        "cutter-short",
        Severity.STOP,
        bed.name,
        f"{bed.name}: the cutter's edges are {machine.reach:.1f} mm long; the sheet and "
        f"{machine.spoil:g} mm of spoil board take {need:.2f} mm.",
        numbers={"reach_mm": machine.reach, "need_mm": need},
        mend=Mend(
            f"Take a cutter with edges of {value:g} mm or more.",
            (Edit(("machine", machine.name, "reach"), value),),
            value=value,
        ),
    )


def _sheet(bed: Bed, machine: Machine) -> Iterator[Finding]:
    for axis, size in enumerate((bed.length, bed.width)):
        span = machine.travel[axis]
        if size <= span:
            continue
        travel = [*machine.travel]
        travel[axis] = size
        yield finding(
            "sheet-beyond",
            Severity.STOP,
            bed.name,
            f"{bed.name}: the sheet is {size:.1f} mm along {'xy'[axis]}, and the machine reaches "
            f"{span:.1f} mm.",
            numbers={"sheet_mm": size, "travel_mm": span},
            mend=Mend(
                f"Saw the sheet to {span:g} mm first, or take a machine that reaches {size:g} mm.",
                (Edit(("machine", machine.name, "travel"), [float(each) for each in travel]),),
                value=size,
            ),
        )


def _small(bed: Bed, machine: Machine) -> Iterator[Finding]:
    small = [lying.name for lying in bed.lying if lying.part.area < SMALL]
    if machine.hold is not Hold.BED or not small:
        return
    yield finding(
        "small-held",
        Severity.NOTE,
        bed.name,
        f"{bed.name}: parts of less than {SMALL / 100:.0f} cm², here {len(small)}, get tabs "
        "or a skin: the bed alone does not hold them.",
        numbers={"parts": len(small), "least_mm2": SMALL},
        mend=Mend(
            "Hold every part by tabs.",
            (Edit(("machine", machine.name, "hold"), "tabs"),),
            value=1,
        ),
    )


def _breaks_out(bed: Bed, machine: Machine, diameter: float) -> Iterator[Finding]:
    """Flutes that push up tear the upper face, and flutes that push down the lower."""
    torn = {Flutes.UP: True, Flutes.DOWN: False}.get(machine.form)
    if torn is None:
        return
    shown = [
        lying.name
        for lying in bed.lying
        if lying.part.panel.good_face is not None
        and (lying.part.panel.good_face is lying.up) == torn
    ]
    if not shown:
        return
    side = "up" if torn else "down"
    yield finding(
        "good-face-tears",
        Severity.LOOK,
        bed.name,
        f"{bed.name}: the good face of {len(shown)} parts looks {side}, where flutes that push "
        f"{side} break splinters out.",
        numbers={"parts": len(shown), "cutter_mm": diameter},
        mend=Mend(
            "Take a cutter whose flutes push both ways inwards.",
            (Edit(("machine", machine.name, "form"), "compression"),),
            value=1,
        ),
    )
