"""A form written as planes and panels is the same piece."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.errors import JobFileError
from dryfit.jobfile.read import read_text, read_unfolded
from dryfit.jobfile.template import new_job
from dryfit.model.forms import FORMS
from dryfit.workflow import Rehearsal

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
TEXTS = {form: new_job(form) for form in FORMS} | {
    path.stem: path.read_text(encoding="utf-8")
    for path in EXAMPLES
    if path.stem not in ("type-cabinet", "thread-tray", "offcut-tray")
}


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_the_parts_are_the_same(text: str) -> None:
    unfolded = read_unfolded(text, "job")
    assert "form =" not in unfolded
    one, other = Rehearsal(read_text(text, "job")), Rehearsal(read_text(unfolded, "planes"))
    parts = {part.name: (part.cuts, part.as_cut) for part in one.parts}
    assert {part.name: (part.cuts, part.as_cut) for part in other.parts} == parts
    assert {joint.id.count("+") for joint in other.joints} == {1}
    assert len(other.joints) == len(one.joints)


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_comments_stay(text: str) -> None:
    kept = set(read_unfolded(text, "job").splitlines())
    assert {line for line in text.splitlines() if line.startswith("#")} <= kept


def test_in_inches_nothing_is_rounded() -> None:
    text = new_job("case").replace('unit = "mm"', 'unit = "in"').replace(
        "[310, 230, 90]", '["12 3/8 in", "9 1/16 in", "3 1/3 in"]'
    ).replace("readings = [8.76, 8.81, 8.74, 8.80, 8.79]", "").replace(
        "width = 10 ", 'width = "10 mm" '
    ).replace("flank_gap = 0.05", 'flank_gap = "0.05 mm"').replace(
        "diameter = 3.175", 'diameter = "1/8 in"'
    )  # fmt: skip
    one = Rehearsal(read_text(text, "job"))
    other = Rehearsal(read_text(read_unfolded(text, "job"), "planes"))
    assert [part.as_cut for part in one.parts] == [part.as_cut for part in other.parts]


def test_planes_are_not_unfolded_twice() -> None:
    once = read_unfolded(new_job("tray"), "job")
    with pytest.raises(JobFileError, match=r"stated by 6 planes already; go on from there"):
        read_unfolded(once, "planes")


@pytest.mark.parametrize("form", ["many-sided tray", "splayed tray"])
def test_walls_that_lie_on_no_axis_stay_a_form(form: str) -> None:
    with pytest.raises(JobFileError, match=rf"the walls of a {form} lie on none of the 3 axes"):
        read_unfolded(new_job(form), "job")
