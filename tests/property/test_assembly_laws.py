"""Orders of assembly against exhaustive search over cells, and the laws that they keep."""

from __future__ import annotations

from itertools import product
from random import Random

import numpy as np
import pytest

from dryfit import workflow
from dryfit.assembly.blocking import SLACK, blocking_of
from dryfit.assembly.bodies import bodies_of
from dryfit.assembly.freedom import freedom
from dryfit.assembly.leaning import leaning_blocking, leaning_of
from dryfit.assembly.locks import Lock, lock_of
from dryfit.assembly.order import moves_of
from dryfit.assembly.parting import core_of, locked_in, orders, two_handed
from dryfit.assembly.stand import Stand, stand_of
from dryfit.findings import Severity
from dryfit.model.meeting import find_meetings
from tests.helpers.boxes import CASE, RING, TRAY, box, build
from tests.helpers.locked import LOCKED, pinwheel
from tests.helpers.motion import moved, rotation
from tests.helpers.voxels import WAYS, Cubes, assemblies


def stand(cubes: Cubes) -> Stand:
    """Cubes as the order sees them; all that share a face of a cell meet."""
    bodies = cubes.bodies()
    blocking = blocking_of(bodies)
    count = blocking.count
    meets = np.zeros((count, count), dtype=bool)
    owner = {cell: k for k, part in enumerate(cubes.parts) for cell in part}
    for (x, y, z), k in owner.items():
        for dx, dy, dz in WAYS:
            other = owner.get((x + dx, y + dy, z + dz), k)
            meets[k, other] |= other != k
    low, high = (bound.T for bound in bodies.bounds)
    clear = np.maximum(high[:, None, :] - low[:, :, None], 0.0) * meets
    back = np.maximum(high[:, :, None] - low[:, None, :], 0.0) * meets
    volume = np.array([len(part) for part in cubes.parts], dtype=float)
    return Stand(blocking, np.concatenate((clear, back)), (low[2] + high[2]) / 2, volume, meets)


def as_bits(members: tuple[int, ...]) -> int:
    return sum(1 << part for part in members)


def test_the_verdict_is_that_of_exhaustive_search() -> None:
    apart = 0
    for cubes in assemblies():
        blocking = blocking_of(cubes.bodies())
        everything = np.ones(blocking.count, dtype=bool)
        expected = cubes.comes_apart(cubes.whole)
        assert (locked_in(blocking, everything) is None) is expected
        assert orders(blocking) == cubes.orders(cubes.whole)
        apart += expected
    # The referee is asked something: of either answer there are many.
    assert 100 < apart < len(assemblies()) - 100


def test_every_order_is_valid_when_it_is_replayed_cell_by_cell() -> None:
    for cubes in assemblies():
        moves = moves_of(stand(cubes))
        assert (moves is not None) is cubes.comes_apart(cubes.whole)
        together: set[tuple[int, ...]] = set()
        for move in moves or ():
            if not move.standing:
                together |= {move.moving}
                continue
            if len(move.moving) > 1:
                assert move.moving in together, "what is moved as one has been put together"
            assert move.standing in together
            x, y, z = (int(v) for v in -stand(cubes).blocking.ways[move.way])
            assert cubes.clear(as_bits(move.moving), as_bits(move.standing), (x, y, z))
            together |= {tuple(sorted((*move.moving, *move.standing)))}
        assert moves is None or tuple(range(len(cubes.parts))) in together


def test_partings_are_counted_as_exhaustive_search_counts_them() -> None:
    for cubes in assemblies()[:100]:
        both = {min(leave, cubes.whole & ~leave) for leave in cubes.partings(cubes.whole)}
        assert two_handed(blocking_of(cubes.bodies())) == len(both)


def test_a_part_less_never_locks_what_came_apart() -> None:
    for cubes in assemblies()[:150]:
        blocking = blocking_of(cubes.bodies())
        everything = np.ones(blocking.count, dtype=bool)
        if locked_in(blocking, everything) is not None:
            continue
        for part in range(blocking.count):
            fewer = everything.copy()
            fewer[part] = False
            assert locked_in(blocking, fewer) is None


def opens(lock: Lock, blocking_hits: np.ndarray, bars: set[tuple[int, int]]) -> bool:
    """Whether some way parts the parts of a lock, only bars counted; every set is tried."""
    parts = lock.parts
    for leave in range(1, (1 << len(parts)) - 1):
        own = [p for k, p in enumerate(parts) if leave >> k & 1]
        rest = [p for k, p in enumerate(parts) if not leave >> k & 1]
        for hits in blocking_hits:
            barred = any(
                hits[i, j] and ((i, j) in bars or (j, i) in bars) for i, j in product(own, rest)
            )
            if not barred:
                return True
    return False


def check_lock(lock: Lock, blocking_hits: np.ndarray) -> None:
    bars = set(lock.bars)
    assert not opens(lock, blocking_hits, bars)
    for bar in bars:
        assert opens(lock, blocking_hits, bars - {bar}), f"without {bar} it stays locked"


def test_a_lock_names_pairs_of_which_none_can_be_left_out() -> None:
    locks = 0
    for cubes in assemblies():
        lock = lock_of(stand(cubes))
        assert (lock is None) is cubes.comes_apart(cubes.whole)
        if lock is not None and len(lock.parts) <= 5:
            check_lock(lock, blocking_of(cubes.bodies()).hits)
            locks += 1
    assert locks > 100


@pytest.mark.parametrize("name", LOCKED)
def test_locked_pieces_are_told_with_a_reason_that_is_minimal_and_a_mend(name: str) -> None:
    rehearsal = workflow.read_text(LOCKED[name])
    assert rehearsal.assembly is not None
    locked = rehearsal.assembly.locked
    assert locked is not None
    names = [part.name for part in rehearsal.parts]
    seen = stand_of(rehearsal.parts, rehearsal.plans.meetings)
    assert seen is not None
    lock = lock_of(seen)
    assert lock is not None
    assert tuple(names[k] for k in lock.parts) == locked.parts
    check_lock(lock, seen.blocking.hits)
    (finding,) = [f for f in rehearsal.findings if f.code == "locked"]
    assert finding.severity is Severity.STOP
    assert finding.mend is not None
    freed = rehearsal.tried(finding.mend.edits)
    assert freed is not None
    assert freed.assembly is not None
    assert freed.assembly.steps
    assert not freed.report.stops


def test_only_two_hands_part_a_pinwheel_of_tenons() -> None:
    rehearsal = workflow.read_text(pinwheel("tenon"))
    assert rehearsal.assembly is not None
    assert rehearsal.assembly.orders == 0
    (step,) = rehearsal.assembly.two_handed
    assert len(step.moving) == 2
    assert [f.code for f in rehearsal.findings if f.code == "two-handed"] == ["two-handed"]


@pytest.mark.parametrize("walls", [RING, TRAY, CASE])
@pytest.mark.parametrize("seed", range(3))
def test_a_turned_piece_goes_together_alike(walls: tuple[str, ...], seed: int) -> None:
    piece = box((70.0, 60.0, 50.0), walls)
    turned = moved(piece, rotation(Random(seed).sample(range(-9, 10), 4)), (5.0, -3.0, 2.0))  # noqa: S311
    one, other = build(piece), build(turned)
    blockings = []
    for built in (one, other):
        (lattice,) = find_meetings(built.piece.panels).lattices
        blockings.append(blocking_of(bodies_of(built.parts, lattice.turn)))
    assert orders(blockings[0]) == orders(blockings[1])
    assert two_handed(blockings[0]) == two_handed(blockings[1])


@pytest.mark.parametrize("seed", range(4))
def test_prisms_say_what_boxes_say(seed: int) -> None:
    """The engine for parts at any angle, asked along the axes of square pieces."""
    random = Random(seed)  # noqa: S311
    sizes = [random.uniform(40, 120) for _ in range(3)]
    piece = box(sizes, CASE, {name: random.uniform(4, 12) for name in CASE})
    parts = build(piece).parts
    boxes = blocking_of(bodies_of(parts, np.eye(3)))
    prisms = leaning_blocking(leaning_of(parts), np.eye(3))
    assert (boxes.hits == prisms.hits).all()


def test_a_finger_corner_frees_two_directions_and_everything_between() -> None:
    bodies = bodies_of(build(box((60.0, 50.0, 40.0), ("front", "left"))).parts, np.eye(3))
    found = freedom(bodies, 0, 1)
    assert set(found.axes) == {(1.0, 0.0, 0.0), (0.0, -1.0, 0.0)}
    (arc,) = found.arcs
    assert (arc.first, arc.second) == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    # Slack lets a direction lean by a hair beyond the axes; it never hides one between them.
    assert arc.begin % (2 * np.pi) == pytest.approx(1.5 * np.pi, abs=0.02)
    assert arc.end - arc.begin == pytest.approx(np.pi / 2, abs=0.04)


def test_free_axes_are_those_along_which_nothing_is_hit() -> None:
    for cubes in assemblies()[:120]:
        bodies = cubes.bodies()
        hits = blocking_of(bodies)
        for i, j in product(range(hits.count), repeat=2):
            if i != j:
                hit = hits.hits[:, i, j]
                free = {tuple(way) for way in hits.ways[~hit].tolist()}
                assert set(freedom(bodies, i, j).axes) == free


def test_directions_between_axes_are_free_where_moved_boxes_share_nothing() -> None:
    random = Random(7)  # noqa: S311
    for cubes in assemblies()[:12]:
        bodies = cubes.bodies()
        i, j = random.sample(range(bodies.count), 2)
        own, mate = (bodies.owner == part for part in (i, j))
        found = freedom(bodies, i, j)
        for plane in ((0, 1), (0, 2), (1, 2)):
            arcs = [a for a in found.arcs if (a.first.index(1), a.second.index(1)) == plane]
            for angle in np.linspace(0.05, 2 * np.pi, 16):
                inside = [(angle - arc.begin) % (2 * np.pi) < arc.end - arc.begin for arc in arcs]
                way = np.zeros(3)
                way[list(plane)] = np.cos(angle), np.sin(angle)
                steps = np.arange(0.0, 8.0, 0.05)[:, None, None, None] * way
                low = bodies.low[own][:, None] + steps
                shared = np.minimum(low + 1, bodies.high[mate]) - np.maximum(low, bodies.low[mate])
                hit = bool((shared.min(axis=-1) > SLACK + 0.03).any())
                clear = bool((shared.min(axis=-1) < SLACK - 0.03).all())
                near = any(
                    min((angle - end) % (2 * np.pi), (end - angle) % (2 * np.pi)) < 0.1
                    for arc in arcs
                    for end in (arc.begin, arc.end)
                )
                assert near or not (hit and any(inside))
                assert near or any(inside) or not clear


def test_the_core_does_not_depend_on_the_order_of_the_parts() -> None:
    for seed, cubes in enumerate(assemblies()[:100]):
        order = Random(seed).sample(range(len(cubes.parts)), len(cubes.parts))  # noqa: S311
        other = Cubes([cubes.parts[k] for k in order])
        one, two = (blocking_of(c.bodies()) for c in (cubes, other))
        everything = np.ones(one.count, dtype=bool)
        first, second = core_of(one, everything), core_of(two, everything)
        if first.sum() > 1:
            assert {order[k] for k in np.flatnonzero(second)} == set(np.flatnonzero(first))
        else:
            assert second.sum() == 1
