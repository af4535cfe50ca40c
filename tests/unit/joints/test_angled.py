"""Who owns the ends of angled corners, who leads, and what is denied."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dryfit.errors import SizeError
from dryfit.model.piece import Piece, Wish
from tests.helpers.angled import polygon_tray, splayed_tray
from tests.helpers.boxes import BARE, Built, build


def wished(piece: Piece, one: str, other: str, **wish: object) -> Built:
    own = replace(BARE, **wish)  # type: ignore[arg-type]
    return build(replace(piece, wishes={frozenset((one, other)): own}))


@pytest.mark.parametrize("sides", [3, 5, 6, 8, 12])
def test_the_base_keeps_its_corners_and_leads(sides: int) -> None:
    built = build(polygon_tray(sides))
    sine = math.sin(math.pi * (1 - 2 / sides))
    for joint in built.plans.joints:
        if "base" in (joint.lead, joint.follow):
            assert joint.lead == "base"
            assert joint.plan.count % 2 == 1
            assert [end.owner for end in joint.plan.ends] == ["base", "base"]
            assert joint.plan.start >= 9.0 / sine - 1e-9
        else:
            assert joint.plan.start == 9.0
            assert joint.plan.length == pytest.approx(80.0 - 9.0)


@pytest.mark.parametrize("base", [0.0, 9.0])
@pytest.mark.parametrize("sides", [3, 5, 6, 7])
def test_every_wall_leads_once_and_follows_once(sides: int, base: float) -> None:
    joints = build(polygon_tray(sides, base=base)).plans.joints
    leads = [joint.lead for joint in joints if "base" not in (joint.lead, joint.follow)]
    assert sorted(leads) == sorted(f"wall {k + 1}" for k in range(sides))


def test_the_front_of_a_splayed_tray_leads() -> None:
    joints = build(splayed_tray(15.0, (220.0, 300.0))).joints
    for one in ("front", "back"):
        for other in ("left", "right"):
            assert joints[frozenset((one, other))].lead == one


def test_wishes_are_granted_where_the_ends_are_free() -> None:
    built = wished(polygon_tray(6), "wall 1", "wall 2", count=6, leads="wall 2")
    joint = built.joints[frozenset(("wall 1", "wall 2"))]
    assert (joint.plan.count, joint.lead, built.plans.conflicts) == (6, "wall 2", ())
    assert joint.plan.width == pytest.approx(71.0 / 6)


def test_an_even_plan_begins_at_the_base() -> None:
    """The lead owns the division beside the base, whichever way the panels are listed."""
    for order in ((0, 1, 2), (1, 0, 2), (2, 1, 0)):
        tray = polygon_tray(6)
        some = [tray.panels[k] for k in (0, 1, 6)]
        piece = replace(tray, panels=tuple(some[k] for k in order))
        built = wished(piece, "wall 1", "wall 2", count=4, leads="wall 2")
        heights = {
            name: built.part(name).profile.outer.vertices[:, 1] for name in ("wall 1", "wall 2")
        }
        flanks = {name: sorted({round(float(v), 6) for v in vs}) for name, vs in heights.items()}
        assert pytest.approx(min(v for v in flanks["wall 2"] if v > 10.0)) == 9.0 + 71.0 / 4
        wide = built.part("wall 2").profile.outer.vertices
        low_row = wide[abs(wide[:, 1] - 9.0) < 1e-6, 0]
        # Beside the base wall 2 reaches out to its outer edge.
        assert low_row.min() == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    "wish", [{"count": 6}, {"leads": "wall 1"}, {"count": 4, "leads": "wall 1"}]
)
def test_what_the_base_does_not_grant_is_a_conflict(wish: dict[str, object]) -> None:
    built = wished(polygon_tray(6), "wall 1", "base", **wish)
    (conflict,) = built.plans.conflicts
    joint = built.joints[frozenset(("wall 1", "base"))]
    assert (joint.lead, joint.plan.count % 2) == ("base", 1)
    assert (conflict.joint, conflict.lead) == ("wall 1+base", "base")
    assert (conflict.count_wished, conflict.lead_wished) == (wish.get("count"), wish.get("leads"))


def test_the_smaller_rank_keeps_the_corner() -> None:
    """Walls that outrank the base own the blocks below, each at the end it shares with the next."""
    tray = polygon_tray(6)
    panels = tuple(replace(panel, rank=5 if panel.name == "base" else 1) for panel in tray.panels)
    built = build(replace(tray, panels=panels))
    owners = {end.owner for joint in built.plans.joints for end in joint.plan.ends} - {None}
    # Of panels of one rank the one that meets most others comes first, and that is the base.
    assert owners < {panel.name for panel in panels}
    assert "base" not in owners


def test_slanted_ends_are_left_out() -> None:
    """At the top of a splayed wall the corner begins where its shoulders do: d sin(splay) down."""
    degrees, thick, height = 30.0, 9.0, 80.0
    splay = math.radians(degrees)
    joint = build(splayed_tray(degrees, base=0.0)).joints[frozenset(("front", "right"))]
    edge = height * math.sqrt(1 + 2 * math.tan(splay) ** 2)
    depth = thick / math.sin(math.acos(-(math.sin(splay) ** 2)))
    assert joint.extent.length == pytest.approx(edge - depth * math.sin(splay), abs=1e-6)


def test_an_edge_that_its_ends_take_up_is_refused() -> None:
    tray = polygon_tray(6)
    low = tuple(
        panel if panel.name == "base" else replace(panel, height=8.0) for panel in tray.panels
    )
    with pytest.raises(SizeError, match=r"8\.00 mm long and its ends alone take 9\.00 mm"):
        build(replace(tray, panels=low))


def test_a_gap_wider_than_the_fingers_is_refused() -> None:
    with pytest.raises(SizeError, match="leaves nothing of fingers"):
        build(polygon_tray(6, wish=Wish(flank_gap=40.0)))
