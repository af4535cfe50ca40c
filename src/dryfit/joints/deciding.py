"""The corners' owners and parities, decided for each connected group in its canonical pose."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.joints.owners import ANYONE, Corner, Question, decide
from dryfit.joints.pose import canonical_pose, mirrors
from dryfit.model.meeting import Meeting, MeetingKind, Meetings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.pose import Pose
    from dryfit.model.piece import Piece

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Decided:
    """What the search decided of one corner: who is first at the low end, and the parity."""

    first: int
    odd: bool
    granted: bool


def decide_corners(
    piece: Piece, meetings: Meetings
) -> tuple[dict[tuple[int, int], Decided], list[int], bool]:
    """Decide every corner and every block of a piece.

    Returns
    -------
    dict
        What was decided, by the two panels of each corner.
    list of int
        The panel that owns each block.
    bool
        Whether no better choice exists.
    """
    corners = [m for m in meetings.meetings if m.kind is MeetingKind.CORNER]
    decided: dict[tuple[int, int], Decided] = {}
    owners = [ANYONE] * len(meetings.blocks)
    proved = True
    for group in _groups(corners):
        proved = _decide_group(piece, meetings, group, owners, decided) and proved
    return decided, owners, proved


def _groups(corners: Sequence[Meeting]) -> list[list[Meeting]]:
    """Corners by connected group of panels."""
    parent: dict[int, int] = {}

    def root(panel: int) -> int:
        while parent.setdefault(panel, panel) != panel:
            parent[panel] = parent[parent[panel]]
            panel = parent[panel]
        return panel

    for corner in corners:
        parent[root(corner.a)] = root(corner.b)
    groups: dict[int, list[Meeting]] = defaultdict(list)
    for corner in corners:
        groups[root(corner.a)].append(corner)
    return list(groups.values())


def _decide_group(
    piece: Piece,
    meetings: Meetings,
    corners: list[Meeting],
    owners: list[int],
    decided: dict[tuple[int, int], Decided],
) -> bool:
    """Decide one connected group in its canonical pose and bring the answer home."""
    panels = sorted({panel for corner in corners for panel in (corner.a, corner.b)})
    lattice = meetings.lattices[corners[0].lattice]
    rows = np.searchsorted(lattice.panels, panels)
    traits = _traits(piece, panels)
    wishes = _wish_table(piece, corners, panels)
    pose = canonical_pose(lattice.low[rows], lattice.high[rows], traits, wishes)
    home = [panels[row] for row in pose.order]
    place = {panel: number for number, panel in enumerate(home)}
    question, blocks, ordered = _pose_question(piece, meetings, corners, pose, place, traits)
    answer = decide(question)
    for number, block in enumerate(blocks):
        owners[block] = home[answer.owners[number]]
    for corner, turn in zip(ordered, answer.turns, strict=True):
        first = home[turn.lead]
        if not turn.odd and pose.reverses(corner.axis):
            first = corner.b if first == corner.a else corner.a
        decided[corner.a, corner.b] = Decided(first, turn.odd, turn.granted)
    return answer.proved


def _traits(piece: Piece, panels: list[int]) -> FloatArray:
    """What tells panels apart beside their boxes: rank, and the wishes of their joints."""
    wishes = [
        tuple(
            sorted(
                (wish.count or 0, wish.width or 0.0, 1 + (wish.leads == piece.panels[i].name))
                for wish in piece.wishes_of(piece.panels[i].name)
            )
        )
        for i in panels
    ]
    flavours = {wish: number for number, wish in enumerate(sorted(set(wishes)))}
    return np.array(
        [(piece.panels[i].rank, flavours[wish]) for i, wish in zip(panels, wishes, strict=True)],
        dtype=np.float64,
    )


def _wish_table(piece: Piece, corners: list[Meeting], panels: list[int]) -> FloatArray:
    """Wishes of single corners: two panels by place, who leads (+1, -1 or 0), count, width."""
    place = {panel: number for number, panel in enumerate(panels)}
    rows = []
    for corner in corners:
        one, other = (piece.panels[i].name for i in (corner.a, corner.b))
        wish = piece.wishes.get(frozenset((one, other)))
        if wish is not None and wish.divides:
            leads = (wish.leads == one) - (wish.leads == other)
            rows.append(
                (place[corner.a], place[corner.b], leads, wish.count or 0, wish.width or 0.0)
            )
    return np.array(rows, dtype=np.float64).reshape(-1, 5)


def _pose_question(
    piece: Piece,
    meetings: Meetings,
    corners: list[Meeting],
    pose: Pose,
    place: dict[int, int],
    traits: FloatArray,
) -> tuple[Question, list[int], list[Meeting]]:
    """The group as the search sees it: canonical numbers, corners and blocks in that order."""
    ordered = sorted(corners, key=lambda c: tuple(sorted((place[c.a], place[c.b]))))
    used = {block for corner in corners for block in corner.blocks if block >= 0}
    trios = {b: tuple(sorted(place[p] for p in meetings.blocks[b].panels)) for b in used}
    blocks = sorted(used, key=lambda b: trios[b])
    number = {block: n for n, block in enumerate(blocks)} | {ANYONE: ANYONE}
    posed = [_pose_corner(piece, corner, pose, place, number) for corner in ordered]
    by_trio = {trios[block]: number[block] for block in blocks}
    mirrored = [
        (number[block], by_trio[image], {p: int(goes[p]) for p in trios[block]})
        for goes in mirrors(pose, traits[pose.order])
        for block in blocks
        if (image := tuple(sorted(int(goes[p]) for p in trios[block]))) in by_trio
        and number[block] <= by_trio[image]
    ]
    lattice = meetings.lattices[corners[0].lattice]
    rows = np.searchsorted(lattice.panels, sorted(place, key=lambda panel: place[panel]))
    normals = np.array([pose.axis_of(int(axis)) for axis in lattice.axes[rows, 2]])
    precedence = _precedence(pose, traits[pose.order], normals)
    question = Question(posed, [trios[b] for b in blocks], mirrored, precedence)
    return question, blocks, ordered


def _pose_corner(
    piece: Piece, corner: Meeting, pose: Pose, place: dict[int, int], number: dict[int, int]
) -> Corner:
    wish = piece.wish_for(piece.panels[corner.a].name, piece.panels[corner.b].name)
    odd = None if wish.count is None else wish.count % 2 == 1
    leads = next(
        (place[p] for p in (corner.a, corner.b) if piece.panels[p].name == wish.leads), None
    )
    low, high = (number[block] for block in corner.blocks)
    reverses = pose.reverses(corner.axis)
    ends = (high, low) if reverses else (low, high)
    return Corner((place[corner.a], place[corner.b]), ends, odd, leads, from_high=reverses)


def _precedence(pose: Pose, traits: FloatArray, normal: IntArray) -> list[int]:
    """Places when a choice is free: rank, then the larger pair of parallel panels.

    `normal` is the canonical axis that each panel's thickness runs along, in canonical order: a
    narrow panel may be thicker than it is wide.
    """
    sizes = pose.high - pose.low
    faces = sizes.prod(axis=1) / sizes[np.arange(len(sizes)), normal]
    total = np.array([faces[normal == axis].sum() for axis in range(3)])
    keys = [
        (float(traits[i, 0]), -round(float(total[normal[i]]), 6), int(normal[i]), i)
        for i in range(len(traits))
    ]
    ranked = sorted(range(len(keys)), key=lambda i: keys[i])
    places = [0] * len(keys)
    for rank, i in enumerate(ranked):
        places[i] = rank
    return places
