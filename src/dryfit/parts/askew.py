"""Touch in angled corners: the parts as cut, put together at whatever angle they meet.

Where two panels are square to each other, the exact measure of :mod:`dryfit.parts.touch` serves:
both parts are only turned into frames that run along their edge. Elsewhere the parts are solids in
space and what both fill is computed. The depth of each of its pieces is measured as in square work,
by the largest cube: the longest d such that the corners of a cube of that side lie in it, its edges
along the outer edge and along one panel's thickness. A piece smaller than a thousandth of a cubic
millimetre is contact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from dryfit.joints.angled import lay_out
from dryfit.model.dihedrals import outer_edges
from dryfit.model.meeting import find_meetings
from dryfit.model.panel import Frame
from dryfit.parts.solids import solid_of
from dryfit.parts.touch import Touch, dry_fit
from dryfit.shapes.solid import Bulk
from dryfit.shapes.tolerances import CHORD, PARALLEL, SAME, SQUEEZE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.joints.angled import Run
    from dryfit.joints.joint import Joint
    from dryfit.joints.planning import Plans
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Piece
    from dryfit.parts.part import Part

FloatArray = npt.NDArray[np.float64]
Points: TypeAlias = "tuple[FloatArray, FloatArray]"


@dataclass(frozen=True, eq=False)
class _Seam:
    """An angled corner in space: its joint and the stretch that is divided evenly.

    `low` and `high` are points of the outer edge [mm], `along` points from one to the other, and
    `out` away from each panel in its own plane.
    """

    run: Run
    low: FloatArray
    high: FloatArray
    along: FloatArray
    out: FloatArray
    normals: FloatArray


def fit_angled(piece: Piece, plans: Plans, parts: Sequence[Part]) -> tuple[Touch, ...]:
    """Put the parts of every angled corner together and measure how they touch.

    Parameters
    ----------
    piece : Piece
        The panels.
    plans : Plans
        Their joints.
    parts : sequence of Part
        In the order of the piece.

    Returns
    -------
    tuple of Touch
        One for each angled corner.
    """
    solids: dict[int, Bulk] = {}
    found = []
    for seam in _seams(piece, plans):
        pair = seam.run.corner.a, seam.run.corner.b
        mates = parts[pair[0]], parts[pair[1]]
        if abs(math.cos(seam.run.corner.angle)) < PARALLEL:
            found.append(_square(seam, *mates))
            continue
        for panel, part in zip(pair, mates, strict=True):
            if panel not in solids:
                solids[panel] = in_place(part)
        found.append(_askew(seam, mates, (solids[pair[0]], solids[pair[1]])))
    return tuple(found)


def in_place(part: Part) -> Bulk:
    """A part as cut, where its panel's frame puts it."""
    return Bulk.of(solid_of(part, CHORD))


def _seams(piece: Piece, plans: Plans) -> Iterator[_Seam]:
    runs = lay_out(piece.panels, plans.meetings.angled)
    for meeting, joint in zip(plans.joined, plans.joints, strict=True):
        run = runs.get((meeting.a, meeting.b))
        if run is not None:
            yield _seam(piece.panels, run, joint)


def _seam(panels: Sequence[Panel], run: Run, joint: Joint) -> _Seam:
    edges = [outer_edges([panels[panel]]) for panel in (run.corner.a, run.corner.b)]
    (mine, theirs), (side, other) = edges, run.corner.sides
    begin = joint.plan.start
    low, high, _ = run.place(run.corner.a, begin, begin + joint.plan.length)
    return _Seam(
        run,
        mine.begin[side] + low * mine.along[side],
        mine.begin[side] + high * mine.along[side],
        mine.along[side],
        np.array((mine.out[side], theirs.out[other])),
        np.array((mine.normal[side], theirs.normal[other])),
    )


def _askew(seam: _Seam, parts: tuple[Part, Part], solids: tuple[Bulk, Bulk]) -> Touch:
    """Two parts at any other angle, as solids."""
    both = solids[0].common(solids[1])
    prism = _prism(seam, parts)
    filled = prism.common(solids[0]).volume + prism.common(solids[1]).volume
    gap = prism.volume - filled + prism.common(both).volume
    bodies = [body for body in both.pieces() if body.volume > SQUEEZE]
    depths = _depths(bodies, seam)
    return Touch(
        parts[0].name,
        parts[1].name,
        sum(body.volume for body in bodies),
        max(gap, 0.0),
        max((depth for depth, _ in depths), default=0.0),
        max((opened for _, opened in depths), default=0.0),
    )


def _depths(bodies: Sequence[Bulk], seam: _Seam) -> list[tuple[float, float]]:
    """How deep each body of overlap is, and how far it holds the joint open. [mm]

    Fingers repeat, and so do their overlaps: each shape is measured once.
    """
    axes = np.vstack((seam.along, seam.normals))
    cubes = [
        np.array((seam.along, normal, out))
        for normal, out in zip(seam.normals, seam.out, strict=True)
    ]
    seen: dict[tuple[float, ...], tuple[float, float]] = {}
    for body in bodies:
        extents = body.extents(axes)
        shape = tuple(np.round((body.volume, *extents), 6).tolist())
        if shape not in seen:
            # Faces in contact hang on to a body as flaps: its extents count them, this does not.
            most = float(extents.max())
            depth = max(body.spread(cube, most) for cube in cubes)
            seen[shape] = depth, min(body.spread(axes[[way]], most) for way in (1, 2))
    return list(seen.values())


def _prism(seam: _Seam, parts: tuple[Part, Part]) -> Bulk:
    """The bar of space that the slabs of both panels share, over the stretch of their joint."""
    own, mate = parts[0].thickness, parts[1].thickness
    sine = math.sin(seam.run.corner.angle)
    # From the outer edge into the plane of one panel, and into that of the other.
    one, two = -mate / sine * seam.out[0], -own / sine * seam.out[1]
    section = np.array((np.zeros(3), one, two, one + two))
    return Bulk.hull(np.concatenate((seam.low + section, seam.high + section)))


def _square(seam: _Seam, one: Part, other: Part) -> Touch:
    """Two parts square to each other, by the exact measure."""
    turned = (_turned(one, seam.along), _turned(other, seam.along))
    (lattice,) = find_meetings([part.panel for part in turned]).lattices
    axis = int(np.abs(lattice.turn @ seam.along).argmax())
    ends = sorted(float(lattice.turn[axis] @ point) for point in (seam.low, seam.high))
    spans = {(one.name, other.name): [(ends[0], ends[1])]}
    touches = dry_fit(turned, (lattice,), spans)
    touch = touches[0] if touches else Touch(one.name, other.name, 0.0, 0.0, 0.0, 0.0)
    if touch.overlap > SQUEEZE:
        return touch
    return replace(touch, overlap=0.0, penetration=0.0, open=0.0)


def _turned(part: Part, along: FloatArray) -> Part:
    """A part whose frame runs along an edge of it; its shape in space stays what it is."""
    frame = part.panel.frame
    u, n = np.round(along, 12) + 0.0, np.array(frame.n)
    v = np.cross(n, u)
    turn = np.array((u, v)) @ np.array((frame.u, frame.v)).T
    x0, y0, x1, y1 = part.as_cut.transformed(turn).bounds
    panel = replace(
        part.panel,
        frame=Frame(frame.origin, _triple(u), _triple(v), frame.n),
        width=max(x1 - x0, SAME),
        height=max(y1 - y0, SAME),
        outline=(),
    )
    return replace(part, panel=panel, as_cut=part.as_cut.transformed(turn))


def _triple(vector: FloatArray) -> tuple[float, float, float]:
    return float(vector[0]), float(vector[1]), float(vector[2])
