"""Reading back: what is written is proved, and what is spoilt is caught."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from dryfit.cutting.plan import plan
from dryfit.cutting.readback import read_back
from dryfit.model.machine import Hold, Machine, Zero
from dryfit.workflow import read_text
from tests.helpers.cutting import SMALL_JOB, SPEED, Made, example, sheets, small
from tools.cutting_evidence import mutations, random_sheets

SHELF = """
[plane.left]
x = 0
[plane.right]
x = 160
[plane.front]
y = 0
[plane.back]
y = 60
[plane.bottom]
z = 0
[plane.top]
z = 120
[plane.middle]
z = 60
[plane.upright]
x = 80
[panel.left]
on = "left"
[panel.right]
on = "right"
[panel.bottom]
on = "bottom"
[panel.top]
on = "top"
[panel.middle]
on = "middle"
[panel.upright]
on = "upright"
between = ["front", "back", "bottom", "middle"]
[panel.upper]
on = "upright"
between = ["front", "back", "middle", "top"]
"""


@cache
def tray() -> Made:
    """A small tray on one sheet."""
    (made,) = sheets(small(), sheet="300x260mm")
    return made


@cache
def two_sided() -> Made:
    """The sheet of a case with a shelf that has a housing in either face."""
    head = SMALL_JOB.format(form="x", sizes="1, 1, 1", diameter=3, relief="flank", width=12)
    head = head.replace('[piece]\nform = "x"\noutside = [1, 1, 1]\n', "")
    made = list(sheets(read_text(head + SHELF), sheet="500x400mm"))
    return next(m for m in made if m.bed.two_sided)


def kinds(made: Made, *texts: str) -> set[str]:
    """What reading other texts finds."""
    return {trouble.kind for trouble in made.read(*texts).troubles}


@pytest.mark.parametrize(
    "machine",
    [
        Machine(),
        Machine(unit="in"),
        Machine(zero=Zero.BED, numbers=True, climb=True),
        Machine(hold=Hold.SKIN, spring=0, pass_depth=1.0),
        Machine(hold=Hold.BED),
        Machine(arcs=False),
        Machine(plunges=True, ramp=3.0),
        Machine(allowance=0.3),
    ],
    ids=[
        "plain",
        "inch",
        "from the bed, climbing",
        "skin",
        "bed",
        "chords",
        "plunges",
        "allowance",
    ],
)
def test_what_is_written_is_proved_on_every_machine(machine: Machine) -> None:
    for made in sheets(small(), machine, sheet="300x260mm"):
        reading = made.read()
        assert [t.words for t in reading.troubles] == []
        most = 0.003 if not machine.arcs else 0.0015
        assert reading.deviation < most
        assert len(reading.pieces) >= len(made.bed.lying)


def test_small_parts_are_held_whatever_the_maker_says() -> None:
    for made in sheets(small(), Machine(hold=Hold.BED), sheet="300x260mm"):
        held = len(made.plan.holds.tabs) + len(made.plan.holds.skins)
        assert held >= len(made.bed.lying)


def test_work_from_two_sides_is_proved() -> None:
    made = two_sided()
    assert [setting.far for setting in made.plan.settings] == [True, False]
    assert "dowel" in made.plan.settings[0].text
    reading = made.read()
    assert [t.words for t in reading.troubles] == []
    assert reading.deviation < 0.0015


@pytest.mark.parametrize(("shift", "caught"), [(0.004, False), (0.03, True), (0.3, True)])
def test_a_sheet_that_lies_off_when_it_is_turned_is_measured(shift: float, caught: bool) -> None:
    made = two_sided()
    reading = read_back(made.plan.settings, replace(made.work, shift=(shift, 0.0)))
    assert reading.deviation == pytest.approx(shift, abs=0.0015)
    assert bool(reading.troubles) == caught


@pytest.mark.parametrize("zero", list(Zero))
def test_a_sheet_thicker_than_typed_is_not_cut_through(zero: Zero) -> None:
    (made,) = sheets(small(), Machine(zero=zero), sheet="300x260mm")
    reading = read_back(made.plan.settings, replace(made.work, thickness=made.bed.thickness + 0.5))
    kind = {t.kind for t in reading.troubles}
    # From the top the spoil depth does not reach; from the bed the clearance plane lies too low.
    assert kind & ({"wood-left"} if zero is Zero.TOP else {"rapid-low"})


def test_a_cutter_of_another_size_is_caught_both_ways() -> None:
    made = tray()
    for change, kind in ((0.1, "cut-inside"), (-0.1, "wood-left")):
        work = replace(made.work, diameter=made.work.diameter + change)
        reading = read_back(made.plan.settings, work)
        assert kind in {t.kind for t in reading.troubles}
        assert reading.deviation >= 0.05 - 0.001


def test_a_missing_relief_is_caught() -> None:
    made, bare = tray(), next(iter(sheets(small(relief="none"), sheet="300x260mm")))
    assert kinds(made, bare.text) & {"wood-left"}


def test_swapped_arcs_are_caught() -> None:
    made = tray()
    arcs = [m.start() for m in re.finditer("(?m)^G[23] ", made.text)]
    for at in arcs[:: len(arcs) // 4]:
        other = "2" if made.text[at + 1] == "3" else "3"
        assert kinds(made, made.text[: at + 1] + other + made.text[at + 2 :])


def test_a_rapid_through_the_stock_is_caught() -> None:
    text = re.sub(r"G0 Z5\n(\(.*\)\nG0 X)", r"G0 Z-3\n\1", tray().text, count=2)
    assert text != tray().text
    assert "rapid-low" in kinds(tray(), text)


def test_a_tab_on_a_finger_is_caught() -> None:
    """The bottom pass leaves out a run across the fingers."""
    made = tray()
    lines = made.text.splitlines()
    low = [k for k, line in enumerate(lines) if line.startswith(("G2", "G3")) and "Z" not in line]
    middle = low[len(low) // 2]
    lines[middle : middle + 1] = [
        "G0 Z5",
        *[],
        lines[middle].replace("G3", "G1").replace("G2", "G1"),
    ]
    assert kinds(made, "\n".join(lines) + "\n")


def test_too_deep_too_fast_beyond_and_into_a_clamp() -> None:
    made = tray()
    deep = made.text.replace("Z-6.1", "Z-7.1")
    assert deep != made.text
    assert "too-deep" in kinds(made, deep)
    fast = re.sub(r"F2000", "F9000", made.text)
    assert "feed-high" in kinds(made, fast)
    short = replace(made.work, machine=Machine(travel=(100.0, 50.0, 30.0)))
    assert "beyond-travel" in {t.kind for t in read_back(made.plan.settings, short).troubles}
    x0, y0, x1, _ = made.bed.lying[0].outline.bounds
    clamp = ((x0 + x1) / 2, y0 - 5.0, (x0 + x1) / 2 + 10, y0 - 1.0)
    clamped = replace(made.work, machine=Machine(clamps=(clamp,)))
    assert "into-clamp" in {t.kind for t in read_back(made.plan.settings, clamped).troubles}


def test_a_straight_plunge_is_caught_unless_the_cutter_may() -> None:
    (made,) = sheets(small(), Machine(plunges=True), sheet="300x260mm")
    careful = replace(made.work, machine=Machine())
    assert "plunges" in {t.kind for t in read_back(made.plan.settings, careful).troubles}


def test_a_cut_tab_is_caught() -> None:
    made = tray()
    low = made.plan.bed.thickness - made.work.machine.tab_height
    text = made.text.replace(f"Z-{low:.4f}".rstrip("0"), "Z-6.13")
    assert text != made.text
    assert "tab-cut" in kinds(made, text)


def test_a_part_that_is_loose_is_not_come_back_to() -> None:
    """Without tabs, the holes of a part are cut after its outline."""
    machine = Machine(hold=Hold.BED)
    made = example("press-stand", machine)[0]
    assert [t.words for t in made.read().troubles] == []
    blocks = re.split(r"(?m)^(?=\()", made.text)
    inner = [b for b in blocks if ": hole" in b or ": opening" in b]
    outer = [b for b in blocks if ": outline" in b]
    head = "".join(b for b in blocks if b not in inner and b not in outer)
    tail = "G0 Z5\nM5\nM2\n"
    turned = head + "".join(outer).replace(tail, "") + "".join(inner) + tail
    assert "cut-loose" in {t.kind for t in made.read(turned).troubles}


def test_loose_waste_is_caught_unless_it_is_allowed() -> None:
    made = example("press-stand")[0]
    (lying,) = [each for each in made.bed.lying if each.outline.holes][:1]
    only_contours = replace(made.bed, lying=(lying,))
    machine = Machine(hold=Hold.BED)
    own = plan(only_contours, machine, made.work.diameter, SPEED, "stand")
    held = read_back(
        own.settings, replace(made.work, bed=only_contours, machine=machine, holds=own.holds)
    )
    assert "slug-loose" not in {t.kind for t in held.troubles}


def test_every_changed_digit_is_caught_or_harmless() -> None:
    missed, caught, harmless = mutations(tray(), 20, seed=8)
    assert missed == []
    assert caught > 5
    assert caught + harmless == 20


@pytest.mark.parametrize("parts", [8])
def test_random_parts_are_proved(parts: int) -> None:
    for made in random_sheets(parts):
        reading = made.read()
        assert [t.words for t in reading.troubles] == []
        assert reading.deviation < 0.0015
