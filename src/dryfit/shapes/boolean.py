"""Union, difference and intersection of profiles, true arcs kept.

Every edge is cut exactly where it touches or crosses another; each piece is kept if the
result lies on one side of it only; the kept pieces are joined to loops. Dense copies handed to
GEOS say which pieces lie inside which profile, and referee the area of every result.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np
import numpy.typing as npt

from dryfit.errors import ShapeError
from dryfit.shapes import arc, geos, trace
from dryfit.shapes.pieces import Pieces, cut
from dryfit.shapes.tolerances import CHORD, SAME, SLIVER

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.profile import Profile

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]
Kind = Literal["union", "difference", "intersection"]


def union(profiles: Sequence[Profile]) -> list[Profile]:
    """Everything covered by any of the profiles, which may overlap.

    Raises
    ------
    ShapeError
        If the outlines cannot be told apart or the area disagrees with the referee's.
    """
    return _combined("union", profiles, ())[0] if profiles else []


def union_and_seams(profiles: Sequence[Profile]) -> tuple[list[Profile], FloatArray]:
    """The union, and the edges inside it that are inside none of the profiles.

    Returns
    -------
    union : list of Profile
        As :func:`union`.
    seams : array, shape (k, 5)
        Lines and arcs where profiles touch from both sides. [mm]
    """
    made, pieces, left, right = _combined("union", profiles, ())
    held = np.zeros(len(pieces.edges), dtype=np.intp)
    index, _, side = pieces.bounds.T
    np.add.at(held, index[side > 0], 1)
    seam = (left[:, 0] == held) & (left[:, 0] > 0) & (right[:, 0] > 0)
    return made, pieces.edges[seam]


def difference(profiles: Sequence[Profile], others: Sequence[Profile]) -> list[Profile]:
    """What is in any of `profiles` and in none of `others`.

    Raises
    ------
    ShapeError
        If the outlines cannot be told apart or the area disagrees with the referee's.
    """
    return _combined("difference", profiles, others)[0] if profiles else []


def intersection(profiles: Sequence[Profile], others: Sequence[Profile]) -> list[Profile]:
    """What is in any of `profiles` and in any of `others`.

    Raises
    ------
    ShapeError
        If the outlines cannot be told apart or the area disagrees with the referee's.
    """
    return _combined("intersection", profiles, others)[0] if profiles and others else []


def arranged(groups: Sequence[Sequence[Profile]]) -> tuple[Pieces, IntArray, IntArray]:
    """All outlines cut where they meet, and what lies on either side of every piece.

    Parameters
    ----------
    groups : sequence of sequences of Profile
        Profiles that count as one, group by group.

    Returns
    -------
    pieces : Pieces
        Their pieces.
    left, right : array, shape (k, groups)
        How many profiles of each group lie left and right of each piece. [-]
    """
    profiles = [one for group in groups for one in group]
    group = np.repeat(np.arange(len(groups)), [len(each) for each in groups])
    pieces = cut(profiles)
    return pieces, *_sides(pieces, profiles, _dense(profiles), group, len(groups))


def _combined(
    kind: Kind, first: Sequence[Profile], second: Sequence[Profile]
) -> tuple[list[Profile], Pieces, IntArray, IntArray]:
    """The result, the pieces, and how many profiles of each group lie left and right of them."""
    both = [*first, *second]
    shapes = _dense(both)
    pieces = cut(both)
    group = (np.arange(len(both)) >= len(first)).astype(np.intp)
    left, right = _sides(pieces, both, shapes, group, 2)
    result = bounded(pieces, _rule(kind, left), _rule(kind, right))
    _check_area(kind, result, both, shapes, len(first))
    return result, pieces, left, right


def _dense(profiles: Sequence[Profile]) -> geos.Regions:
    """Copies of the profiles with chords for arcs."""
    loops = [loop for one in profiles for loop in one.loops]
    points, first = arc.dense_many([loop.edges for loop in loops], CHORD)
    rings = iter(np.split(points, first[1:]))
    return geos.regions([[next(rings) for _ in one.loops] for one in profiles])


def _rule(kind: Kind, count: IntArray) -> BoolArray:
    """Whether the result is where so many profiles of each group are; count (k, 2)."""
    in_first, in_second = count[:, 0] > 0, count[:, 1] > 0
    if kind == "union":
        return np.asarray(in_first | in_second)
    if kind == "difference":
        return np.asarray(in_first & ~in_second)
    return np.asarray(in_first & in_second)


def _sides(
    pieces: Pieces, profiles: Sequence[Profile], shapes: geos.Regions, group: IntArray, count: int
) -> tuple[IntArray, IntArray]:
    """How many profiles of each group lie left and right of each piece; (k, count) each."""
    piece, profile = _containing(pieces, profiles, shapes)
    both = np.zeros((len(pieces.edges), count), dtype=np.intp)
    np.add.at(both, (piece, group[profile]), 1)
    left, right = both, both.copy()
    index, owner, side = pieces.bounds.T
    np.add.at(left, (index[side > 0], group[owner[side > 0]]), 1)
    np.add.at(right, (index[side < 0], group[owner[side < 0]]), 1)
    return left, right


def _containing(
    pieces: Pieces, profiles: Sequence[Profile], shapes: geos.Regions
) -> tuple[IntArray, IntArray]:
    """Pairs (piece, profile): the piece runs inside a profile that it does not bound."""
    count = len(profiles)
    points = trace.middles(pieces.edges)
    profile, piece = geos.inside_pairs(shapes, points)
    own = pieces.bounds[:, 0] * count + pieces.bounds[:, 1]
    doubt = np.setdiff1d(_doubtful(profiles, points), own)
    sure = np.setdiff1d(piece * count + profile, np.concatenate((own, doubt)))
    truly = [k for k in doubt.tolist() if _is_inside(profiles[k % count], points, k // count)]
    keys = np.concatenate((sure, np.array(truly, dtype=np.intp)))
    return keys // count, keys % count


def _is_inside(profile: Profile, points: FloatArray, k: int) -> bool:
    return bool(trace.inside(profile.edges, points[k : k + 1])[0])


def _doubtful(profiles: Sequence[Profile], points: FloatArray) -> IntArray:
    """Keys of pairs (point, profile) so near to an arc that its chords may deceive."""
    arcs = [profile.edges[profile.edges[:, 4] != 0] for profile in profiles]
    owner = np.repeat(np.arange(len(profiles)), [len(one) for one in arcs])
    edges = np.concatenate(arcs)
    if not len(edges):
        return np.zeros(0, dtype=np.intp)
    point, edge = geos.point_box_pairs(points, arc.extremes(edges), 2 * CHORD)
    away = points[point] - arc.centre(edges[edge])
    off = np.abs(np.hypot(away[:, 0], away[:, 1]) - arc.radius(edges[edge]))
    near = off < 2 * CHORD
    return np.unique(point[near] * len(profiles) + owner[edge[near]])


def bounded(pieces: Pieces, inside_left: BoolArray, inside_right: BoolArray) -> list[Profile]:
    """Profiles along the pieces that have a region on one side only, its inside on their left."""
    on = np.nonzero(inside_left & ~inside_right)[0]
    back = np.nonzero(inside_right & ~inside_left)[0]
    turned = pieces.edges[back][:, [2, 3, 0, 1, 4]] * np.array([1, 1, 1, 1, -1.0])
    edges = np.concatenate((pieces.edges[on], turned))
    ends = np.concatenate((pieces.ends[on], pieces.ends[back][:, ::-1]))
    carrier = pieces.carrier[np.concatenate((on, back))]
    return trace.profiles(trace.loops(edges, ends, carrier))


def _check_area(
    kind: Kind,
    result: Sequence[Profile],
    profiles: Sequence[Profile],
    shapes: geos.Regions,
    split: int,
) -> None:
    """Compare the area with that of the dense copies.

    The copies differ from the profiles by the segments between arcs and chords, so the results
    differ by no more than the sum of these, which are thinner than CHORD.
    """
    arcs = np.concatenate([one.edges for one in profiles])
    arcs = arcs[arcs[:, 4] != 0]
    bound = CHORD * float(np.sum(arc.length(arcs))) + SLIVER * sum(one.length for one in profiles)
    measured = sum(one.area for one in result)
    referee = geos.overlay_area(kind, shapes[:split], shapes[split:])
    if not abs(measured - referee) <= bound + SAME:
        raise ShapeError(
            f"The {kind} measures {measured:.6f} mm² and its check {referee:.6f} mm²: "
            "move the outlines apart by 0.001 mm"
        )
