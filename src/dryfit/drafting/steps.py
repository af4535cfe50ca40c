"""A picture of each step: what stands, and what comes along dotted lines."""

from __future__ import annotations

from dataclasses import replace
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


TOGETHER = 3
"""How many steps one picture of :func:`brief_pages` shows at most. [-]"""


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
    reach = _reach(parts)
    for number, step in enumerate(assembly.steps, 1):
        yield step_page(f"{title}, step {number}", parts, step, reach, unit)


def brief_pages(
    title: str, parts: Sequence[Part], assembly: Assembly, unit: str
) -> Iterator[tuple[int, Page]]:
    """Pages for a piece of many steps, each with the number of steps that it shows.

    Parts are drawn without their joints, only those that move are named, and up to `TOGETHER` steps
    that go the same way share a picture: so sixty steps are drawn in the time of a few.

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
    reach, drawn = _reach(parts), tuple(map(bare, parts))
    for group in _groups(assembly.steps):
        moving = tuple(name for step in group for name in step.moving)
        whole = replace(
            group[0],
            moving=moving,
            travel=max(step.travel for step in group),
            joints=tuple(joint for step in group for joint in step.joints),
        )
        yield len(group), step_page(title, drawn, whole, reach, unit, moving)


def _groups(steps: Sequence[Step]) -> Iterator[list[Step]]:
    """Consecutive steps onto the same parts that go the same way, a few at a time."""
    group: list[Step] = []
    for step in steps:
        goes_on = group and not step.begins and not group[0].begins and step.way == group[0].way
        if group and (not goes_on or len(group) == TOGETHER):
            yield group
            group = []
        group.append(step)
    if group:
        yield group


def _reach(parts: Sequence[Part]) -> float:
    """The longest side of a piece. [mm]"""
    corners = np.array([part.panel.frame.origin for part in parts])
    return max(float(np.ptp(corners, axis=0).max()), *(_longest(part) for part in parts))


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
