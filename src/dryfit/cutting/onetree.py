"""A lower bound on the shortest way through places with a fixed way in and out each.

Every place has an entry and an exit, tied together; ways lead from an exit to an entry. A way
through all of them is a spanning tree in which every entry and every exit but the last has one way.
Prices on entries and exits that do not keep to that make the cheapest tree a bound that rises.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

WHOLLY = 9
"""Of how many places every order is tried. [-]"""

ROUNDS = 120
"""How often the prices are put right. [-]"""


def path_bound(start: FloatArray, between: FloatArray, rounds: int = ROUNDS) -> float:
    """No way from the start through all places is shorter than this.

    Parameters
    ----------
    start : array, shape (n,)
        From the start to each entry. [mm]
    between : array, shape (n, n)
        From the exit of each place to the entry of each other. [mm]
    rounds : int
        How often the prices are put right.
    """
    count = len(start)
    if count == 0:
        return 0.0
    if count == 1:
        return float(start[0])
    into, out, first = np.zeros(count), np.zeros(count), 0.0
    best, step = 0.0, float(np.mean(between)) / 4
    for k in range(rounds):
        bound, degree_in, degree_out, degree_first = _tree(start, between, into, out, first)
        best = max(best, bound)
        slope_in, slope_out = degree_in - 1.0, degree_out - 1.0
        into, out = into + step * slope_in, out + step * slope_out
        first += step * (degree_first - 1.0)
        step *= 0.97 if k else 1.0
    return best


def shortest_ends(start: FloatArray, between: FloatArray) -> FloatArray:
    """The shortest way through all places that ends at each of them, every order tried.

    Parameters
    ----------
    start : array, shape (n,)
        From the start to each entry. [mm]
    between : array, shape (n, n)
        From the exit of each place to the entry of each other. [mm]
    """
    count = len(start)
    ways = {(1 << k, k): float(start[k]) for k in range(count)}
    for visited in range(1, 1 << count):
        for last in range(count):
            so_far = ways.get((visited, last))
            if so_far is None:
                continue
            for after in range(count):
                if not visited >> after & 1:
                    key = visited | 1 << after, after
                    ways[key] = min(ways.get(key, np.inf), so_far + float(between[last, after]))
    return np.array([ways[(1 << count) - 1, last] for last in range(count)])


def _tree(
    start: FloatArray, between: FloatArray, into: FloatArray, out: FloatArray, first: float
) -> tuple[float, FloatArray, FloatArray, float]:
    """The cheapest tree at some prices: its bound, and the ways at entries, exits and start."""
    count = len(start)
    priced = between + out[:, None] + into[None, :]
    np.fill_diagonal(priced, np.inf)
    # The cheapest way to each place: into its entry from an exit, or from its exit to an entry.
    enter, enter_from = start + into + first, np.full(count, -1)
    leave, leave_to = np.full(count, np.inf), np.full(count, -1)
    degree_in, degree_out = np.zeros(count), np.zeros(count)
    degree_first, total = 0.0, 0.0
    open_ = np.zeros(count)
    for _ in range(count):
        cheapest = np.minimum(enter, leave) + open_
        k = int(np.argmin(cheapest))
        total += float(cheapest[k])
        if enter[k] <= leave[k]:
            degree_in[k] += 1
            source = int(enter_from[k])
            if source < 0:
                degree_first += 1
            else:
                degree_out[source] += 1
        else:
            degree_out[k] += 1
            degree_in[leave_to[k]] += 1
        open_[k] = np.inf
        better = priced[k] < enter
        enter_from[better] = k
        enter = np.minimum(enter, priced[k])
        better = priced[:, k] < leave
        leave_to[better] = k
        leave = np.minimum(leave, priced[:, k])
    # The last exit has its one way to the end, which costs nothing but its price.
    last = int(np.argmin(out))
    degree_out[last] += 1
    bound = total + float(out[last]) - float(into.sum() + out.sum()) - first
    return bound, degree_in, degree_out, degree_first
