"""How a piece holds as plain data; what a corner bears with two figures and no more."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING, Any

from dryfit.checks.corners import two_figures

if TYPE_CHECKING:
    from dryfit.checks.corners import Corner
    from dryfit.checks.holding import Holding
    from dryfit.checks.sag import Sag
    from dryfit.checks.standing import Ring


def hold_record(holding: Holding) -> dict[str, Any]:
    """Sags, corners, rings and proportions, ready for JSON."""
    stance = holding.stance
    return {
        "weight_kg": round(stance.weight, 3) if stance.weight else None,
        "height_mm": round(stance.height, 6),
        "depth_mm": round(stance.depth, 6),
        "tips_n": two_figures(stance.pull) if stance.weight else None,
        "panels": [_panel(sag) for sag in holding.sags],
        "corners": [_corner(corner) for corner in holding.corners],
        "rings": [_ring(ring) for ring in holding.rings],
        "unknown": list(holding.unknown),
    }


def _panel(sag: Sag) -> dict[str, Any]:
    return {
        "name": sag.name,
        "use": sag.use.name,
        "assumed": sag.assumed,
        "weight_kg": round(sag.weight, 3),
        "span_mm": round(sag.bay.span, 6),
        "sag_mm": round(sag.first, 4),
        "later_mm": [round(each, 4) for each in sag.later],
        "limit_mm": round(sag.limit, 4),
        "source": sag.source,
    }


def _corner(corner: Corner) -> dict[str, Any]:
    return {
        "joint": corner.joint,
        "flanks_mm2": round(corner.flanks, 3),
        "shoulders_mm2": round(corner.shoulders, 3),
        "bending_nm": [two_figures(each / 1e3) for each in corner.moment],
        "pull_n": [two_figures(each) for each in corner.pull],
        "weakest": list(corner.weakest),
    }


def _ring(ring: Ring) -> dict[str, Any]:
    return {
        "axis": ring.axis,
        "panels": list(ring.panels),
        "braces": list(ring.braces),
        "sway_mm": _length(ring.open_sway),
        "braced_sway_mm": _length(ring.braced_sway),
        "moment_nm": two_figures(ring.moment / 1e3),
    }


def _length(sway: float) -> float | None:
    """A sway [mm]; None where it is not known or nothing braces."""
    return round(sway, 6) if isfinite(sway) else None
