"""Odds against the referee: how many standard errors the two lie apart.

The odds of a joint are integrals, but those of a piece are partly sampled, so that their own error
counts too: it is taken from several seeds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import TYPE_CHECKING

import numpy as np

from dryfit.joints.odds import Odds
from dryfit.model.cutter import Route
from dryfit.model.scatter import WANTED
from dryfit.tolerance.closing import Closing, Effort, Shared
from dryfit.tolerance.links import Link, Row
from tests.helpers.trial import simulate

if TYPE_CHECKING:
    from tests.helpers.random_pieces import RandomJoint, RandomPiece

SEEDS = (1, 2, 3, 4)
POWER = 14


@dataclass(frozen=True)
class Apart:
    """Two odds, and how many standard errors they lie apart."""

    computed: float
    simulated: float
    errors: float


def piece_apart(case: RandomPiece, samples: int, seed: int) -> Apart:
    """The odds of a whole piece against as many throws."""
    rehearsal = case.rehearsal
    wanted = replace(WANTED, flush=case.flush)
    found = [_whole(case, wanted.flush, number) for number in SEEDS]
    trial = simulate(case.story, samples, seed, sanding=None)
    assert rehearsal.job.cutter.route in Route
    return _apart(found, trial.closes, samples)


def _whole(case: RandomPiece, flush: float, seed: int) -> float:
    job, plans = case.rehearsal.job, case.rehearsal.plans
    odds = Odds(
        job.piece, plans, case.scatter, job.cutter.route, replace(WANTED, flush=flush),
        effort=Effort(POWER, seed),
    )  # fmt: skip
    # The referee is told what stays of a cup and how far moisture has moved mates.
    earlier = {joint.id: joint.id.startswith(f"{joint.lead}+") for joint in plans.joints}
    slopes = {name: -slope if earlier[name] else slope for name, slope in case.slopes.items()}
    odds.__dict__["setting"] = replace(odds.setting, cups=dict(case.cups), slopes=slopes)
    return odds.whole


def joint_apart(case: RandomJoint, samples: int, seed: int) -> Apart:
    """The odds of one joint against as many throws."""
    found = [_alone(case, number) for number in SEEDS]
    trial = simulate(case.story, samples, seed, sanding=None)
    return _apart(found, trial.closes, samples)


def _alone(case: RandomJoint, seed: int) -> float:
    scatter, count = case.scatter, case.count
    by_hand = case.route is Route.HAND
    senses = tuple(1 if k % 2 == 0 else -1 for k in range(count))
    flanks = case.story.flanks[0]
    row = None
    if case.route is Route.SAW or case.slope or scatter.scale:
        row = Row(flanks.places, flanks.senses, case.slope, scatter.scale, case.route is Route.SAW)
        senses = flanks.senses
    plus = sum(sense > 0 for sense in senses)
    link = Link(
        "a", "b", 0, "a+b", plus, count - plus, gap=case.gap, per_misfit=1.0,
        sd=scatter.edge if by_hand else sqrt(2) * scatter.edge,
        datum=0.0 if by_hand else sqrt(2) * scatter.datum, row=row,
    )  # fmt: skip
    links = [link]
    if np.isfinite(case.flush):
        links.append(Link("a", "b", 0, "a+b", 1, 1, gap=case.flush))
    return Closing(links, Shared(scatter.misfit, scatter.misfit_sd), Effort(POWER, seed)).odds(0)


def _apart(found: list[float], closes: int, samples: int) -> Apart:
    computed, simulated = float(np.mean(found)), closes / samples
    own = float(np.std(found, ddof=1)) / sqrt(len(found))
    # At odds of nearly 0 or 1 no throw may fall on the other side: one such throw counts as seen.
    chance = min(max(simulated, 1 / samples), 1 - 1 / samples)
    error = hypot(own, sqrt(chance * (1 - chance) / samples))
    return Apart(computed, simulated, (computed - simulated) / error)
