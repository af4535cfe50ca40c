"""The widest gap that shows when parts are shifted to where it is least.

With errors a of the boundaries of sense +1 and b of the others, the gaps at a shift v are
air + v - a and air - v - b. The widest of each sense has the smallest error, so that the best shift
is halfway between the two, or as near to it as the tightest boundaries allow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryfit.tolerance.links import row_errors
from dryfit.tolerance.normal import below, largest, spread_uniforms, standard

if TYPE_CHECKING:
    from dryfit.tolerance.closing import Shared
    from dryfit.tolerance.links import Link
    from dryfit.tolerance.normal import FloatArray

_POWER = 11
_SEED = 3


def widest_gaps(link: Link, gap: float, shared: Shared) -> FloatArray:
    """The widest gap at the best shift in every sample that goes together, in order. [mm]

    Parameters
    ----------
    link : Link
        A link that holds both ways.
    gap : float
        The swept gap. [mm]
    shared : Shared
        The misfit it shares with others.
    """
    uniforms = spread_uniforms(link.width + 4, _POWER, _SEED)
    misfit = shared.misfit + shared.misfit_sd * standard(uniforms[:, 0])
    air = link.air(np.full(len(misfit), gap), misfit)
    air = air - link.squeeze * standard(uniforms[:, 1]) / 2
    (least_a, most_a), (least_b, most_b) = _extremes(link, uniforms[:, 2:])
    low, high = most_a - air - link.pinch, air + link.pinch - most_b
    goes = low <= high
    shift = np.clip((least_a - least_b) / 2, low, np.maximum(low, high))
    widest = np.maximum(air + shift - least_a, air - shift - least_b)
    return np.sort(np.maximum(widest[goes], 0.0))


_Ends = tuple["FloatArray", "FloatArray"]


def _extremes(link: Link, uniforms: FloatArray) -> tuple[_Ends, _Ends]:
    """The smallest and the largest error of each sense. [mm]"""
    if link.row is not None:
        errors = row_errors(link.row, link.sd, standard(uniforms[:, : len(link.row.places) + 1]))
        senses = np.array(link.row.senses)
        own = -senses * errors
        plus, minus = own[:, senses > 0], own[:, senses < 0]
        return (plus.min(axis=1), plus.max(axis=1)), (minus.min(axis=1), minus.max(axis=1))
    return (
        _range(link.plus, link.sd, uniforms[:, 0], uniforms[:, 1]),
        _range(link.minus, link.sd, uniforms[:, 2], uniforms[:, 3]),
    )


def _range(count: int, sd: float, one: FloatArray, other: FloatArray) -> _Ends:
    """The smallest and the largest of some normals, from two uniforms each sample. [mm]

    Given the largest, the others are spread over what lies below it.
    """
    most = largest(one, count)
    if count == 1:
        return sd * most, sd * most
    share = below(most) * -np.expm1(np.log(other) / (count - 1))
    return sd * standard(np.clip(share, 2.0**-53, 1 - 2.0**-53)), sd * most
