"""Any job on the saw gets a setting whose fingers mate, and are those of the parts."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryfit.cutting.batch import batches
from dryfit.cutting.jig import Setting, setting_of, whole_lengths
from dryfit.model.cutter import BladeSet, Cutter, Route
from dryfit.model.kind import Kind
from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, PAIR, RING, TRAY, Built, box, build
from tests.helpers.flanks import read
from tests.helpers.stepping import step_through

SET = BladeSet(3.175, (3.175, 3.175, 3.175, 2.38125, 1.5875), (0.1, 0.1, 0.2, 0.3))
hundredths = st.integers(0, 20).map(lambda n: n / 100)


@dataclass(frozen=True)
class Sawn:
    """A box on the saw: walls, sizes, thickness, blade, wanted width and gap. [mm]"""

    walls: tuple[str, ...]
    sizes: tuple[float, float, float]
    thick: float
    blade: float
    width: float | None
    gap: float

    def build(self, owned: BladeSet | None = None) -> Built:
        wish = Wish(width=self.width, flank_gap=self.gap, proud=0.3)
        piece = box(self.sizes, self.walls, self.thick, wish=wish)
        return build(piece, Cutter(Route.SAW, 6.35 if owned else self.blade, owned=owned))


def tenths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda n: n / 10)


sawn = st.builds(
    Sawn, st.sampled_from((PAIR, RING, TRAY, CASE)), st.tuples(*[tenths(600, 4000)] * 3),
    tenths(60, 180), tenths(30, 140), st.one_of(st.none(), tenths(80, 200)), hundredths,
)  # fmt: skip


def set_up(made: Built) -> list[Setting]:
    """The setting of every corner whose sockets admit the blade."""
    found = []
    for joint in made.plans.joints:
        narrow = joint.plan.width + joint.flank_gap < made.cutter.size
        if joint.kind is Kind.FINGER and not narrow:
            mates = made.piece.panel(joint.lead), made.piece.panel(joint.follow)
            found.append(setting_of(joint, mates, made.cutter, 0.01))
    assume(found)
    return found


def stepped(setting: Setting) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Both boards as the card has them cut, on the jig itself."""
    blade, reaches, finger = setting.tool.width, setting.reaches, setting.reaches[-1]
    # The lead bears on the pin. Then its first finger stands between pin and mate, and the slip
    # beside it. Where the divisions begin farther in, both are set by a line.
    edges = 0.0, finger + setting.slip
    if setting.start:
        edges = finger - setting.lead.first, finger - setting.follow.first
    return (
        step_through(reaches, blade, edges[0], setting.lead.sockets),
        step_through(reaches, blade, edges[1], setting.follow.sockets),
    )


def compare(made: Built, owned: BladeSet | None) -> None:
    for setting in set_up(made):
        lead, follow = stepped(setting)
        for cut, board in ((lead, setting.lead), (follow, setting.follow)):
            assert np.array(cut) == pytest.approx(np.array(setting.sockets_of(board)), abs=1e-6)
        # Every finger of the mate goes into a socket of the lead with a flank gap on either side.
        fingers = [(a[1], b[0]) for a, b in pairwise(follow)]
        for (low, high), (near, far) in zip(fingers, lead, strict=False):
            assert low - near == pytest.approx(setting.gap, abs=1e-6)
            assert far - high == pytest.approx(setting.gap, abs=1e-6)
        # A cut that lacks less than a thousandth takes no further pass.
        assert abs(setting.tool.error) <= 1e-3 or owned is not None
        if setting.tool.error == 0:
            against_the_parts(made, setting)


def against_the_parts(made: Built, setting: Setting) -> None:
    """Flanks where the parts have them, less half a gap that the datum edge takes."""
    joint = next(j for j in made.plans.joints if j.id == setting.joint)
    third = [
        end.block if end.owner not in (None, joint.lead, joint.follow) else 0.0
        for end in joint.plan.ends
    ]
    for own, mate in ((setting.lead, setting.follow), (setting.follow, setting.lead)):
        shown = read(made.part(own.panel), made.part(mate.panel), (third[0], third[1]))
        edges = [edge for pair in setting.wood(own) for edge in pair]
        inside = [
            edge
            for edge in edges
            if third[0] + setting.gap + 1e-6 < edge < setting.whole - third[1] - setting.gap - 1e-6
        ]
        flanks = shown.flanks - shown.low
        kept = flanks[(flanks > third[0] + 1e-3) & (flanks < setting.whole - third[1] - 1e-3)]
        assert np.array(inside) + setting.gap / 2 == pytest.approx(kept, abs=1e-6)


@settings(max_examples=120, deadline=None)
@given(sawn)
def test_a_blade_as_it_is_cuts_the_parts(job: Sawn) -> None:
    compare(job.build(), None)


@settings(max_examples=60, deadline=None)
@given(sawn)
def test_a_set_made_up_cuts_fingers_that_mate(job: Sawn) -> None:
    compare(job.build(SET), SET)


@settings(max_examples=60, deadline=None)
@given(sawn)
def test_the_lead_is_n_pitches_and_a_finger_wide(job: Sawn) -> None:
    """Lead width = N · pitch + (pitch - w), pitch = 2 w - allowance."""
    for setting in set_up(job.build(SET)):
        w, sockets = setting.tool.cut, setting.lead.sockets
        assert setting.pitch == pytest.approx(2 * w - 2 * setting.gap)
        if setting.count % 2 and not (setting.start or setting.end):
            lead = sockets * setting.pitch + (setting.pitch - w)
            assert setting.lead_width == pytest.approx(lead, abs=1e-6)
            fingers = np.diff([0.0, *np.ravel(setting.sockets_of(setting.lead)), lead])[::2]
            assert fingers == pytest.approx(np.full(sockets + 1, setting.finger), abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(sawn)
def test_a_whole_length_divides_into_single_passes(job: Sawn) -> None:
    blade = job.blade
    for setting in set_up(job.build()):
        near = whole_lengths(setting, blade)
        for each in near:
            division = (each.length - setting.start - setting.end) / each.count
            assert division + setting.gap == pytest.approx(blade)
            assert each.count % 2 == setting.count % 2
        if len(near) == 2:
            assert near[0].length <= setting.whole + 1e-6 < near[1].length + 2e-6


@settings(max_examples=40, deadline=None)
@given(sawn, st.integers(1, 5))
def test_every_end_is_cut_once(job: Sawn, times: int) -> None:
    """The cuts to count are enough for all ends, and one gang fewer would not do."""
    made = job.build(SET)
    set_up(made)
    assume(all(j.plan.width + j.flank_gap >= made.cutter.size for j in made.plans.joints))
    found = batches(made.piece, made.plans, made.cutter, 0.01, times)
    corners = [each.joint for batch in found for each in batch.settings]
    assert sorted(corners) == sorted(j.id for j in made.plans.joints)
    for batch in found:
        for boards in (batch.leads, batch.follows):
            made_of = batch.gang(boards)
            rounds = made_of.cuts / (boards[0].sockets * batch.setting.tool.passes)
            assert rounds * made_of.boards >= made_of.ends == len(boards) * times
            assert (rounds - 1) * made_of.boards < made_of.ends
            assert made_of.boards <= len({board.panel for board in boards}) * times
