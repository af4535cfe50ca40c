"""The tool that checks the docs finds what is broken, and passes what is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tools.check_docs import anchors, broken

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(
    ("link", "count"),
    [
        ("[there](other.md)", 0),
        ("[there](other.md#where-panels-meet)", 0),
        ("[here](#here)", 0),
        ("[away](https://example.org/nothing)", 0),
        ("`[code](nowhere.md)`", 0),
        ("[gone](gone.md)", 1),
        ("[lost](other.md#lost)", 1),
        ("![picture](piece.svg)", 1),
    ],
)
def test_only_broken_links_are_told(tmp_path: Path, link: str, count: int) -> None:
    (tmp_path / "other.md").write_text("# Where panels meet\n", encoding="utf-8")
    page = tmp_path / "page.md"
    page.write_text(f"# Here\n\n{link}\n", encoding="utf-8")
    assert len(list(broken(page))) == count


def test_headings_of_the_same_name_are_numbered() -> None:
    assert anchors("# Fit\n```\n# no heading\n```\n## Fit\n") == {"fit", "fit-1"}
