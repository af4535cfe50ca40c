"""Laws of the odds that many links close at once."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.tolerance.closing import Closing, Shared
from dryfit.tolerance.fits import Boundaries, fixed, floating
from dryfit.tolerance.links import Link
from dryfit.tolerance.loops import Graph

GAPS, SPREADS = st.floats(0.0, 0.25), st.floats(0.005, 0.08)
NEAR = 0.004
"""What sampling may be off. [-]"""


@st.composite
def rings(draw: st.DrawFn) -> list[Link]:
    """Walls in a ring, and perhaps a base that holds them all."""
    count = draw(st.integers(3, 6))
    sd, datum = draw(SPREADS), draw(st.floats(0.0, 0.08))
    walls = [f"wall {n}" for n in range(count)]
    links = []
    for one, other in zip(walls, [*walls[1:], walls[0]], strict=True):
        own = Boundaries.of(draw(st.integers(2, 24)))
        links.append(
            Link(
                one, other, 2, f"{one}+{other}", own.plus, own.minus, per_gap=1.0, per_misfit=1.0,
                sd=sd, datum=datum, pinch=draw(st.sampled_from([0.0, 0.02])),
            )
        )  # fmt: skip
    if draw(st.booleans()):
        links += [
            Link(wall, "base", 2, f"{wall}+base", 1, 1, gap=0.15, centre=0.15, datum=datum)
            for wall in walls
        ]
    return links


SHARED = st.builds(Shared, st.just(0.0), st.floats(0.0, 0.04))


@settings(max_examples=25)
@given(rings(), SHARED)
def test_odds_rise_with_the_gap_and_stay_below_the_product(
    links: list[Link], shared: Shared
) -> None:
    closing = Closing(links, shared)
    gaps = np.linspace(0.0, 0.25, 9)
    odds = closing.curve(gaps)
    assert (np.diff(odds) >= -NEAR).all()
    assert (odds <= closing.product(gaps) + 1e-9).all()
    assert (odds >= 0).all()
    assert (odds <= 1).all()


@settings(max_examples=25)
@given(rings(), SHARED, GAPS)
def test_the_whole_is_no_likelier_than_its_worst_joint(
    links: list[Link], shared: Shared, gap: float
) -> None:
    closing = Closing(links, shared)
    worst = min(float(closing.of(name, np.array([gap]))[0]) for name in closing.names)
    assert closing.odds(gap) <= worst + 1e-9


@settings(max_examples=20)
@given(rings(), SHARED, GAPS, st.randoms(use_true_random=False))
def test_the_order_of_links_and_of_their_bodies_changes_nothing(
    links: list[Link], shared: Shared, gap: float, rng: object
) -> None:
    shuffled = list(links)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    turned = [
        replace(link, first=link.second, second=link.first, plus=link.minus, minus=link.plus,
                centre=-link.centre)
        for link in shuffled
    ]  # fmt: skip
    assert Closing(turned, shared).odds(gap) == Closing(links, shared).odds(gap)


@settings(max_examples=20)
@given(rings(), SHARED, GAPS, st.floats(1.1, 2.0), st.floats(0.005, 0.05))
def test_odds_fall_with_scatter_and_rise_with_pinch(
    links: list[Link], shared: Shared, gap: float, wider: float, more: float
) -> None:
    odds = Closing(links, shared).odds(gap)
    rough = [replace(link, sd=wider * link.sd, datum=wider * link.datum) for link in links]
    assert Closing(rough, shared).odds(gap) <= odds + NEAR
    soft = [replace(link, pinch=link.pinch + more) if link.sd else link for link in links]
    assert Closing(soft, shared).odds(gap) >= odds - NEAR


@settings(max_examples=30)
@given(GAPS, SPREADS, st.integers(2, 30), st.floats(0.0, 0.05))
def test_one_joint_is_the_closed_form_floating_and_stopped(
    gap: float, sd: float, count: int, common: float
) -> None:
    own = Boundaries.of(count)
    link = Link("a", "b", 0, "a+b", own.plus, own.minus, per_gap=1.0, per_misfit=1.0, sd=sd)
    shared = Shared(0.0, common)
    assert abs(Closing([link], shared).odds(gap) - floating(gap, sd, own, common)) < 3e-4
    stop = Link("a", "b", 0, "a+b", 1, 1)
    assert abs(Closing([link, stop], shared).odds(gap) - fixed(gap, sd, own, common)) < 0.01


@settings(max_examples=20)
@given(rings(), SHARED, GAPS, st.floats(3.0, 30.0))
def test_what_is_less_well_known_is_less_likely_where_much_is_wanted(
    links: list[Link], shared: Shared, gap: float, freedom: float
) -> None:
    known = Closing(links, shared).odds(gap)
    doubted = Closing(links, replace(shared, freedom=freedom)).odds(gap)
    assert 0 <= doubted <= 1
    if known > 0.95:
        assert doubted <= known + NEAR


@settings(max_examples=60)
@given(st.integers(3, 6), st.integers(0, 2**32 - 1))
def test_the_least_opening_is_that_of_the_worst_loop(count: int, seed: int) -> None:
    """Against every loop there is, tried one by one; a pair by itself is no graph."""
    rng = np.random.default_rng(seed)
    edges = [
        (a, b, float(rng.integers(1, 3))) for a, b in product(range(count), repeat=2) if a != b
    ]
    graph, kept = Graph.of(edges)
    weight = rng.normal(0.0, 1.0, (len(edges), 4))
    found = graph.least_opening(weight[kept], np.full(4, -50.0))
    assert np.allclose(found, [_worst_loop(count, edges, w) for w in weight.T], atol=1e-9)


def _worst_loop(count: int, edges: list[tuple[int, int, float]], weight: np.ndarray) -> float:
    own = {edge[:2]: (float(w), edge[2]) for edge, w in zip(edges, weight, strict=True)}
    worst = -50.0

    def walk(path: list[int]) -> None:
        nonlocal worst
        if len(path) > 1:
            steps = [own[step] for step in zip(path, [*path[1:], path[0]], strict=True)]
            worst = max(worst, -sum(w for w, _ in steps) / sum(c for _, c in steps))
        for body in range(path[0] + 1, count):
            if body not in path:
                walk([*path, body])

    for first in range(count):
        walk([first])
    return worst


def test_a_loop_that_no_gap_opens_never_closes() -> None:
    stiff = [
        Link("a", "b", 0, "a+b", 1, 1, gap=0.1, centre=1.0),
        Link("b", "c", 0, "b+c", 1, 1, gap=0.1),
        Link("a", "c", 0, "a+c", 1, 1, gap=0.1),
    ]
    assert Closing(stiff, Shared()).odds(5.0) == 0.0
    loose = [replace(stiff[0], centre=0.25), *stiff[1:]]
    assert Closing(loose, Shared()).odds(0.0) == 1.0
