from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.errors import JobFileError
from dryfit.findings import Edit, JobValue
from dryfit.jobfile.read import read_text
from dryfit.jobfile.template import new_job
from dryfit.jobfile.write import apply_edits
from dryfit.model.forms import FORMS
from tests.unit.jobfile.sample import TRAY

COMMENTED = """\
# Of the bindery.
format = 1

[fingers]  # wishes
width = 10      # wanted
# a line between
flank_gap = 0.05 # air

[joint."left+front"]
leads = "front"  # keep

# the end
"""


def edited(*edits: Edit, text: str = COMMENTED) -> str:
    return apply_edits(text, edits)


def test_a_value_is_changed_where_it_stands() -> None:
    assert edited(Edit(("fingers", "width"), 12.5)) == COMMENTED.replace(
        "width = 10      # wanted", "width = 12.5      # wanted"
    )


def test_a_value_is_taken_out() -> None:
    changed = edited(Edit(("fingers", "width"), None))
    assert changed == COMMENTED.replace("width = 10      # wanted\n", "")


def test_what_is_not_there_need_not_be_taken_out() -> None:
    assert edited(Edit(("fingers", "count"), None), Edit(("cutter", "kerf"), None)) == COMMENTED


def test_a_joint_is_found_in_either_order() -> None:
    changed = edited(Edit(("joint", "front+left", "count"), 7))
    assert tomllib.loads(changed)["joint"] == {"left+front": {"leads": "front", "count": 7}}
    assert 'leads = "front"  # keep\n' in changed
    assert "# the end\n" in changed


def test_tables_are_made_as_needed() -> None:
    changed = edited(
        Edit(("joint", "front+base", "count"), 9),
        Edit(("panel", "base", "grain"), "free"),
        Edit(("stock", "walls", "readings"), [8.7, 8.8]),
        Edit(("cutter", "relief"), "flank"),
    )
    values = tomllib.loads(changed)
    assert values["joint"]["front+base"] == {"count": 9}
    assert values["panel"] == {"base": {"grain": "free"}}
    assert values["stock"] == {"walls": {"readings": [8.7, 8.8]}}
    assert values["cutter"] == {"relief": "flank"}
    assert '\n[joint."front+base"]\n' in changed
    assert "\n[joint]\n" not in changed


def test_inline_tables_and_dotted_keys_are_edited_too() -> None:
    text = 'fingers = { width = 10 }\njoint."left+front".count = 7\n'
    changed = edited(
        Edit(("fingers", "count"), 5), Edit(("joint", "front+left", "count"), 9), text=text
    )
    assert tomllib.loads(changed) == {
        "fingers": {"width": 10, "count": 5},
        "joint": {"left+front": {"count": 9}},
    }


def test_windows_line_ends_stay() -> None:
    text = COMMENTED.replace("\n", "\r\n")
    changed = edited(Edit(("fingers", "count"), 7), Edit(("fingers", "width"), None), text=text)
    assert changed.count("\r\n") == changed.count("\n")
    assert tomllib.loads(changed)["fingers"] == {"flank_gap": 0.05, "count": 7}


def test_no_edit_changes_nothing() -> None:
    assert edited() == COMMENTED


def test_a_broken_file_is_not_edited() -> None:
    with pytest.raises(JobFileError, match="this is not TOML"):
        edited(Edit(("fingers", "width"), 3), text="[fingers")
    with pytest.raises(JobFileError, match="this is not TOML"):
        edited(text=f"count = {'9' * 5000}")
    with pytest.raises(JobFileError, match="the file nests more than 20 deep"):
        edited(text="a = " + "[" * 10_000)


def test_a_key_is_not_put_inside_a_plain_value() -> None:
    with pytest.raises(JobFileError) as refused:
        edited(Edit(("format", "width"), 3))
    assert str(refused.value) == (
        "job file: format.width: format holds a plain value, so width cannot be set in it"
    )


def test_edits_and_reading_agree() -> None:
    changed = edited(
        Edit(("fingers", "width"), None), Edit(("fingers", "count"), 7),
        Edit(("cutter", "relief"), "flank"), text=TRAY,
    )  # fmt: skip
    job = read_text(changed, "tray.toml")
    assert job.piece.wish.count == 7
    assert job.cutter.relief == "flank"


VALUES = st.one_of(
    st.integers(-9, 9), st.floats(-9, 9), st.sampled_from(["auto", "flank"]), st.none(),
    st.lists(st.floats(8, 9), min_size=1, max_size=4),
)  # fmt: skip
PATHS = st.sampled_from(
    [
        ("title",), ("fingers", "width"), ("fingers", "count"), ("cutter", "relief"),
        ("joint", "front+left", "count"), ("joint", "left+front", "leads"),
        ("joint", "base+left", "count"), ("panel", "base", "readings"),
        ("stock", "walls", "cup"), ("stock", "=cmd", "nominal"),
    ]
)  # fmt: skip


@settings(max_examples=150)
@given(
    st.sampled_from([COMMENTED, TRAY, new_job("case")]),
    st.lists(st.tuples(PATHS, VALUES), max_size=6),
)
def test_edits_do_what_they_say_and_nothing_else(
    text: str, changes: list[tuple[tuple[str, ...], JobValue | None]]
) -> None:
    changed = apply_edits(text, tuple(Edit(path, value) for path, value in changes))
    expected = tomllib.loads(text)
    for path, value in changes:
        _put(expected, path, value)
    assert _filled(tomllib.loads(changed)) == _filled(expected)
    assert {line for line in text.splitlines() if line.startswith("#")} <= set(changed.splitlines())


def _put(values: dict[str, JobValue], path: tuple[str, ...], value: JobValue | None) -> None:
    """The same edit on plain dictionaries."""
    if path[0] == "joint":
        names = values.get("joint", {})
        turned = "+".join(reversed(path[1].split("+")))
        if isinstance(names, dict) and turned in names:
            path = ("joint", turned, path[2])
    for name in path[:-1]:
        if value is None and name not in values:
            return
        inner = values.setdefault(name, {})
        assert isinstance(inner, dict)
        values = inner
    if value is None:
        values.pop(path[-1], None)
    else:
        values[path[-1]] = value


def _filled(values: JobValue) -> JobValue:
    """The values without tables that hold nothing."""
    if not isinstance(values, dict):
        return values
    inner = {name: _filled(value) for name, value in values.items()}
    return {name: value for name, value in inner.items() if value != {}}


@pytest.mark.parametrize("form", FORMS)
def test_a_new_job_reads_without_fault(form: str) -> None:
    job = read_text(new_job(form), "new.toml")
    assert job.form == form
    assert {panel.name for panel in job.piece.panels} >= set(FORMS[form].panels)


@pytest.mark.parametrize("form", FORMS)
def test_the_wishes_in_a_new_jobs_comments_can_be_used(form: str) -> None:
    head, _, tail = new_job(form).partition("# [joint.")
    used = "\n".join(line.removeprefix("#").strip() for line in f"# [joint.{tail}".splitlines())
    job = read_text(f"{head}{used}\n", "new.toml")
    assert [wish.count for wish in job.piece.wishes.values() if wish.count] == [7]


def test_there_is_no_new_job_of_an_unknown_form() -> None:
    with pytest.raises(JobFileError, match=r'there is no form "barrel"; known are ring, tray'):
        new_job("barrel")
