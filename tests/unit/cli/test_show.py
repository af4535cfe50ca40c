from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.cli.say import tell
from dryfit.cli.show import findings, joints, parts
from dryfit.findings import Finding, Mend, Severity
from dryfit.workflow import Rehearsal, new_text, read, read_text

if TYPE_CHECKING:
    import pytest

CRATE = Path(__file__).parents[3] / "examples" / "board-crate.toml"
"""In inches and 64ths, so its table is the widest."""


def many(copies: int) -> Rehearsal:
    """A rehearsal with the joints and parts of a tray many times over, each under its own name."""
    tray = read_text(new_text("tray"))
    big = Rehearsal(tray.job)
    plans = replace(
        tray.plans,
        joints=tuple(
            replace(joint, id=f"{joint.lead}{n}+{joint.follow}{n}", lead=f"{joint.lead}{n}")
            for n in range(copies)
            for joint in tray.joints
        ),
    )
    big.__dict__["plans"] = plans
    big.__dict__["parts"] = tray.parts * copies
    big.__dict__["touches"] = ()  # nothing in the tables comes from the dry fit
    return big


def test_a_piece_of_60_panels_stays_readable(capsys: pytest.CaptureFixture[str]) -> None:
    big = many(12)
    tell(*joints(big), *parts(big))
    lines = capsys.readouterr().out.splitlines()
    assert len(big.parts) == 60
    assert len(lines) < 40
    assert max(map(len, lines)) <= 80
    assert "front0+left0" in " ".join(lines)
    assert "front11" not in " ".join(lines)


def test_every_joint_is_in_the_row_of_its_plan(capsys: pytest.CaptureFixture[str]) -> None:
    tray = read_text(new_text("tray"))
    tell(*joints(tray))
    said = " ".join(capsys.readouterr().out.split())
    assert all(joint.id in said for joint in tray.joints)
    assert "17 + 16" in said


def test_tables_keep_their_names_on_a_narrow_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    crate = read(CRATE)
    monkeypatch.setenv("COLUMNS", "80")
    tell(*joints(crate), *parts(crate))
    wide = capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "44")
    tell(*joints(crate), *parts(crate))
    assert capsys.readouterr().out == wide
    assert "front, back  walls" in wide


def test_a_finding_has_its_word_its_sentence_its_mend_and_its_code(
    capsys: pytest.CaptureFixture[str],
) -> None:
    stop = Finding("parts-overlap", Severity.STOP, "a", "They jam.", "us", mend=Mend("Cut less."))
    note = Finding("saw-passes", Severity.NOTE, "b", "Two passes.", "us")
    tell(findings((stop, note)))
    lines = [line.split(maxsplit=1) for line in capsys.readouterr().out.splitlines()]
    assert lines == [
        ["STOP", "They jam."],
        ["Mend:", "Cut less. (parts-overlap)"],
        [],
        ["note", "Two passes."],
        ["(saw-passes)"],
    ]
