"""Everything that the pages of a traveller are made from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.traveller.look import Look

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from dryfit.assembly.gluing import GlueUp
    from dryfit.assembly.steps import Assembly
    from dryfit.findings import Report
    from dryfit.joints.joint import Joint
    from dryfit.layout.plan import Plan
    from dryfit.model.piece import Job
    from dryfit.pages.page import Page
    from dryfit.parts.part import Part

_SAME = 4  # decimals of a millimetre to which two parts of one drawing agree


@dataclass(frozen=True)
class Packet:
    """A job as it goes on paper.

    Parameters
    ----------
    job : Job
        The job.
    joints : tuple of Joint
        Every joint.
    parts : sequence of Part
        Every part of one piece.
    report : Report
        The answers.
    cautions : tuple of str
        What can hurt on this route and with this stock.
    figures : tuple of str
        Which figures of the shop's book, of the job or of the trade are in use.
    source, text, number : str
        The job file's name, its text and the number that follows from it.
    assembly, glue_up : optional
        In what order it goes together and how it is glued; None where it does not.
    cards : mapping of str to tuple of Page
        Pages that others have drawn, under the name of their kind.
    on : date, optional
        The day of issue.
    plan : Plan, optional
        The parts on their sheets; None where no sheets are stated.
    templates : bool
        Whether parts are drawn at full size, to be marked out from.
    creator : str
        What made it.
    look : Look
        Paper, letters and units.
    """

    job: Job
    joints: tuple[Joint, ...]
    parts: Sequence[Part]
    report: Report
    cautions: tuple[str, ...]
    figures: tuple[str, ...]
    source: str
    text: str
    number: str
    assembly: Assembly | None
    glue_up: GlueUp | None
    cards: Mapping[str, tuple[Page, ...]]
    on: date | None = None
    plan: Plan | None = None
    templates: bool = False
    creator: str = "dryfit"
    look: Look = Look()  # noqa: RUF009 - frozen

    @cached_property
    def drawings(self) -> tuple[tuple[Part, ...], ...]:
        """Parts by drawing: those that are cut alike, from the same stock, stand together."""
        alike: dict[tuple[object, ...], list[Part]] = {}
        for part in self.parts:
            alike.setdefault(_likeness(part), []).append(part)
        return tuple(map(tuple, alike.values()))

    @cached_property
    def number_of(self) -> dict[str, int]:
        """The number of every part's drawing, by its name."""
        return {
            part.name: number for number, parts in enumerate(self.drawings, 1) for part in parts
        }

    @cached_property
    def outside(self) -> tuple[float, float, float]:
        """The box round the piece, along x, y and z. [mm]"""
        corners = []
        for part in self.parts:
            frame, panel = part.panel.frame, part.panel
            u, v, n = (np.array(axis) for axis in (frame.u, frame.v, frame.n))
            origin = np.array(frame.origin)
            deeps = (0.0, panel.thickness)
            corners += [origin + a * u + b * v + c * n for a, b in panel.corners for c in deeps]
        x, y, z = np.ptp(np.array(corners), axis=0).tolist()
        return x, y, z


def _likeness(part: Part) -> tuple[object, ...]:
    """What two parts share when one drawing will do for both."""
    panel = part.panel
    cuts = tuple(
        (
            cut.purpose, cut.face, round(cut.depth_to, _SAME), round(cut.edge_angle, 6),
            tuple(
                np.round(loop.vertices - _corner(part), _SAME).tobytes()
                for loop in cut.profile.loops
            ),
        )
        for cut in part.cuts
    )  # fmt: skip
    return panel.stock.name, round(panel.thickness, _SAME), panel.good_face, panel.grain, cuts


def _corner(part: Part) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    x0, y0, _, _ = part.profile.bounds
    return np.array([x0, y0, 0.0])
