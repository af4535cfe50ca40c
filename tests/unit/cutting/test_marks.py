from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.cutting.marks import (
    HALF_MILLIMETRE,
    SIXTY_FOURTH,
    Mark,
    Waste,
    marks_of,
    running_marks,
)
from dryfit.errors import SizeError
from dryfit.model.kind import Kind
from dryfit.model.piece import Wish
from tests.helpers.boxes import CASE, PAIR, RING, TRAY, box, build


@given(
    st.lists(st.floats(2.0, 40.0), min_size=1, max_size=40),
    st.sampled_from((HALF_MILLIMETRE, SIXTY_FOURTH)),
)
def test_marks_are_cumulative_and_end_exactly_at_the_whole(
    widths: list[float], grid: float
) -> None:
    ends = [sum(widths[: k + 1]) for k in range(len(widths))]
    marks = running_marks(tuple(ends[:-1]), ends[-1], grid)
    assert marks[-1] == ends[-1]
    assert all(abs(mark - end) <= grid / 2 + 1e-9 for mark, end in zip(marks, ends, strict=True))
    assert all(mark / grid == pytest.approx(round(mark / grid)) for mark in marks[:-1])
    assert all(low < high for low, high in pairwise(marks))


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from((PAIR, RING, TRAY, CASE)),
    st.floats(60, 240),
    st.sampled_from((HALF_MILLIMETRE, SIXTY_FOURTH)),
)
def test_the_wood_between_the_marks_is_the_lead_s(
    walls: tuple[str, ...], height: float, grid: float
) -> None:
    made = build(box((240.0, 210.0, height), walls, 12.0, wish=Wish(flank_gap=0.0, proud=0.4)))
    for joint in made.plans.joints:
        if joint.kind is not Kind.FINGER:
            continue
        panels = made.piece.panel(joint.lead), made.piece.panel(joint.follow)
        marks = marks_of(joint, panels, grid)
        assert marks.whole == joint.extent.length
        assert marks.most_off <= grid / 2 + 1e-9
        wood = _wood(marks.marks, marks.whole)
        owned = joint.owned(joint.lead)
        assert len(wood) == len(owned)
        for (low, high), (begins, ends) in zip(wood, owned, strict=True):
            first, last = joint.plan.ends
            assert low == pytest.approx(begins, abs=grid / 2 + 1e-9) or first.carried
            assert high == pytest.approx(ends, abs=grid / 2 + 1e-9) or last.carried
        assert [gauge.depth for gauge in marks.gauges] == [12.4, 12.4]


def _wood(marks: tuple[Mark, ...], whole: float) -> list[tuple[float, float]]:
    """Where the lead keeps its wood, by the waste beside each mark alone."""
    found, low = [], 0.0
    for mark in marks:
        if mark.waste is Waste.AFTER:
            found.append((low, mark.at))
        elif mark.waste is Waste.BEFORE:
            low = mark.at
    last = marks[-2].waste if len(marks) > 1 else Waste.BEFORE
    return found if last is Waste.AFTER else [*found, (low, whole)]


@pytest.mark.parametrize(
    ("places", "grid", "sentence"),
    [
        ((1.0, 1.1), 0.5, "two lines fall on one mark at 1.00 mm; make the fingers wider than 0.5"),
        ((3.0,), 0.0, "a rule shows steps of more than 0 mm, not 0; take 0.5 or 1/64 in"),
    ],
)
def test_marks_that_no_rule_shows_are_refused(
    places: tuple[float, ...], grid: float, sentence: str
) -> None:
    with pytest.raises(SizeError) as caught:
        running_marks(places, 9.0, grid)
    assert sentence in str(caught.value)
