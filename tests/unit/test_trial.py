"""The referee for the odds of a piece against closed forms.

Values of one joint are those of tests/published/test_fits.py (derived; quadrature agrees there).
Closed forms of rings, slots and fingertips are derived here, beside each test.
"""

from __future__ import annotations

import ast
import math
from pathlib import Path
from random import Random
from statistics import NormalDist

import numpy as np
import pytest

from dryfit import workflow
from dryfit.model.cutter import Route
from dryfit.model.scatter import Scatter
from tests.helpers.random_pieces import FORMS, MOST_PANELS, random_joint, random_piece
from tests.helpers.story import Rim, Seat, Story, describe, lone_joint
from tests.helpers.trial import Places, Trial, simulate

HELPERS = Path(__file__).parents[1] / "helpers"
SAMPLES = 200_000
PHI = NormalDist().cdf
NONE = Scatter(0.0, 0.0)
WIDE = 1e3


def agrees(trial: Trial, count: int, odds: float) -> bool:
    return abs(trial.odds(count) - odds) <= 4.5 * trial.error(odds)


def job(form: str, material: str = "acrylic", spread: float = 0.0, gap: float = 0.1) -> str:
    return f"""
format = 1
[piece]
form = "{form}"
outside = [300, 240, 120]
{"shelves = 1" if form == "case" else ""}
[stock.walls]
material = "{material}"
nominal = 10
spread = {spread}
[cutter]
kind = "router"
diameter = 3
[fingers]
flank_gap = {gap}
proud = 0.1
"""


def trial_of(
    text: str,
    scatter: Scatter,
    flush: float = WIDE,
    cups: dict[str, float] | None = None,
    samples: int = SAMPLES,
) -> Trial:
    story = describe(workflow.read_text(text), scatter, flush, cups)
    return simulate(story, samples, 7, sanding=0.15)


# K, gap / sd, fixed, floating.
JOINTS = [(4, 1.0, 0.50107, 0.77492), (8, 2.0, 0.83185, 0.96983), (20, 2.5, 0.88287, 0.98385)]


@pytest.mark.parametrize(("count", "gap", "stopped", "free"), JOINTS)
def test_one_corner(count: int, gap: float, stopped: float, free: float) -> None:
    """Each edge has sd 1 / √2, so that their difference has 1; no step at the rims fixes it."""
    scatter = Scatter(math.sqrt(0.5), 0.0)
    floating = simulate(lone_joint(count, gap, scatter), SAMPLES, 1)
    assert agrees(floating, floating.closes, free)
    fixed = simulate(lone_joint(count, gap, scatter, flush=0.0), SAMPLES, 2)
    assert agrees(fixed, fixed.closes, stopped)
    assert agrees(fixed, fixed.flanks["a+b"], free)


def test_a_pair_from_a_job_is_the_same_corner() -> None:
    text = job("pair") + "count = 5\n"
    trial = trial_of(text, Scatter(0.1 * math.sqrt(0.5), 5.0))
    assert agrees(trial, trial.closes, 0.77492)
    assert agrees(trial, trial.joints["front+side"], 0.77492)


def test_what_is_knifed_from_its_mate_has_one_error() -> None:
    """Nor has it a datum error: held fixed by its rims, it would hardly ever close with one."""
    for flush, odds in ((math.inf, 0.77492), (0.0, 0.50107)):
        story = lone_joint(4, 1.0, Scatter(1.0, 9.0), route=Route.HAND, flush=flush)
        trial = simulate(story, SAMPLES, 3)
        assert agrees(trial, trial.closes, odds)


def test_a_shared_misfit() -> None:
    """K = 20, 0.03 mm at each edge and shared, 0.10 mm of air."""
    scatter = Scatter(0.03, 0.0, 0.0, 0.03)
    free = simulate(lone_joint(20, 0.1, scatter), SAMPLES, 4)
    fixed = simulate(lone_joint(20, 0.1, scatter, flush=0.0), SAMPLES, 4)
    assert agrees(free, free.closes, 0.84108)
    assert agrees(fixed, fixed.closes, 0.71584)
    # A known misfit is air lost.
    known = simulate(lone_joint(4, 1.5, Scatter(math.sqrt(0.5), 0.0, 0.5)), SAMPLES, 5)
    assert agrees(known, known.closes, 0.77492)


def test_a_stepping_jig() -> None:
    """K = 20, 0.10 mm of air, 0.03 mm a step on each board; the values hold to 0.001."""
    scatter = Scatter(0.03, 0.0)
    for flush, odds in ((math.inf, 0.451), (0.0, 0.112)):
        trial = simulate(lone_joint(20, 0.1, scatter, 0.0, Route.SAW, flush), SAMPLES, 6)
        assert trial.odds(trial.closes) == pytest.approx(odds, abs=4.5 * trial.error(odds) + 1e-3)


@pytest.mark.parametrize(
    ("count", "sign", "steps"), [(4, 1, 3), (4, -1, 1), (5, 1, 3), (5, -1, 3), (12, -1, 9)]
)
def test_a_ramp(count: int, sign: int, steps: int) -> None:
    """Twice the gap must be (K - 1), (K - 3) or (K - 2) steps: docs/theory/odds.md, "Ramp"."""
    step = 0.01
    for gap, closes in ((steps * step / 2 + 1e-6, 1), (steps * step / 2 - 1e-6, 0)):
        story = lone_joint(count, gap, NONE, float(count + 1), slope=sign * step)
        assert simulate(story, 1, 1).closes == closes


def test_a_scale_error_is_a_ramp_of_random_slope() -> None:
    """Two boundaries of opposite sense, one step apart: q a third of the length is within 2 g."""
    trial = simulate(lone_joint(2, 0.05, Scatter(0.0, 0.0, scale=1e-3), 300.0), SAMPLES, 8)
    # Only the one sign of q closes them: + first, at k = 1, and - at k = 2: q 100 mm <= 0.1 mm.
    assert agrees(trial, trial.closes, PHI(0.1 / 0.1))


@pytest.mark.parametrize("sd", [0.05, 0.1, 0.2])
def test_a_ring_with_only_datum_errors(sd: float) -> None:
    """Derived here.

    All flanks of corner j let v_j + δ_j lie within g, where δ_j is the difference of two datum
    errors, of variance 2 sd². Round the ring the v_j add up to nothing, so the sum of four δ, of
    variance 8 sd², must lie within 4 g: P = erf(4 g / √(16 sd²)) = erf(g / sd). Where the rims
    allow no step every v_j is nothing, and four independent δ_j lie within g: erf(g / 2 sd)^4.
    """
    scatter, gap = Scatter(0.0, sd), 0.1
    loose = trial_of(job("ring"), scatter)
    assert agrees(loose, loose.axes["z"], math.erf(gap / sd))
    assert all(count == SAMPLES for count in loose.joints.values())
    fixed = trial_of(job("ring"), scatter, 0.0)
    assert agrees(fixed, fixed.axes["z"], math.erf(gap / (2 * sd)) ** 4)


def test_a_ring_of_six_walls_that_are_not_square() -> None:
    """Derived here, as above: six sums of variance 2 sd² within 6 g, P = erf(6 g / √(24 sd²)).

    There are no rims, and the base closes whatever its datum, since each wall goes where it must.
    """
    sd, gap = 0.15, 0.1
    text = job("many-sided tray").replace("outside = [300, 240, 120]", "flats = 240\nheight = 80")
    trial = trial_of(text, Scatter(0.0, sd))
    assert agrees(trial, trial.closes, math.erf(6 * gap / (math.sqrt(24) * sd)))


def test_the_seats_round_a_ring() -> None:
    """Derived here.

    Along y the left wall rests on front and back with errors e1 and e2, the right with e3 and e4.
    Each stands open from nothing to f, so front and back lie from -(e1 + e2) to 2 f - (e1 + e2)
    apart for the left, the same with e3 + e4 for the right: |e1 + e2 - e3 - e4| <= 2 f. Each e has
    the variance s² = edge² + datum², so P = erf(2 f / √(8 s²)) = erf(f / (s √2)).
    """
    flush = 0.15
    trial = trial_of(job("ring", spread=0.08), Scatter(0.06, 0.1), flush)
    odds = math.erf(flush / math.sqrt(2 * (0.06**2 + 0.1**2)))
    assert agrees(trial, trial.axes["x"], odds)
    assert agrees(trial, trial.axes["y"], odds)


def test_a_shelf_between_two_walls_that_do_not_give() -> None:
    """Derived here.

    The shelf's left end moves away from the left wall to the right, its right end from the right
    wall to the left. With the walls tied, 0 <= e1 + e2 <= 2 f: Φ(2 f / √2 s) - 1/2.
    """
    flush, sd = 0.1, 0.12
    seats = (
        Seat("left+shelf", "x", 0, 1, 1, 0.0, flush),
        Seat("right+shelf", "x", 2, 1, -1, 0.0, flush),
    )
    names, rims = ("left", "shelf", "right"), (Rim("x", 0, 2),)
    story = Story(names, Scatter(sd, 0.0), 0.0, Route.ROUTER, seats=seats, rims=rims)
    trial = simulate(story, SAMPLES, 10)
    assert agrees(trial, trial.closes, PHI(2 * flush / (math.sqrt(2) * sd)) - 0.5)


# The shelf is 220 mm from front to back; its housing is 10 / 3 mm deep.
@pytest.mark.parametrize(
    ("material", "pinch"), [("acrylic", 0.0), ("MDF", 2000 / (51 * 2 * 220 * 10 / 3))]
)
def test_a_slot_alone(material: str, pinch: float) -> None:
    """Derived here: both walls hold iff ε1 + ε2 + τ <= 2 g + 2 p - r - β, whatever the datum."""
    edge, thick, cup, misfit = 0.04, 0.12, 0.06, 0.02
    text = job("case", material, thick)
    for scatter in (Scatter(0.0, 0.3, misfit), Scatter(edge, 0.3, misfit)):
        trial = trial_of(text, scatter, cups={"shelf": cup})
        sd = math.sqrt(thick**2 + 2 * scatter.edge**2)
        odds = PHI((0.2 + 2 * pinch - cup - misfit) / sd)
        assert agrees(trial, trial.slots["left+shelf", "shelf"], odds)


def test_fingertips() -> None:
    """Derived here: independent tips, n of them, are all in within Φ^n; shared τ with no ε."""
    text = job("pair") + "count = 5\n"
    edge = trial_of(text, Scatter(0.08, 0.0))
    assert agrees(edge, edge.sunk["front+side"], 1 - PHI(0.1 / 0.08) ** 5)
    assert agrees(edge, edge.proud["front+side"], 1 - PHI(0.05 / 0.08) ** 5)
    thick = trial_of(text.replace("spread = 0.0", "spread = 0.08"), NONE)
    assert agrees(thick, thick.sunk["front+side"], 1 - PHI(0.1 / 0.08) ** 2)
    assert agrees(thick, thick.proud["front+side"], 1 - PHI(0.05 / 0.08) ** 2)


def test_the_widest_gap_of_two_boundaries() -> None:
    """Derived here: pushed to the middle both have (sum of airs) / 2, normal about g, cut at 0."""
    gap, edge = 0.05, 0.05
    trial = simulate(lone_joint(2, gap, Scatter(edge, 0.3)), SAMPLES, 9)
    law = NormalDist(gap, edge)
    below = law.cdf(0.0)
    for share, found in zip((0.5, 0.95), trial.widest["a+b"], strict=True):
        exact = law.inv_cdf(below + share * (1 - below))
        # The standard error of a quantile is √(p (1 - p) / n) over the density there.
        error = math.sqrt(share * (1 - share) / SAMPLES) / (law.pdf(exact) / (1 - below))
        assert found == pytest.approx(exact, abs=4.5 * error + 1e-5)


def test_without_scatter_every_gap_is_as_drawn() -> None:
    trial = trial_of(job("ring"), NONE, samples=10)
    for median, wide in trial.widest.values():
        assert (median, wide) == pytest.approx((0.1, 0.1), abs=1e-4)


@pytest.mark.parametrize("form", FORMS)
def test_without_scatter_a_piece_closes_iff_there_is_air(form: str) -> None:
    """Misfit takes all the air, and what the softer wood gives, from the flanks or it does not."""
    piece = random_piece(11, form)
    tight = [
        own.gap + min(pinch for pinch in own.pinch)
        for own in describe(piece.rehearsal, NONE, 0.0).flanks
    ]
    assert tight
    for misfit, closes in ((0.0, 1), (min(tight) - 1e-6, 1), (min(tight) + 1e-6, 0)):
        story = describe(_evenly_thick(piece.text), Scatter(0.0, 0.0, misfit), 0.0)
        assert simulate(story, 1, 1).closes == closes


def _evenly_thick(text: str) -> workflow.Rehearsal:
    lines = ["spread = 0" if line.startswith("spread") else line for line in text.splitlines()]
    return workflow.read_text("\n".join(lines))


@pytest.mark.parametrize("form", FORMS)
def test_nothing_closes_when_everything_scatters_by_millimetres(form: str) -> None:
    story = describe(random_piece(12, form).rehearsal, Scatter(5.0, 5.0), 0.1)
    assert simulate(story, 2000, 1).closes <= 20


def test_pinch_has_its_limits() -> None:
    """Capped by force over 4 flanks of 40 by 40 mm; nothing at the ends of solid wood."""
    text = job("pair", "MDF").replace("nominal = 10", "nominal = 40") + "count = 5\n"
    capped = describe(workflow.read_text(text), NONE, 0.0).flanks[0].pinch
    assert capped == pytest.approx([2000 / (51 * 40 * 40 * 4)] * 4)
    solid = describe(workflow.read_text(text.replace("MDF", "oak")), NONE, 0.0).flanks[0].pinch
    assert solid == (0.0, *capped[1:-1], 0.0)
    thin = describe(workflow.read_text(job("pair", "MDF")), NONE, 0.0).flanks[0].pinch
    assert set(thin) == {0.03}
    for misfit, closes in ((0.13 - 1e-6, 1), (0.13 + 1e-6, 0)):
        pressed = trial_of(job("pair", "MDF"), Scatter(0.0, 0.0, misfit), 0.0, samples=1)
        assert pressed.closes == pressed.flanks["front+side"] == closes
    # What both bear: nothing, where one of them is brittle.
    mixed = text.replace("MDF", "acrylic").replace("= 40", "= 10")
    mixed += '[stock.soft]\nmaterial = "MDF"\nnominal = 10\n[panel.side]\nstock = "soft"\n'
    mixed = mixed.replace("outside", 'stock = "walls"\noutside')
    assert set(describe(workflow.read_text(mixed), NONE, 0.0).flanks[0].pinch) == {0.0}


def test_the_walls_of_trenches_and_slots_share_the_force() -> None:
    text = job("crate", "MDF").replace("outside", "along = 1\nacross = 1\noutside")
    story = describe(workflow.read_text(text.replace("120]", "400]")), NONE, 0.1)
    pinch = {own.joint: own.pinch for own in story.slots}
    # Housings 390 high and 10 / 3 deep have two walls; slots in 10 mm, four of half the height.
    assert pinch["left+along"] == pytest.approx(2000 / (51 * 2 * 390 * 10 / 3))
    assert pinch["along+across"] == pytest.approx(2000 / (51 * 4 * 195 * 10))


def test_senses_come_from_who_owns_the_wood_below() -> None:
    rehearsal = workflow.read_text(job("pair") + "count = 5\n")
    own = describe(rehearsal, NONE, 0.0).flanks[0]
    ends = {round(high, 6) for _, high in rehearsal.joints[0].owned("front")}
    for place, sense in zip(own.places, own.senses, strict=True):
        assert (sense > 0) == (round(place, 6) in ends)


def test_every_kind_of_joint_has_its_conditions() -> None:
    """A crate's dividers: 2 tenons and 2 slots each, a halving, and rest on the base."""
    text = job("crate").replace("outside", 'tee = "tenon"\nalong = 1\nacross = 1\noutside')
    story = describe(workflow.read_text(text), NONE, 0.1)
    slots = {(own.joint, story.panels[own.sitter], own.axis) for own in story.slots}
    assert {("along+across", "along", "y"), ("along+across", "across", "x")} <= slots
    assert ("left+along", "along", "y") in slots
    rests = {(own.joint, own.axis, own.away) for own in story.seats}
    assert {("left+along", "x", 1), ("right+along", "x", -1), ("base+along", "z", 1)} <= rests
    halved = next(own for own in story.seats if own.joint == "along+across")
    assert (halved.least, halved.most, halved.axis) == (-0.1, 0.1, "z")
    assert len(story.rims) == 8


def test_grooves_leave_room_and_ask_for_no_nearness() -> None:
    story = describe(workflow.read_text(job("chest")), NONE, 0.1)
    grooves = [own for own in story.seats if own.joint == "left+base"]
    assert [(own.least, own.most, own.axis) for own in grooves] == [(-0.5, math.inf, "x")]


def test_a_rebate_is_open_and_what_lies_in_it_comes_to_rest() -> None:
    text = job("case").replace("outside", 'back = "rebate"\noutside')
    story = describe(workflow.read_text(text), NONE, 0.1)
    assert not [own for own in story.slots if own.joint == "back+left"]
    assert [own.joint for own in story.slots if story.panels[own.sitter] == "shelf"]
    seats = [own for own in story.seats if own.joint == "back+left"]
    assert {(own.least, own.most, own.axis, own.away) for own in seats} == {
        (0.0, 0.1, "y", -1), (0.0, math.inf, "x", 1),
    }  # fmt: skip


def _can_be_placed(asked: list[tuple[int, int, float]], panels: int) -> bool:
    """Whether x_j - x_i <= w has a solution: Bellman and Ford, one number at a time."""
    places = [0.0] * panels
    for _ in range(panels + 1):
        moved = False
        for first, second, most in asked:
            if places[second] > places[first] + most + 1e-9:
                places[second], moved = places[first] + most, True
        if not moved:
            return True
    return False


def test_places_exist_as_another_algorithm_finds() -> None:
    rng = Random(5)  # noqa: S311
    answers = set()
    for _ in range(300):
        panels = rng.randint(2, 8)
        asked = []
        places = Places(1)
        for _ in range(rng.randint(1, 14)):
            first, second = rng.sample(range(panels), 2)
            low, high = sorted(rng.uniform(-3, 3) for _ in range(2))
            high = math.inf if rng.random() < 0.2 else high
            places.between(first, second, low, high)
            asked += [(second, first, -low), *([(first, second, high)] if high < math.inf else [])]
        expected = _can_be_placed(asked, panels)
        assert places.exist().tolist() == [expected]
        answers.add(expected)
    assert answers == {False, True}


def test_a_seed_gives_the_same_trial() -> None:
    story = random_piece(3, "tray").story
    assert simulate(story, 5000, 1) == simulate(story, 5000, 1)
    assert simulate(story, 5000, 1) != simulate(story, 5000, 2)


@pytest.mark.parametrize("form", FORMS)
def test_random_pieces_can_be_rehearsed_and_tell_something(form: str) -> None:
    odds = []
    for seed in range(3):
        piece = random_piece(seed, form)
        assert piece == random_piece(seed, form)
        assert piece.rehearsal.findings is not None
        assert len(piece.rehearsal.piece.panels) <= MOST_PANELS
        trial = simulate(piece.story, 4000, seed)
        odds.append(trial.odds(trial.closes))
    assert sum(0.25 <= each <= 0.999 for each in odds) >= 2


def test_random_joints_tell_something() -> None:
    odds = []
    for seed in range(60):
        joint = random_joint(seed)
        assert 2 <= joint.count <= 40
        trial = simulate(joint.story, 2000, seed)
        odds.append(trial.odds(trial.closes))
    assert sum(0.05 <= each <= 0.9995 for each in odds) >= 40
    assert len({round(each, 2) for each in odds}) >= 20


def test_the_referee_shares_no_formula() -> None:
    for name in ("story", "trial", "random_pieces"):
        tree = ast.parse((HELPERS / f"{name}.py").read_text(encoding="utf-8"))
        modules = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        modules |= {a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
        found = {module for module in modules if module is not None}
        assert not any("tolerance" in each or "odds" in each for each in found)
        assert not any(each.split(".")[0] in ("scipy", "statistics") for each in found)


def test_memory_and_chunks_do_not_change_the_odds() -> None:
    story = random_piece(4, "tray").story
    one, other = simulate(story, 40_000, 1, 40_000), simulate(story, 40_000, 1, 1_000)
    apart = one.odds(one.closes) - other.odds(other.closes)
    assert abs(apart) <= 4.5 * math.sqrt(2) * one.error(one.odds(one.closes))
    assert np.isfinite([each for pair in one.widest.values() for each in pair]).all()
