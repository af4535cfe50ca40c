"""A picture of each step: what stands, and what comes along dotted lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.drafting.instructions import step_sentence
from dryfit.drafting.picture import moved_page

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.assembly.steps import Assembly, Step
    from dryfit.pages.page import Page
    from dryfit.parts.part import Part

AIR = 0.25
"""How far a part is drawn from where it belongs, beyond its travel, as a share of the piece. [-]"""


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
    """
    corners = np.array([part.panel.frame.origin for part in parts])
    reach = max(float(np.ptp(corners, axis=0).max()), *(_longest(part) for part in parts))
    for number, step in enumerate(assembly.steps, 1):
        yield step_page(f"{title}, step {number}", parts, step, reach, unit)


def step_page(title: str, parts: Sequence[Part], step: Step, reach: float, unit: str) -> Page:
    """The page of one step; `reach` is the longest side of the piece [mm]."""
    shown = [part for part in parts if part.name in step.moving or part.name in step.standing]
    by = np.zeros((len(shown), 3))
    if step.way is not None:
        away = -np.array(step.way) * (min(step.travel, reach) + AIR * reach)
        by[[part.name in step.moving for part in shown]] = np.round(away, 6) + 0.0
    return moved_page(title, shown, by, step_sentence(step, unit))


def _longest(part: Part) -> float:
    return max(part.panel.width, part.panel.height)
