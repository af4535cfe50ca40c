"""The long evidence of the odds: agreement with the referee, and shops that learn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.helpers.agreement import joint_apart, piece_apart
from tests.helpers.random_pieces import random_joint, random_piece
from tests.helpers.shops import World, outcomes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.helpers.agreement import Apart

THROWS = 1_000_000
JOINTS, PIECES, SHOPS, BROKEN = 200, 50, 500, 150
MOST, SELDOM, SELDOM_MOST = 4.5, 3.0, 3
LEVELS = (0.5, 0.8, 0.9, 0.95, 0.99)


@dataclass(frozen=True)
class Reliability:
    """Odds that were called, and how often pieces really close.

    `error` is the standard error of `true`, `worst` what 5 shops in 100 fall short of, and
    `flagged` how often the book noticed.
    """

    world: World
    shops: int
    wanted: float
    true: float
    error: float
    worst: float
    flagged: float


def agreement(scale: float) -> list[tuple[str, float, float]]:
    """Rows for the page: what, found, at most."""
    throws = int(THROWS * scale)
    joints = [joint_apart(random_joint(n), throws, n) for n in range(int(JOINTS * scale))]
    pieces = [piece_apart(random_piece(n), throws, n) for n in range(int(PIECES * scale))]
    rows = []
    for what, found in (("joints", joints), ("pieces", pieces)):
        head = f"{len(found)} random {what}, {throws:,} throws each"
        rows += [
            (f"{head}: most standard errors apart", _most(found), MOST),
            (f"same: beyond {SELDOM:g} standard errors", _beyond(found), SELDOM_MOST),
        ]
    return rows


def _most(found: Sequence[Apart]) -> float:
    return max(abs(each.errors) for each in found)


def _beyond(found: Sequence[Apart]) -> float:
    return float(sum(abs(each.errors) > SELDOM for each in found))


def reliability(scale: float) -> list[Reliability]:
    """How honest the odds are after three combs, in the plain world and in broken ones."""
    rows = []
    for world in World:
        plain = world is World.PLAIN
        shops, levels = int((SHOPS if plain else BROKEN) * scale), LEVELS if plain else (0.95,)
        found = [outcomes(world, seed, levels) for seed in range(shops)]
        for place, wanted in enumerate(levels):
            true = np.array([each[place].true for each in found])
            rows.append(
                Reliability(
                    world, shops, wanted, float(true.mean()), float(true.std() / shops**0.5),
                    float(np.quantile(true, 0.05)),
                    float(np.mean([each[place].flagged for each in found])),
                )
            )  # fmt: skip
    return rows


def honest(rows: Sequence[Reliability]) -> bool:
    """Whether pieces called 95 in 100 close 93 to 97 in 100 of the time in the plain world."""
    own = next(row for row in rows if row.world is World.PLAIN and row.wanted == 0.95)
    return 0.93 <= own.true <= 0.97


def reliability_page(rows: Sequence[Reliability]) -> list[str]:
    """The tables as lines of Markdown."""
    lines = [
        "",
        "## Shops that learn",
        "",
        "A simulated shop hides its misfit and its scatter, cuts three combs of eight sockets, and",
        "the book learns. The flank gap is then chosen for the odds wanted, and the piece, a ring",
        "of four corners with eight boundaries each, is scored by its true chance. `worst` is the",
        "chance below which 5 shops in 100 lie, `noticed` how often the book says that its results",
        "do not agree. The worlds below the first break what the book takes for granted.",
        "",
        "| world | shops | wanted | closes | standard error | worst | noticed |",
        "|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {row.world} | {row.shops} | {row.wanted:.2f} | {row.true:.3f} | {row.error:.3f} "
        f"| {row.worst:.3f} | {row.flagged:.2f} |"
        for row in rows
    ]
    return lines
