"""What to cut, and what the ideal cutter leaves of it.

The outline to cut is the square outline with its relief bitten out. As-cut is that outline after
the waste has been opened by a disc of the cutter's radius: every place the cutter cannot reach
stays. Router and laser leave round inside corners, saw and hand square ones (their scatter
belongs to the odds).

Arcs are built in closed form where they fit, which is nearly always. Where a bite runs into its
neighbour or past the tip of a finger, the discs are taken away, and the waste opened, by the
general operations on profiles.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from dryfit.model.cutter import Relief, Route
from dryfit.parts.relief import bite_centres, rounded
from dryfit.shapes.profile import Loop, Profile

if TYPE_CHECKING:
    from dryfit.model.cutter import Cutter

FloatArray = npt.NDArray[np.float64]


def cut_and_left(loop: Loop, inside: FloatArray, cutter: Cutter) -> tuple[Profile, Profile]:
    """The outline to cut, and the shape that the cutter leaves.

    Parameters
    ----------
    loop : Loop
        Outline with square inside corners. [mm]
    inside : array, shape (k,)
        Marks of the inside corners, as from :func:`dryfit.parts.outline.outline`.
    cutter : Cutter
        What cuts.

    Returns
    -------
    pair of Profile
        Drawn, with relief; and as cut. [mm]
    """
    relief = cutter.relief if cutter.route is Route.ROUTER else Relief.NONE
    square = Profile(loop)
    if cutter.radius == 0:
        return square, square
    entered, corners = _entered(loop, inside, cutter.radius)
    if relief is Relief.NONE:
        easy = rounded(entered, corners, relief, cutter.radius)
        return square, Profile(easy) if easy is not None else _opened(square, cutter.radius)
    drawn = _relieved(loop, inside, relief, cutter.radius)
    # A disc that enters a socket and bites its corners reaches all that was drawn there.
    if entered is loop:
        return drawn, drawn
    return drawn, _relieved(entered, corners, relief, cutter.radius)


def mortise(
    rectangle: tuple[float, float, float, float], along: bool, cutter: Cutter
) -> tuple[Profile, Loop]:
    """A mortise to cut, and the hole that the cutter leaves.

    Parameters
    ----------
    rectangle : tuple of float
        Low u, low v, high u, high v. [mm]
    along : bool
        Whether the joint runs along u: then the walls along v are the mortise's flanks.
    cutter : Cutter
        What cuts.

    Returns
    -------
    Profile
        What to take out, reliefs included. [mm]
    Loop
        What is taken out, counter-clockwise: the square hole where the cutter shuts itself out.
    """
    relief = cutter.relief if cutter.route is Route.ROUTER else Relief.NONE
    u0, v0, u1, v1 = rectangle
    square = Profile.rectangle(*rectangle)
    radius = cutter.radius
    if radius == 0:
        return square, square.outer
    # The wood lies outside: seen from there every corner turns the other way.
    around = Loop.of([(u0, v0), (u0, v1), (u1, v1), (u1, v0)])
    inside = np.array([-1.0, 1.0, -1.0, 1.0]) * (1.0 if along else -1.0)
    # A bite that does not fit beside its neighbour gives way to one that does.
    styles = (Relief.NONE,) if relief is Relief.NONE else (relief, Relief.DIAGONAL, Relief.SHOULDER)
    tries = (rounded(around, inside, style, radius) for style in styles)
    easy = next((found for found in tries if found is not None), None)
    if easy is None or min(u1 - u0, v1 - v0) < 2 * radius:
        return square, square.outer
    hole = easy.reversed()
    return (square if relief is Relief.NONE else Profile(hole)), hole


def _entered(loop: Loop, inside: FloatArray, radius: float) -> tuple[Loop, FloatArray]:
    """The outline without the sockets that shut the cutter out: their wood stays.

    That the cutter dips a little into such a socket's mouth is left out: the part is no good
    either way.
    """
    edges = loop.edges
    lengths = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    after = np.roll(inside, -1)
    narrow = (inside > 0) & (after < 0) & (lengths < 2 * radius)
    if not narrow.any():
        return loop, inside
    keep = ~(narrow | np.roll(narrow, 1))
    return Loop(loop.vertices[keep]), inside[keep]


def _relieved(loop: Loop, inside: FloatArray, relief: Relief, radius: float) -> Profile:
    """The outline with its reliefs, in closed form where they keep clear of one another."""
    easy = rounded(loop, inside, relief, radius)
    if easy is not None:
        return Profile(easy)
    return _bitten(Profile(loop), bite_centres(loop, inside, relief, radius), radius)


def _bitten(square: Profile, centres: FloatArray, radius: float) -> Profile:
    """The square outline less a disc at every centre."""
    # Loads GEOS, which the closed forms do not need.
    from dryfit.shapes.boolean import difference

    discs = [
        Profile(Loop.of([(x - radius, y, 1.0), (x + radius, y, 1.0)])) for x, y in centres.tolist()
    ]
    return max(difference([square], discs), key=lambda profile: profile.area)


def _opened(drawn: Profile, radius: float) -> Profile:
    """What stays of an outline when a disc has been wherever it could."""
    from dryfit.shapes.offset import closed_by_disc

    return max(closed_by_disc(drawn, radius), key=lambda profile: profile.area)
