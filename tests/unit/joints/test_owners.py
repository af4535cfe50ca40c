"""The search for owners against a general constraint solver and against exhaustion."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import numpy as np
import pytest
from ortools.sat.python import cp_model

from dryfit.joints.owners import ANYONE, Corner, Question, decide
from tests.helpers.boxes import CASE, PLACES, box, build

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.joints.owners import Ownership

Cost = tuple[int, int, int, int]

# Each level outweighs everything below it in questions as small as these.
WEIGHTS = (10**10, 10**7, 10**4, 1)


def weighed(cost: Cost) -> int:
    return sum(weight * level for weight, level in zip(WEIGHTS, cost, strict=True))


def cost_of(question: Question, owners: Sequence[int], turns: Sequence[tuple[int, bool]]) -> Cost:
    """Wishes denied (parity counts twice), even plans unasked for, broken mirrors, places."""
    denied = evens = 0
    for corner, (lead, odd) in zip(question.corners, turns, strict=True):
        first = other_of(corner, lead) if corner.from_high and not odd else lead
        denied += 2 * (corner.odd is not None and corner.odd is not odd)
        denied += corner.leads is not None and corner.leads != first
        evens += not odd and corner.odd is not False
    broken = sum(image[owners[one]] != owners[two] for one, two, image in question.mirrored)
    return denied, evens, broken, sum(question.precedence[owner] for owner in owners)


def other_of(corner: Corner, panel: int) -> int:
    return corner.panels[0] + corner.panels[1] - panel


def mates(question: Question, owners: Sequence[int], turns: Sequence[tuple[int, bool]]) -> bool:
    """Whether every end block of a corner's own panels lies in a division of its owner."""
    for corner, (lead, odd) in zip(question.corners, turns, strict=True):
        last = lead if odd else other_of(corner, lead)
        for block, panel in zip(corner.blocks, (lead, last), strict=True):
            if block != ANYONE and owners[block] in corner.panels and owners[block] != panel:
                return False
    return True


def answered(answer: Ownership) -> list[tuple[int, bool]]:
    return [(turn.lead, turn.odd) for turn in answer.turns]


def referee(question: Question) -> int:
    """The least weighed cost, by a constraint solver that chooses owners, leads and parities."""
    model = cp_model.CpModel()
    owns = [{p: model.new_bool_var("") for p in block} for block in question.blocks]
    terms = []
    for block in owns:
        model.add_exactly_one(block.values())
        terms += [WEIGHTS[3] * question.precedence[p] * var for p, var in block.items()]
    for corner in question.corners:
        terms += _corner_terms(model, corner, owns)
    for one, two, image in question.mirrored:
        broken = model.new_bool_var("")
        for panel, var in owns[one].items():
            model.add_implication(var, owns[two][image[panel]]).only_enforce_if(broken.negated())
        terms.append(WEIGHTS[2] * broken)
    model.minimize(sum(terms))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def _corner_terms(
    model: cp_model.CpModel, corner: Corner, owns: list[dict[int, cp_model.IntVar]]
) -> list[cp_model.LinearExpr]:
    """One flag for each way a corner may come out, with what that way costs."""
    flags, terms = [], []
    for lead, odd in product(corner.panels, (True, False)):
        flag = model.new_bool_var("")
        last = lead if odd else other_of(corner, lead)
        for block, panel in zip(corner.blocks, (lead, last), strict=True):
            if block != ANYONE:
                wrong = other_of(corner, panel)
                model.add_implication(flag, owns[block][wrong].negated())
        alone = Question([corner], [], [], [])
        terms.append(weighed(cost_of(alone, [], [(lead, odd)])) * flag)
        flags.append(flag)
    model.add_exactly_one(flags)
    return terms


def random_question(rng: np.random.Generator) -> Question:
    """Any graph of corners and blocks, any wishes, any mirrors that permute blocks."""
    panels = int(rng.integers(3, 9))
    trios = {tuple(sorted(rng.choice(panels, 3, replace=False).tolist())) for _ in range(9)}
    blocks = sorted(trios)
    corners = []
    for one in range(panels):
        for two in range(one + 1, panels):
            near = [n for n, trio in enumerate(blocks) if one in trio and two in trio]
            if near and rng.random() < 0.85:
                corners.append(_random_corner(rng, (one, two), near))
    mirrored = []
    for _ in range(int(rng.integers(0, 5))):
        a, b = (int(n) for n in rng.integers(0, len(blocks), 2))
        image = dict(zip(blocks[a], rng.permutation(blocks[b]).tolist(), strict=True))
        mirrored.append((a, b, image))
    return Question(corners, blocks, mirrored, rng.permutation(panels).tolist())


def _random_corner(rng: np.random.Generator, pair: tuple[int, int], near: list[int]) -> Corner:
    ends = rng.permutation(near).tolist()[:2] + [ANYONE, ANYONE]
    low, high = ends[0], ends[1] if rng.random() < 0.8 else ANYONE
    odd = [None, None, True, False][int(rng.integers(4))]
    leads = [None, None, *pair][int(rng.integers(4))]
    return Corner(pair, (low, high), odd, leads, bool(rng.random() < 0.5))


@pytest.mark.parametrize("seed", range(60))
def test_the_search_is_as_good_as_the_referee(seed: int) -> None:
    question = random_question(np.random.default_rng(seed))
    answer = decide(question)
    assert answer.proved
    assert len(answer.owners) == len(question.blocks)
    assert all(owner in trio for owner, trio in zip(answer.owners, question.blocks, strict=True))
    assert mates(question, answer.owners, answered(answer))
    assert weighed(cost_of(question, answer.owners, answered(answer))) == referee(question)
    for corner, turn in zip(question.corners, answer.turns, strict=True):
        alone = Question([corner], [], [], [])
        assert turn.granted == (cost_of(alone, [], [(turn.lead, turn.odd)])[0] == 0)


def closed_case() -> Question:
    """Six panels, twelve corners, eight blocks: no sizes, so it stands for every case."""
    number = {name: n for n, name in enumerate(CASE)}
    ends = [
        next(n for n in CASE if PLACES[n] == (axis, high)) for axis in range(3) for high in (0, 1)
    ]
    blocks = [
        tuple(sorted(number[ends[2 * axis + side]] for axis, side in enumerate(sides)))
        for sides in product((0, 1), repeat=3)
    ]
    corners = []
    for one in range(6):
        for two in range(one + 1, 6):
            near = [n for n, trio in enumerate(blocks) if one in trio and two in trio]
            if near:
                corners.append(Corner((one, two), (near[0], near[1])))
    return Question(corners, blocks, [], [0] * 6)


def test_a_closed_case_needs_no_even_plan() -> None:
    """All 6561 ways to own the eight blocks: some leave no plan even, and one of them is taken."""
    question = closed_case()
    assert len(question.corners) == 12

    def evens(owners: Sequence[int]) -> int:
        return sum(
            owners[low] != owners[high] and {owners[low], owners[high]} <= set(corner.panels)
            for corner in question.corners
            for low, high in [corner.blocks]
        )

    counts = [evens(owners) for owners in product(*question.blocks)]
    assert len(counts) == 3**8
    assert min(counts) == 0 < max(counts)
    answer = decide(question)
    assert evens(answer.owners) == 0
    assert all(turn.odd for turn in answer.turns)


@pytest.mark.parametrize("seed", range(30))
def test_a_made_case_has_no_even_plan_at_any_size(seed: int) -> None:
    rng = np.random.default_rng(seed)
    thickness = dict(zip(CASE, rng.uniform(1.0, 30.0, 6).tolist(), strict=True))
    ranks = dict(zip(CASE, rng.integers(0, 3, 6).tolist(), strict=True))
    built = build(box(rng.uniform(70.0, 900.0, 3).tolist(), CASE, thickness, ranks=ranks))
    assert len(built.plans.joints) == 12
    assert all(joint.plan.count % 2 == 1 for joint in built.plans.joints)
    assert built.plans.conflicts == ()
    assert built.plans.proved


def test_an_even_wish_is_granted_and_others_stay_odd() -> None:
    """One asked-for even plan in a case, against all 6561 owners."""
    question = closed_case()
    corners = [
        Corner(c.panels, c.blocks, odd=False if n == 0 else None)
        for n, c in enumerate(question.corners)
    ]
    asked = Question(corners, question.blocks, [], list(range(6)))
    answer = decide(asked)
    assert answer.turns[0].granted
    assert not answer.turns[0].odd
    assert weighed(cost_of(asked, answer.owners, answered(answer))) == referee(asked)


def test_wishes_that_fight_are_denied_as_few_as_can_be() -> None:
    """Round one block three corners each want a lead of their own, with both ends pinned."""
    blocks = [(0, 1, 2), (0, 1, 2)]
    corners = [
        Corner((0, 1), (0, 1), odd=True, leads=0),
        Corner((1, 2), (0, 1), odd=True, leads=1),
        Corner((0, 2), (0, 1), odd=True, leads=2),
    ]
    question = Question(corners, blocks, [], [0, 1, 2])
    answer = decide(question)
    denied = cost_of(question, answer.owners, answered(answer))[0]
    assert denied == 1
    assert sum(not turn.granted for turn in answer.turns) == 1
