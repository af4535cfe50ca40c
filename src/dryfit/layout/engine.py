"""The door to the packing library: boxes into bins, by its three solvers.

Rectangles are free or cut straight through (guillotine); outlines are for really irregular parts.
This module is run by the worker alone, so that a search can be stopped and a crash costs a search,
not the program.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from enum import Enum
from math import ceil
from typing import TYPE_CHECKING, Any

from dryfit.layout.data import laid_matrix
from dryfit.layout.problem import STEP, Spot
from dryfit.model.panel import Face

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dryfit.layout.problem import Bin, Problem


class Aim(Enum):
    """What is sought: fewest bins and the widest strip left, least cost, or the fullest bin."""

    STRIP = "BinPackingWithLeftovers"
    COST = "VariableSizedBinPacking"
    FULLEST = "Knapsack"


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to search.

    Parameters
    ----------
    seconds : float
        The longest one call may take. [s]
    repeats : bool
        Whether the same problem gives the same layout; the search then ends by itself.
    above : bool
        Whether the strip that is left over lies above what is placed, instead of beside it.
    light : bool
        Whether less is tried, as for the few boxes of a neighbourhood.
    """

    seconds: float
    repeats: bool = True
    above: bool = False
    light: bool = False


Found = list[tuple[int, tuple[Spot, ...]]]
"""Bins by their place in the list that was given, one entry each, and what is in them."""

_ROUNDS, _FEW_ROUNDS = 10, 4
"""How often a search that ends by itself weighs its boxes anew. [-]"""

_CHORDS = 5
"""Added to the spacing of outlines, whose arcs stand over their chords, in steps. [-]"""

_DEAR = 1e6
"""What a bin costs beside its price, so that fewer bins come before cheaper ones. [-]"""


def pack(
    problem: Problem,
    boxes: Sequence[int],
    bins: Sequence[tuple[Bin, int]],
    aim: Aim,
    effort: Effort,
) -> Found:
    """Lay boxes in bins; what found no room is missing.

    Parameters
    ----------
    problem : Problem
        Gives the sizes, and whether cuts run straight through.
    boxes : sequence of int
        Which boxes.
    bins : sequence of (Bin, int)
        Bins, and how many there are of each.
    aim : Aim
        What is sought.
    effort : Effort
        How long.
    """
    if not boxes or not bins:
        return []
    alike = _alike(problem, boxes)
    if problem.rules.guillotine:
        return _guillotine(alike, bins, aim, effort)
    return _rectangles(alike, bins, aim, effort)


def pack_both(
    problem: Problem, boxes: Sequence[int], bins: Sequence[tuple[Bin, int]], effort: Effort
) -> tuple[Found, ...]:
    """Fewest bins with the strip left over beside and above, on a core each.

    Straight cuts know no such difference and are sought once.
    """
    ways = (False,) if problem.rules.guillotine else (False, True)
    with ThreadPoolExecutor(len(ways)) as pool:
        calls = [
            pool.submit(pack, problem, boxes, bins, Aim.STRIP, replace(effort, above=above))
            for above in ways
        ]
        return tuple(call.result() for call in calls)


def _alike(problem: Problem, boxes: Sequence[int]) -> dict[tuple[int, int, bool, bool], list[int]]:
    """Boxes of the same size and the same ways together."""
    found: dict[tuple[int, int, bool, bool], list[int]] = {}
    for box in boxes:
        found.setdefault((*problem.sizes[box], *problem.ways[box]), []).append(box)
    return found


def _kinds(alike: Mapping[tuple[int, int, bool, bool], list[int]]) -> list[tuple[int, int, bool]]:
    """Width, height and whether it may not be turned, of each kind as the library takes it."""
    return [
        (width, height, not turned) if plain else (height, width, True)
        for width, height, plain, turned in alike
    ]


def _rectangles(
    alike: Mapping[tuple[int, int, bool, bool], list[int]],
    bins: Sequence[tuple[Bin, int]],
    aim: Aim,
    effort: Effort,
) -> Found:
    from packingsolver import rectangle as solver

    builder = solver.InstanceBuilder()
    builder.set_objective(solver.Objective[aim.value])
    mode = solver.LeftoverMode.Y if effort.above else solver.LeftoverMode.X
    builder.set_leftover_mode(mode)
    _fill_in(builder, alike, bins, aim)
    solution = solver.optimize(builder.build(), _parameters(solver, effort)).solution
    kinds = list(alike.items())
    pools = [list(own) for _, own in kinds]
    found: Found = []
    for number in range(solution.number_of_different_bins()):
        bin_ = solution.bin(number)
        for _ in range(bin_.copies):
            spots = tuple(
                Spot(
                    pools[each.item_type_id].pop(0),
                    each.x,
                    each.y,
                    # One that may only lie turned was given turned.
                    bool(each.rotate) != (not kinds[each.item_type_id][0][2]),
                )
                for each in bin_.items
            )
            found.append((bin_.bin_type_id, spots))
    return found


def _fill_in(
    builder: Any,
    alike: Mapping[tuple[int, int, bool, bool], list[int]],
    bins: Sequence[tuple[Bin, int]],
    aim: Aim,
) -> None:
    for each, copies in bins:
        cost = (_DEAR if each.sheet.to_buy else 1.0) + (each.sheet.price or 0.0)
        named = {"cost": cost} if aim is Aim.COST else {}
        number = builder.add_bin_type(each.length, each.width, copies=copies, **named)
        for x0, y0, x1, y1 in each.taken:
            builder.add_defect(number, x0, y0, x1 - x0, y1 - y0)
    for (width, height, oriented), own in zip(_kinds(alike), alike.values(), strict=True):
        builder.add_item_type(width, height, oriented=oriented, copies=len(own))


def _guillotine(
    alike: Mapping[tuple[int, int, bool, bool], list[int]],
    bins: Sequence[tuple[Bin, int]],
    aim: Aim,
    effort: Effort,
) -> Found:
    from packingsolver import rectangleguillotine as solver

    builder = solver.InstanceBuilder()
    builder.set_objective(solver.Objective[aim.value])
    builder.set_number_of_stages_unlimited()
    _fill_in(builder, alike, bins, aim)
    solution = solver.optimize(builder.build(), _parameters(solver, effort)).solution
    kinds = _kinds(alike)
    pools = [list(own) for own in alike.values()]
    plain = [key[2] for key in alike]
    found: Found = []
    for number in range(solution.number_of_different_bins()):
        bin_ = solution.bin(number)
        leaves = [node for node in bin_.nodes if node.item_type_id >= 0 and not node.children]
        for _ in range(bin_.copies):
            spots = tuple(
                Spot(
                    pools[node.item_type_id].pop(0),
                    node.l,
                    node.b,
                    (node.r - node.l != kinds[node.item_type_id][0])
                    != (not plain[node.item_type_id]),
                )
                for node in leaves
            )
            found.append((bin_.bin_type_id, spots))
    return found


def pack_outlines(
    problem: Problem, boxes: Sequence[int], bins: Sequence[tuple[Bin, int]], effort: Effort
) -> Found:
    """Lay boxes in bins by the outlines of those that have one.

    The library keeps the spacing between outlines itself, so that here nothing is grown; rings have
    to be counter-clockwise. Bins are as large as their margins leave them.
    """
    from packingsolver import irregular as solver

    spacing = round(problem.rules.spacing / STEP)
    builder = solver.InstanceBuilder()
    builder.set_objective(solver.Objective[Aim.STRIP.value])
    builder.set_leftover_mode(solver.LeftoverMode.X)
    builder.set_item_item_minimum_spacing(spacing + _CHORDS)
    for each, copies in bins:
        shape = solver.build_rectangle(each.length - spacing, each.width - spacing)
        number = builder.add_bin_type(shape, copies=copies)
        for x0, y0, x1, y1 in each.taken:
            # A place that is taken was grown for boxes that carry the spacing on their far sides.
            corners = [(x0 + spacing, y0 + spacing), (x1, y1)]
            low = tuple(min(a, b - 1) for a, b in zip(*corners, strict=True))
            ring = [low, (x1, low[1]), (x1, y1), (low[0], y1)]
            builder.add_defect(number, 0, solver.ShapeWithHoles(solver.build_shape(ring)))
    shapes = [_ring(problem, box) for box in boxes]
    for box, ring in zip(boxes, shapes, strict=True):
        turns = [(90.0 * turn, 90.0 * turn, False) for turn in problem.items[box].turns]
        builder.add_item_type(solver.build_shape(ring), allowed_rotations=turns, copies=1)
    solution = solver.optimize(builder.build(), _parameters(solver, effort)).solution
    found: Found = []
    for number in range(solution.number_of_different_bins()):
        bin_ = solution.bin(number)
        spots = [
            _turned_spot(boxes[each.item_type_id], shapes[each.item_type_id], each)
            for each in bin_.items
        ]
        found += [(bin_.bin_type_id, tuple(spots))] * bin_.copies
    return found


def _ring(problem: Problem, box: int) -> list[tuple[float, float]]:
    """The outline of a box, or the box itself less the spacing, in steps."""
    item = problem.items[box]
    if item.outline:
        return [(x / STEP, y / STEP) for x, y in item.outline]
    spacing = round(problem.rules.spacing / STEP)
    width, height = (side - spacing for side in problem.sizes[box])
    return [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]


def _turned_spot(box: int, ring: Sequence[tuple[float, float]], each: Any) -> Spot:
    """Where the box of an outline lies that was turned about its origin and shifted."""
    turn = round(each.angle / 90) % 4
    matrix = laid_matrix(turn, Face.B)
    low = [min(row[0] * x + row[1] * y for x, y in ring) for row in matrix]
    at = each.bl_corner
    return Spot(box, ceil(at.x + low[0]), ceil(at.y + low[1]), bool(turn % 2), turn)


def _parameters(solver: Any, effort: Effort) -> Any:
    """Settings of a call."""
    parameters = solver.OptimizeParameters()
    parameters.time_limit = effort.seconds
    parameters.verbosity_level = 0
    mode = "NotAnytimeDeterministic" if effort.repeats else "Anytime"
    parameters.optimization_mode = solver.OptimizationMode[mode]
    parameters.not_anytime_sequential_value_correction_number_of_iterations = (
        _FEW_ROUNDS if effort.light else _ROUNDS
    )
    return parameters
