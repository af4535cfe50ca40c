from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.cutting.stack import MakeUp, nearest, passes, widest_under
from dryfit.errors import SizeError
from dryfit.model.cutter import BladeSet

hundredths = st.integers(1, 700).map(lambda n: n / 100)
thin = st.integers(1, 60).map(lambda n: n / 100)
sets = st.builds(
    BladeSet,
    st.integers(100, 400).map(lambda n: n / 100),
    st.lists(hundredths, max_size=5).map(tuple),
    st.lists(thin, max_size=5).map(tuple),
)


def every(owned: BladeSet) -> list[tuple[float, int]]:
    """Width and pieces of every make-up, by brute force."""
    found = [(owned.outer, 1)]
    for a in range(len(owned.chippers) + 1):
        for chippers in combinations(owned.chippers, a):
            for b in range(len(owned.shims) + 1):
                for shims in combinations(owned.shims, b):
                    width = 2 * owned.outer + sum(chippers) + sum(shims)
                    found.append((width, 2 + a + b))
    return found


@settings(max_examples=150, deadline=None)
@given(sets, st.integers(50, 3000).map(lambda n: n / 100))
def test_the_make_up_is_the_nearest_of_all_and_of_fewest_pieces(
    owned: BladeSet, wanted: float
) -> None:
    made = nearest(owned, wanted)
    all_of_them = every(owned)
    least = min(abs(width - wanted) for width, _ in all_of_them)
    assert abs(made.width - wanted) == pytest.approx(least, abs=1e-6)
    fewest = min(n for width, n in all_of_them if abs(abs(width - wanted) - least) < 1e-7)
    assert made.pieces == fewest


@settings(max_examples=60, deadline=None)
@given(sets, st.integers(50, 3000).map(lambda n: n / 100))
def test_nothing_is_put_on_that_is_not_owned(owned: BladeSet, wanted: float) -> None:
    made = nearest(owned, wanted)
    assert made.outers in ((owned.outer,), (owned.outer, owned.outer))
    for used, there in ((made.chippers, owned.chippers), (made.shims, owned.shims)):
        rest = list(there)
        for each in used:
            rest.remove(each)
    assert len(made.outers) == 2 or not (made.chippers or made.shims)


@settings(max_examples=60, deadline=None)
@given(sets, st.integers(50, 3000).map(lambda n: n / 100))
def test_the_widest_under_is_the_widest_of_all_that_are_no_wider(
    owned: BladeSet, wanted: float
) -> None:
    made = widest_under(owned, wanted)
    under = [width for width, _ in every(owned) if width <= wanted + 1e-3]
    if not under:
        assert made is None
    else:
        assert made is not None
        assert made.width == pytest.approx(max(under), abs=2e-3)


def test_shims_need_two_blades_between_which_to_sit() -> None:
    assert nearest(BladeSet(3.2, (), (0.1, 0.2)), 3.4) == MakeUp((3.2,))


@given(st.floats(0.5, 30), st.floats(1, 8))
def test_passes_fill_the_socket_and_leave_nothing_between(blade: float, times: float) -> None:
    width = blade * times
    made = passes(blade, width)
    assert made.step <= blade + 1e-3
    assert blade + made.step * (made.count - 1) == pytest.approx(width, abs=2e-3)
    assert made.count - 1 < width / blade


@pytest.mark.parametrize(("blade", "width"), [(6.0, 5.0), (0.0, 5.0), (-3.0, 5.0)])
def test_a_blade_that_cannot_is_refused_in_a_sentence(blade: float, width: float) -> None:
    with pytest.raises(SizeError, match=r"cuts no socket of 5\.00 mm; take a narrower blade"):
        passes(blade, width)


def test_the_largest_set_that_a_job_may_state_is_quick() -> None:
    owned = BladeSet(
        3.175, tuple(0.7 + k / 7 for k in range(12)), tuple(k / 37 for k in range(1, 13))
    )
    assert abs(nearest(owned, 17.777).width - 17.777) < 1e-3
