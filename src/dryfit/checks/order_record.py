"""The order of assembly and the glue-up as plain data: what ``--json`` prints."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dryfit.assembly.gluing import GlueUp
    from dryfit.assembly.steps import Assembly, Step


def order_record(assembly: Assembly | None, glue_up: GlueUp | None) -> dict[str, Any]:
    """Steps, lock and glue-up; lengths in mm, times in seconds."""
    if assembly is None:
        return {"known": False, "steps": [], "locked": None, "orders": None, "glue_up": None}
    locked = assembly.locked
    return {
        "known": True,
        "steps": [_step(step) for step in assembly.steps],
        "locked": None
        if locked is None
        else {
            "parts": list(locked.parts),
            "joints": [list(bar) for bar in locked.bars],
            "smallest": locked.smallest,
        },
        "orders": assembly.orders,
        "glue_up": None if glue_up is None else _glue_up(glue_up),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "moving": list(step.moving),
        "standing": list(step.standing),
        "way": None if step.way is None else list(step.way),
        "travel_mm": round(step.travel, 6) + 0.0,
        "joints": list(step.joints),
        "turned": step.turned,
    }


def _glue_up(glue_up: GlueUp) -> dict[str, Any]:
    return {
        "open_s": 60 * glue_up.glue.open,
        "spread_s": glue_up.glue.spread,
        "seconds": glue_up.seconds,
        "dry": list(glue_up.dry),
        "goes": [
            {
                "steps": [number + 1 for number in go.steps],
                "joints": list(go.joints),
                "faces": go.faces,
                "seconds": go.seconds,
                "clamps": [
                    {
                        "way": list(clamp.way),
                        "faces": list(clamp.faces),
                        "proud_mm": {name: round(proud, 6) for name, proud in clamp.notched},
                    }
                    for clamp in go.clamps
                ],
            }
            for go in glue_up.goes
        ],
        "diagonals": [
            {"across": list(each.across), "length_mm": round(each.length, 6)}
            for each in glue_up.diagonals
        ],
    }
