"""Laws of bending, and the formulas against finite elements of a general library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.materials import beams
from dryfit.materials.frames import corner_moment, sway, sway_filled
from dryfit.materials.plates import Edge, Stiffness, deflection, isotropic, orthotropic
from tests.helpers.agreeing import Pair, all_pairs

LENGTHS = st.floats(50, 2000)
SIDES = st.floats(150, 900)
THICK = st.floats(3, 40)
MODULI = st.floats(500, 20_000)
ALL_EDGES = [(a, b) for a in Edge for b in Edge]


@pytest.mark.parametrize("pair", tuple(all_pairs()), ids=lambda pair: pair.what)
def test_the_formulas_agree_with_finite_elements(pair: Pair) -> None:
    assert pair.holds, (pair.elements, pair.formula)


def _navier(stiffness: Stiffness, a: float, b: float) -> float:
    """The double sine series of a plate carried all round, at its greatest along the middle."""
    m, n = np.meshgrid(np.arange(1, 120, 2), np.arange(1, 120, 2))
    both = 2 * (stiffness.coupling + 2 * stiffness.twist)
    below = stiffness.along * (m / a) ** 4 + both * (m * n / (a * b)) ** 2
    below += stiffness.across * (n / b) ** 4
    parts = 16 / np.pi**6 * np.sin(m * np.pi / 2) / (m * n * below)
    waves = np.sin(np.pi * n[:, :1] * np.linspace(0, 1, 81))
    return float((parts.sum(axis=1) @ waves).max())


@settings(max_examples=60, deadline=None)
@given(SIDES, SIDES, MODULI, MODULI, THICK)
def test_carried_all_round_it_is_the_double_series(
    a: float, b: float, along: float, across: float, thickness: float
) -> None:
    along, across = max(along, across), min(along, across)
    stiffness = orthotropic(along, across, across / 3, 0.2, thickness)
    ours = deflection(stiffness, (a, b))
    assert ours == pytest.approx(_navier(stiffness, a, b), rel=5e-3)


@settings(max_examples=60, deadline=None)
@given(LENGTHS, LENGTHS, MODULI, THICK, st.sampled_from(ALL_EDGES), st.floats(1e-4, 1))
def test_a_plate_twice_as_thick_bends_an_eighth_and_bends_with_its_load(
    a: float, b: float, modulus: float, thickness: float, edges: tuple[Edge, Edge], load: float
) -> None:
    thin, thick = (isotropic(modulus, 0.3, each) for each in (thickness, 2 * thickness))
    sag = deflection(thin, (a, b), edges)
    assert deflection(thick, (a, b), edges) == pytest.approx(sag / 8, rel=1e-6)
    assert deflection(thin, (a, b), edges, load) == pytest.approx(load * sag, rel=1e-6)
    assert deflection(thin, (a, b), edges[::-1]) == pytest.approx(sag, rel=1e-6)


@given(LENGTHS, LENGTHS, THICK, MODULI, st.sampled_from(beams.CASES), st.floats(0, 1000))
def test_a_beam_twice_as_thick_bends_an_eighth_and_bends_with_its_load(
    width: float, span: float, thickness: float, modulus: float, case: beams.Case, load: float
) -> None:
    section = beams.Section(width, thickness, modulus)
    double = beams.Section(width, 2 * thickness, modulus)
    sag = section.deflection(case, load, span)
    assert double.deflection(case, load, span) == pytest.approx(sag / 8, abs=1e-12)
    assert section.deflection(case, 2 * load, span) == pytest.approx(2 * sag, abs=1e-12)
    shared = beams.Section(width, thickness, modulus, modulus / 16)
    assert shared.deflection(case, load, span) >= sag


@settings(max_examples=40, deadline=None)
@given(LENGTHS, LENGTHS, MODULI, THICK)
def test_each_more_edge_that_carries_makes_it_bend_less(
    a: float, b: float, modulus: float, thickness: float
) -> None:
    stiffness = isotropic(modulus, 0.3, thickness)
    ways = [(Edge.FREE, Edge.FREE), (Edge.CARRIED, Edge.FREE), (Edge.CARRIED, Edge.CARRIED)]
    two, three, four = (deflection(stiffness, (a, b), way) for way in ways)
    assert two >= three * (1 - 1e-9)
    assert three >= four * (1 - 1e-9)
    strip = beams.Section(1.0, thickness, modulus)
    assert two >= 0.9 * strip.deflection(beams.SPREAD, a, a)


def _frame(push: float, height: float, length: float, stiffness: tuple[float, float]) -> float:
    """Sway of a closed frame by the slopes of its members, one half of it, as linear equations.

    By symmetry both top corners shift by s and turn by t, both lower ones turn by r:
    moments at a corner and the shear in the uprights balance.
    """
    upright, level = stiffness
    column, beam = upright / height, level / length
    left = np.array([
        [4 * column + 6 * beam, 2 * column, -6 * column / height],
        [2 * column, 4 * column + 6 * beam, -6 * column / height],
        [-6 * column / height, -6 * column / height, 12 * column / height**2],
    ])  # fmt: skip
    return float(np.linalg.solve(left, [0.0, 0.0, push / 2])[2])


@given(LENGTHS, LENGTHS, st.floats(1e6, 1e10), st.floats(1e6, 1e10), st.floats(1, 500))
def test_the_sway_of_a_frame_is_that_of_its_equations(
    height: float, length: float, upright: float, level: float, push: float
) -> None:
    ours = sway(push, (height, length), (upright, level))
    assert ours == pytest.approx(_frame(push, height, length, (upright, level)), rel=1e-6)
    assert corner_moment(push, height) * 4 == pytest.approx(push * height)
    assert sway_filled(push, (height, length), 1000.0) == pytest.approx(
        push * height / length / 1000
    )
