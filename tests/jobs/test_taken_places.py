"""Openings and corners for which there is no room: told as findings, and nothing breaks."""

from __future__ import annotations

import pytest

from dryfit.findings import Severity
from dryfit.jobfile.read import read_text
from dryfit.parts.part import Purpose
from dryfit.workflow import Rehearsal, files
from tests.unit.jobfile.sample import CASE

SIZE = "size = [90, 25]"

# old text, new text, panel, what the finding says it is too near to
TAKEN = {
    "larger than its panel": (SIZE, "size = [900, 900]", "left", "joint left+base"),
    "as large as its panel": (SIZE, "size = [300, 240]", "left", "joint left+base"),
    "at the corner of its panel": (SIZE, f"{SIZE}\nat = [0, 0]", "left", "joint left+base"),
    "over the edge": (SIZE, f"{SIZE}\nat = [260, 110]", "left", "edge of its panel"),
    "beside its panel": (SIZE, f"{SIZE}\nat = [9000, 9000]", "left", "edge of its panel"),
    "across the sockets": (SIZE, f"{SIZE}\nat = [100, 13]", "left", "joint left+base"),
    "cut larger than its panel": (
        "round = 20", "cut = [3000, 3000]", "shelf 1", "joint left+shelf 1",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "panel", "near"), TAKEN.values(), ids=TAKEN.keys())
def test_a_place_that_is_taken_is_a_stop(old: str, new: str, panel: str, near: str) -> None:
    rehearsal = Rehearsal(read_text(CASE.replace(old, new), "case.toml"))
    found = [each for each in rehearsal.findings if each.code == "place-taken"]
    # A kept place under the opening is told too, as something to look at.
    (said,) = [e for e in found if e.place == panel and e.severity is Severity.STOP]
    assert near in said.sentence
    assert files(rehearsal)


def test_an_opening_is_cut_only_where_it_has_room() -> None:
    cuts = {}
    for at in ([100, 13], [150, 120]):
        job = read_text(CASE.replace(SIZE, f"{SIZE}\nat = {at}"), "case.toml")
        (left,) = [part for part in Rehearsal(job).parts if part.name == "left"]
        cuts[at[1]] = len(left.cuts_for(Purpose.OPENING))
    assert cuts == {13: 0, 120: 1}
