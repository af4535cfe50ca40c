"""Blade sets: what goes on the arbor for a width that is wanted.

Vocabulary
----------
outer blade
    One of the two blades at the ends of a set; one alone cuts its own width.
chipper
    A cutter that goes between the outer blades.
shim
    A thin ring between two of them, for what the chippers cannot make up.
make-up
    What is put on the arbor for one width.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import ceil, fsum, inf
from typing import TYPE_CHECKING

from dryfit.errors import SizeError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.model.cutter import BladeSet

_FINEST = 6  # decimals to which widths are told apart, far finer than any shim [mm]
_SPARE = 1e-3  # a cut that lacks no more than this needs no further pass [mm]


@dataclass(frozen=True, slots=True)
class MakeUp:
    """What is put on the arbor.

    Parameters
    ----------
    outers : tuple of float
        Width of each outer blade, one or two. [mm]
    chippers : tuple of float
        Width of each chipper between them, widest first. [mm]
    shims : tuple of float
        Thickness of each shim, thickest first. [mm]
    """

    outers: tuple[float, ...]
    chippers: tuple[float, ...] = ()
    shims: tuple[float, ...] = ()

    @property
    def width(self) -> float:
        """What it cuts in one pass. [mm]"""
        return round(fsum((*self.outers, *self.chippers, *self.shims)), 9)

    @property
    def pieces(self) -> int:
        """How many things are on the arbor. [-]"""
        return len(self.outers) + len(self.chippers) + len(self.shims)


@dataclass(frozen=True, slots=True)
class Passes:
    """How a socket is cut that is wider than the blade.

    Parameters
    ----------
    count : int
        Passes over each socket. [-]
    step : float
        How far the board moves between two of them; 0 for one pass. [mm]
    """

    count: int
    step: float


def nearest(owned: BladeSet, wanted: float) -> MakeUp:
    """The make-up that comes nearest to a width, of all that the set allows.

    Of several as near, the one of fewest pieces; then the one of fewest shims, then the narrower.

    Parameters
    ----------
    owned : BladeSet
        What there is.
    wanted : float
        The width of the cut. [mm]

    Examples
    --------
    >>> from dryfit.model.cutter import BladeSet
    >>> set_of = BladeSet(3.175, (3.175, 3.175, 2.38125, 1.5875), (0.1, 0.2))
    >>> nearest(set_of, 12.8)
    MakeUp(outers=(3.175, 3.175), chippers=(3.175, 3.175), shims=(0.1,))
    """
    found = remembered_best(owned, wanted, inf)
    assert found is not None, "one outer blade alone is a make-up"
    return found


def widest_under(owned: BladeSet, wanted: float) -> MakeUp | None:
    """The widest make-up that is no wider than a width; None where each is. [mm]

    Parameters
    ----------
    owned : BladeSet
        What there is.
    wanted : float
        The width. [mm]
    """
    return remembered_best(owned, wanted, wanted + _SPARE)


def passes(blade: float, wanted: float) -> Passes:
    """How often a blade goes through a socket, and how far the board moves each time.

    Parameters
    ----------
    blade : float
        What it cuts in one pass. [mm]
    wanted : float
        Width of the socket. [mm]

    Raises
    ------
    SizeError
        If the blade is wider than the socket.

    Examples
    --------
    >>> passes(3.2, 8.0)
    Passes(count=3, step=2.4)
    """
    if not 0 < blade <= wanted + _SPARE:
        raise SizeError(
            f"a blade {blade:.2f} mm wide cuts no socket of {wanted:.2f} mm; "
            "take a narrower blade or make the fingers wider"
        )
    count = max(1, ceil((wanted - _SPARE) / blade))
    return Passes(count, round((wanted - blade) / (count - 1), 9) if count > 1 else 0.0)


@lru_cache(maxsize=1024)
def remembered_best(owned: BladeSet, wanted: float, most: float) -> MakeUp | None:
    """The make-up nearest to a width, of those up to a most; corners alike ask the same. [mm]

    Parameters
    ----------
    owned : BladeSet
        What there is.
    wanted, most : float
        The width, and the widest that will do. [mm]
    """
    fits = (each for each in _candidates(owned, wanted) if each.width <= most)
    return min(fits, key=lambda each: _merit(each, wanted), default=None)


def _merit(each: MakeUp, wanted: float) -> tuple[float, int, int, float, tuple[float, ...]]:
    """How good a make-up is, the least best; the last two only make the choice the same again."""
    miss = round(abs(each.width - wanted), _FINEST)
    return miss, each.pieces, len(each.shims), each.width, each.chippers


def _candidates(owned: BladeSet, wanted: float) -> Iterator[MakeUp]:
    """One outer blade alone, and of both with each sum of chippers the sums of shims beside it."""
    yield MakeUp((owned.outer,))
    both = (owned.outer, owned.outer)
    shims = _sums(owned.shims)
    totals = [total for total, _ in shims]
    for total, chippers in _sums(owned.chippers):
        place = bisect_left(totals, wanted - 2 * owned.outer - total)
        for _, thin in shims[max(place - 1, 0) : place + 1]:
            yield MakeUp(both, chippers, thin)


def _sums(pieces: Sequence[float]) -> list[tuple[float, tuple[float, ...]]]:
    """Every width that some of the pieces make, with the fewest that make it, in rising order."""
    found: dict[float, tuple[float, ...]] = {}
    ordered = sorted(pieces, reverse=True)
    for count in range(len(ordered) + 1):
        for some in combinations(ordered, count):
            found.setdefault(round(fsum(some), _FINEST), some)
    return sorted(found.items())
