"""A picture of each step: what stands, and what comes along dotted lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.instructions import step_sentence
from dryfit.drafting.picture import moved_page
from dryfit.model.panel import Face
from dryfit.parts.part import Cut, Part, Purpose
from dryfit.shapes.profile import Loop, Profile

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.assembly.steps import Assembly, Step
    from dryfit.pages.page import Page

AIR = 0.25
"""How far a part is drawn from where it belongs, beyond its travel, as a share of the piece. [-]"""


MOST_DRAWN = 16
"""Pieces of more steps than this are drawn without their joints. [-]"""


def step_pages(title: str, parts: Sequence[Part], assembly: Assembly, unit: str) -> Iterator[Page]:
    """A page for every step.

    Parameters
    ----------
    title : str
        What the piece is called.
    parts : sequence of Part
        In their places.
    assembly : Assembly
        The steps.
    unit : str
        The unit to print lengths in.

    Notes
    -----
    Pieces of more than `MOST_DRAWN` steps are drawn without their joints, and only the parts that
    move are named: sixty pictures are to be drawn in the time of a few.
    """
    corners = np.array([part.panel.frame.origin for part in parts])
    reach = max(float(np.ptp(corners, axis=0).max()), *(_longest(part) for part in parts))
    many = len(assembly.steps) > MOST_DRAWN
    drawn = tuple(map(bare, parts)) if many else parts
    for number, step in enumerate(assembly.steps, 1):
        named = step.moving if many else None
        yield step_page(f"{title}, step {number}", drawn, step, reach, unit, named)


def bare(part: Part) -> Part:
    """A part as its panel is before any joint is cut, to be drawn quickly."""
    panel = part.panel
    blank = Profile(Loop.of(panel.corners))
    cut = Cut(Purpose.OUTLINE, blank, Face.B, 0.0, panel.thickness)
    return Part(panel, (cut,), blank, part.label)


def step_page(
    title: str, parts: Sequence[Part], step: Step, reach: float, unit: str,
    named: Sequence[str] | None = None,
) -> Page:  # fmt: skip
    """The page of one step; `reach` is the longest side of the piece [mm].

    Only the parts that are `named` have their names beside them; all where it is not given.
    """
    shown = [part for part in parts if part.name in step.moving or part.name in step.standing]
    by = np.zeros((len(shown), 3))
    if step.way is not None:
        away = -np.array(step.way) * (min(step.travel, reach) + AIR * reach)
        by[[part.name in step.moving for part in shown]] = np.round(away, 6) + 0.0
    return moved_page(title, shown, by, step_sentence(step, unit), named)


def _longest(part: Part) -> float:
    return max(part.panel.width, part.panel.height)
