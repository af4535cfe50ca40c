"""Who owns the corner blocks, and whether each finger plan is odd or even: one search.

Three panels share a small block wherever three corners meet, and exactly one of them will own it.
The choice at both ends of a corner fixes the parity of its finger plan: odd when one panel owns
both ends, even when the two panels own one each, free when a third panel owns an end or nobody
shares it. All blocks of a group of panels are therefore chosen together, to make least, in this
order:

1. what the maker asked for and cannot have,
2. even plans the maker did not ask for,
3. broken mirror symmetry,
4. departures from precedence (rank, then the larger pair of parallel panels).

It is a constraint problem whose costs lie on single blocks, on pairs of blocks at the two ends of
one corner and on pairs of mirror images. It is solved exactly by branch and bound, one connected
set of blocks at a time, with canonical tie-breaking.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ANYONE = -1
"""The owner of an end that no third panel shares."""

NODE_LIMIT = 200_000
"""Partial choices looked at before the best so far is taken as it is, unproved."""

_STEP = 10**6


@dataclass(frozen=True, slots=True)
class Corner:
    """One corner as the search sees it: panels and blocks by number.

    Parameters
    ----------
    panels : pair of int
        The two panels.
    blocks : pair of int
        The block at the low and the high end, or `ANYONE`.
    odd : bool, optional
        The parity the maker asked for. None: not asked.
    leads : int, optional
        The panel that the maker wants to own the first division. None: not asked.
    from_high : bool
        Whether the maker counts from the high end.
    """

    panels: tuple[int, int]
    blocks: tuple[int, int]
    odd: bool | None = None
    leads: int | None = None
    from_high: bool = False

    def other(self, panel: int) -> int:
        """The panel that `panel` meets here."""
        return self.panels[1] if panel == self.panels[0] else self.panels[0]


@dataclass(frozen=True, slots=True)
class Turn:
    """How one corner comes out: who owns the first division, and whether the count is odd."""

    lead: int
    odd: bool
    granted: bool


@dataclass(frozen=True, slots=True)
class Ownership:
    """The search's answer.

    Parameters
    ----------
    owners : tuple of int
        The panel that owns each block.
    turns : tuple of Turn
        How each corner comes out.
    proved : bool
        Whether no better choice exists; False when the search was cut short.
    """

    owners: tuple[int, ...]
    turns: tuple[Turn, ...]
    proved: bool


@dataclass(frozen=True, slots=True)
class Question:
    """A whole group: its corners, its blocks, its mirrors and its precedence.

    Parameters
    ----------
    corners : sequence of Corner
        Every corner of the group.
    blocks : sequence of tuple of int
        The three panels that share each block.
    mirrored : sequence of (int, int, mapping)
        Pairs of blocks that are mirror images, with the image of each panel.
    precedence : sequence of int
        Place of each panel when a choice is free; the smaller leads.
    """

    corners: Sequence[Corner]
    blocks: Sequence[tuple[int, ...]]
    mirrored: Sequence[tuple[int, int, Mapping[int, int]]]
    precedence: Sequence[int]


def decide(question: Question) -> Ownership:
    """Choose every block's owner and every corner's turn, together."""
    search = _Search(question)
    owners: dict[int, int] = {}
    proved = True
    for group in search.connected():
        chosen, exact = search.best(group)
        owners.update(chosen)
        proved = proved and exact
    ordered = tuple(owners[number] for number in range(len(question.blocks)))
    turns = tuple(
        turn_of(corner, _ends(corner, owners), question.precedence) for corner in question.corners
    )
    return Ownership(ordered, turns, proved)


def turn_of(corner: Corner, ends: tuple[int, int], precedence: Sequence[int]) -> Turn:
    """How a corner comes out once its ends have owners.

    What the maker asked for comes first, then an odd count, then the panel that precedes.
    """
    choices = [
        (lead, odd)
        for lead in corner.panels
        for odd in (True, False)
        if _may(ends[0], lead, corner.panels)
        and _may(ends[1], lead if odd else corner.other(lead), corner.panels)
    ]

    def cost(choice: tuple[int, bool]) -> tuple[int, bool, int]:
        return _denied(corner, choice), not choice[1], precedence[choice[0]]

    lead, odd = min(choices, key=cost)
    return Turn(lead, odd, granted=_denied(corner, (lead, odd)) == 0)


def _may(end: int, panel: int, panels: tuple[int, int]) -> bool:
    """Whether a division of `panel` may lie at an end of that owner."""
    return end not in panels or end == panel


def _denied(corner: Corner, choice: tuple[int, bool]) -> int:
    """How many of the maker's wishes a choice denies; parity weighs before the lead."""
    lead, odd = choice
    first = lead if odd or not corner.from_high else corner.other(lead)
    return 2 * (corner.odd is not None and corner.odd != odd) + (
        corner.leads is not None and corner.leads != first
    )


def _ends(corner: Corner, owners: Mapping[int, int]) -> tuple[int, int]:
    low, high = corner.blocks
    return owners.get(low, ANYONE), owners.get(high, ANYONE)


class _Search:
    """Branch and bound over the blocks of one question.

    Costs are whole numbers: denied wishes, even plans, broken mirrors and precedence, each a
    million times the next.
    """

    def __init__(self, question: Question) -> None:
        self.question = question
        self.alone: list[dict[int, int]] = [
            {panel: question.precedence[panel] for panel in panels} for panels in question.blocks
        ]
        self.pairs: list[list[tuple[int, dict[tuple[int, int], int]]]] = [
            [] for _ in question.blocks
        ]
        for corner in question.corners:
            self._cost_corner(corner)
        for one, other, image in question.mirrored:
            self._cost_mirror(one, other, image)

    def _corner_cost(self, corner: Corner, ends: tuple[int, int]) -> int:
        turn = turn_of(corner, ends, self.question.precedence)
        unasked = not turn.odd and corner.odd is not False
        return (_denied(corner, (turn.lead, turn.odd)) * _STEP + unasked) * _STEP * _STEP

    def _cost_corner(self, corner: Corner) -> None:
        low, high = corner.blocks
        blocks = self.question.blocks
        if low >= 0 and high >= 0:
            table = {
                (p, q): self._corner_cost(corner, (p, q)) for p in blocks[low] for q in blocks[high]
            }
            self._add_pair(low, high, table)
        elif low >= 0:
            for panel in blocks[low]:
                self.alone[low][panel] += self._corner_cost(corner, (panel, ANYONE))
        elif high >= 0:
            for panel in blocks[high]:
                self.alone[high][panel] += self._corner_cost(corner, (ANYONE, panel))

    def _cost_mirror(self, one: int, other: int, image: Mapping[int, int]) -> None:
        blocks = self.question.blocks
        if one == other:
            for panel in blocks[one]:
                self.alone[one][panel] += (image[panel] != panel) * _STEP
            return
        self._add_pair(
            one,
            other,
            {(p, q): (image[p] != q) * _STEP for p in blocks[one] for q in blocks[other]},
        )

    def _add_pair(self, one: int, other: int, table: dict[tuple[int, int], int]) -> None:
        self.pairs[one].append((other, table))
        self.pairs[other].append((one, {(q, p): cost for (p, q), cost in table.items()}))

    def connected(self) -> list[list[int]]:
        """The connected sets of blocks, each in breadth-first order."""
        seen: set[int] = set()
        groups = []
        for start in range(len(self.question.blocks)):
            if start in seen:
                continue
            seen.add(start)
            group = [start]
            for block in group:
                for other, _ in self.pairs[block]:
                    if other not in seen:
                        seen.add(other)
                        group.append(other)
            groups.append(group)
        return groups

    def best(self, group: list[int]) -> tuple[dict[int, int], bool]:
        """The cheapest owners of one connected set of blocks, and whether that is proved."""
        best: tuple[int, dict[int, int]] | None = None
        chosen: dict[int, int] = {}
        nodes = 0
        toll = [dict(self.alone[block]) for block in range(len(self.question.blocks))]

        def descend(depth: int, spent: int) -> None:
            nonlocal best, nodes
            nodes += 1
            if best is not None and (nodes > NODE_LIMIT or spent + rest(depth) >= best[0]):
                return
            if depth == len(group):
                best = spent, dict(chosen)
                return
            block = group[depth]
            for panel in sorted(toll[block], key=lambda p: (toll[block][p], p)):
                price = toll[block][panel]
                chosen[block] = panel
                charge(block, panel, 1)
                descend(depth + 1, spent + price)
                charge(block, panel, -1)
                del chosen[block]

        def rest(depth: int) -> int:
            """What the blocks still to be chosen cost at the very least."""
            return sum(min(toll[block].values()) for block in group[depth:])

        def charge(block: int, panel: int, sign: int) -> None:
            """Add to, or take from, the blocks not yet chosen what this choice costs them."""
            for other, table in self.pairs[block]:
                if other not in chosen:
                    for owner in toll[other]:
                        toll[other][owner] += sign * table[(panel, owner)]

        descend(0, 0)
        assert best is not None
        return best[1], nodes <= NODE_LIMIT
