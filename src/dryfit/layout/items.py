"""From parts to the items that are laid: which face looks up, how they may be turned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.layout.data import Item, Key, Member, laid_matrix
from dryfit.model.panel import Face, Grain
from dryfit.parts.part import Purpose

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from dryfit.model.sheets import Rules
    from dryfit.parts.part import Part

Point = tuple[float, float]

_CHORD = 0.02
"""Sagitta of the chords that stand for arcs in an outline. [mm]"""

_IRREGULAR = 0.85
"""A part that fills less of its box than this is laid by its outline. [-]"""

_HOLLOW = 1.15
"""An outline whose hull is larger by more than this is laid as it is, not by its hull. [-]"""


@dataclass(frozen=True, slots=True)
class Order:
    """Parts to be laid.

    Parameters
    ----------
    parts : tuple of Part
        The parts of one piece.
    times : int
        How many pieces.
    job : int
        The number of their job, from 1.
    only : frozenset of str
        Names of the parts that are laid; empty lays all.
    matched : tuple of tuple of str
        Parts that are cut in sequence.
    """

    parts: tuple[Part, ...]
    times: int = 1
    job: int = 1
    only: frozenset[str] = frozenset()
    matched: tuple[tuple[str, ...], ...] = ()

    def count(self, part: Part, spare: Mapping[str, int]) -> int:
        """How many of a part are laid, spares among them."""
        if self.only and part.name not in self.only:
            return 0
        return self.times + spare.get(part.name, 0)


def faces_up(parts: Iterable[Part]) -> dict[str, Face]:
    """The face of each part that looks up when a sheet lies with its good side up.

    A good face looks up; of parts whose faces are alike, the one that is trenched. Where the only
    trenches of all parts with a good face are in the faces behind, the sheet lies with its good
    side down: then every trench can be cut from above.
    """
    listed = list(parts)
    good = [part for part in listed if part.panel.good_face]
    trenched = {part.name: {c.face for c in part.cuts_for(Purpose.TRENCH)} for part in listed}
    ahead = any(part.panel.good_face in trenched[part.name] for part in good)
    behind = any(trenched[part.name] - {part.panel.good_face} for part in good)
    down = behind and not ahead
    found = {}
    for part in listed:
        face = part.panel.good_face
        if face is None:
            found[part.name] = Face.A if trenched[part.name] == {Face.A} else Face.B
        else:
            found[part.name] = _other(face) if down else face
    return found


def _other(face: Face) -> Face:
    return Face.A if face is Face.B else Face.B


def items_of(
    order: Order, rules: Rules, *, grainless: bool, spare: Mapping[str, int] | None = None
) -> Iterator[Item]:
    """The items of parts of one stock.

    Parameters
    ----------
    order : Order
        The parts and how many.
    rules : Rules
        The spacing of those that are cut in sequence.
    grainless : bool
        Whether their stock has no grain, so that they may lie any way round.
    spare : mapping of str to int
        How many more of a part than pieces.
    """
    spare = spare or {}
    up = faces_up(order.parts)
    parts = {part.name: part for part in order.parts}
    groups = [group for group in order.matched if not order.only and all(n in parts for n in group)]
    bound = {name for group in groups for name in group}
    for part in order.parts:
        single = _single(part, up[part.name], grainless=grainless)
        count = order.count(part, spare)
        first = order.times if part.name in bound else 0
        for piece in range(first, count):
            yield _keyed(single, Key(part.name, piece + 1, order.job))
    for group in groups:
        rows = [_single(parts[name], up[name], grainless=False) for name in group]
        for piece in range(1, order.times + 1):
            keys = [Key(name, piece, order.job) for name in group]
            yield _in_sequence(rows, keys, rules.spacing)


def _keyed(item: Item, key: Key) -> Item:
    return replace(item, members=(replace(item.members[0], key=key),))


def _single(part: Part, up: Face, *, grainless: bool) -> Item:
    """A part by itself, its box as its drawing lies with that face up."""
    x0, y0, x1, y1 = part.profile.bounds
    width, height = x1 - x0, y1 - y0
    turns = {Grain.U: (0, 2), Grain.V: (1, 3), Grain.FREE: (0, 1, 2, 3)}[part.panel.grain]
    return Item(
        width,
        height,
        (0, 1, 2, 3) if grainless else turns,
        (Member(Key(part.name), 0.0, 0.0, width, height),),
        up,
        _outline(part, up),
    )


def _in_sequence(rows: Sequence[Item], keys: Sequence[Key], spacing: float) -> Item:
    """Parts one behind the other along the grain, the figure running from one to the next."""
    members, x = [], 0.0
    for item, key in zip(rows, keys, strict=True):
        turned = item.turns[0]
        width, height = item.size(turned)
        members.append(Member(key, x, 0.0, width, height, turned))
        x += width + spacing
    height = max(member.height for member in members)
    return Item(x - spacing, height, (0, 2), tuple(members), rows[0].up)


def _outline(part: Part, up: Face) -> tuple[Point, ...]:
    """The ring to lay a really irregular part by, within its box; empty for any other."""
    x0, y0, x1, y1 = part.profile.bounds
    outer = part.profile.outer
    if outer.area >= _IRREGULAR * (x1 - x0) * (y1 - y0):
        return ()
    matrix = laid_matrix(0, up)
    points = [
        (matrix[0][0] * u + matrix[0][1] * v, matrix[1][0] * u + matrix[1][1] * v)
        for u, v in outer.dense(_CHORD).tolist()
    ]
    points = points if up is Face.B else points[::-1]
    low = min(x for x, _ in points), min(y for _, y in points)
    ring = [(round(x - low[0], 3), round(y - low[1], 3)) for x, y in points]
    hull = _hull(ring)
    return tuple(hull if _area(hull) <= _HOLLOW * _area(ring) else ring)


def _area(ring: Sequence[Point]) -> float:
    """Area of a ring, positive when counter-clockwise. [mm²]"""
    following = [*ring[1:], ring[0]]
    return sum(a * d - b * c for (a, b), (c, d) in zip(ring, following, strict=True)) / 2


def _hull(points: Iterable[Point]) -> list[Point]:
    """Corners of the convex hull, counter-clockwise (Andrew's monotone chain)."""

    def chain(ordered: Iterable[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in ordered:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    ordered = sorted(set(points))
    return chain(ordered) + chain(reversed(ordered))


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle; positive where it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
