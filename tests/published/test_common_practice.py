"""Rules of proportion and of even division, as joiners state them.

Source: common practice, no source. Sizes below are worked by hand from the rules themselves:

* with N sockets on the lead, w = L / (2N + 1), the pitch is L / (N + ½), N + 1 fingers lead;
* a finger is one to one and a half thicknesses wide, never under half a thickness nor 3 mm,
  never over two thicknesses;
* on the saw a finger is as wide as the blade set;
* the air at a finger is two flank gaps.
"""

from __future__ import annotations

import numpy as np
import pytest

from dryfit.model.cutter import Cutter, Route
from dryfit.model.piece import Wish
from tests.helpers.boxes import BARE, HAND, PAIR, RING, TRAY, box, build
from tests.helpers.flanks import read

ROUTER = Cutter(Route.ROUTER, 3.175)

# Length, sockets on the lead; width and pitch to five places; fingers of the lead.
WORKED = [
    (300.0, 10, 14.28571, 28.57143, 11),
    (90.0, 4, 10.00000, 20.00000, 5),
    (139.7, 5, 12.70000, 25.40000, 6),
    (1000.0, 1, 333.33333, 666.66667, 2),
    (77.0, 30, 1.26230, 2.52459, 31),
]


@pytest.mark.parametrize(("length", "sockets", "width", "pitch", "fingers"), WORKED)
def test_worked_divisions(
    length: float, sockets: int, width: float, pitch: float, fingers: int
) -> None:
    wish = Wish(count=2 * sockets + 1, flank_gap=0.0, proud=0.0)
    made = build(box((200, 200, length), PAIR, 9.0, wish=wish))
    (joint,) = made.plans.joints
    assert joint.plan.width == pytest.approx(width, abs=5e-6)
    assert (joint.plan.sockets, joint.fingers[joint.lead]) == (sockets, fingers)
    shown = read(made.part(joint.lead), made.part(joint.follow))
    # From the near flank of one finger of the lead to that of the next.
    begins = np.concatenate(([shown.low], shown.flanks))[::2]
    assert np.diff(begins) == pytest.approx(pitch, abs=1e-5)


@pytest.mark.parametrize("thickness", [6.0, 9.0, 12.0, 18.0])
@pytest.mark.parametrize("walls", [PAIR, RING, TRAY], ids=["pair", "ring", "tray"])
@pytest.mark.parametrize("cutter", [HAND, ROUTER], ids=["hand", "router"])
def test_the_usual_finger(thickness: float, walls: tuple[str, ...], cutter: Cutter) -> None:
    """With room for many fingers, the usual one is one to one and a half thicknesses wide."""
    made = build(box((720, 540, 360), walls, thickness, wish=BARE), cutter)
    for joint in made.plans.joints:
        assert 0.95 * thickness <= joint.plan.width <= 1.6 * thickness


@pytest.mark.parametrize("thickness", [1.5, 3.0, 40.0])
@pytest.mark.parametrize("length", [20.0, 47.0, 130.0, 1111.0])
def test_no_finger_out_of_proportion(thickness: float, length: float) -> None:
    """Where some odd count from three up lies in the range, the one taken does."""
    made = build(box((300, 300, length), PAIR, thickness, wish=BARE))
    (joint,) = made.plans.joints
    least = max(3.0, thickness / 2)
    most = max(2 * thickness, least)
    fair = [n for n in range(3, 401, 2) if least <= length / n <= most]
    assert joint.plan.count in fair or not fair
    assert joint.plan.count >= 3
    assert joint.plan.count % 2 == 1


def test_on_the_saw_a_finger_is_as_wide_as_the_blade_set() -> None:
    """Ten blade sets go into the length nine times and a bit: 9 or 11 fingers, never others."""
    made = build(box((200, 200, 63.0), PAIR, 12.0), Cutter(Route.SAW, 6.35))
    (joint,) = made.plans.joints
    assert joint.plan.count == 9
    assert joint.plan.width == 7.0


@pytest.mark.parametrize("gap", [0.0, 0.05, 0.15, -0.05])
def test_the_air_at_a_finger_is_two_flank_gaps(gap: float) -> None:
    wish = Wish(count=9, flank_gap=gap, proud=0.0)
    made = build(box((200, 200, 90), PAIR, 9.0, wish=wish))
    (joint,) = made.plans.joints
    lead, follow = (
        read(made.part(one), made.part(joint.other(one))) for one in (joint.lead, joint.follow)
    )
    fingers = np.diff(follow.flanks)[::2]
    sockets = np.diff(lead.flanks)[::2]
    assert fingers == pytest.approx(10.0 - gap, abs=1e-9)
    assert sockets - fingers == pytest.approx(2 * gap, abs=1e-9)
