"""The order of assembly and the glue-up in sentences, as a joiner would say them at the bench."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.assembly.gluing import Clamping, GlueUp, Go
    from dryfit.assembly.steps import Assembly, Step, Vector

_SHARE = 0.3
"""How much of a direction must lie along an axis for it to be named. [-]"""

_LEAST = 0.05
"""A part that moves less than this is only set in its place. [mm]"""

_MINUTE = 60.0

_MOST_NAMES = 4


def instructions(assembly: Assembly, unit: str) -> tuple[str, ...]:
    """One sentence for every step."""
    return tuple(step_sentence(step, unit) for step in assembly.steps)


def step_sentence(step: Step, unit: str) -> str:
    """A step in a sentence or two.

    Parameters
    ----------
    step : Step
        The step.
    unit : str
        The unit to print lengths in.
    """
    what = _names(step.moving)
    if step.way is None:
        return f"Begin with {what}."
    one = len(step.moving) == 1
    if step.travel < _LEAST:
        move = f"Set {what} in {'its' if one else 'their'} place, from {came_from(step.way)}."
    else:
        far = show_length(step.travel, unit, 0 if step.travel >= 20 else 1)
        move = f"Bring {what} {direction(step.way)}, {far} to its seat."
        if not one:
            move = f"Bring {what}, together as one, {direction(step.way)}, {far} to their seat."
    if len(step.joints) > 1:
        return f"{move} {len(step.joints)} joints close at once: {_names(step.joints, 'and')}."
    return f"{move} It closes {step.joints[0]}." if step.joints else move


def direction(way: Vector) -> str:
    """A direction in words.

    Examples
    --------
    >>> direction((0.0, 0.0, -1.0))
    'down'
    >>> direction((0.8, 0.6, 0.0))
    'to the right and to the back'
    """
    return " and ".join(_along(way, _TOWARDS))


def came_from(way: Vector) -> str:
    """Where something that moves in a direction comes from.

    Examples
    --------
    >>> came_from((0.0, 0.0, -1.0))
    'above'
    """
    return " and ".join(_along(way, _FROM))


_TOWARDS = (("to the right", "to the left"), ("to the back", "to the front"), ("up", "down"))
_FROM = (("the left", "the right"), ("the front", "the back"), ("below", "above"))


def _along(way: Vector, words: Sequence[tuple[str, str]]) -> Iterator[str]:
    for share, (ahead, back) in zip(way, words, strict=True):
        if abs(share) > _SHARE:
            yield ahead if share > 0 else back


def _names(names: Sequence[str], word: str = "and") -> str:
    if len(names) == 1:
        return names[0]
    if len(names) > _MOST_NAMES:
        return f"{', '.join(names[: _MOST_NAMES - 1])} {word} {len(names) - _MOST_NAMES + 1} more"
    return f"{', '.join(names[:-1])} {word} {names[-1]}"


def glue_sentences(glue_up: GlueUp, unit: str) -> tuple[str, ...]:
    """What to know of the glue-up, one sentence each."""
    return tuple(_told(glue_up, unit))


def _told(glue_up: GlueUp, unit: str) -> Iterator[str]:
    goes, glue = glue_up.goes, glue_up.glue
    faces = sum(go.faces for go in goes)
    if not faces:
        yield "Nothing is glued."
        return
    spread = f"{faces} faces at {glue.spread:g} s are {minutes(glue_up.seconds)} of spreading"
    if len(goes) == 1:
        yield f"{spread}; the glue stays open for {glue.open:g} min, so it is one go."
    else:
        yield (
            f"{spread}; the glue stays open for {glue.open:g} min, so it takes {len(goes)} goes. "
            "Put the rest in dry to keep each go square, and let it set before the next."
        )
    for number, go in enumerate(goes, 1):
        yield _go(number, go, unit, alone=len(goes) == 1)
    if glue_up.dry:
        yield f"No glue in {_names(glue_up.dry)}: what sits there has to move."
    for diagonal in glue_up.diagonals:
        yield (
            f"Measure both diagonals {seen_from(diagonal.across)}: "
            f"{show_length(diagonal.length, unit, 1)} each, corner to corner outside."
        )
    yield "Sight across both ends for wind, and take off squeezed-out glue before it sets."


def _go(number: int, go: Go, unit: str, *, alone: bool) -> str:
    first, last = go.steps[0] + 1, go.steps[-1] + 1
    steps = f"step {first}" if first == last else f"steps {first} to {last}"
    said = "" if alone else f"Go {number}, {steps}: {go.faces} faces, {minutes(go.seconds)}. "
    lines: dict[str, list[Clamping]] = {}
    for clamp in go.clamps:
        lines.setdefault(across(clamp.way), []).append(clamp)
    return said + " ".join(_clamp(line, clamps, unit) for line, clamps in lines.items())


def _clamp(line: str, clamps: Sequence[Clamping], unit: str) -> str:
    """Where clamps that press along one line are put, and where they need notched blocks."""
    faces = [name for clamp in clamps for name in clamp.faces]
    said = f"Clamp {line} on {_names(faces)}"
    notched = [each for clamp in clamps for each in clamp.notched]
    if not notched:
        return f"{said}."
    proud = show_length(max(length for _, length in notched), unit, 2)
    names = [name for name, _ in notched]
    where = "there" if names == faces else f"on {_names(names)}"
    return f"{said}; {where} with blocks notched for fingers that stand {proud} proud."


def across(way: Vector) -> str:
    """The line along which clamps press, in words."""
    names = [name for share, name in zip(way, _LINES, strict=True) if abs(share) > _SHARE]
    return " and ".join(names)


_LINES = ("from left to right", "from front to back", "from top to bottom")


def seen_from(way: Vector) -> str:
    """The side from which something square to a direction is seen."""
    sides = ("from the side", "from the front", "from above")
    return sides[max(range(3), key=lambda axis: abs(way[axis]))]


def minutes(seconds: float) -> str:
    """A time as it is told at the bench.

    Examples
    --------
    >>> minutes(50), minutes(800)
    ('50 s', '13 min')
    """
    return f"{seconds:.0f} s" if seconds < _MINUTE else f"{seconds / _MINUTE:.0f} min"
