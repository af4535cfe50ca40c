"""The cut list: one row a part, in the job's unit."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.panel import Face, Grain
from dryfit.pages.table import Table
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.model.piece import Job
    from dryfit.parts.part import Part

_MM2_PER_CM2 = 100.0
_MM2_PER_IN2 = 25.4**2
_GOOD_FACE = MappingProxyType({Face.A: "a", Face.B: "b", None: "either"})


def cut_list(job: Job, parts: Sequence[Part]) -> Table:
    """What to cut: size, grain and good face of every part.

    Parameters
    ----------
    job : Job
        Gives the title, how many pieces are made and the unit to print in.
    parts : sequence of Part
        The parts of one piece.

    Returns
    -------
    Table
        Length is the size of the cut part along its grain, or the longer side where the grain is
        free; width is the other. Thickness is the mean of the caliper readings. Area is that of
        the cut part, in square centimetres beside metric and square inches beside inch units.
    """
    unit = job.unit
    header = (
        "part",
        "how many",
        "stock",
        "material",
        f"thickness [{unit}]",
        f"length [{unit}]",
        f"width [{unit}]",
        "grain",
        "good face",
        f"area [{'in2' if unit in ('in', 'ft') else 'cm2'}]",
    )
    return Table(job.title, header, tuple(_row(job, part) for part in parts))


def _row(job: Job, part: Part) -> tuple[str, ...]:
    panel = part.panel
    along, across, grain = _sizes(part)
    return (
        part.name,
        str(job.times),
        panel.stock.name,
        panel.stock.material.name,
        _length(job, part.thickness),
        _length(job, along),
        _length(job, across),
        grain,
        _GOOD_FACE[panel.good_face],
        _area(job, part.area),
    )


def _sizes(part: Part) -> tuple[float, float, str]:
    """Size along the grain and across it [mm], and the grain in words."""
    x0, y0, x1, y1 = part.profile.bounds
    u, v = x1 - x0, y1 - y0
    if part.panel.grain is Grain.FREE:
        return max(u, v), min(u, v), "free"
    along, across = (u, v) if part.panel.grain is Grain.U else (v, u)
    return along, across, "along the length"


def _length(job: Job, mm: float) -> str:
    """A length [mm] in the job's unit, which the header names."""
    shown = show_length(mm, job.unit, sixty_fourths=job.sixty_fourths)
    return shown.replace(f" {job.unit}", "", 1)


def _area(job: Job, mm2: float) -> str:
    """An area [mm²] in the header's unit."""
    if job.unit in ("in", "ft"):
        return f"{mm2 / _MM2_PER_IN2:.2f}"
    return f"{mm2 / _MM2_PER_CM2:.2f}"
