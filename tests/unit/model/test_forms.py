from __future__ import annotations

from dataclasses import replace

import pytest

from dryfit.errors import SizeError
from dryfit.materials.sheets import MATERIALS
from dryfit.model.forms import FORMS, Form, Request
from dryfit.model.panel import Face, Grain, Panel, Vector
from dryfit.model.reach import reach
from dryfit.model.stock import Stock

SIZES = (330.0, 220.0, 70.0)
THICK = {"front": 9.0, "back": 8.0, "left": 7.0, "right": 6.0, "base": 5.0, "lid": 4.0, "side": 3.0}
PLAIN = ("ring", "tray", "case", "pair")
forms = pytest.mark.parametrize("form", [FORMS[name] for name in PLAIN], ids=PLAIN)


def stocks(form: Form, material: str = "plywood") -> dict[str, Stock]:
    """A stock of its own thickness for every panel."""
    return {name: Stock(name, MATERIALS[material], THICK[name]) for name in form.panels}


def built(name: str, **changes: object) -> dict[str, Panel]:
    form = FORMS[name]
    given: dict[str, object] = {"stocks": stocks(form), "outside": SIZES, **changes}
    return {panel.name: panel for panel in form.build(Request(**given))}  # type: ignore[arg-type]


def dot(one: Vector, other: Vector) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def cross(one: Vector, other: Vector) -> Vector:
    (a, b, c), (d, e, f) = one, other
    return (b * f - c * e, c * d - a * f, a * e - b * d)


def box(panel: Panel) -> tuple[Vector, Vector]:
    """Low and high corner of a panel's reach, from all eight of its corners. [mm]"""
    frame, corners = panel.frame, []
    for u in (0.0, panel.width):
        for v in (0.0, panel.height):
            for n in (0.0, panel.thickness):
                steps = zip(frame.origin, frame.u, frame.v, frame.n, strict=True)
                corners.append(tuple(o + u * a + v * b + n * c for o, a, b, c in steps))
    low, high = (tuple(f(column) for column in zip(*corners, strict=True)) for f in (min, max))
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def test_panels_of_every_form() -> None:
    assert {name: FORMS[name].panels for name in PLAIN} == {
        "ring": ("front", "back", "left", "right"),
        "tray": ("front", "back", "left", "right", "base"),
        "case": ("front", "back", "left", "right", "base", "lid"),
        "pair": ("front", "side"),
    }


def test_the_reaches_are_the_outer_slabs() -> None:
    reaches = {name: box(panel) for name, panel in built("case").items()}
    assert reaches == {
        "front": ((0, 0, 0), (330, 9, 70)),
        "back": ((0, 212, 0), (330, 220, 70)),
        "left": ((0, 0, 0), (7, 220, 70)),
        "right": ((324, 0, 0), (330, 220, 70)),
        "base": ((0, 0, 0), (330, 220, 5)),
        "lid": ((0, 0, 66), (330, 220, 70)),
    }
    assert box(built("pair")["side"]) == ((0, 0, 0), (3, 220, 70))


@forms
def test_frames_are_right_handed_and_turn_face_b_outward(form: Form) -> None:
    middle = (165.0, 110.0, 35.0)
    for panel in built(form.name).values():
        frame = panel.frame
        assert cross(frame.u, frame.v) == frame.n
        low, high = box(panel)
        towards = tuple((a + b) / 2 - m for a, b, m in zip(low, high, middle, strict=True))
        assert dot(frame.n, (towards[0], towards[1], towards[2])) > 0


@forms
def test_widths_and_heights_are_the_outer_sizes(form: Form) -> None:
    expected = {"front": (330, 70), "back": (330, 70), "base": (330, 220), "lid": (330, 220)}
    for name, panel in built(form.name).items():
        assert (panel.width, panel.height) == expected.get(name, (220, 70))


def test_ranks_say_who_goes_first() -> None:
    ranks = {name: panel.rank for name, panel in built("case").items()}
    assert ranks == {"front": 0, "back": 0, "left": 1, "right": 1, "base": 2, "lid": 2}
    assert built("pair")["side"].rank == 1


@pytest.mark.parametrize(
    ("form", "outside"),
    [
        ("ring", (113.0, 117.0, 100.0)),
        ("tray", (113.0, 117.0, 105.0)),
        ("case", (113.0, 117.0, 109.0)),
        ("pair", (103.0, 109.0, 100.0)),
    ],
)
def test_inside_sizes_add_the_thickness_of_the_panels_across(form: str, outside: Vector) -> None:
    request = Request(stocks=stocks(FORMS[form]), inside=(100.0, 100.0, 100.0))
    assert FORMS[form].outer_sizes(request) == outside


def test_measured_thickness_counts_and_not_the_nominal() -> None:
    measured = Stock("walls", MATERIALS["plywood"], 9.0, readings=(8.7, 8.8))
    request = Request(stocks=dict.fromkeys(("front", "side"), measured), inside=(100, 100, 100))
    assert FORMS["pair"].outer_sizes(request) == (108.75, 108.75, 100)


@pytest.mark.parametrize(
    ("sizes", "sentence"),
    [
        (
            (13.0, 220.0, 70.0),
            (
                "the box is 13.00 mm along x, but left and right alone take 13.00 mm; make it more "
                "than 13.00 mm or use thinner stock"
            ),
        ),
        (
            (330.0, 10.0, 70.0),
            (
                "the box is 10.00 mm along y, but front and back alone take 17.00 mm; make it more "
                "than 17.00 mm or use thinner stock"
            ),
        ),
        (
            (330.0, 220.0, 5.0),
            (
                "the box is 5.00 mm along z, but base alone takes 5.00 mm; make it more than "
                "5.00 mm or use thinner stock"
            ),
        ),
    ],
)
def test_a_box_thinner_than_its_stock_is_refused(sizes: Vector, sentence: str) -> None:
    with pytest.raises(SizeError) as refused:
        built("tray", outside=sizes)
    assert str(refused.value) == sentence
    assert refused.value.path == ("piece", "outside")


def test_a_box_a_little_larger_than_its_stock_is_built() -> None:
    assert built("tray", outside=(13.01, 17.01, 5.01))["front"].width == 13.01


def test_an_inside_larger_than_the_outside_is_refused() -> None:
    with pytest.raises(SizeError) as refused:
        built("ring", inside=(340.0, 203.0, 70.0))
    assert str(refused.value) == (
        "inside is 340.00 mm along x, no less than the outside of 330.00 mm; "
        "give only one of inside and outside, the other follows from the stock"
    )
    assert refused.value.path == ("piece", "inside")


def test_an_inside_that_does_not_follow_from_the_outside_is_refused() -> None:
    with pytest.raises(SizeError) as refused:
        built("ring", inside=(317.0, 200.0, 70.0))
    assert str(refused.value) == (
        "inside is 200.00 mm along y, but the outside of 220.00 mm leaves 203.00 mm; "
        "give only one of inside and outside, the other follows from the stock"
    )


def test_an_inside_that_agrees_with_the_outside_is_taken() -> None:
    assert built("ring", inside=(317.0, 203.0, 70.0)) == built("ring")


def test_sizes_are_spoken_of_in_the_makers_unit() -> None:
    with pytest.raises(SizeError, match=r"the box is 0\.3937 in along x"):
        built("ring", outside=(10.0, 220.0, 70.0), unit="in")


def test_no_size_is_refused() -> None:
    with pytest.raises(SizeError, match="no size is given; give outside or inside"):
        built("ring", outside=None)


@forms
def test_solid_wood_runs_along_the_horizontal_length(form: Form) -> None:
    for panel in built(form.name, stocks=stocks(form, "oak")).values():
        assert panel.grain is Grain.U
        assert panel.frame.u[2] == 0
    assert all(panel.grain is Grain.FREE for panel in built(form.name).values())


def test_the_makers_word_for_grain_and_good_face() -> None:
    form = FORMS["tray"]
    layout = form.layout(Request(stocks(form), outside=SIZES))
    grain = {"front": "z", "left": "y", "base": "y", "back": "x"}
    face = {"base": "inside", "left": "both"}
    members = tuple(
        replace(m, grain=grain.get(m.name, ""), good_face=face.get(m.name, ""))
        for m in layout.members
    )
    panels = {panel.name: panel for panel in reach(replace(layout, members=members)).panels}
    grains = {name: panel.grain for name, panel in panels.items()}
    assert grains == {
        "front": Grain.V,
        "back": Grain.U,
        "left": Grain.U,
        "right": Grain.FREE,
        "base": Grain.V,
    }
    assert panels["base"].good_face is Face.A
    assert panels["left"].good_face is None
    assert panels["front"].good_face is Face.B
