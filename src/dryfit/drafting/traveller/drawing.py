"""One part as a dimensioned drawing: outline, trenches, tags and running dimensions.

Dimensions run from one corner, the datum, along each side, and end at the overall size; so no error
adds up for who marks out from them. Values stand over their lines and are read from the foot or
from the right of the sheet; each size stands once; unit and scale are told in words (after ISO
129-1, from memory). Visible edges are wide, hidden and helping lines narrow (ISO 128-2).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from dryfit.drafting.traveller.flow import Draft, overlaps, spread
from dryfit.drafting.traveller.stations import Side, stations
from dryfit.model.panel import Grain
from dryfit.pages.hand import HIDDEN
from dryfit.pages.letters import ELLIPSIS, shortened, shown, text_box, width
from dryfit.pages.page import Anchor, Fill, Page, Path, Role, Stroke, Text, Voice
from dryfit.pages.paper import NARROW, WIDE
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.drafting.traveller.look import Look
    from dryfit.parts.part import Cut, Part

SCALES = (2.0, 1.0, 0.5, 0.4, 0.2, 0.1, 0.05, 0.04, 0.02, 0.01)
"""Scales that ISO 5455 recommends (from memory), and 1 : 2.5 and 1 : 25 between, as drawn over
real. [-]"""

_REACH = 9.0
"""From an edge to where its values begin. [mm]"""

_BARE = 11.0
"""Beside an edge without values; labels may stand this far out at a corner. [mm]"""

_LINE = 5.0  # from an edge to its dimension line
_TICK = 1.1
_PITCH = 1.45
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where across and along a part its name may stand, the best place first. [-]"""

_FEW = 2  # stations that are lettered at either end where there is no room for all


@dataclass(frozen=True, slots=True)
class Tag:
    """A number at a cut inside the part, which the table under the drawing explains."""

    number: int
    cut: Cut


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing, and whether every station is lettered in it."""

    page: Page
    scale: float
    whole: bool


def scale_words(scale: float) -> str:
    """A scale as it is written.

    Examples
    --------
    >>> scale_words(0.5), scale_words(2.0)
    ('1 : 2', '2 : 1')
    """
    return f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"


def tags_of(part: Part) -> tuple[Tag, ...]:
    """Everything that is cut inside a part, numbered from the datum."""
    inner = sorted(part.cuts[1:], key=lambda cut: cut.profile.bounds[:2])
    return tuple(Tag(number, cut) for number, cut in enumerate(inner, 1))


def draw_part(part: Part, look: Look, room: tuple[float, float]) -> Drawing:
    """A part as a drawing no larger than its room.

    Parameters
    ----------
    part : Part
        What is drawn, face b towards the reader.
    look : Look
        Letters and units.
    room : pair of float
        Width and height that it may take. [mm]
    """
    x0, y0, x1, y1 = part.profile.bounds
    size = x1 - x0, y1 - y0
    values = {side: [look.bare(at) for at in stations(part, side)] for side in Side}
    longest = max(width(v, look.small) for vs in values.values() for v in vs)
    told = [side for side in Side if is_told(part, side, look)]
    left, right, foot, head = (
        _REACH + longest + 2.0 if side in told else _BARE
        for side in (Side.LEFT, Side.RIGHT, Side.BOTTOM, Side.TOP)
    )
    scale = _scale(size, (room[0] - left - right, room[1] - foot - head))
    pen = _Pen(part, look, scale, Draft(""))
    pen.part_itself()
    done = [pen.running(side) for side in told]
    page = Page(
        title=part.name, x=-left, y=-foot,
        width=size[0] * scale + left + right, height=size[1] * scale + foot + head,
        fills=tuple(pen.draft.fills), strokes=tuple(pen.draft.strokes),
        texts=tuple(pen.draft.texts),
    )  # fmt: skip
    return Drawing(page, scale, all(done))


def is_told(part: Part, side: Side, look: Look) -> bool:
    """Whether a side has running dimensions of its own: not where the opposite side has them."""
    if side in (Side.BOTTOM, Side.LEFT):
        return True
    other = Side.BOTTOM if side is Side.TOP else Side.LEFT
    mine, others = ([look.bare(at) for at in stations(part, each)] for each in (side, other))
    return any(value not in others for value in mine)


def _scale(size: tuple[float, float], room: tuple[float, float]) -> float:
    """The largest scale of the usual ones at which a part fits its room."""
    fits = (s for s in SCALES if s * size[0] <= room[0] and s * size[1] <= room[1])
    return next(fits, SCALES[-1])


class _Pen:
    """Draws one part; its lower left corner is at (0, 0)."""

    def __init__(self, part: Part, look: Look, scale: float, draft: Draft) -> None:
        self.part, self.look, self.scale, self.draft = part, look, scale, draft
        x0, y0, x1, y1 = part.profile.bounds
        self.corner = x0, y0
        self.size = (x1 - x0) * scale, (y1 - y0) * scale

    def part_itself(self) -> None:
        """Outline, what is inside it, tags, name, grain and datum."""
        for cut in reversed(self.part.cuts):
            hidden = cut.purpose is Purpose.TRENCH and cut.face == "a"
            dashes = HIDDEN if hidden else ()
            weight = WIDE if cut.purpose is not Purpose.TRENCH else NARROW
            for loop in cut.profile.loops:
                self._stroke(self._path(Path.of_loop(loop)), weight, dashes)
        self._tags()
        self._words()
        circle = Path(((-1.0, 0.0, 1.0), (1.0, 0.0, 1.0)))
        self._stroke(circle, NARROW)

    def running(self, side: Side) -> bool:
        """Running dimensions along a side; whether every station has its value."""
        places = stations(self.part, side)
        height = self.look.small
        length = self.size[0] if side.along_u else self.size[1]
        drawn = [at * self.scale for at in places]
        pitch, spare = _PITCH * height, _REACH
        labels = spread(drawn, pitch, -spare, length + spare)
        kept = list(range(len(places)))
        if labels is None:
            kept = _ends(drawn, pitch, length + 2 * spare)
            labels = spread([drawn[k] for k in kept], pitch, -spare, length + spare)
        self._line_along(side, drawn)
        for k, label in zip(kept, labels or [], strict=False):
            self._value(side, drawn[k], label, self.look.bare(places[k]))
        return len(kept) == len(places)

    def _line_along(self, side: Side, drawn: Sequence[float]) -> None:
        """The dimension line, a circle at its origin and a tick at every station."""
        self._stroke(Path.line(self._at(side, 0, _LINE), self._at(side, drawn[-1], _LINE)), NARROW)
        x, y = self._at(side, 0, _LINE)
        self._stroke(Path(((x - 0.8, y, 1.0), (x + 0.8, y, 1.0))), NARROW)
        for at in drawn[1:]:
            x, y = self._at(side, at, _LINE)
            reach = _TICK / 2
            self._stroke(Path.line((x - reach, y - reach), (x + reach, y + reach)), NARROW)

    def _value(self, side: Side, at: float, label: float, words: str) -> None:
        """A line from a station to its value."""
        points = [self._at(side, at, 1.0), self._at(side, at, _LINE + 1.0)]
        points.append(self._at(side, label, _REACH - 0.8))
        self._stroke(Path.line(*points), NARROW)
        height = self.look.small
        x, y = self._at(side, label, _REACH)
        if side.along_u:
            x += height / 2
            anchor = Anchor.END if side is Side.BOTTOM else Anchor.START
            text = Text(Role.LABEL, x, y, height, words, anchor, math.pi / 2)
        else:
            anchor = Anchor.END if side is Side.LEFT else Anchor.START
            text = Text(Role.LABEL, x, y - height / 2, height, words, anchor)
        self.draft.texts.append(text)

    def _at(self, side: Side, along: float, off: float) -> tuple[float, float]:
        """A point beside a side, `off` from the box round the part."""
        wide, high = self.size
        return {
            Side.BOTTOM: (along, -off),
            Side.TOP: (along, high + off),
            Side.LEFT: (-off, along),
            Side.RIGHT: (wide + off, along),
        }[side]

    def _tags(self) -> None:
        """The number of every inner cut, in it or on a leader beside it, where there is room."""
        height = self.look.small
        for tag in tags_of(self.part):
            x0, y0, x1, y1 = self._moved(tag.cut.profile.bounds)
            words = str(tag.number)
            wide = width(words, height)
            fits = x1 - x0 > wide + 1 and y1 - y0 > height + 1
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            if not fits and x1 - x0 >= y1 - y0:
                y = y1 + height / 2 + 0.8
            elif not fits:
                x = x1 + wide / 2 + 0.8
            self._try(
                Text(Role.LABEL, x, y - height / 2, height, words, Anchor.MIDDLE,
                     voice=Voice.STRONG)
            )  # fmt: skip

    def _words(self) -> None:
        """Name, face and grain, in the middle, where they meet nothing."""
        height, (wide, high) = self.look.small, self.size
        name = shortened(shown(self.part.name), wide * 0.8, height, Voice.STRONG)
        taken = [self._moved(cut.profile.bounds) for cut in self.part.cuts[1:]]
        for across, along in product(_SHARES, _SHARES) if name != ELLIPSIS else ():
            at = wide * along, high * across
            text = Text(Role.LABEL, *at, height, name, Anchor.MIDDLE, voice=Voice.STRONG)
            x0, y0, x1, y1 = text_box(text)
            bare = x0 > 0.5 and x1 < wide - 0.5 and y0 > 0.5 and y1 < high - 0.5
            met = any(a < x1 and x0 < c and b < y1 and y0 < d for a, b, c, d in taken)
            if bare and not met and self._try(text):
                break
        grain = self.part.panel.grain
        if grain is not Grain.FREE:
            self._grain(level=grain is Grain.U)

    def _grain(self, *, level: bool) -> None:
        """An arrow with two heads along the grain."""
        wide, high = self.size
        reach = 0.25 * (wide if level else high)
        x, y = (wide / 2, high * 0.4) if level else (wide * 0.4, high / 2)
        c, s = (1.0, 0.0) if level else (0.0, 1.0)
        self._stroke(
            Path.line((x - c * reach, y - s * reach), (x + c * reach, y + s * reach)), NARROW
        )
        for sign in (-1, 1):
            tip = x + sign * c * reach, y + sign * s * reach
            back = tip[0] - sign * c * 2.5, tip[1] - sign * s * 2.5
            head = Path.polygon(tip, (back[0] - s * 0.7, back[1] - c * 0.7),
                                (back[0] + s * 0.7, back[1] + c * 0.7))  # fmt: skip
            self.draft.fills.append(Fill(Role.LABEL, (head,), "#26231d"))

    def _try(self, text: Text) -> bool:
        """Set a text unless it would lie over another one."""
        if overlaps([*self.draft.texts, text]):
            return False
        self.draft.texts.append(text)
        return True

    def _moved(self, box: tuple[float, float, float, float]) -> tuple[float, ...]:
        x, y = self.corner
        return tuple((value - (x, y)[k % 2]) * self.scale for k, value in enumerate(box))

    def _path(self, path: Path) -> Path:
        x, y = self.corner
        return Path(
            tuple(((u - x) * self.scale, (v - y) * self.scale, b) for u, v, b in path.vertices),
            path.closed,
        )

    def _stroke(self, path: Path, weight: float, dashes: tuple[float, ...] = ()) -> None:
        role = Role.EDGE if weight == WIDE else Role.DIMENSION
        self.draft.strokes.append(Stroke(role, path, dashes=dashes, weight=weight))


def _ends(drawn: Sequence[float], pitch: float, room: float) -> list[int]:
    """The stations that are lettered where there is no room for all: some from either end."""
    few = max(min(_FEW + 1, int(room / pitch / 2)), 1)
    last = len(drawn) - 1
    return sorted({*range(min(few, last)), *range(max(last - few + 1, 0), last + 1)})
